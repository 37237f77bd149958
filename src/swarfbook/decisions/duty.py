"""What a spindle's overload rating allows a recipe above the continuous one: for how long, and how often.

The limits stay on the continuous rating (S1). These numbers only say what an overload rating of IEC 60034-1
and the motor's thermal time constant leave beyond it; without such a rating nothing is allowed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

import numpy as np

from swarfbook.decisions.case import Case
from swarfbook.decisions.numbers import Numbers
from swarfbook.physics import spindle

FORM = re.compile(r"(S\d+) ?-?(\d+)? ?(?:min|%)?\Z", re.ASCII)
CYCLE = spindle.DUTY_CYCLE
NUDGE = 1.01


class Duty(NamedTuple):
    """A duty of IEC 60034-1 as a plate gives it.

    Attributes:
        kind: `S2`, `S3`, `S6` and so on.
        time: of one load from cold [s]; S2 only.
        share: loaded share of the cycle; S3 and S6 only.
    """

    kind: str
    time: float | None = None
    share: float | None = None


class Overload(NamedTuple):
    """A recipe above the continuous rating, against the spindle's overload rating.

    Attributes:
        duty: the overload's duty as the machine's file has it.
        kind: its type, as `S6`.
        ratio: power asked for over the continuous one at this speed.
        rating: overload rating over the continuous one.
        time: a motor at room temperature bears it so long [s]; None beyond the rating or for a duty
            that is not worked out.
        share: share of each cycle it may be asked for after that; None likewise, and for S2.
        causes: log standard deviations of time and share, by number and by cause.
    """

    duty: str
    kind: str
    ratio: float
    rating: float
    time: float | None = None
    share: float | None = None
    causes: Mapping[str, Mapping[str, float]] = MappingProxyType({})

    @property
    def beyond(self) -> bool:
        """Whether it is above the overload rating as well."""
        return self.ratio > self.rating


def read_duty(text: str) -> Duty:
    """Take a duty apart: `S2 30 min`, `S3 25%`, `S6-40 %`; the other types only have a kind."""
    found = FORM.match(text)
    kind, number = found.groups() if found else (text, None)
    if number is None or kind not in ("S2", "S3", "S6"):
        return Duty(kind)
    return Duty(kind, time=60.0 * float(number)) if kind == "S2" else Duty(kind, share=float(number) / 100)


def overload(case: Case, numbers: Numbers) -> Overload | None:
    """Say what an overload rating allows; None up to the continuous rating, or where no overload is rated."""
    rating, plate = case.optional("overload_ratio"), case.machine.spindle.overload
    ratio = float(numbers.cutting_torque_mean / numbers.torque_available)
    if rating is None or plate is None or not ratio > 1:
        return None
    duty = read_duty(plate.duty)
    known = (duty.time or duty.share) is not None
    if ratio > rating or not known:
        return Overload(plate.duty, duty.kind, ratio, rating)
    tau, idle = case["thermal_time"], case["idle_loss_share"]
    time, share = _borne(duty, ratio, rating, tau, idle)
    later = _borne(duty, ratio, rating, tau * NUDGE, idle)
    sd = case.inputs["thermal_time"].sd
    causes = {
        "time": {"thermal_time": sd * _power(time, later[0])},
        "share": {"thermal_time": sd * _power(share or 1.0, later[1] or 1.0)},
    }
    return Overload(plate.duty, duty.kind, ratio, rating, time, share, causes)


def _borne(duty: Duty, ratio: float, rating: float, tau: float, idle: float) -> tuple[float, float | None]:
    """Time from cold [s] and share of a cycle."""
    # Between loads of an S3 duty the motor is switched off and makes no heat at all.
    resting = 0.0 if duty.kind == "S3" else idle
    heat = spindle.heat_between_ratings(
        power_ratio=ratio,
        overload_ratio=rating,
        overload_heat=_plate_heat(duty, tau, resting),
        idle_loss_share=idle,
    )
    root = float(np.sqrt(heat))
    time = float(spindle.overload_duration(overload=root, thermal_time=tau))
    if duty.kind == "S2":
        return time, None
    share = spindle.loaded_share(overload=root, cycle=CYCLE, thermal_time=tau, idle_loss_share=resting)
    return time, float(share)


def _plate_heat(duty: Duty, tau: float, idle: float) -> float:
    """Heat at the overload rating, over the one at the continuous rating, that makes its duty come out."""
    if duty.time is not None:
        ratio = spindle.short_time_overload(duration=duty.time, thermal_time=tau)
    else:
        loaded = (duty.share or 1.0) * CYCLE
        ratio = spindle.unloaded_overload(
            loaded=loaded, resting=CYCLE - loaded, thermal_time=tau, idle_loss_share=idle
        )
    return float(ratio) ** 2


def _power(value: float, later: float) -> float:
    """Power of the time constant that a value goes with, from its change by `NUDGE`."""
    return float(np.log(later / value) / np.log(NUDGE))
