"""What of a job is read in full, copied or written into a file: reply, heat curve, page, sheet."""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar

from swarfbook.book.outside import write_outside
from swarfbook.reports.heat_page import heat_lines
from swarfbook.reports.job_card import ENDINGS, sheet_bytes
from swarfbook.tui import outside
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.busy_screen import BusyScreen
from swarfbook.tui.desk import Desk
from swarfbook.tui.job_sheet import REPLY, JobSheet
from swarfbook.tui.job_view import letter_part
from swarfbook.tui.keyed import Keyed
from swarfbook.tui.prompt_screen import PromptScreen
from swarfbook.tui.text_screen import WrittenScreen

AnswerT = TypeVar("AnswerT")
COPIED_WIDTH = 80


class JobPapers(Keyed[AnswerT]):
    """A job's page as far as it hands out what is told of the job.

    Attributes:
        desk: the book and what is open.
        sheet: the job.
    """

    desk: Desk
    sheet: JobSheet

    def say(self, message: str) -> None:
        """Say something until the next key."""
        raise NotImplementedError

    def action_reply(self) -> None:
        """Read what to tell the customer."""
        seen = self.sheet.seen
        if seen is not None and seen.report is not None:
            self.app.push_screen(
                WrittenScreen(
                    f"Reply: {seen.name}", letter_part(REPLY, seen.letter).tell, copied=lambda: seen.letter
                )
            )

    def action_heat(self) -> None:
        """See how warm the stock gets."""
        report, system = self.sheet.report, self.desk.system
        if report is not None:
            title = f"Stock temperature: {report.case.job.name}"
            self.app.push_screen(
                WrittenScreen(title, lambda width: heat_lines(report, width=width, system=system))
            )

    def action_copy(self) -> None:
        """Copy all that is told as text."""
        if self.sheet.seen is not None:
            self.say(outside.copy(self.app, self.sheet.seen.page(COPIED_WIDTH)))

    # The sheet

    def action_sheet(self) -> None:
        """Ask for a file's name, and write the sheet into it."""
        report = self.sheet.report
        if self.app.is_web:
            self.say(outside.SERVED)
        elif report is not None:
            prompt = PromptScreen(
                "Write the sheet for the machine: name of the file",
                hint=f"ends in {', '.join(ENDINGS)}; without a folder it goes where the program was started",
                text=f"{self.sheet.job}.pdf",
                check=_ending,
            )
            self.app.push_screen(prompt, self._take_name)

    def _take_name(self, name: str | None) -> None:
        if name is None:
            return
        if outside.there(name):
            ask = AskScreen([f"There is a {name} already."], {"y": "write over it"})
            self.app.push_screen(ask, lambda answer: self._write(name) if answer else None)
        else:
            self._write(name)

    def _write(self, name: str) -> None:
        report, system = self.sheet.report, self.desk.system
        if report is None:
            return

        def task() -> None:
            write_outside(name, sheet_bytes(report, Path(name).suffix, system=system))

        busy = BusyScreen(f"writing {name}", task)
        self.app.push_screen(
            busy,
            lambda refusal: self.say(f"not written: {refusal}" if refusal else f"the sheet is in {name}"),
        )


def _ending(name: str) -> str:
    return "" if Path(name).suffix in ENDINGS else f"end the name in {', '.join(ENDINGS)}"
