"""One run in full: what to make of it where it went wrong, and how it is corrected or withdrawn."""

from __future__ import annotations

from textual import on, work
from textual.message import Message

from swarfbook.decisions.aftermath import Aftermath, after_run
from swarfbook.decisions.evidence import three_of
from swarfbook.decisions.running import Report, corrected_line, report_of, withdrawn_line
from swarfbook.errors import SwarfbookError
from swarfbook.records import Run
from swarfbook.reports.aftermath_page import aftermath_lines
from swarfbook.reports.run_page import run_lines
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.desk import READ_ONLY, Desk
from swarfbook.tui.lines import Line
from swarfbook.tui.text_screen import Reading

LEAST_WIDTH = 60  # columns that the table of limits takes


class WorkedOut(Message):
    """What to make of the run was worked out.

    Attributes:
        found: what there is to say; None for nothing.
    """

    def __init__(self, found: Aftermath | None) -> None:
        super().__init__()
        self.found = found


class RunScreen(Reading[str | None]):
    """Gives what was done to the run, in words, or None for nothing."""

    MODE = "run"

    def __init__(self, desk: Desk, run: Run) -> None:
        """Read a run of a book."""
        first, *lines = run_lines(run, system=desk.system)
        super().__init__(first, [f" {line}" for line in lines])
        self.desk = desk
        self.run = run
        self._after: Aftermath | None = None
        self._working = not run.clean

    # What to make of it is worked out beside the keys, with all that the log has taught by then.

    def on_mount(self) -> None:
        """Begin to work out what to make of a run that went wrong, unless the log is still being read."""
        if self._working and self.desk.logbook.known is not None and not self.desk.logbook.changed():
            self.work_out()

    def log_read(self) -> None:
        """Work it out with what the log says now."""
        if not self.run.clean:
            self.work_out()

    @work(thread=True, exclusive=True)
    def work_out(self) -> None:
        """Work out what to make of the run."""
        self.post_message(WorkedOut(after_run(self.desk.book, self.run)))

    @on(WorkedOut)
    def take_aftermath(self, message: WorkedOut) -> None:
        """Show it."""
        self._after, self._working = message.found, False
        self.draw()

    def _wrapped(self, width: int) -> list[Line]:
        lines = super()._wrapped(width)
        if self._working:
            return [*lines, [], [(" working out what to make of it …", "faint")]]
        if self._after is None:
            return lines
        told = aftermath_lines(self._after, width=max(width - 1, LEAST_WIDTH), system=self.desk.shown)
        return [*lines, [], *([(_beside(line, width), _style(line))] for line in told)]

    # Keys

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
            question = [f"Withdraw {self.run.id}? It counts as if it never was; its line stays in the log."]
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


def _beside(line: str, width: int) -> str:
    """Move a line one column in, where it does not begin so and there is room."""
    return line if line.startswith(" ") or width <= LEAST_WIDTH else f" {line}"


def _style(line: str) -> str:
    return "strong" if line.endswith(":") or line.startswith("After this run") else "plain"
