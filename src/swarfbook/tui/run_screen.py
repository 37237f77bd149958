"""One run in full, over the log: read, corrected or withdrawn; its own line stays as it is."""

from __future__ import annotations

from swarfbook.decisions.evidence import three_of
from swarfbook.decisions.running import Report, corrected_line, report_of, withdrawn_line
from swarfbook.errors import SwarfbookError
from swarfbook.records import Run
from swarfbook.reports.run_page import run_lines
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.desk import READ_ONLY, Desk
from swarfbook.tui.text_screen import Reading


class RunScreen(Reading[str | None]):
    """Gives what was done to the run, in words, or None for nothing."""

    MODE = "run"

    def __init__(self, desk: Desk, run: Run) -> None:
        """Read a run of a book."""
        first, *lines = run_lines(run, system=desk.system)
        super().__init__(first, [f" {line}" for line in lines])
        self.desk = desk
        self.run = run

    def action_correct(self) -> None:
        """Say otherwise how it went."""
        from swarfbook.tui.run_form import RunForm
        from swarfbook.tui.run_form_screen import RunFormScreen

        if self._may_write():
            cutters = self.desk.logbook.names((three_of(self.run) or ("", "", ""))[1])
            form = RunForm.of(report_of(self.run, {}), self.desk.system, cutters)
            screen = RunFormScreen(f"Correct {self.run.id}", form, self._correct, verb="correct it")
            self.app.push_screen(screen, self._corrected)

    def _correct(self, report: Report) -> str:
        line = corrected_line(self.desk.book, self.run, report)
        self.desk.book.log(line)
        return f"{self.run.id} is replaced by {line['id']}; its own line stays in the log"

    def _corrected(self, done: str | None) -> None:
        if done is not None:
            self.dismiss(done)

    def action_withdraw(self) -> None:
        """Ask whether the run is to count no more."""
        if self._may_write():
            question = [f"{self.run.id} never was? It counts no more then; its line stays in the log."]
            self.app.push_screen(AskScreen(question, {"y": "withdraw it"}), self._withdraw)

    def _withdraw(self, answer: str | None) -> None:
        if answer is None:
            return
        try:
            self.desk.book.log(withdrawn_line(self.run))
        except SwarfbookError as error:
            self.say(f"not withdrawn: {error.problems[0].remedy}")
        else:
            self.dismiss(f"{self.run.id} is withdrawn; its line stays in the log")

    def _may_write(self) -> bool:
        if self.desk.book.built_in:
            self.say(READ_ONLY)
        return not self.desk.book.built_in

    def action_close(self) -> None:
        """Go back to the log."""
        self.dismiss(None)
