"""A first recipe, over the page: what the job asks, then what comes of it, to be named and saved on trial."""

from __future__ import annotations

from collections.abc import Sequence

from swarfbook.decisions.solve import LOOKS, Solution, solve_in_book
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.reports.solve_page import solve_lines, solve_title
from swarfbook.tui.beside import Progress
from swarfbook.tui.desk import Desk
from swarfbook.tui.form_screen import FormScreen
from swarfbook.tui.job_forms import Sought, solve_form, sought_of
from swarfbook.tui.lines import Lines
from swarfbook.tui.naming import Naming
from swarfbook.tui.working import WorkedScreen

TITLE = "A first recipe from tables and physics"
STEM = 60  # letters of an id that is proposed


class SolveScreen(FormScreen[str | None]):
    """Gives the id of the recipe that was saved, or None for going back."""

    MODE = "solve"

    def __init__(self, desk: Desk) -> None:
        super().__init__(TITLE, solve_form(desk))
        self.desk = desk

    def action_open(self) -> None:
        """Work a first recipe out."""
        try:
            sought = sought_of(self.form)
        except SwarfbookError as error:
            self.form.refuse(error.problems[0])
            self.draw()
        else:
            self.app.push_screen(SolutionScreen(self.desk, sought), self._close_solution)

    def _close_solution(self, done: str | Problem | None) -> None:
        if isinstance(done, Problem):
            self.form.refuse(done)
            self.draw()
        elif done is not None:
            self.dismiss(done)

    def action_close(self) -> None:
        """Go back."""
        self.dismiss(None)


class SolutionScreen(WorkedScreen[str | Problem | None]):
    """Gives the id of the recipe that was saved, why there is none, or None for going back."""

    MODE = "solution"

    def __init__(self, desk: Desk, sought: Sought) -> None:
        """Look for a recipe of a book."""
        super().__init__(solve_title(sought.wishes))
        self.desk = desk
        self.sought = sought
        self.naming = Naming(desk)
        self.found: Solution | None = None

    def work_out(self) -> None:
        """Begin to look for it."""
        sought = self.sought
        self.begin(
            Progress("looking for the most that every limit allows:", LOOKS),
            lambda step: solve_in_book(
                self.desk.book,
                sought.ids,
                sought.operation,
                sought.wishes,
                past=self.desk.logbook.past,
                watch=step,
            ),
            self._take,
        )

    def log_read(self) -> None:
        """Look with what the log says now, unless what was found is being named."""
        if self.naming.line is None:
            self.work_out()

    def _take(self, found: Solution) -> None:
        self.found = found

    def take_refused(self, problem: Problem) -> None:
        """Go back to the form with it; where help is open over this screen, say it here."""
        if self.app.screen is self:
            self.dismiss(problem)
        else:
            super().take_refused(problem)

    def told(self, width: int) -> Sequence[str] | None:
        """Write the recipe, what limits it and what a step more would cost."""
        if self.found is None:
            return None
        return solve_lines(self.found, self.sought.wishes, width=width, system=self.desk.shown)[2:]

    def draw(self) -> None:
        """Draw the text, and in the footer's place the name while it is asked for."""
        super().draw()
        named = self.naming.drawn(self.size.width)
        if named:
            self.query_one("#foot", Lines).show([named])

    # Keys

    def usable(self, action: str) -> bool:
        """Say whether a command can do anything now: there is nothing to take while it is worked out."""
        return action != "take" or self.found is not None

    def before_key(self) -> None:
        """Forget what the last key had to say."""
        super().before_key()
        self.naming.message = ""

    def typed(self, key: str, character: str | None) -> None:
        """Type the name."""
        if self.naming.line is not None:
            self.naming.line.press(key, character)
            self.draw()

    def action_take(self) -> None:
        """Ask for a name; with a name, save."""
        if self.found is None:
            return
        _, tool, material = self.sought.ids
        stem = f"{tool}-{material}-{self.sought.operation}"[:STEM]
        saved = self.naming.take(self.found.values, stem)
        if saved is None:
            self.draw()
        else:
            self.dismiss(saved)

    def action_close(self) -> None:
        """Go back: from the name to the text, from there to the form, which ends what is worked out."""
        if self.naming.line is None:
            self.dismiss(None)
        else:
            self.naming.line = None
            self.draw()
