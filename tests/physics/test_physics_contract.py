"""What every public formula keeps to: floats and arrays alike, nan through, named and documented alike."""

import importlib
import inspect
import math
import pkgutil
import re
from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass
from typing import Any

import numpy as np
import pytest

from support import contract_values
from swarfbook import physics
from swarfbook.physics import arrays, fast, harmonic, helical, parts, peaks, sampling, stack, strips
from swarfbook.physics.laws import Kienzle, LinearEdge

LINEAR = LinearEdge(ktc=631e6, krc=99e6, kac=273e6, kte=13e3, kre=10e3, kae=2.8e3)
KIENZLE = Kienzle(kc11=700e6, mc=0.25, force_ratio_radial=0.4, force_ratio_axial=0.3)
MODULES = [
    importlib.import_module(f"swarfbook.physics.{info.name}")
    for info in pkgutil.iter_modules(physics.__path__)
]
PLUMBING = {
    module.__name__ for module in (arrays, fast, harmonic, helical, parts, peaks, sampling, stack, strips)
}

# A value each argument may take; one that no formula is called with would be found by the last test here.
ORDINARY: dict[str, Any] = {
    "axial_depth": 3e-3,
    "rake_base": 0.1,
    "chip_thickness": 2e-5,
    "chip_thickness_max": 4e-5,
    "climb": True,
    "cooling_constant": 1800.0,
    "cutting_power": 80.0,
    "cutting_speed": 5.0,
    "diameter": 6e-3,
    "duration": 600.0,
    "edge_angle": 1.2,
    "edge_radius": 5e-6,
    "efficiency": 0.8,
    "engagement_angle": 1.2,
    "entry": 0.3,
    "exit": 1.9,
    "exponent": 0.75,
    "feed_factor": 1.4,
    "feed_per_tooth": 5e-5,
    "feed_rate": 0.015,
    "flute_length": 16e-3,
    "fluted_diameter": 4.8e-3,
    "flutes": 2.0,
    "force": 50.0,
    "frequency": 400.0,
    "heating_constant": 900.0,
    "helix": 0.5,
    "dynamic_high_factor": 1.5,
    "dynamic_high_frequency": 150.0,
    "idle_power": 90.0,
    "is_input": True,
    "load_height": 1.5e-3,
    "loaded": 240.0,
    "dynamic_low_frequency": 50.0,
    "neck_diameter": 5.6e-3,
    "neck_end": 20e-3,
    "phi": 1.1,
    "poles": 2.0,
    "radial_width": 2e-3,
    "rake": 0.2,
    "rated_power": 1500.0,
    "rated_shaft_power": 1500.0,
    "rated_speed": 300.0,
    "rated_torque": 0.8,
    "min_chip_ratio": 0.4,
    "material_removal_rate": 7e-8,
    "resting": 360.0,
    "runout": 1e-5,
    "shank_diameter": 6e-3,
    "spindle_speed": 310.0,
    "stickout": 30e-3,
    "thermal_time": 900.0,
    "tooth_passing_frequency": 80.0,
    "torque": 0.3,
    "torque_available": 0.8,
    "unit_power_constant": 0.9e9,
    "wear_factor": 1.1,
    "youngs_modulus": 600e9,
}
ORDINARY |= contract_values.ORDINARY
# Not broadcast with the rest: a law, points of a curve, angles of a turn, counts of samples.
APART: dict[str, Any] = {
    "law": LINEAR,
    "samples": 8,
    "angles": np.linspace(0.0, 3.0, 5),
    "curve_speeds": np.array([100.0, 200.0, 400.0]),
    "curve_torques": np.array([0.8, 0.9, 0.5]),
}
APART |= contract_values.APART
# These sum over their last axis, which the general calls below would take away: they have tests of their own.
ALONG_AN_AXIS = {"duty_rms", *contract_values.OWN_TESTS}
STANDARD = {
    "__future__", "abc", "collections", "collections.abc", "contextvars", "dataclasses", "functools", "math",
    "os", "swarfbook.frozen", "typing",
}  # fmt: skip
# Shape of an answer that has an axis more than its arguments.
TRAILING = {"turn": (5,)} | contract_values.TRAILING
FLAGS = {"climb", "is_input"} | contract_values.FLAGS


def public() -> Iterator[Callable[..., Any]]:
    for module in MODULES:
        for name, item in vars(module).items():
            if inspect.isfunction(item) and item.__module__ == module.__name__ and not name.startswith("_"):
                yield item


FUNCTIONS = list(public())
FORMULAS = [f for f in FUNCTIONS if f.__module__ not in PLUMBING and f.__name__ not in ALONG_AN_AXIS]
IDS = [f"{f.__module__.rsplit('.', 1)[1]}.{f.__name__}" for f in FORMULAS]


def broadcast(formula: Callable[..., Any]) -> list[str]:
    return [name for name in inspect.signature(formula).parameters if name not in APART]


def call(formula: Callable[..., Any], **changed: Any) -> list[np.ndarray]:
    """Answers of a formula at ordinary values, some changed, each as an array."""
    names = inspect.signature(formula).parameters
    answer = formula(**({name: (APART | ORDINARY)[name] for name in names} | changed))
    if is_dataclass(answer):
        values = [getattr(answer, field.name) for field in fields(answer) if field.name != "angle"]
    else:
        values = list(answer) if isinstance(answer, tuple) else [answer]
    assert all(np.asarray(value).dtype == np.float64 for value in values)
    return [np.asarray(value) for value in values]


def spread(name: str, shape: tuple[int, ...]) -> np.ndarray:
    return np.full(shape, ORDINARY[name])


def trailing(formula: Callable[..., Any]) -> tuple[int, ...]:
    return TRAILING.get(formula.__name__, ())


@pytest.mark.parametrize("formula", FORMULAS, ids=IDS)
def test_scalars_and_arrays_of_every_shape_give_the_same_answer(formula):
    plain = call(formula)
    assert [value.shape for value in plain] == [trailing(formula)] * len(plain)
    assert all(np.isfinite(value).all() for value in plain)
    for shape in ((), (1,), (3,), (2, 3)):
        changed = call(formula, **{name: spread(name, shape) for name in broadcast(formula)})
        for value, expected in zip(changed, plain, strict=True):
            assert value.shape == shape + trailing(formula)
            assert value == pytest.approx(np.broadcast_to(expected, value.shape), rel=1e-12)


@pytest.mark.parametrize("formula", FORMULAS, ids=IDS)
def test_a_scalar_gives_a_number_and_not_an_array_of_none(formula):
    answer = formula(**{name: (APART | ORDINARY)[name] for name in inspect.signature(formula).parameters})
    values = [getattr(answer, field.name) for field in fields(answer)] if is_dataclass(answer) else answer
    for value in values if isinstance(values, list | tuple) else [values]:
        assert trailing(formula) or isinstance(value, float)


@pytest.mark.parametrize("formula", FORMULAS, ids=IDS)
def test_arguments_broadcast_against_each_other(formula):
    plain = call(formula)
    for name in broadcast(formula):
        rest = [other for other in broadcast(formula) if other != name]
        changed = call(
            formula, **{name: spread(name, (4, 1))}, **{other: spread(other, (3,)) for other in rest}
        )
        shape = (4, 3) if rest else (4, 1)
        for value, expected in zip(changed, plain, strict=True):
            assert value.shape == shape + trailing(formula)
            assert value == pytest.approx(np.broadcast_to(expected, value.shape), rel=1e-12)


@pytest.mark.parametrize("formula", FORMULAS, ids=IDS)
def test_nothing_asked_nothing_answered(formula):
    empty = call(formula, **{name: spread(name, (0,)) for name in broadcast(formula)})
    assert [value.shape for value in empty] == [(0, *trailing(formula))] * len(empty)


@pytest.mark.parametrize("formula", FORMULAS, ids=IDS)
def test_nan_goes_through_and_stays_where_it_is(formula):
    """Every argument is used by at least one answer, and spoils no neighbour."""
    plain = call(formula)
    for name in broadcast(formula):
        if name in FLAGS:
            continue
        holed = call(formula, **{name: np.array([math.nan, ORDINARY[name]])})
        assert any(np.isnan(value[..., 0, :] if trailing(formula) else value[0]).all() for value in holed), (
            name
        )
        for value, expected in zip(holed, plain, strict=True):
            good = value[1]
            assert good == pytest.approx(expected, rel=1e-12), name


@pytest.mark.parametrize("formula", FORMULAS, ids=IDS)
def test_arguments_are_left_as_they_were(formula):
    given = {name: spread(name, (3,)) for name in broadcast(formula)}
    call(formula, **given)
    assert all((given[name] == ORDINARY[name]).all() for name in given)


@pytest.mark.parametrize("law", [LINEAR, KIENZLE], ids=["linear-edge", "kienzle"])
@pytest.mark.parametrize("shape", [(), (0,), (3,), (2, 3)])
def test_laws_keep_to_it_too(law, shape):
    chips, angles = spread("chip_thickness", shape), spread("phi", shape)
    forces = [np.asarray(value) for value in law.edge_forces(chips)]
    areas = [np.asarray(value) for value in law.antiderivatives(feed_per_tooth=5e-5, phi=angles)]
    assert [value.shape for value in forces + areas] == [shape] * 7
    assert all(np.isnan(value).all() for value in law.edge_forces(math.nan))
    assert all(np.isnan(value).all() for value in law.antiderivatives(feed_per_tooth=5e-5, phi=math.nan))


@pytest.mark.parametrize("formula", FUNCTIONS, ids=lambda f: f.__name__)
def test_arguments_that_could_be_swapped_are_named(formula):
    parameters = list(inspect.signature(formula).parameters.values())
    if formula.__module__ not in PLUMBING:
        assert all(parameter.kind is parameter.KEYWORD_ONLY for parameter in parameters)


def glossary() -> set[str]:
    """Names that the package's glossary decides."""
    lines = physics.__doc__.split("Glossary", 1)[1].splitlines()[2:]
    return {name for line in lines for name in re.findall(r"[a-z_0-9]+", line[:31])}


@pytest.mark.parametrize("formula", FORMULAS, ids=IDS)
def test_every_argument_is_documented_with_its_unit(formula):
    text = " ".join(inspect.getdoc(formula).split())
    for name in inspect.signature(formula).parameters:
        if name in FLAGS | {"law"}:
            assert name in text
        else:
            described = re.search(rf"(?:^|\W)`?{name}`?\W[^\[\]]*\[[^\]]+\]", text)
            assert described, f"{name} has no unit in the docstring"


@pytest.mark.parametrize("formula", FORMULAS, ids=IDS)
def test_every_docstring_says_what_comes_back(formula):
    first = inspect.getdoc(formula).splitlines()[0]
    assert first.endswith((".", "one"))
    assert "Returns:" in formula.__doc__ or "[" in first


def test_the_glossary_names_what_formulas_share():
    """A name two modules use is a quantity of its own and stands in the glossary."""
    users: dict[str, set[str]] = {}
    for formula in FORMULAS:
        for name in inspect.signature(formula).parameters:
            users.setdefault(name, set()).add(formula.__module__)
    shared = {name for name, modules in users.items() if len(modules) > 1} - {"law", "climb"}
    assert shared <= glossary()


def test_these_tests_know_every_argument_and_no_other():
    used = {name for formula in FORMULAS for name in inspect.signature(formula).parameters}
    assert used - set(APART) == set(ORDINARY)


def test_physics_needs_numpy_and_frozen_classes_and_nothing_else():
    for module in MODULES:
        source = inspect.getsource(module)
        imported = set(re.findall(r"^(?:from|import) ([\w.]+)", source, re.MULTILINE))
        outside = {name for name in imported if not name.startswith(("swarfbook.physics", "numpy"))}
        assert outside <= STANDARD
