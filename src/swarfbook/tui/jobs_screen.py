"""The jobs of the book, over the page: will they hold, and what is tightest; one of them opens."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from textual import on, work
from textual.message import Message
from textual.worker import get_current_worker

from swarfbook.errors import SwarfbookError
from swarfbook.reports.breaking import wrap
from swarfbook.reports.words import counted, cut_to
from swarfbook.tui.beginning import Beginning
from swarfbook.tui.beside import Pace, Progress
from swarfbook.tui.choose_screen import find_line
from swarfbook.tui.commands import footer
from swarfbook.tui.desk import Desk
from swarfbook.tui.finding import Finder
from swarfbook.tui.job_shelf import VERDICT_STYLES, JobRow, JobTold, judged, read_rows, rests_on
from swarfbook.tui.lines import Line, Span
from swarfbook.tui.rows_screen import RowsScreen

WIDE = 100  # columns from which quantity, material and machine stand beside the name
VERDICT = 31  # columns of what is tightest, its use and the verdict


class JobsRead(Message):
    """All jobs were read.

    Attributes:
        rows: a row a job.
        trouble: why they could not be read; empty where they were.
    """

    def __init__(self, rows: Sequence[JobRow], trouble: str = "") -> None:
        super().__init__()
        self.rows = rows
        self.trouble = trouble


class JobJudged(Message):
    """A job was judged.

    Attributes:
        job: its id.
        told: what came of it; None while it is the next to be judged.
        rests_on: what that rests on.
        progress: how far it is; empty for what is done soon.
    """

    def __init__(self, job: str, told: JobTold | None, rests_on: object, progress: str) -> None:
        super().__init__()
        self.job = job
        self.told = told
        self.rests_on = rests_on
        self.progress = progress


class JobsScreen(RowsScreen[str | None], Beginning[str | None]):
    """Gives the id of a recipe to open, that of a job's step, or None for going back."""

    MODE = "jobs"
    kind = "job"

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.shelf = desk.jobs
        self.shelf.find.text, self.shelf.find.caret = "", 0
        self.shelf.take(self.shelf.rows)
        self.trouble = self.progress = ""
        self.listed = False

    def on_mount(self) -> None:
        """Begin to read and judge."""
        self.look()

    def log_read(self) -> None:
        """Judge anew: what the log teaches of a recipe changes its job."""
        self.look()

    # Reading and judging happen beside the keys: the worker posts messages, the handlers own the shelf.

    @work(thread=True, exclusive=True)
    def look(self) -> None:
        """Read every job, then judge those that were not judged as they stand, one a step."""
        pace, known = Pace(get_current_worker()), self.desk.logbook.known
        try:
            rows = list(read_rows(self.desk))
        except SwarfbookError as error:
            self.post_message(JobsRead((), str(error.problems[0])))
            return
        self.post_message(JobsRead(rows))
        readable = [row.id for row in rows if not row.trouble]
        progress = Progress("judged", len(readable))
        for job in readable:
            if pace.stops():
                return
            stamps = (rests_on(self.desk.book, job), known)
            told = None if self.shelf.knows(job, stamps) else judged(self.desk, job)
            progress.done += 1
            left = progress.done < progress.total
            self.post_message(JobJudged(job, told, stamps, progress.text() if left else ""))

    @on(JobsRead)
    def take_rows(self, message: JobsRead) -> None:
        """Show what was read."""
        self.listed, self.trouble = True, message.trouble
        self.shelf.take(message.rows)
        self.draw()

    @on(JobJudged)
    def take_judged(self, message: JobJudged) -> None:
        """Show what was judged."""
        self.progress = message.progress
        if message.told is not None:
            self.shelf.judge(message.job, message.told, message.rests_on)
        self.draw()

    # What is drawn

    def rows(self) -> Finder[JobRow]:
        """Give the jobs."""
        return self.shelf

    def head(self, width: int) -> list[Line]:
        """Say what is listed and how, and what is looked for."""
        heading = " · ".join(filter(None, ("The jobs of this book", self.shelf.order, self.progress)))
        return [[(f" {cut_to(heading, width - 2)}", "strong")], find_line(self.shelf, width), []]

    def row(self, at: int, width: int) -> Line:
        """Write one job."""
        row, chosen = self.shelf.hits[at], at == self.shelf.place
        pointer, style = f" {'▸' if chosen else ' '} ", "strong" if chosen else "plain"
        if row.trouble:
            return [(pointer, style), (cut_to(f"{row.id}: {row.trouble}", width - 4), "strong")]
        name = width - len(pointer) - VERDICT - 2
        said = f"{row.name} · {_made(row)}" if width >= WIDE else row.name
        verdict = _verdict(self.shelf.told.get(row.id), style)
        return [(f"{pointer}{cut_to(said, name):<{name}} ", style), *verdict]

    def detail(self, width: int, height: int) -> list[Line]:
        """Say of the chosen job what has no room in its line."""
        said, style = self._said()
        parts = wrap(said, width - 2, break_on_hyphens=False)
        lines: list[Line] = [[(f" {part}", style)] for part in parts]
        return [*([[]] * (height - len(lines))), *lines][:height]

    def _said(self) -> tuple[str, str]:
        if self.trouble:
            return self.trouble, "strong"
        if not self.shelf.hits:
            none = self.listed and not self.shelf.rows
            return ("no jobs yet; Enter begins one of the recipe on the page" if none else ""), "plain"
        row = self.shelf.hits[self.shelf.place]
        told = self.shelf.told.get(row.id)
        if row.trouble or (told and told.trouble):
            why = row.trouble or (told.trouble if told else "")
            return f"{row.id} {'is not read' if row.trouble else 'is not judged'}: {why}", "strong"
        return f"{_made(row)}, {row.id}", "plain"

    def foot(self, width: int) -> str:
        """Give the hints for the keys."""
        return footer(self.MODE, width, self.usable)

    # Keys

    def usable(self, action: str) -> bool:
        """Say whether a command can do anything now."""
        return action != "open" or bool(self.shelf.hits) or (self.listed and not self.shelf.rows)

    def typed(self, key: str, character: str | None) -> None:
        """Type into the find line."""
        if self.shelf.press(key, character):
            self.draw()

    def action_order(self) -> None:
        """Take the other order."""
        self.shelf.next_order()
        self.draw()

    def action_open(self) -> None:
        """Open the chosen job; where there is none, ask whether to begin one."""
        if self.shelf.chosen is not None:
            self.open_part(self.shelf.chosen)
        elif self.listed and not self.shelf.rows:
            self.ask_to_begin()

    def open_part(self, record_id: str) -> None:
        """Open a job's page; what is wrong with one that does not read is told there."""
        from swarfbook.tui.job_screen import JobScreen

        self.app.push_screen(JobScreen(self.desk, record_id), self._close_job)

    def begun(self) -> dict[str, Any]:
        """Give a first job: the recipe on the page round a part of invented size."""
        from swarfbook.tui.job_facts import first_job

        return first_job(self.desk)

    def _close_job(self, recipe: str | None) -> None:
        if recipe is not None:
            self.dismiss(recipe)
        else:
            self.look()

    def action_close(self) -> None:
        """Go back to the page; what is still being judged waits for the next time."""
        self.dismiss(None)


def _made(row: JobRow) -> str:
    return f"{counted(row.quantity, 'part')} of {row.material} in the {row.machine}"


def _verdict(told: JobTold | None, style: str) -> list[Span]:
    if told is None:
        return [("…", "faint")]
    if told.trouble:
        return [("not judged", "strong")]
    use = "" if told.use is None else f"{told.use:.2f}"
    before = f"{cut_to(told.tightest, 15):<15} {use:>5}  "
    return [(before, style), (told.verdict, VERDICT_STYLES.get(told.verdict, style))]
