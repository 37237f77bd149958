"""A machine: spindle, axes and how stiff it feels at the tool's tip."""

from collections.abc import Iterator, Set
from itertools import pairwise
from typing import Annotated, Literal, get_args

from swarfbook.records.base import Fault, Record, Values, above
from swarfbook.records.fields import (
    Acceleration,
    CurvePoint,
    Damping,
    Duration,
    Duty,
    FeedRate,
    Force,
    Frequency,
    LengthFromZero,
    Name,
    Power,
    PowerFromZero,
    Share,
    SpindleSpeed,
    Stiffness,
    Word,
)

Motor = Literal["induction", "universal", "servo"]
Rating = Literal["shaft", "input"]
Axis = Literal["x", "y"]


class Overload(Record):
    """What the spindle gives for a part of the time: power [W] and the duty of IEC 60034-1."""

    power: Power
    duty: Duty


class Spindle(Record):
    """The spindle: ratings [W, rev/s, N*m], losses [W], heating [s] and run-out [m]; None: nobody knows."""

    motor: Annotated[Motor, Word(get_args(Motor))]
    rated_power: Power
    rated_speed: SpindleSpeed | None = None
    min_speed: SpindleSpeed
    max_speed: SpindleSpeed
    speeds: tuple[SpindleSpeed, ...] | None = None
    rating: Annotated[Rating, Word(get_args(Rating))] | None = None
    efficiency: Share | None = None
    idle_power: PowerFromZero | None = None
    overload: Overload | None = None
    thermal_time: Duration | None = None
    torque_curve: tuple[CurvePoint, ...] | None = None
    runout: LengthFromZero | None = None


class Axes(Record):
    """What moves: feed rates [m/s], acceleration [m/s^2] and thrust [N]."""

    max_feed: FeedRate
    max_plunge: FeedRate | None = None
    acceleration: Acceleration | None = None
    thrust: Force | None = None


class Mode(Record):
    """One mode of vibration at the collet nose: frequency [Hz], damping ratio, stiffness [N/m]."""

    axis: Annotated[Axis, Word(get_args(Axis))]
    frequency: Frequency
    damping: Damping
    stiffness: Stiffness


class ToolTip(Record):
    """The machine as felt at the collet nose: stiffness [N/m] and modes of vibration."""

    stiffness: Stiffness | None = None
    modes: tuple[Mode, ...] | None = None


class Machine(Record):
    """A machine as its file describes it, in SI units."""

    name: Name
    spindle: Spindle
    axes: Axes
    tool_tip: ToolTip = ToolTip()

    @classmethod
    def relations(cls, values: Values, present: Set[str]) -> Iterator[Fault]:
        """Yield speeds that stand in the wrong order and an overload that is none."""
        del present
        if above(values, "spindle.min_speed", "spindle.max_speed"):
            yield "spindle.min_speed", "write a speed not above max_speed"
        if above(values, "spindle.rated_speed", "spindle.max_speed"):
            yield "spindle.rated_speed", "write a speed not above max_speed"
        if above(values, "spindle.rated_power", "spindle.overload.power"):
            yield "spindle.overload.power", "write a power not below rated_power, or leave overload out"
        for key in ("spindle.speeds", "spindle.torque_curve", "tool_tip.modes"):
            if values.get(key) == ():
                yield key, "write at least one, or leave it out"
        yield from _dial(values)
        yield from _curve(values)


def _dial(values: Values) -> Iterator[Fault]:
    low, high = values.get("spindle.min_speed"), values.get("spindle.max_speed")
    for place, speed in enumerate(values.get("spindle.speeds", ()), start=1):
        if (low is not None and speed < low) or (high is not None and speed > high):
            yield f"spindle.speeds[{place}]", "write a speed from min_speed to max_speed"


def _curve(values: Values) -> Iterator[Fault]:
    for place, (before, after) in enumerate(pairwise(values.get("spindle.torque_curve", ())), start=2):
        if after[0] <= before[0]:
            yield f"spindle.torque_curve[{place}]", "write the points in order of rising speed"
