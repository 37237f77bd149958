"""What the page's keys do with whole recipes: another like this one, rename, delete, bring back."""

from __future__ import annotations

from swarfbook.errors import SwarfbookError
from swarfbook.tui.another import proposal
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.choose_screen import Choice, ChooseScreen
from swarfbook.tui.desk import READ_ONLY
from swarfbook.tui.handling import Handling
from swarfbook.tui.prompt_screen import PromptScreen

SAVE_FIRST = "save first (s), or drop the changes (Z)"


class Shelving(Handling):
    """The page as far as it adds recipes to the book and takes them out."""

    def action_duplicate(self) -> None:
        """Ask an id for another recipe like this one, its changes in it."""
        draft = self.sheet.draft
        if draft is not None and self._may_write():
            hint = "a new file with this recipe's text and your changes, on trial; the old one stays as it is"
            prompt = PromptScreen(
                "Another recipe like this one: its id", hint=hint, text=proposal(self.desk, draft.recipe_id)
            )
            self.app.push_screen(prompt, self._duplicate)

    def _duplicate(self, new: str | None) -> None:
        draft = self.sheet.draft
        if new is None or draft is None:
            return
        try:
            self.desk.book.duplicate("recipe", draft.recipe_id, new, draft.changes)
        except SwarfbookError as error:
            self._say(f"not written: {error.problems[0].remedy}")
        else:
            draft.discard()
            self._turn_to(new, f"recipes/{new}.toml begun, on trial")

    def action_rename(self) -> None:
        """Ask for another id."""
        draft = self.sheet.draft
        if draft is None or not self._may_write():
            return
        if self.desk.unsaved():
            self._say(SAVE_FIRST)
            return
        hint = "the file's name; recipes backed off from it and the run log follow"
        prompt = PromptScreen(f"Another id for {draft.recipe_id}", hint=hint, text=draft.recipe_id)
        self.app.push_screen(prompt, self._rename)

    def _rename(self, new: str | None) -> None:
        draft = self.sheet.draft
        if new is None or draft is None or new == draft.recipe_id:
            return
        try:
            renamed = self.desk.book.rename("recipe", draft.recipe_id, new)
        except SwarfbookError as error:
            self._say(f"not renamed: {error.problems[0].remedy}")
            return
        self.desk.drafts.clear()
        followed = f"; {', '.join(renamed.followed)} followed" if renamed.followed else ""
        self._turn_to(new, f"{draft.recipe_id} is {new} now{followed}")

    def action_delete(self) -> None:
        """Ask whether to delete the recipe."""
        draft = self.sheet.draft
        if draft is None or not self._may_write():
            return
        lines = [f"Delete {draft.recipe_id}? B brings it back, in this book's own store of deleted records."]
        if draft.dirty:
            lines.append("Its changes that are not saved go with it.")
        self.app.push_screen(AskScreen(lines, {"y": "delete it"}), self._delete)

    def _delete(self, answer: str | None) -> None:
        draft = self.sheet.draft
        if answer is None or draft is None:
            return
        try:
            self.desk.book.delete("recipe", draft.recipe_id)
        except SwarfbookError as error:
            self._say(f"not deleted: {error.problems[0].remedy}")
            return
        self.desk.close(draft.recipe_id)
        self.sheet.turn_to()
        self._say(f"{draft.recipe_id} is deleted; B brings it back")

    def action_bring_back(self) -> None:
        """Choose a deleted recipe to bring back."""
        if not self._may_write():
            return
        gone = [one for one in self.desk.book.deleted() if one.kind == "recipe"]
        if not gone:
            self._say("no recipe was deleted")
            return
        choices = [Choice(one.id, one.id, aside=f"deleted {one.at:%Y-%m-%d %H:%M}") for one in gone]
        latest = list({choice.id: choice for choice in reversed(choices)}.values())[::-1]
        self.app.push_screen(ChooseScreen("Bring back a recipe", latest), self._bring_back)

    def _bring_back(self, recipe: str | None) -> None:
        if recipe is None:
            return
        try:
            self.desk.book.restore("recipe", recipe)
        except SwarfbookError as error:
            self._say(f"not brought back: {error.problems[0].remedy}")
        else:
            self._turn_to(recipe, f"{recipe} is back")

    def _may_write(self) -> bool:
        if self.desk.book.built_in:
            self._say(READ_ONLY)
        return not self.desk.book.built_in

    def _turn_to(self, recipe: str, message: str) -> None:
        self.open_recipe(recipe)
        self._say(message)

    def _say(self, message: str) -> None:
        self.sheet.message = message
        self.draw()
