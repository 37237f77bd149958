"""Ranges as their sources print them, and the numbers that formulas have of their own."""

import math

import numpy as np
import pytest
from test_physics_contract import MODULES

from swarfbook.physics import chatter, clearing, heat, surface, taylor, thrust, validity
from swarfbook.physics.validity import Range

PRINTED = [
    (chatter.IMMERSION, "1/5", "1"),
    (chatter.DAMPED_SPEED, "1/10", "inf"),
    (clearing.LOOSE_CHIPS, "3", "10"),
    (clearing.SPIRAL_CHIPS, "8", "50"),
    (clearing.LONG_CHIPS, "50", "90"),
    (clearing.SNARLED_CHIPS, "90", "inf"),
    (clearing.FLUTE_SHARE, "60/100", "80/100"),
    (heat.LAMINAR_PLATE, "0", "500000"),
    (heat.HOT_FACE_UP, "10000", "10000000"),
    (heat.HOT_FACE_DOWN, "10000", "1000000000"),
    (heat.LUMP, "0", "1/10"),
    (heat.WORK_SHARE, "4/100", "10"),
    (heat.ROUND_JET_REYNOLDS, "2000", "400000"),
    (heat.ROUND_JET_DISTANCE, "2", "12"),
    (heat.ROUND_JET_SPREAD, "127/1000", "2/5"),
    (surface.ROUGHNESS_FACTOR, "2", "5"),
    (taylor.HIGH_SPEED_STEEL, "8/100", "1/5"),
    (taylor.CARBIDE, "1/5", "1/2"),
    (taylor.CERAMIC, "1/2", "7/10"),
    (thrust.BALL_SCREW, "85/100", "95/100"),
    (thrust.SLIDING_SCREW, "1/5", "1/2"),
    (thrust.USABLE_TORQUE, "0", "6/10"),
    (validity.KIENZLE_CHIP, "50/1000000", "2500/1000000"),
    (validity.CIRCULAR_PATH, "0", "5/100"),
    (validity.MINIMUM_CHIP_RATIO, "14/100", "43/100"),
    (validity.MINIMUM_CHIP_RATIO_HELICAL, "60/100", "68/100"),
    (validity.HELIX, "-80 degrees", "80 degrees"),
    (validity.EXPONENT, "1/1000000000", "2"),
]


def number(printed: str) -> float:
    """A whole number, a fraction of two, degrees, or no end at all."""
    if printed.endswith("degrees"):
        return math.radians(float(printed.removesuffix("degrees")))
    above, _, below = printed.partition("/")
    return float(above) / float(below or 1)


@pytest.mark.parametrize(("known", "low", "high"), PRINTED, ids=lambda part: getattr(part, "quantity", ""))
def test_a_range_is_as_its_source_has_it(known, low, high):
    assert known.low == pytest.approx(number(low), rel=1e-9)
    assert known.high == pytest.approx(number(high), rel=1e-9)
    assert known.source


def test_every_range_of_the_physics_is_listed_here():
    held = {id(value) for module in MODULES for value in vars(module).values() if isinstance(value, Range)}
    assert held == {id(known) for known, _, _ in PRINTED}


def test_the_ends_belong_to_a_range_and_nan_does_not():
    known = Range("x", 1.0, 2.0, "")
    values = np.array([np.nextafter(1.0, 0.0), 1.0, 1.5, 2.0, np.nextafter(2.0, 3.0), math.nan])
    assert known.covers(values).tolist() == [False, True, True, True, False, False]
