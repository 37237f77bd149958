"""What an argument that is left out stands for: a straight edge, a square corner, rest, no earlier pass."""

import inspect
import math
from collections.abc import Callable
from typing import Any

import pytest
from test_physics_contract import FUNCTIONS, call

# Each with a value that would give another answer.
MEANT = [
    ("chip.feed_for_chip_thickness", "edge_angle", math.radians(90), 1.2),
    ("corners.corner_engagement", "corner_angle", math.radians(90), 1.4),
    ("discs.loads", "earlier_pass", False, True),
    ("discs.mean_forces", "earlier_pass", False, True),
    ("discs.turn", "earlier_pass", False, True),
    ("discs.chips", "earlier_pass", False, True),
    ("heat.rayleigh_number", "gravity", 9.81, 1.62),
    ("motion.speed_reached", "start_speed", 0.0, 0.004),
    ("motion.speed_reached", "end_speed", 0.0, 0.004),
    ("motion.move_time", "start_speed", 0.0, 0.004),
    ("motion.move_time", "end_speed", 0.0, 0.004),
    ("surface.scallop_height", "slope", 0.0, 0.3),
    ("surface.pass_spacing_for_scallop", "slope", 0.0, 0.3),
]
# So short a move, and a cut so far down in the rounded corner, that each of them counts.
SMALL = {"distance": 1e-4, "axial_depth": 0.3e-3, "radial_width": 0.5e-3}
BY_NAME = {f"{f.__module__.rsplit('.', 1)[1]}.{f.__name__}": f for f in FUNCTIONS}


def answers(formula: Callable[..., Any], given: dict[str, Any]) -> list[Any]:
    return [part.tolist() for part in call(formula, **given)]


@pytest.mark.parametrize(("name", "argument", "meant", "other"), MEANT)
def test_an_argument_left_out_stands_for_the_plain_case(name, argument, meant, other):
    formula = BY_NAME[name]
    default = inspect.signature(formula).parameters[argument].default
    given = {key: value for key, value in SMALL.items() if key in inspect.signature(formula).parameters}
    values = (meant, default, other)
    plain, left_out, changed = (answers(formula, given | {argument: value}) for value in values)
    assert left_out == plain
    assert changed != plain
