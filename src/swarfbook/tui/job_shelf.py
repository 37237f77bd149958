"""The jobs of a book as rows of a list: read, judged, found by words, ordered. No widget."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from swarfbook.book import Book
from swarfbook.book.glance import glance
from swarfbook.book.ids import file_name
from swarfbook.book.mentions import named_anew
from swarfbook.book.reading import Stamp, stamp
from swarfbook.decisions.titles import said, title
from swarfbook.errors import SwarfbookError
from swarfbook.reports.listing import findable
from swarfbook.reports.trouble_page import trouble_text
from swarfbook.tui.finding import Finder

if TYPE_CHECKING:
    from swarfbook.decisions.jobs.judging import JobReport
    from swarfbook.tui.desk import Desk

NOT_READ = "cannot be read"
ORDERS = ("worst first", "in order of name")
WORST = ("not judged", "cannot", "over", "tight", "holds")
"""Verdicts of a job, the worst first; one that nobody can judge stands before them all."""
VERDICT_STYLES = {"over": "over", "cannot": "over", "not judged": "strong", "tight": "strong"}

Stamps = Mapping[Path, Stamp | None]
"""The files a job rests on, as they stand."""


@dataclass(frozen=True, slots=True)
class JobRow:
    """One job in the list.

    Attributes:
        id: its id.
        name: its name.
        quantity: parts ordered.
        machine, material: what it is cut with and of, by name.
        words: everything the find line looks in, as `findable` gives it.
        trouble: why it cannot be read; empty where it can.
    """

    id: str
    name: str
    quantity: int = 0
    machine: str = ""
    material: str = ""
    words: str = ""
    trouble: str = ""

    @property
    def group(self) -> str:
        """Those that cannot be read stand under a heading of their own."""
        return NOT_READ if self.trouble else ""


@dataclass(frozen=True, slots=True)
class JobTold:
    """What the list says of a job that was judged.

    Attributes:
        verdict: one of `WORST`.
        tightest: the limit that gives first, as it is said, or what else rules the job out.
        use: the limit's use; None for what is no limit.
        trouble: why the job is not judged; empty where it is.
    """

    verdict: str
    tightest: str = ""
    use: float | None = None
    trouble: str = ""


@dataclass(slots=True)
class JobShelf(Finder[JobRow]):
    """The list of jobs as it stands.

    Attributes:
        told: what was judged, by id.
        order: one of `ORDERS`.
    """

    told: dict[str, JobTold] = field(default_factory=dict)
    order: str = ORDERS[0]
    _rested: dict[str, object] = field(default_factory=dict)

    def take(self, rows: Iterable[JobRow], chosen: str | None = None) -> None:
        """Put all rows in, in order; what is chosen stays chosen unless another is named."""
        rows = sorted(rows, key=lambda row: (row.name.lower(), row.id))
        if self.order == ORDERS[0]:
            rows.sort(key=self._badness)
        rows.sort(key=lambda row: bool(row.trouble))
        self.fill(rows, chosen or self.chosen)

    def _badness(self, row: JobRow) -> tuple[int, float]:
        told = self.told.get(row.id)
        return (len(WORST), 0.0) if told is None else (WORST.index(told.verdict), -(told.use or 0.0))

    def judge(self, job: str, told: JobTold, rests_on: object) -> None:
        """Put in what was worked out of a job, and what that rests on."""
        self.told[job] = told
        self._rested[job] = rests_on
        self.take(self.rows)

    def knows(self, job: str, rests_on: object) -> bool:
        """Say whether a job was judged as all that it rests on stands."""
        return job in self.told and self._rested.get(job) == rests_on

    def next_order(self) -> None:
        """Take the other order."""
        self.order = ORDERS[(ORDERS.index(self.order) + 1) % len(ORDERS)]
        self.take(self.rows)

    def found_by(self, row: JobRow) -> str:
        """Give the words a row is found by, its verdict among them."""
        told = self.told.get(row.id)
        return row.words if told is None else f"{row.words} {told.verdict}"


# Reading and judging: work for beside the keys


def read_rows(desk: Desk) -> Iterator[JobRow]:
    """Read every job; raises SwarfbookError where the folder cannot be looked into."""
    for job in desk.book.ids("job"):
        yield _row(desk, job)


def _row(desk: Desk, job: str) -> JobRow:
    try:
        record = desk.book.get("job", job).record
    except SwarfbookError as error:
        first = error.problems[0]
        trouble = ": ".join(filter(None, (first.key, trouble_text(first))))
        return JobRow(job, job, words=findable(f"{job} {error}"), trouble=trouble)
    machine, material = desk.name("machine", record.machine), desk.name("material", record.material)
    recipes = (step.recipe for step in record.steps)
    words = findable(" ".join((job, record.name, machine, material, *recipes)))
    return JobRow(job, record.name, record.quantity, machine, material, words)


def judged(desk: Desk, job: str) -> JobTold:
    """Judge a job for the list."""
    from swarfbook.decisions.jobs.judging import judge_job
    from swarfbook.decisions.jobs.loading import load_job

    try:
        report = judge_job(load_job(desk.book, job))
    except SwarfbookError as error:
        first = error.problems[0]
        return JobTold("not judged", trouble=": ".join(filter(None, (first.key, trouble_text(first)))))
    other = _ruled_out_by(report)
    limit = report.worst.tightest
    return JobTold(report.verdict, other or title(limit.name), None if other else limit.use)


def _ruled_out_by(report: JobReport) -> str:
    """Say what makes a job over or cannot where no step's limit does; empty where one does."""
    if report.verdict == "cannot":
        cannot = [
            said(judged.feature.id) for judged in report.features.values() if judged.verdict == "cannot"
        ]
        return cannot[0] if report.stock.fits else "stock too small"
    short = any(one.verdict == "short" for one in report.relocations)
    return "second side" if short and report.worst.verdict in ("holds", "tight") else ""


def rests_on(book: Book, job: str) -> Stamps:
    """Give the files that a job's judgement rests on: itself, what it names, and every cutter."""
    named = [("job", job), *_named(book, "job", job)]
    for kind, record in list(named):
        named += _named(book, "recipe", record) if kind == "recipe" else []
    named += [("tool", tool) for tool in book.ids("tool")]
    paths = dict.fromkeys(book.root / file_name(kind, record) for kind, record in named)
    return {path: stamp(path) for path in paths}


def _named(book: Book, user: str, record: str) -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []

    def note(kind: str, named: object) -> None:
        if isinstance(named, str):
            found.append((kind, named))

    try:
        named_anew(user, glance(book, user, record), note)
    except SwarfbookError:
        return []
    return found
