"""What a measured power says of a cut: the power at the shaft behind it, over what was predicted."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, Protocol

from swarfbook.decisions.case import Case
from swarfbook.decisions.inputs import agreed, default, spread
from swarfbook.decisions.learning import outlier_weight
from swarfbook.decisions.numbers import evaluate, nominal_knobs
from swarfbook.frozen import frozen
from swarfbook.physics import spindle
from swarfbook.records import Reading, Run

OTHERWISE = frozenset(
    (
        *("rubbing", "chip-welding", "recutting", "chips-packed", "melted", "scorched"),
        *("stalled", "lost-steps", "cutter-worn", "cutter-broke", "work-moved"),
    )
)
"""Outcomes of a cut that was another than the model's: no sharp edge, another chip, or other speeds.

Its power is not that of the material cut by a sharp edge, and teaches nothing of it.
"""
LEAST, MOST = 1e-6, 1e7  # W, and far from what a weight may be: a damaged log must not teach


class Readings(Protocol):
    """What of a run its measured power takes: the readings [W]; `records.Run` is one."""

    @property
    def power(self) -> Reading | None:
        """Mean while cutting."""

    @property
    def idle_power(self) -> Reading | None:
        """Without a cut."""


@frozen
class Metered:
    """A power reading beside its prediction.

    Attributes:
        measured: cutting power at the shaft behind the reading [W].
        predicted: cutting power by the law as it is tabulated [W].
        weight: what the run counts for, by the distance of the two before anything was learnt [1].
    """

    measured: float
    predicted: float
    weight: float

    @property
    def log_ratio(self) -> float:
        """Log of measured over predicted [1]."""
        return math.log(self.measured / self.predicted)


def read_metered(model: Mapping[str, Any]) -> Metered | None:
    """Read back what `asdict` made of one; None where a number is missing or no power of any spindle."""
    numbers = [model.get(name) for name in ("measured", "predicted", "weight")]
    good = [float(one) for one in numbers if isinstance(one, int | float) and LEAST < one < MOST]
    return Metered(*good) if len(good) == len(numbers) else None


def metered(case: Case, predicted: float, run: Readings) -> Metered | None:
    """Set a run's measured power beside the prediction; None where it teaches nothing.

    Args:
        case: the cut, by the law as it is tabulated.
        predicted: its cutting power [W].
        run: the run.

    Returns:
        None without a reading, or where the net power is under the stated floor (`defaults.csv`).
    """
    if run.power is None or not predicted > 0:
        return None
    measured = _at_the_shaft(case, run)
    if measured < (default("net-power-floor").value or 0.0):
        return None
    sd = math.hypot(case.choice.sd, readings_sd(case.inputs["efficiency"].sd))
    limit = agreed(None, "outlier-limit").value or math.inf
    weight = outlier_weight(math.log(measured / predicted), prior_sd=sd, limit=limit)
    return Metered(measured, predicted, weight)


@frozen
class Doubt:
    """A power reading so far from the model that it may have been misread.

    Attributes:
        reading: as it was read [W].
        expected: by the law as it is tabulated, on the same side of the motor [W].
        side: of the motor, `input` or `shaft`.
    """

    reading: float
    expected: float
    side: str

    @property
    def ratio(self) -> float:
        """The reading over what is expected [1]."""
        return self.reading / self.expected


def power_doubt(case: Case, run: Run) -> Doubt | None:
    """Tell of a power reading that lies further from the model than the outlier limit (`defaults.csv`).

    Args:
        case: the cut, by the law as it is tabulated.
        run: the run; after an outcome that makes it another cut than the model's nothing is expected.
    """
    if run.power is None or run.outcome in OTHERWISE:
        return None
    numbers = evaluate(case, nominal_knobs(case))
    predicted, floor = float(numbers.cutting_power), default("net-power-floor").value or 0.0
    sd = math.hypot(case.choice.sd, readings_sd(case.inputs["efficiency"].sd))
    reach = math.exp((agreed(None, "outlier-limit").value or math.inf) * sd)
    # Nearer than the floor the two cannot be told apart, whatever their ratio.
    net = _at_the_shaft(case, run)
    if predicted / reach <= net <= predicted * reach or abs(net - predicted) < floor:
        return None
    shaft = run.power.side == "shaft"
    idle = run.idle_power.si if run.idle_power else 0.0
    expected = predicted + idle if shaft else float(numbers.spindle_input_power)
    return Doubt(run.power.si, expected, "shaft" if shaft else "input")


def _at_the_shaft(case: Case, run: Readings) -> float:
    idle = run.idle_power.si if run.idle_power else None
    reading = run.power.si if run.power else 0.0
    if run.power is not None and run.power.side == "shaft":
        return reading - (idle or 0.0)
    power = spindle.cutting_power_of_input(
        input_power=reading,
        spindle_speed=case["spindle_speed"],
        rated_shaft_power=case["rated_shaft_power"],
        rated_torque=case["rated_torque"],
        efficiency=case["efficiency"],
        idle_power=case.optional("idle_power") if idle is None else idle,
    )
    return float(power)


def readings_sd(efficiency_sd: float) -> float:
    """Log standard deviation of a machine's readings before anything is learnt: meter and efficiency."""
    return math.hypot(spread("learning-meter"), efficiency_sd)
