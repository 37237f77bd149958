"""What the page's keys do to the recipe at hand and to its file."""

from __future__ import annotations

from swarfbook.tui import outside, page_view
from swarfbook.tui.desk import READ_ONLY
from swarfbook.tui.doors import Doors
from swarfbook.tui.filed import Question
from swarfbook.tui.keyed import Keyed
from swarfbook.tui.lines import Lines
from swarfbook.tui.shelving import Shelving
from swarfbook.tui.themes import THEMES


class Handling(Doors, Shelving[None]):
    """The page as far as it changes recipes and their files."""

    # Whole recipes

    @property
    def at_hand(self) -> str | None:
        """The recipe on the page."""
        return self.sheet.draft.recipe_id if self.sheet.draft else None

    def keeps(self) -> bool:
        """Changes wait on the desk while another recipe is shown."""
        return True

    def say(self, message: str) -> None:
        """Say something until the next key."""
        self.sheet.message = message
        self.draw()

    def turn_to(self, record: str, message: str) -> None:
        """Put another recipe on the page, and say what was done."""
        self.open_recipe(record)
        self.say(message)

    def turn_away(self, message: str) -> None:
        """Put any other recipe on the page, this one being gone."""
        self.desk.close(str(self.at_hand))
        self.sheet.turn_to()
        self.say(message)

    def take_back(self, message: str) -> None:
        """Take the recipe as its file has it again, and say what was done."""
        self.sheet.read_again(keep_mine=False)
        self.say(message)

    def action_duplicate(self) -> None:
        """Ask an id for another recipe like this one."""
        self.ask_another()

    # One recipe

    def conflict(self) -> Question:
        """Ask whose numbers stand when the file changed under changes made here."""
        return page_view.conflict(self.sheet)

    def look_at_disk(self) -> None:
        """Notice what others changed."""
        if isinstance(self.app.screen, Keyed) and self.app.screen.writes:
            return
        if self.sheet.look_at_disk():
            self.draw()
            self.read_log()  # what runs asked follows from the machine, the cutter and the material
        self.look_at_log()

    def action_relieve(self) -> None:
        """Make the change that eases the chosen rung."""
        self.sheet.apply_relief()
        self.draw()

    def action_discard(self) -> None:
        """Drop all changes; they can be taken back."""
        self.sheet.discard()
        self.draw()

    def action_retire(self) -> None:
        """Set the standing to retired, or back to trial."""
        self.sheet.retire()
        self.draw()

    # How the page shows

    def action_units(self) -> None:
        """Show inches or millimetres, or values as typed again."""
        self.sheet.switch_units()
        self.draw()

    def action_fold(self) -> None:
        """Open or close the fold below the sentence."""
        self.sheet.unfolded = not self.sheet.unfolded
        self.sheet.fold_top = 0
        self.draw()

    def action_fold_down(self) -> None:
        """Read on in the fold."""
        self._scroll_fold(1)

    def action_fold_up(self) -> None:
        """Read back in the fold."""
        self._scroll_fold(-1)

    def _scroll_fold(self, screens: int) -> None:
        rows = len(self.query_one("#fold", Lines).lines)
        self.sheet.fold_top += screens * max(rows - 2, 1)
        self.draw()

    def action_theme(self) -> None:
        """Take the next theme."""
        names = [theme.name for theme in THEMES]
        self.app.theme = names[(names.index(self.app.theme) + 1) % len(names)]
        self.sheet.message = f"theme: {self.app.theme}"
        self.draw()

    # The world outside

    def action_edit_file(self) -> None:
        """Open the recipe's file in the person's editor, and read it again afterwards."""
        draft = self.sheet.draft
        if draft is None:
            return
        if self.desk.book.built_in:
            self.sheet.message = READ_ONLY
        else:
            trouble = outside.edit(self.app, draft.path)
            self.sheet.look_at_disk()
            self.sheet.message = trouble or self.sheet.message
            self.look_over()
        self.draw()

    def action_copy(self) -> None:
        """Copy the recipe and its ladder as text."""
        text = page_view.copied(self.sheet)
        if text:
            self.sheet.message = outside.copy(self.app, text)
            self.draw()
