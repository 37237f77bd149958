"""Options by which a run is told, shared by `log` and `correct`."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from swarfbook import quantities
from swarfbook.errors import Problem, SwarfbookError, did_you_mean
from swarfbook.records import OUTCOMES

if TYPE_CHECKING:
    from swarfbook.decisions.running import Metering

F = TypeVar("F", bound=Callable[..., Any])

OPTIONS = (
    click.option("--feed-override", metavar="SHARE", help="What the feed control stood at: 80%. Else 100%."),
    click.option("--speed-override", metavar="SHARE", help="What the speed control stood at. Else 100%."),
    click.option("--cutter", metavar="TEXT", help='Which one of its kind: "no. 3, reground".'),
    click.option("--power", metavar="POWER", help="Mean power while cutting, as a meter showed it: 310 W."),
    click.option("--power-peak", metavar="POWER", help="Highest power while cutting."),
    click.option("--idle-power", metavar="POWER", help="Power at that speed without a cut."),
    click.option(
        "--side",
        type=click.Choice(["input", "shaft"]),
        help="Power was read before the motor (input, a plug-in meter; so if not told) or at the shaft.",
    ),
    click.option("--stock-temperature", metavar="TEMP", help="Of the stock at the end: 41 degC."),
    click.option("--ambient", metavar="TEMP", help="Of the room: 19 degC."),
    click.option("--note", metavar="TEXT", help="Anything worth knowing next time."),
)


def run_options(command: F) -> F:
    """Give a command the options of what may be said of a run."""
    for option in reversed(OPTIONS):
        command = option(command)
    return command


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
    raise SwarfbookError(Problem("--outcome", "", text, f"{did_you_mean(word, OUTCOMES)} {_all_outcomes()}"))


def _all_outcomes() -> str:
    return f"The words are {', '.join(OUTCOMES)}."


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


def read_meter(name: str, idle: str | None) -> Metering:
    """Read a meter's file and find the cuts in it; raises SwarfbookError with what is wrong with it."""
    from swarfbook.book.reading import read_bytes
    from swarfbook.decisions.meter import cutting
    from swarfbook.decisions.running import Metering
    from swarfbook.decisions.trace import MOST_BYTES, read_trace
    from swarfbook.reports.meter_page import meter_page

    data = read_bytes(Path(name), where=name, most=MOST_BYTES)
    trace = read_trace(data, where=name)
    found = cutting(trace, idle=None if idle is None else _watts("--idle-power", idle))
    return Metering(data, "\n".join(meter_page(trace, found, width=100)) + "\n", found)


def _watts(option: str, text: str) -> float:
    try:
        return quantities.parse(text, "power")
    except quantities.QuantityError as error:
        raise SwarfbookError(Problem(option, "", text, str(error))) from None


def with_meter(told: Mapping[str, str | None], meter: Metering) -> dict[str, str | None]:
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
