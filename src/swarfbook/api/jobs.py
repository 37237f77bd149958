"""`swarfbook.job`: a whole job judged."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from swarfbook.api.result import Result, cell, frame
from swarfbook.decisions.jobs.as_json import job_json
from swarfbook.decisions.jobs.judging import JobReport, judge_job
from swarfbook.decisions.jobs.loading import in_units, load_job

if TYPE_CHECKING:
    import pandas as pd

    from swarfbook.book import Book

COLUMNS = ("recipe", "feature", "minutes", "verdict", "tightest", "tightest_use", "stock_temperature")


class JobResult(Result):
    """What is known of a job before the first chip."""

    def __init__(self, report: JobReport, book: Book) -> None:
        self._report, self._book = report, book

    @property
    def verdict(self) -> str:
        """`holds`, `tight`, `over`, or `cannot` where a feature or the stock rules it out."""
        return self._report.verdict

    @property
    def minutes(self) -> float:
        """Time of all pieces, handling in it [min]."""
        return self._report.time.total / 60

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to mind, a line each."""
        return self._report.cautions

    def reply(self, *, units: str | None = None) -> str:
        """Write the points for the customer, in `metric` or `imperial` units."""
        from swarfbook.reports.reply import reply  # noqa: PLC0415 - asked for by few

        report = self._report
        return reply(report.case.job, report.features, report.stock, system=self._system(units))

    def to_dict(self) -> dict[str, Any]:
        """Give the object that `swarfbook job --json` prints."""
        return job_json(self._report)

    def table(self) -> pd.DataFrame:
        """Give the steps as a pandas table; minutes of one piece, temperatures in degrees Celsius."""
        return frame(
            [{"step": one["step"], **_columns(one)} for one in self.to_dict()["steps"]], index="step"
        )

    def _system(self, units: str | None) -> str:
        return units or self._book.settings.units or "metric"

    def _page(self, units: str | None, *, plain: bool) -> str:
        from swarfbook.cli.text import page_width  # noqa: PLC0415 - not for a loop
        from swarfbook.reports.job_page import job_lines  # noqa: PLC0415

        system = self._system(units)
        report = self._report if units is None else judge_job(in_units(self._report.case, system))
        return "\n".join(job_lines(report, width=page_width(), system=system, plain=plain))

    def _in_brief(self) -> str:
        return f"{self._report.case.job_id}: {self.verdict}, {self.minutes:.0f} min"

    def _cells(self, units: str) -> tuple[Sequence[str], Iterable[Sequence[str]]]:
        del units
        return ("step", *COLUMNS), (
            (str(one["step"]), *map(cell, _columns(one).values())) for one in self.to_dict()["steps"]
        )


def _columns(step: dict[str, Any]) -> dict[str, Any]:
    return {name: step[name] for name in COLUMNS}


def job(book: Book, job_id: str) -> JobResult:
    """Judge a whole job: can it be made, will it hold, how warm, how long, what does it cost.

    Args:
        book: the book.
        job_id: id of the job.

    Raises:
        SwarfbookError: an unknown id, a record that does not read, or steps that cannot be cut as they stand.

    Example:
        >>> import swarfbook
        >>> swarfbook.job(swarfbook.Book.demo(), "mast-clamps-cool").verdict
        'holds'
    """
    units = book.settings.units or "metric"
    return JobResult(judge_job(in_units(load_job(book, job_id), units)), book)
