"""A meter's file as it goes with a run: read, its cuts found, and drawn."""

from __future__ import annotations

from pathlib import Path

from swarfbook import quantities
from swarfbook.book.reading import read_bytes
from swarfbook.decisions.meter import cutting
from swarfbook.decisions.running import Metering
from swarfbook.decisions.trace import MOST_BYTES, read_trace
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.reports.meter_page import meter_page


def read_meter(name: str, idle: str | None) -> Metering:
    """Read a meter's file and find the cuts in it; raises SwarfbookError with what is wrong with it."""
    data = read_bytes(Path(name), where=name, most=MOST_BYTES)
    trace = read_trace(data, where=name)
    found = cutting(trace, idle=None if idle is None else _watts("--idle-power", idle))
    return Metering(data, "\n".join(meter_page(trace, found, width=100)) + "\n", found)


def _watts(option: str, text: str) -> float:
    try:
        return quantities.parse(text, "power")
    except quantities.QuantityError as error:
        raise SwarfbookError(Problem(option, "", text, str(error))) from None
