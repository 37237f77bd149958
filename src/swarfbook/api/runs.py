"""`swarfbook.log` writes a run down, and `swarfbook.fit` says what measured power has taught."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any, Literal

from swarfbook.api.given import Measured, Share, as_arguments, told
from swarfbook.api.result import Result, cell, frame
from swarfbook.decisions.fit import Fit, fit_json
from swarfbook.decisions.fit import fit as fit_book
from swarfbook.decisions.running import log_run
from swarfbook.decisions.telling import report_told

if TYPE_CHECKING:
    import pandas as pd

    from swarfbook.book import Book

DIMENSIONS = (
    dict.fromkeys(("power", "power_peak", "idle_power"), "power")
    | dict.fromkeys(("stock_temperature", "ambient"), "temperature")
    | dict.fromkeys(("feed_override", "speed_override"), "ratio")
)


def log(
    book: Book,
    recipe: str,
    *,
    minutes: float | str,
    outcome: str,
    feed_override: Share | None = None,
    speed_override: Share | None = None,
    cutter: str | None = None,
    power: Measured | None = None,
    power_peak: Measured | None = None,
    idle_power: Measured | None = None,
    side: Literal["input", "shaft"] | None = None,
    stock_temperature: Measured | None = None,
    ambient: Measured | None = None,
    note: str | None = None,
    at: datetime | None = None,
) -> dict[str, Any]:
    """Write down a run of a recipe: only clean ones raise a high-water mark.

    Args:
        book: the book.
        recipe: id of the recipe.
        minutes: time in the cut; a text may have another unit, "1.5 h".
        outcome: how it went: "clean", "chatter", "stalled" ...
        feed_override: what the feed control stood at; else 100 %.
        speed_override: what the speed control stood at; else 100 %.
        cutter: which one of its kind.
        power: mean power while cutting, as a meter showed it.
        power_peak: highest power while cutting.
        idle_power: power at that speed without a cut.
        side: where power was read: before the motor (`input`, so if not told) or at the `shaft`.
        stock_temperature: of the stock at the end.
        ambient: of the room.
        note: anything worth knowing next time.
        at: when it ended; else now.

    Returns:
        The line as it stands in the log.

    Raises:
        SwarfbookError: an unknown id, something that does not read, or the disk refuses.
        TypeError: a number without the unit it needs.
    """
    given = {
        "feed_override": feed_override, "speed_override": speed_override, "cutter": cutter, "power": power,
        "power_peak": power_peak, "idle_power": idle_power, "side": side,
        "stock_temperature": stock_temperature, "ambient": ambient, "note": note,
    }  # fmt: skip
    with as_arguments():
        report = report_told(outcome, str(minutes), told(given, DIMENSIONS), None)
        moment = (at or datetime.now()).astimezone()
        return dict(log_run(book, recipe, report, at=moment).line)


class FitResult(Result):
    """What measured power has taught of materials, cutters and machines."""

    def __init__(self, found: Fit, book: Book) -> None:
        self._found, self._book = found, book

    def to_dict(self) -> dict[str, Any]:
        """Give the object that `swarfbook fit --json` prints."""
        return fit_json(self._found)

    def table(self) -> pd.DataFrame:
        """Give the parts as a pandas table: measured power over the tables', with its 90 % band."""
        return frame(self._parts(), index="part")

    def runs(self) -> pd.DataFrame:
        """Give the runs beside the fit as a pandas table; powers in W."""
        return frame(self.to_dict()["runs"], index="id")

    def _parts(self) -> list[dict[str, Any]]:
        parts: list[dict[str, Any]] = self.to_dict()["parts"]
        return parts

    def _page(self, units: str | None, *, plain: bool) -> str:
        del units
        from swarfbook.cli.text import page_width  # noqa: PLC0415 - not for a loop
        from swarfbook.reports.fit_page import fit_lines  # noqa: PLC0415

        return "\n".join(fit_lines(self._found, width=page_width(), plain=plain))

    def _in_brief(self) -> str:
        return f"{len(self._found.posterior.parts)} parts from {len(self._found.runs)} runs"

    def _cells(self, units: str) -> tuple[Sequence[str], Iterable[Sequence[str]]]:
        del units
        names = ("part", "factor", "low", "high", "runs")
        return names, ([cell(one[name]) for name in names] for one in self._parts())


def fit(book: Book) -> FitResult:
    """Say what measured power has taught; checks use it by themselves.

    Args:
        book: the book.
    """
    return FitResult(fit_book(book), book)
