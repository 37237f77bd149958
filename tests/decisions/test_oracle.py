"""Fresh random recipes, from the files to the JSON, against the plain integration of support.oracle."""

from __future__ import annotations

import math
import random
from dataclasses import asdict

import pytest

from support import oracle
from support.books import RECIPE
from support.milling import Cut, Linear, Power
from swarfbook.book import Book
from swarfbook.decisions.as_json import check_json
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import check

SHORT, LONG = 24, 600
SPEED = 17123
WRITTEN = {
    "kc11": ("kc11", "N/mm^2"),
    "mc": ("mc", ""),
    "radial": ("force_ratio_radial", ""),
    "axial": ("force_ratio_axial", ""),
    **{name: (name, "N/mm^2") for name in ("ktc", "krc", "kac")},
    **{name: (name, "N/mm") for name in ("kte", "kre", "kae")},
}
"""Key and unit of a coefficient in a material's overrides, by its name in support.milling."""


def drawn_law(draw: random.Random) -> Linear | Power:
    if draw.random() < 0.5:
        return Power(
            draw.uniform(20, 2500), draw.uniform(0.05, 0.45), draw.uniform(0.1, 0.8), draw.uniform(0, 0.5)
        )
    return Linear(*(draw.uniform(0.05, 1) * most for most in (2000, 900, 800, 60, 60, 5)))


def fresh_cut(seed: int) -> Cut:
    draw = random.Random(seed)
    diameter = draw.uniform(2, 12)
    return Cut(
        forces=drawn_law(draw),
        diameter=diameter,
        flutes=draw.randint(1, 5),
        helix=draw.uniform(0.5, 45),
        depth=diameter * draw.uniform(0.05, 2.2),
        width=diameter * draw.choice([1.0, draw.uniform(0.02, 1)]),
        feed=draw.uniform(0.003, 0.15),
        climb=draw.random() < 0.5,
    )


def as_written(cut: Cut) -> dict[str, object]:
    """Give the changes that write a cut into the small book of support.books."""
    overrides = {}
    for name, value in asdict(cut.forces).items():
        key, unit = WRITTEN[name]
        overrides[key] = f"{value!r} {unit}" if unit else value
    return {
        "material.cutting_law": "linear-edge" if isinstance(cut.forces, Linear) else "kienzle",
        "material.overrides": overrides,
        "tool.diameter": f"{cut.diameter!r} mm",
        "tool.flutes": cut.flutes,
        "tool.helix": f"{cut.helix!r} deg",
        "tool.flute_length": f"{2.5 * cut.diameter!r} mm",
        "tool.shank_diameter": f"{shank(cut)!r} mm",
        "tool.overall_length": "90 mm",
        "tool.youngs_modulus": "600 GPa",
        "recipe.axial_depth": f"{cut.depth!r} mm",
        "recipe.radial_width": f"{cut.width!r} mm",
        "recipe.feed_per_tooth": f"{cut.feed!r} mm",
        "recipe.direction": "climb" if cut.climb else "conventional",
        "recipe.stickout": f"{3.2 * cut.diameter!r} mm",
        "recipe.spindle_speed": f"{SPEED} rpm",
    }


def shank(cut: Cut) -> float:
    return max(cut.diameter, 6.0)


def seeds(config: pytest.Config) -> range:
    return range(LONG if config.getoption("--long") else SHORT)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "seed" in metafunc.fixturenames:
        metafunc.parametrize("seed", seeds(metafunc.config))


def kinematics(cut: Cut) -> dict[str, float]:
    swept = cut.arc[1] - cut.arc[0]
    widest = math.pi / 2 if cut.width > cut.diameter / 2 else swept
    feed_rate = cut.feed * cut.flutes * SPEED
    return {
        "cutting_speed": math.pi * cut.diameter * SPEED / 1000,
        "feed_rate": feed_rate,
        "material_removal_rate": cut.depth * cut.width * feed_rate / 1000,
        "engagement_angle": math.degrees(swept),
        "chip_thickness_max": cut.feed * math.sin(widest),
        "chip_thickness_mean": cut.feed * (1 - math.cos(swept)) / swept,
    }


def means(cut: Cut) -> dict[str, float]:
    torque = oracle.mean_torque(cut) / 1000
    power = torque * 2 * math.pi * SPEED / 60
    rate = kinematics(cut)["material_removal_rate"]
    return {
        "cutting_torque_mean": torque,
        "cutting_power": power,
        "specific_cutting_force": power * 60 / rate,
    }


def bending(cut: Cut, force: float) -> dict[str, float]:
    beam = oracle.Beam(((2.5 * cut.diameter, 0.8 * cut.diameter), (3.2 * cut.diameter, shank(cut))))
    load = {"force": force, "load_height": cut.depth / 2}
    tool = oracle.deflection(beam, youngs_modulus=600e3, **load)
    return {
        "deflection_tool": tool,
        "deflection_total": tool + force / 3000,
        "bending_stress_peak": oracle.bending_stress(beam, **load),
    }


def test_check_agrees_with_plain_integration(make_book, seed):
    cut = fresh_cut(seed)
    book = Book.open(make_book(**as_written(cut)))
    said = check_json(check(load_case(book, RECIPE)))["quantities"]
    peaks = oracle.peaks(cut)
    expected = (
        (kinematics(cut), 1e-9),
        (means(cut), 1e-6),
        (peaks, 4e-3),
        (bending(cut, peaks["force_peak"]), 4e-3),
    )
    for numbers, tolerance in expected:
        for name, value in numbers.items():
            assert said[name]["value"] == pytest.approx(value, rel=tolerance), name
