"""The state of a job's page: what was found out of it, the chosen row, how far was read. No widget."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from swarfbook.book import Book
from swarfbook.book.reading import stamp
from swarfbook.decisions.jobs.judging import JobReport, judge_job
from swarfbook.decisions.jobs.loading import load_job
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.reports.job_page import job_blocks, job_lines
from swarfbook.reports.reply import reply
from swarfbook.tui.desk import Desk
from swarfbook.tui.finding import Finder
from swarfbook.tui.job_shelf import Stamps, rests_on
from swarfbook.tui.job_view import (
    Blocks,
    Part,
    block_parts,
    letter_part,
    problem_parts,
    step_parts,
    warmest,
)

REPLY = "Reply"


@dataclass(frozen=True, slots=True)
class Seen:
    """What was found out of a job.

    Attributes:
        name: its name; its id where it does not read.
        stamps: the files it rests on, as they stood.
        system: units it is told in.
        report: the job, judged; None where it cannot be.
        problems: why not.
        blocks: what is told below the steps, by the columns it was written for.
    """

    name: str
    stamps: Stamps
    system: str
    report: JobReport | None = None
    problems: Sequence[Problem] = ()
    blocks: dict[int, Blocks] = field(default_factory=dict)

    def blocks_at(self, width: int) -> Blocks:
        """Give what is told below the steps; worked out anew for another width."""
        if width not in self.blocks and self.report is not None:
            self.blocks[width] = job_blocks(self.report, width=width, system=self.system)
        return self.blocks.get(width, ())

    @property
    def letter(self) -> str:
        """The reply to the customer; empty where the job is not judged."""
        report = self.report
        if report is None:
            return ""
        return reply(report.case.job, report.features, report.stock, system=self.system)

    def page(self, width: int) -> str:
        """Write all that is told, as the command line does."""
        report = self.report
        lines = (
            list(map(str, self.problems))
            if report is None
            else job_lines(report, width=width, system=self.system)
        )
        return "\n".join([*lines, ""])


def look_at(book: Book, job: str, width: int, system: str, step: Callable[[], None]) -> Seen:
    """Judge a job and write what is told of it: work for beside the keys.

    Args:
        book: the book.
        job: its id.
        width: columns to write for.
        system: units to show.
        step: called between the parts of the work; raises Stopped to end it.
    """
    stamps = rests_on(book, job)
    name = job
    try:
        name = book.get("job", job).record.name
        case = load_job(book, job)
    except SwarfbookError as error:
        return Seen(name, stamps, system, problems=error.problems)
    step()
    seen = Seen(name, stamps, system, judge_job(case))
    step()
    seen.blocks_at(width)
    return seen


class JobSheet:
    """What the page of a job shows.

    Attributes:
        desk: the book and what is open.
        job: the job's id.
        seen: what was found out of it; None while nothing was.
        finder: its rows, and which is chosen.
        top: the first line shown of what is said of the chosen row.
        message: what the last command has to say, until the next key.
    """

    def __init__(self, desk: Desk, job: str) -> None:
        self.desk = desk
        self.finder: Finder[Part] = Finder()
        self.message = ""
        self.turn_to(job)

    def turn_to(self, job: str) -> None:
        """Show another job, of which nothing is known yet."""
        self.job = job
        self.seen: Seen | None = None
        self.top = 0
        self.finder.fill([], None)

    def take(self, seen: Seen, width: int) -> None:
        """Take what was found out; the chosen row stays chosen."""
        self.seen = seen
        self.finder.fill(self._parts(seen, width), self.finder.chosen)

    def _parts(self, seen: Seen, width: int) -> list[Part]:
        if seen.report is None:
            return list(problem_parts(seen.problems))
        unsaved = frozenset(draft.recipe_id for draft in self.desk.unsaved())
        return [
            *step_parts(seen.report, seen.system, unsaved),
            *block_parts(seen.blocks_at(width), seen.blocks_at, warmest=warmest(seen.report, seen.system)),
            letter_part(REPLY, seen.letter),
        ]

    @property
    def report(self) -> JobReport | None:
        """The job, judged; None where it is not."""
        return self.seen.report if self.seen else None

    @property
    def part(self) -> Part | None:
        """The chosen row."""
        return self.finder.hits[self.finder.place] if self.finder.hits else None

    @property
    def changed(self) -> bool:
        """Whether a file that the job rests on is no longer as it was."""
        stamps: Mapping[Path, object] = self.seen.stamps if self.seen else {}
        return any(stamp(path) != before for path, before in stamps.items())
