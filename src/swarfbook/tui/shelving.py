"""What a screen's keys do with whole records: another like this one, rename, delete, bring back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, TypeVar

from swarfbook.book import Book
from swarfbook.book.ids import file_name
from swarfbook.errors import SwarfbookError
from swarfbook.reports.part_words import KINDS
from swarfbook.tui.another import begin, proposal, taken
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.busy_screen import BusyScreen
from swarfbook.tui.choose_screen import Choice, ChooseScreen
from swarfbook.tui.desk import READ_ONLY, Desk
from swarfbook.tui.filed import unkept
from swarfbook.tui.keyed import Keyed
from swarfbook.tui.prompt_screen import PromptScreen

if TYPE_CHECKING:
    from swarfbook.book.renaming import Renamed
    from swarfbook.book.users import User

AnswerT = TypeVar("AnswerT")
MOST_NAMED = 3  # recipes and jobs that followed a rename
FOLLOWING = {"recipe": "recipes backed off from it, jobs", "tool": "recipes that name it"}
"""What follows a rename of some kinds."""
SAVE_FIRST = "save first (s), or take the changes back (u)"


class Doubling(Keyed[AnswerT]):
    """A screen with a record at hand, as far as others begin with its text.

    Attributes:
        desk: the book and what is open.
        kind: kind of the records.
    """

    desk: Desk
    kind: str = "recipe"

    @property
    def at_hand(self) -> str | None:
        """Id of the record at hand; None while there is none."""
        raise NotImplementedError

    def turn_to(self, record: str, message: str) -> None:
        """Show another record of the kind, and say what was done."""
        raise NotImplementedError

    def say(self, message: str) -> None:
        """Say something until the next key."""
        raise NotImplementedError

    def unsaved(self) -> Mapping[str, Any]:
        """Give what differs between the record at hand and its file, nested as in the file."""
        draft = self.desk.drafts.get(self.at_hand or "")
        return draft.changes if draft else {}

    def ask_another(self) -> None:
        """Ask an id for another record like this one, its changes in it."""
        record = self.at_hand
        if record is None or not self._may_write():
            return
        trial = ", on trial" if self.kind == "recipe" else ""
        mine = f"with this {KINDS[self.kind]}'s text and your changes"
        prompt = PromptScreen(
            f"Another {KINDS[self.kind]} like {record}: its id",
            hint=f"a new file {mine}{trial}; the old one stays as it is",
            text=proposal(self.desk.book, self.kind, record),
            check=lambda new: begin(self.desk.book, self.kind, record, new, self.unsaved()),
        )
        self.app.push_screen(prompt, self._take_another)

    def _take_another(self, new: str | None) -> None:
        if new is None:
            return
        if self.kind == "recipe" and (draft := self.desk.drafts.get(self.at_hand or "")):
            draft.discard()
        trial = ", on trial" if self.kind == "recipe" else ""
        self.turn_to(new, f"{file_name(self.kind, new)} begun{trial}")

    def _may_write(self) -> bool:
        if self.desk.book.built_in:
            self.say(READ_ONLY)
        return not self.desk.book.built_in


class Shelving(Doubling[AnswerT]):
    """A screen with a record at hand, as far as it renames it, deletes it and brings deleted ones back."""

    def turn_away(self, message: str) -> None:
        """Show whatever is left, the record at hand being gone, and say what was done."""
        raise NotImplementedError

    def keeps(self) -> bool:
        """Say whether changes to the record at hand wait on the desk while another is shown."""
        raise NotImplementedError

    def take_back(self, message: str) -> None:
        """Show the record as its file has it again, and say what was done."""
        raise NotImplementedError

    def action_history(self) -> None:
        """Open the states that the record's file has had."""
        from swarfbook.tui.history_screen import HistoryScreen

        record = self.at_hand
        if record is None:
            return
        try:
            screen = HistoryScreen(self.desk.book, self.kind, record, unsaved=bool(self.unsaved()))
        except SwarfbookError as error:
            self.say(f"its history does not read: {error.problems[0].remedy}")
        else:
            self.app.push_screen(screen, lambda done: self.take_back(done) if done else None)

    def action_rename(self) -> None:
        """Ask for another id."""
        record = self.at_hand
        if record is None or not self._may_write():
            return
        if self.unsaved() or self.desk.unsaved():
            self.say(SAVE_FIRST)
            return
        names = FOLLOWING.get(self.kind, "recipes and jobs that name it")
        prompt = PromptScreen(
            f"Another id for {record}",
            hint=f"the file's name; {names} and the run log follow",
            text=record,
            check=lambda new: "" if new == record else taken(self.desk.book, self.kind, new),
        )
        self.app.push_screen(prompt, lambda new: self._rename(record, new))

    def _rename(self, record: str, new: str | None) -> None:
        if new is None or new == record:
            return
        done: list[Renamed] = []
        busy = BusyScreen(
            f"renaming {record}; what names it is written",
            lambda: done.append(self.desk.book.rename(self.kind, record, new)),
        )
        self.app.push_screen(busy, lambda refusal: self._renamed(refusal, done))

    def _renamed(self, refusal: str | None, done: Sequence[Renamed]) -> None:
        if refusal or not done:
            self.say(f"not renamed: {refusal}")
            return
        self.desk.read_anew()
        followed = f"{_followed(done[0].followed)}{unkept(self.desk.book)}"
        self.turn_to(done[0].new, f"{done[0].old} is {done[0].new} now{followed}")

    # Away, and back

    def action_delete(self) -> None:
        """Ask whether to delete the record."""
        record = self.at_hand
        if record is None or not self._may_write():
            return
        lines = [f"Delete {record}? B brings it back, in this book's own store of deleted records."]
        if self.unsaved():
            lines.append("Its changes that are not saved go with it.")
        self.app.push_screen(AskScreen(lines, {"y": "delete it"}), self._delete)

    def _delete(self, answer: str | None) -> None:
        record = self.at_hand
        if answer is None or record is None:
            return
        busy = BusyScreen(
            f"deleting {record}; every recipe and job is asked whether it names it",
            lambda: self.desk.book.delete(self.kind, record),
        )
        self.app.push_screen(busy, lambda refusal: self._deleted(record, refusal))

    def _deleted(self, record: str, refusal: str | None) -> None:
        if refusal:
            self.say(f"not deleted: {refusal}")
        else:
            self.turn_away(f"{record} is deleted; B brings it back{unkept(self.desk.book)}")

    def action_bring_back(self) -> None:
        """Choose a deleted record of the kind to bring back."""
        if not self._may_write():
            return
        if not self.keeps():
            self.say(SAVE_FIRST)
            return
        choices = deleted(self.desk.book, self.kind)
        if choices:
            screen = ChooseScreen(f"Bring back a {KINDS[self.kind]}", choices)
            self.app.push_screen(screen, self._bring_back)
        else:
            self.say(f"no {KINDS[self.kind]} was deleted")

    def _bring_back(self, record: str | None) -> None:
        if record is None:
            return
        try:
            self.desk.book.restore(self.kind, record)
        except SwarfbookError as error:
            self.say(f"not brought back: {error.problems[0].remedy}")
        else:
            self.turn_to(record, f"{record} is back{unkept(self.desk.book)}")


def deleted(book: Book, kind: str) -> list[Choice]:
    """Give the records of a kind that can be brought back, the latest first, each id once."""
    gone = {one.id: one for one in reversed(book.deleted()) if one.kind == kind}
    return [
        Choice(one.id, one.id, aside=f"deleted {one.at:%Y-%m-%d %H:%M}") for one in [*gone.values()][::-1]
    ]


def _followed(users: Sequence[User]) -> str:
    if not users:
        return ""
    named = ", ".join(user.called for user in users[:MOST_NAMED])
    more = len(users) - MOST_NAMED
    return f"; {named}{f' and {more} more' if more > 0 else ''} followed"
