"""What the page's keys open over it; each screen is imported when it is opened."""

from __future__ import annotations

from swarfbook.decisions.case import Case
from swarfbook.errors import SwarfbookError
from swarfbook.tui.running import Running


class Doors(Running):
    """The page as far as it opens other screens."""

    def action_list(self) -> None:
        """Open the list of recipes over the page."""
        from swarfbook.tui.list_screen import ListScreen

        self.app.push_screen(ListScreen(self.desk), self.open_recipe)

    def action_compare(self) -> None:
        """Open the list to choose what to compare the recipe with."""
        from swarfbook.tui.list_screen import ListScreen

        self.app.push_screen(ListScreen(self.desk, comparing=True), self.open_recipe)

    def open_recipe(self, recipe_id: str | None) -> None:
        """Put a recipe on the page; None leaves the page as it is."""
        if recipe_id is None:
            return
        self.desk.count()
        if self.desk.open(recipe_id):
            self.sheet.turn_to()
        else:
            self.sheet.message = "; ".join(map(str, self.desk.problems))
        self.draw()

    def action_derate(self) -> None:
        """Back the recipe off, over the page."""
        draft = self.sheet.draft
        if draft is None or draft.check is None:
            return
        if draft.dirty:
            self.sheet.message = "save first (s): a recipe that is backed off remembers the one it came from"
            self.draw()
            return
        from swarfbook.tui.derate_screen import DerateScreen

        self.app.push_screen(DerateScreen(self.desk, draft.check), self.open_recipe)

    def action_why(self) -> None:
        """Read what stands behind the chosen rung."""
        if self.sheet.check is None or self.sheet.limit is None:
            return
        from swarfbook.tui.why_screen import why_screen

        self.app.push_screen(why_screen(self.sheet.check, self.sheet.limit.name, system=self.sheet.system))

    def action_measure(self) -> None:
        """Open the list of things to measure."""
        from swarfbook.reports.measuring import topics
        from swarfbook.tui.measure_screen import measure_screen

        self.app.push_screen(measure_screen(topics()))

    # The other records of the book, its tables, what is wrong with it and what to mind

    def action_machines(self) -> None:
        """Open the machines."""
        self._open_parts("machine")

    def action_tools(self) -> None:
        """Open the cutters."""
        self._open_parts("tool")

    def action_materials(self) -> None:
        """Open the materials."""
        self._open_parts("material")

    def _open_parts(self, kind: str) -> None:
        from swarfbook.tui.parts_screen import PartsScreen

        self.app.push_screen(PartsScreen(self.desk, kind), self._close_parts)

    def _close_parts(self, _: str | None) -> None:
        # What was saved, renamed or deleted there may have changed what the recipe rests on.
        if not self.sheet.look_at_disk():
            self.sheet.judge()
        self.read_log()
        self.know_bad_files(None)
        self.draw()

    def action_jobs(self) -> None:
        """Open the jobs."""
        from swarfbook.tui.jobs_screen import JobsScreen

        self.app.push_screen(JobsScreen(self.desk), self._close_jobs)

    def _close_jobs(self, recipe_id: str | None) -> None:
        self._close_parts(None)
        self.open_recipe(recipe_id)

    def action_tables(self) -> None:
        """Open the reference tables."""
        from swarfbook.tui.tables_screen import tables_screen

        self.app.push_screen(tables_screen())

    def action_problems(self) -> None:
        """Open what is wrong with the book."""
        from swarfbook.tui.problems_screen import ProblemsScreen

        self.app.push_screen(ProblemsScreen(self.desk.book), self.know_bad_files)

    def action_cautions(self) -> None:
        """Read what to mind before running the recipe."""
        from swarfbook.reports.caution_page import caution_lines
        from swarfbook.tui.text_screen import TextScreen

        self.app.push_screen(TextScreen("What to mind", caution_lines(self.sheet.check)))

    # Other looks at the recipe

    def action_corner(self) -> None:
        """Ask for an inside corner's radius, and read what it does to the load."""
        if self.sheet.check is not None:
            from swarfbook.tui.looks import ask_corner

            ask_corner(self.app, self.sheet.check, system=self.sheet.system)

    def action_chatter(self) -> None:
        """Read where the recipe begins to chatter."""
        if self.sheet.check is not None:
            from swarfbook.tui.looks import show_chatter

            show_chatter(self.app, self.sheet.check, system=self.sheet.system)

    def action_turn(self) -> None:
        """See the force over one turn and the chip through the cut."""
        if self.sheet.check is None:
            return
        from swarfbook.tui.turn_screen import turn_screen

        try:
            screen = turn_screen(self.sheet.check, system=self.sheet.system)
        except SwarfbookError as error:
            self.sheet.message = str(error.problems[0].remedy)
            self.draw()
        else:
            self.app.push_screen(screen)

    # What to cut a job with, and how far the recipe may go

    def action_pick(self) -> None:
        """Ask for a job's recipe."""
        from swarfbook.tui.pick_screen import PickScreen

        self.app.push_screen(PickScreen(self.desk), self.open_recipe)

    def action_solve(self) -> None:
        """Ask for a first recipe, or say what has to be begun before."""
        from swarfbook.tui.first_steps import needs

        lacking = needs(self.desk.book)
        if lacking:
            self.sheet.message = lacking
            self.draw()
            return
        from swarfbook.tui.solve_screen import SolveScreen

        self.app.push_screen(SolveScreen(self.desk), self.open_recipe)

    def action_map(self) -> None:
        """Draw where the recipe's limits lie."""
        if self.sheet.check is not None:
            from swarfbook.tui.map_screen import MapScreen

            self.app.push_screen(MapScreen(self.desk, self._case))

    def action_sensitivity(self) -> None:
        """Read what a tenth more of each number does."""
        if self.sheet.check is not None:
            from swarfbook.tui.sensitivity_screen import SensitivityScreen

            self.app.push_screen(SensitivityScreen(self._case, measure=self.action_measure))

    def _case(self) -> Case:
        """Give the recipe as it stands in the sentence, judged."""
        if self.sheet.check is None:
            raise LookupError("no recipe on the page can be judged")
        return self.sheet.check.case
