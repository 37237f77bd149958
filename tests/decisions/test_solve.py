"""A first recipe: as much removal as a fine search of everything finds, and no limit broken."""

from __future__ import annotations

import json

import numpy as np
import pytest

from support.books import values
from swarfbook import records, resources
from swarfbook.book import Book
from swarfbook.decisions import case as cases
from swarfbook.decisions.check import check
from swarfbook.decisions.first_values import FREE, Wishes, first_values
from swarfbook.decisions.limits import rules
from swarfbook.decisions.numbers import Knobs, evaluate
from swarfbook.decisions.past import LOADS
from swarfbook.decisions.room import Room
from swarfbook.decisions.solve import solution_json, solve
from swarfbook.errors import SwarfbookError

DEMO = Book.open(resources.demo_book_dir())
IDS = ("m", "t", "w")
TABLES = ("aluminium-wrought-6082-t6", "hdpe", "steel-mild", "mdf", "brass-free-cutting", "acetal")


def parts_of(machine=None, tool=None, material=None):
    raws = (values("machine", machine), values("tool", tool), values("material", material))
    kinds = ("machine", "tool", "material")
    return tuple(records.parse(kind, raw, where=kind) for kind, raw in zip(kinds, raws, strict=True))


def demo_parts(machine, tool, material):
    return tuple(
        DEMO.get(kind, record).record
        for kind, record in (("machine", machine), ("tool", tool), ("material", material))
    )


def solved(parts, operation="rough", **wishes):
    return solve(parts, IDS, operation, settings=DEMO.settings, wishes=Wishes(**wishes))


def random_parts(rng, *, flutes=None):
    """Draw a machine, a cutter and a material."""
    diameter = float(rng.choice([3, 4, 6, 8]))
    flutes = int(rng.choice([1, 1, 1, 2])) if flutes is None else flutes
    machine = {
        "spindle.rated_power": f"{rng.uniform(0.3, 2.5):.3f} kW",
        "spindle.max_speed": f"{rng.integers(12, 30)}000 rpm",
        "spindle.rated_speed": f"{rng.integers(6, 12)}000 rpm",
        "spindle.min_speed": f"{rng.integers(2, 6)}000 rpm",
        "axes.thrust": f"{rng.uniform(80, 900):.0f} N",
        "axes.max_feed": f"{rng.uniform(1500, 9000):.0f} mm/min",
    }
    if rng.random() < 0.3:
        machine["spindle.speeds"] = [f"{speed}000 rpm" for speed in (6, 9, 12)]
    tool = {
        "diameter": f"{diameter} mm",
        "shank_diameter": f"{max(diameter, 6)} mm",
        "flutes": flutes,
        "helix": f"{rng.integers(0, 45)} deg",
        "flute_length": f"{diameter * rng.uniform(1.5, 3.5):.1f} mm",
        "overall_length": "70 mm",
        "max_speed": "30000 rpm",
    }
    material = {"table": str(rng.choice(TABLES)), "cutting_law": None, "overrides": None}
    return parts_of(machine, tool, material)


def brute(parts, operation, wishes, points):
    """Look at every point of a fine grid and give the most removal rate that keeps every limit."""
    first = first_values(parts[1], IDS, operation, wishes)
    case = cases.of_parts("x", first.values, parts, DEMO.settings)
    room = Room(case, wishes.margin, wishes.roughness)
    motor = parts[0].spindle
    most = min(motor.max_speed, parts[1].max_speed)
    speeds = np.array(motor.speeds) if motor.speeds else np.linspace(motor.min_speed, most, points)
    sides = [
        np.linspace(0.02, 1, points) * size if name in FREE[operation] else np.array([size])
        for name, size in (("axial_depth", first.deepest), ("radial_width", first.widest))
    ]
    feeds = np.geomspace(2e-6, 2e-3, 2 * points)
    best = 0.0
    for depth in sides[0]:
        width, feed = (mesh.ravel()[:, None] for mesh in np.meshgrid(sides[1], feeds))
        numbers = evaluate(case, Knobs(np.full(width.shape, depth), width, feed, speeds[None, :]))
        rate = np.where(room.strain(room.uses(numbers)) <= 1, numbers.material_removal_rate, 0.0)
        best = max(best, float(rate.max()))
    return best


@pytest.mark.parametrize("seed", range(12))
def test_no_point_of_a_fine_grid_removes_more(seed, request):
    rng = np.random.default_rng(seed)
    parts = random_parts(rng)
    operation = str(rng.choice(["rough", "slot", "face-rough", "finish", "through-cut"]))
    wishes = Wishes(margin=float(rng.choice([0.0, 0.25])), tolerance=1e-4 if operation == "finish" else None)
    points = 40 if request.config.getoption("--long") else 14
    most = brute(parts, operation, wishes, points)
    if not most:
        return
    found = solve(parts, IDS, operation, settings=DEMO.settings, wishes=wishes)
    assert found.best_rate >= 0.999 * most
    assert found.removal_rate >= 0.995 * found.best_rate


@pytest.mark.parametrize("seed", range(20))
def test_no_limit_is_broken_and_the_margin_is_kept_as_written(seed):
    rng = np.random.default_rng(100 + seed)
    parts, margin = random_parts(rng), float(rng.choice([0.0, 0.2, 0.5]))
    try:
        found = solved(parts, margin=margin)
    except SwarfbookError:
        return
    again = check(cases.of_parts("again", found.values, parts, DEMO.settings))
    demands = {rule.name: rule.demand for rule in rules(again.case)}
    for limit in again.limits:
        if limit.use is not None:
            allowed = 1 - margin if demands[limit.name] in LOADS else 1.0
            assert limit.use <= allowed * (1 + 1e-6), limit.name


def test_it_is_the_same_every_time():
    parts = random_parts(np.random.default_rng(5))
    one, other = solved(parts), solved(parts)
    assert one.values == other.values
    assert one.evaluations == other.evaluations


def test_it_looks_at_a_hundredth_of_what_a_fine_grid_of_forty_does():
    parts = random_parts(np.random.default_rng(5))
    assert solved(parts).evaluations < 40**4 / 100


@pytest.mark.parametrize("operation", [one for one in FREE if one != "chamfer"])
@pytest.mark.parametrize("tool", ["em-6mm-1f", "em-6mm-3f"])
def test_every_operation_has_a_first_recipe_that_holds(operation, tool):
    wishes = {"hole_diameter": 0.010} if operation == "bore" else {}
    wishes |= {"tolerance": 1e-4} if "finish" in operation else {}
    found = solved(demo_parts("long-bed-router", tool, "6082-t6"), operation, margin=0.25, **wishes)
    assert not found.check.over
    assert found.check.case.recipe.operation == operation
    assert found.check.case.recipe.standing == "trial"
    json.dumps(solution_json(found), allow_nan=False)


def test_a_dial_is_set_to_its_positions():
    parts = parts_of({"spindle.speeds": ["7000 rpm", "11000 rpm"]})
    assert solved(parts).values["spindle_speed"] in ("7000 rpm", "11000 rpm")


def test_a_tolerance_slows_a_finish_pass_and_so_does_a_roughness():
    parts = demo_parts("long-bed-router", "em-6mm-3f", "6082-t6")
    free = solved(parts, "finish", depth=0.012, tolerance=2e-4)
    tight = solved(parts, "finish", depth=0.012, tolerance=2e-5)
    smooth = solved(parts, "finish", depth=0.012, tolerance=2e-4, roughness=0.4e-6)
    assert tight.removal_rate < free.removal_rate
    assert smooth.removal_rate < free.removal_rate
    assert "deflection" in tight.limited_by
    assert "roughness" in smooth.limited_by


def test_a_finish_pass_is_slower_than_the_rough_one():
    """Common practice."""
    parts = demo_parts("long-bed-router", "em-6mm-3f", "6082-t6")
    rough = solved(parts, "rough", margin=0.25)
    finish = solved(parts, "finish", margin=0.25, tolerance=5e-5, roughness=1.6e-6, depth=0.012)
    assert finish.removal_rate < rough.removal_rate


def test_it_says_what_limits_and_what_one_more_step_would_cost():
    found = solved(demo_parts("long-bed-router", "em-6mm-1f", "6082-t6"))
    assert found.limited_by
    steps = {one.knob: one for one in found.steps}
    assert steps.keys() == {"axial_depth", "radial_width", "feed_per_tooth", "spindle_speed"}
    assert all(one.use > 1 for one in found.steps)


@pytest.mark.parametrize(
    ("operation", "wishes", "said"),
    [
        ("finish", {"depth": 0.022}, "its flutes reach 16.0 mm, the wall is 22.0 mm"),
        ("bore", {}, "a bore needs its diameter"),
        ("bore", {"hole_diameter": 0.030}, "from solid a cutter of 6.00 mm bores up to 12.0 mm"),
    ],
)
def test_what_the_cutter_cannot_do_is_refused_with_the_number(operation, wishes, said):
    with pytest.raises(SwarfbookError, match=said):
        solved(demo_parts("long-bed-router", "em-6mm-1f", "6082-t6"), operation, **wishes)


def test_nothing_that_keeps_every_limit_is_said_with_what_stands_in_the_way():
    weak = parts_of({"axes.thrust": "0.5 N"})
    with pytest.raises(SwarfbookError, match="axis thrust stands in the way"):
        solved(weak)


def test_watching_can_end_it():
    class StoppedError(Exception):
        pass

    def stop():
        raise StoppedError

    parts = parts_of()
    with pytest.raises(StoppedError):
        solve(parts, IDS, "rough", settings=DEMO.settings, watch=stop)
