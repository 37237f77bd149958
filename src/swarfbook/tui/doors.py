"""What the page's keys open over it; each screen is imported when it is opened."""

from __future__ import annotations

from swarfbook.tui import page_view
from swarfbook.tui.desk import Desk
from swarfbook.tui.keyed import Keyed
from swarfbook.tui.sheet import Sheet
from swarfbook.tui.text_screen import TextScreen


class Doors(Keyed[None]):
    """The page as far as it opens other screens.

    Attributes:
        desk: the book and what is open.
        sheet: the state of the page.
    """

    desk: Desk
    sheet: Sheet

    def draw(self) -> None:
        """Draw every part."""
        raise NotImplementedError

    def action_list(self) -> None:
        """Open the list of recipes over the page."""
        from swarfbook.tui.list_screen import ListScreen

        self.app.push_screen(ListScreen(self.desk), self.open_recipe)

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

    def action_notes(self) -> None:
        """Read notes and cautions."""
        self.app.push_screen(TextScreen("Notes and cautions", page_view.notes(self.sheet)))
