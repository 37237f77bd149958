"""A job's page, over the list of jobs: walk its steps, read the rest, write its sheet, open its recipes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from swarfbook.book.ids import file_name
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.reports.words import counted, cut_to
from swarfbook.tui import job_view, outside
from swarfbook.tui.beside import Progress
from swarfbook.tui.commands import footer
from swarfbook.tui.desk import READ_ONLY, Desk
from swarfbook.tui.finding import Finder
from swarfbook.tui.job_papers import JobPapers
from swarfbook.tui.job_sheet import REPLY, JobSheet, Seen, look_at
from swarfbook.tui.job_view import Part
from swarfbook.tui.lines import Line, Lines
from swarfbook.tui.rows_screen import FOOT, PAGE_ABOVE, RowsScreen
from swarfbook.tui.shelving import Shelving
from swarfbook.tui.text_screen import WrittenScreen
from swarfbook.tui.working import Step, Working

DISK_EVERY = 1.0  # s between looks at the files
NEEDS_REPORT = ("sheet", "reply", "heat")


class JobScreen(RowsScreen[str | None], Working[str | None], Shelving[str | None], JobPapers[str | None]):
    """Gives the id of a step's recipe that is to be opened, or None for going back."""

    MODE = "job"
    kind = "job"

    def __init__(self, desk: Desk, job: str) -> None:
        super().__init__()
        self.desk = desk
        self.sheet = JobSheet(desk, job)
        self._width = 0
        self._more = False

    def on_mount(self) -> None:
        """Begin to look at the disk."""
        self.set_interval(DISK_EVERY, self.look_at_disk)

    def on_resize(self) -> None:
        """Judge it, or write what is told for the new width."""
        if self.size.width != self._width:
            self.judge()

    def log_read(self) -> None:
        """Judge it with what the log says now."""
        self.judge()

    def look_at_disk(self) -> None:
        """Notice what others changed."""
        if self.progress is None and self.sheet.changed:
            self.judge("changed on disk; judged again")

    # Judging happens beside the keys

    def judge(self, message: str = "") -> None:
        """Begin to judge the job, and say something once that is done."""
        self._width = self.size.width
        book, job, system = self.desk.book, self.sheet.job, self.desk.system
        columns = self._width - 1

        def work_out(step: Step) -> Seen:
            return look_at(book, job, columns, system, step)

        self.begin(Progress("judging …"), work_out, lambda seen: self._take(seen, message))

    def _take(self, seen: Seen, message: str) -> None:
        self.sheet.take(seen, self._width - 1)
        self.sheet.message = message or self.sheet.message

    def take_refused(self, problem: Problem) -> None:
        """Say what went wrong."""
        self.sheet.message = str(problem)

    # What is drawn

    def rows(self) -> Finder[Part]:
        """Give the steps and what else is told."""
        return self.sheet.finder

    def head(self, width: int) -> list[Line]:
        """Name the job, say what is made of what on what, and whether it may be run."""
        seen, where = self.sheet.seen, file_name("job", self.sheet.job)
        name = seen.name if seen else self.sheet.job
        room = max(width - len(where) - 4, 12)
        first: Line = [(f" {cut_to(name, room):<{room + 1}}", "strong"), (where[: width - room - 3], "faint")]
        if self.sheet.report is None:
            said = "judging …" if seen is None else f"not judged: {counted(len(seen.problems), 'problem')}"
            return [first, [(f" {said}", "strong")], []]
        return [first, *job_view.head(self.sheet.report, width, self.desk.system)]

    def row(self, at: int, width: int) -> Line:
        """Write one row."""
        finder = self.sheet.finder
        return job_view.row_line(finder.hits[at], width, chosen=at == finder.place)

    def detail_height(self) -> int:
        """Rows for what is said of the chosen one: what the rows leave, half the page at least."""
        head = len(self.query_one("#head", Lines).lines)
        room = self.size.height - PAGE_ABOVE - head - FOOT
        hits = self.sheet.finder.hits
        rows = len(hits) + sum(
            1 for at, part in enumerate(hits) if part.group and (at == 0 or hits[at - 1].group != part.group)
        )
        return max(room - min(rows, room // 2), 1)

    def detail(self, width: int, height: int) -> list[Line]:
        """Say what is to say of the chosen row, from the line on that was read to."""
        said = list(self.sheet.part.tell(width - 1)) if self.sheet.part else []
        lines: list[Line] = [[(f" {line}", "plain")] for line in said]
        message = self.sheet.message
        first: Line = [(f" {cut_to(message, width - 2)}", "strong")] if message else []
        room = height - 1  # what the last command has to say, or a blank
        self.sheet.top = max(min(self.sheet.top, len(lines) - room), 0)
        self._more = self.sheet.top + room < len(lines)
        return [first, *lines[self.sheet.top : self.sheet.top + room]]

    def foot(self, width: int) -> str:
        """Give the hints for the keys."""
        more = "  … more below" if self._more else ""
        return footer(self.MODE, width - len(more), self.usable) + more

    # Keys

    def usable(self, action: str) -> bool:
        """Say whether a command can do anything now."""
        if action in NEEDS_REPORT:
            return self.sheet.report is not None
        return self.sheet.part is not None if action == "open" else True

    def before_key(self) -> None:
        """Forget what the last command had to say."""
        self.sheet.message = ""

    def move(self, step: int) -> None:
        """Choose another row, and read it from its beginning."""
        self.sheet.top = 0
        super().move(step)

    def action_page_down(self) -> None:
        """Read on below."""
        self._read_on(1)

    def action_page_up(self) -> None:
        """Read back below."""
        self._read_on(-1)

    def _read_on(self, screens: int) -> None:
        self.sheet.top += screens * max(self.detail_height() - 2, 1)
        self.draw()

    def action_open(self) -> None:
        """Open the recipe of a step; read in full what is no step."""
        part = self.sheet.part
        if part is None:
            return
        if part.recipe:
            self.dismiss(part.recipe)
        elif part.id == REPLY:
            self.action_reply()
        else:
            self.app.push_screen(WrittenScreen(part.name, part.tell))

    def action_read_again(self) -> None:
        """Read the files again and judge the job anew."""
        self.judge("read again from disk and judged")

    def action_edit_file(self) -> None:
        """Open the job's file in the person's editor, and judge it again afterwards."""
        if self.desk.book.built_in:
            self.say(READ_ONLY)
            return
        path = self.desk.book.path("job", self.sheet.job)
        self.judge(outside.edit(self.app, path))

    def action_values(self) -> None:
        """See and write the job's values."""
        from swarfbook.tui.job_values_screen import JobValuesScreen

        try:
            screen = JobValuesScreen(self.desk, self.sheet.job)
        except SwarfbookError as error:
            self.say(str(error.problems[0]))
        else:
            self.app.push_screen(screen, self._close_values)

    def _close_values(self, job: str | None) -> None:
        if job is None:
            self.dismiss(None)
        elif job != self.sheet.job:
            self.turn_to(job, "")
        elif self.sheet.changed:
            self.judge()

    # Whole jobs

    @property
    def at_hand(self) -> str:
        """The job on the page."""
        return self.sheet.job

    def unsaved(self) -> Mapping[str, Any]:
        """Nothing is changed on this page."""
        return {}

    def keeps(self) -> bool:
        """Nothing is changed on this page, so nothing is lost."""
        return True

    def say(self, message: str) -> None:
        """Say something until the next key."""
        self.sheet.message = message
        self.draw()

    def turn_to(self, record: str, message: str) -> None:
        """Show another job, and say what was done."""
        self.sheet.turn_to(record)
        self.say(message)
        self.judge(message)

    def turn_away(self, message: str) -> None:
        """Show the next job, this one being gone; without any, go back to the list."""
        left = self.desk.book.ids("job")
        if left:
            after = (job for job in left if job > self.at_hand)
            self.turn_to(next(after, left[-1]), message)
        else:
            self.dismiss(None)

    def take_back(self, message: str) -> None:
        """Judge the job as its file has it again, and say what was done."""
        self.judge(message)

    def action_another(self) -> None:
        """Ask for the id of another job like this one."""
        self.ask_another()

    def action_close(self) -> None:
        """Go back to the list; what is still being judged is given up."""
        self.dismiss(None)
