"""What the page's keys do with runs: write one down, read the log, read what it has taught."""

from __future__ import annotations

from datetime import datetime

from swarfbook.decisions.running import Logged, Report, log_run
from swarfbook.decisions.titles import said
from swarfbook.errors import SwarfbookError
from swarfbook.records import Run
from swarfbook.reports.run_page import doubt_text, logged_text
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.desk import READ_ONLY
from swarfbook.tui.draft import Draft
from swarfbook.tui.sheet import Sheet
from swarfbook.tui.watching import Watching


class Running(Watching):
    """The page as far as it writes runs down and reads of them.

    Attributes:
        sheet: the state of the page.
    """

    sheet: Sheet

    def action_log(self) -> None:
        """Write a run of the recipe down, as its file has it."""
        draft = self.sheet.draft
        if draft is None:
            return
        if self.desk.book.built_in:
            self.sheet.message = READ_ONLY
            self.draw()
        elif draft.dirty:
            changed = ", ".join(said(key) for key in draft.changes)
            question = [f"Not saved: {changed}.", "A run is logged of the recipe as its file has it."]
            answers = {"s": "save the changes, then log the run", "l": "log a run of what the file has"}
            self.app.push_screen(AskScreen(question, answers), self._begin_log)
        else:
            self._ask_run(draft, "as saved")

    def _begin_log(self, answer: str | None) -> None:
        draft = self.sheet.draft
        if answer is None or draft is None:
            return
        if answer == "s":
            self.action_save()
            if draft.dirty:
                return
        self._ask_run(draft, "as saved, without the changes" if draft.dirty else "as saved")

    def _ask_run(self, draft: Draft, aside: str) -> None:
        from swarfbook.tui.run_form import RunForm
        from swarfbook.tui.run_form_screen import RunFormScreen

        cutters = self.desk.logbook.names(str(draft.saved.get("tool")))
        form = RunForm.empty(self.desk.system, cutters, files=not self.app.is_web)
        title = f"Log a run: {draft.saved.get('name', draft.recipe_id)}"

        def keep(report: Report) -> Logged:
            return log_run(self.desk.book, draft.recipe_id, report, at=datetime.now().astimezone())

        self.app.push_screen(RunFormScreen(title, form, keep, aside=aside), self.take_logged)

    def take_logged(self, logged: Logged | None) -> None:
        """Say what was logged and what it earned; of a run that went wrong, read what to make of it."""
        draft = self.sheet.draft
        if logged is None or draft is None:
            return
        try:
            draft.follow()
        except SwarfbookError as error:
            self.sheet.say(f"logged; {error.problems[0]}")
        else:
            self.sheet.on_disk = False
            doubt = doubt_text(logged.case, logged.run)
            self.sheet.say(logged.trouble or "; ".join(filter(None, (doubt, logged_text(logged)))))
        self.draw()
        self.read_log()
        if not logged.run.clean:
            self._open_run(logged.run)

    def _open_run(self, run: Run) -> None:
        from swarfbook.tui.run_screen import RunScreen

        self.app.push_screen(RunScreen(self.desk, run), self._close_run)

    def _close_run(self, done: str | None) -> None:
        if done:
            self.sheet.message = done
            self.draw()
            self.read_log()

    def action_runs(self) -> None:
        """Open the log of runs."""
        from swarfbook.tui.runs_screen import RunsScreen

        recipe = self.sheet.draft.recipe_id if self.sheet.draft else None
        self.app.push_screen(RunsScreen(self.desk, recipe, self.read_log))

    def action_learnt(self) -> None:
        """Read what measured power has taught."""
        from swarfbook.tui.fit_screen import FitScreen

        self.app.push_screen(FitScreen(self.desk.book))
