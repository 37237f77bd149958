"""What a person says of a run, read from text as it is typed in a terminal or on screen.

Messages name what will not do as the command line's option does, `--feed-override`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any

from swarfbook import quantities
from swarfbook.errors import Problem, SwarfbookError, nearest
from swarfbook.records import OUTCOMES

if TYPE_CHECKING:
    from swarfbook.decisions.running import Metering, Report


def read_minutes(text: str) -> float:
    """Read a time in the cut: `42` is minutes, `1.5 h` is not; raises SwarfbookError."""
    try:
        minutes = float(text) if _bare(text) else quantities.parse(text, "time") / 60
    except quantities.QuantityError as error:
        raise SwarfbookError(Problem("--minutes", "", text, str(error))) from None
    if not 0 <= minutes < math.inf:
        raise SwarfbookError(Problem("--minutes", "", text, "write minutes, or a time with its unit: 1.5 h"))
    return minutes


def _bare(text: str) -> bool:
    return text.isascii() and text.replace(".", "", 1).strip().isdigit()


def read_outcome(text: str) -> str:
    """Read an outcome's word; raises SwarfbookError with the nearest ones."""
    word = text.strip().lower().replace(" ", "-")
    if word in OUTCOMES:
        return word
    close = nearest(word, OUTCOMES)
    asked = f"did you mean {', '.join(close)}? " if close else ""
    raise SwarfbookError(Problem("--outcome", "", text, f"{asked}the words are {', '.join(OUTCOMES)}"))


def read_share(option: str, text: str) -> float:
    """Read an override: `80%` or `0.8`; raises SwarfbookError."""
    try:
        return quantities.parse(text, "ratio")
    except quantities.QuantityError as error:
        raise SwarfbookError(Problem(option, "", text, str(error))) from None


def read_moment(option: str, text: str) -> datetime:
    """Read a moment in ISO 8601, local time where no offset is given; raises SwarfbookError."""
    try:
        return datetime.fromisoformat(text).astimezone()
    except (ValueError, OSError, OverflowError):
        raise SwarfbookError(Problem(option, "", text, "write a time like 2026-11-02T14:30")) from None


def report_told(
    outcome: str, minutes: str | None, told: Mapping[str, str | None], meter: Metering | None
) -> Report:
    """Make a report of what was typed.

    Args:
        outcome: the outcome's word.
        minutes: time in the cut; None takes the meter's.
        told: the rest, by the names of `Report`; None where nothing was said.
        meter: a meter's file that was read; None without one.

    Raises:
        SwarfbookError: something that does not read, or that the meter's file has as well.
    """
    from swarfbook.decisions.running import Report  # noqa: PLC0415 - the physics behind it takes a while to load

    word = read_outcome(outcome)
    values = report_values(told if meter is None else _with_meter(told, meter))
    return Report(minutes=_minutes(minutes, meter), outcome=word, meter=meter, **values)


def _minutes(text: str | None, meter: Metering | None) -> float:
    if text is not None:
        return read_minutes(text)
    if meter is None:
        raise SwarfbookError(Problem("--minutes", "", "", "missing; write the time in the cut: --minutes 42"))
    return meter.found.time / 60


def _with_meter(told: Mapping[str, str | None], meter: Metering) -> dict[str, str | None]:
    """Put what was found in a meter's file in the place of readings; raises where they were typed as well."""
    for name in ("power", "power_peak"):
        if typed := told.get(name):
            remedy = "--meter finds that in its file; give one of them"
            raise SwarfbookError(Problem(f"--{name.replace('_', '-')}", "", typed, remedy))
    found = meter.found
    readings = {"power": found.mean, "power_peak": found.peak, "idle_power": found.idle}
    return {**told, **{name: _in_watts(power) for name, power in readings.items()}}


def _in_watts(power: float) -> str:
    return quantities.write(float(f"{power:.6g}"), "W")


def report_values(told: Mapping[str, str | None]) -> dict[str, Any]:
    """Give what was said of a run as `running.Report` takes it; raises SwarfbookError."""
    shares = {
        name: read_share(f"--{name.replace('_', '-')}", typed)
        for name in ("feed_override", "speed_override")
        if (typed := told.get(name)) is not None
    }
    return {name: value for name, value in told.items() if value is not None} | shares
