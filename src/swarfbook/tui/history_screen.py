"""The states of a record over its page, the latest first: what each changed, and back to one."""

from __future__ import annotations

from dataclasses import dataclass

from swarfbook.book import Book
from swarfbook.book.ids import called
from swarfbook.errors import SwarfbookError, undriven
from swarfbook.reports.breaking import wrap
from swarfbook.reports.history_page import (
    MARK,
    NONE_YET,
    ToldState,
    difference,
    held_against,
    since_text,
    told_states,
    when_text,
)
from swarfbook.reports.words import counted, cut_to
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.commands import footer
from swarfbook.tui.desk import READ_ONLY
from swarfbook.tui.filed import unkept
from swarfbook.tui.finding import Finder
from swarfbook.tui.lines import Line
from swarfbook.tui.rows_screen import RowsScreen
from swarfbook.tui.text_screen import TextScreen

KEPT = "What it holds now stays in the history."
NOT_SAVED = "Changes that are not saved leave the page; u puts them back on it."


@dataclass(frozen=True, slots=True)
class StateRow:
    """A state as a row.

    Attributes:
        told: the state.
        group: no heading stands above it.
        words: nothing is looked for on this screen.
    """

    told: ToldState
    group: str = ""
    words: str = ""

    @property
    def id(self) -> str:
        """What tells it from the others: its number."""
        return str(self.told.state.number)


class HistoryScreen(RowsScreen[str | None]):
    """Gives what was done, in words, once a state is the record's again; None for going back."""

    MODE = "history"

    def __init__(self, book: Book, kind: str, record: str, *, unsaved: bool) -> None:
        """Read the states of a record; raises SwarfbookError where its history does not read.

        Args:
            book: the book.
            kind: kind of record.
            record: its id.
            unsaved: its page has changes that are not saved.
        """
        super().__init__()
        self.book = book
        self.kind = kind
        self.record = record
        self.message = ""
        self._unsaved = unsaved
        self._finder: Finder[StateRow] = Finder()
        self.read()

    def read(self) -> None:
        """Read the states; raises SwarfbookError where they do not read."""
        history = self.book.history
        self._states, self._now = history.states(self.kind, self.record), history.now(self.kind, self.record)
        rows = [StateRow(one) for one in told_states(self._states, self._now)]
        self._finder.fill(rows, self._finder.chosen)

    @property
    def chosen(self) -> ToldState | None:
        """The chosen state; None where none is kept."""
        return self._finder.hits[self._finder.place].told if self._finder.hits else None

    # What is drawn

    def rows(self) -> Finder[StateRow]:
        """Give the states."""
        return self._finder

    def head(self, width: int) -> list[Line]:
        """Name the record, and say what another program wrote since the last state."""
        gone = "" if self._now is not None else " · not in the book now"
        count = counted(len(self._states), "state")
        first = f"History of {called(self.kind, self.record)} · {count}{gone}"
        since = since_text(self._states, self._now)
        told = wrap(undriven(since), width - 2, break_on_hyphens=False)
        return [[(f" {cut_to(first, width - 2)}", "strong")], *([(f" {line}", "plain")] for line in told), []]

    def row(self, at: int, width: int) -> Line:
        """Write one state."""
        told, chosen = self._finder.hits[at].told, at == self._finder.place
        text = f"{' ▸' if chosen else '  '}{told.text}"
        return [(cut_to(text, width - 1), "strong" if chosen else "plain")]

    def detail_height(self) -> int:
        """Rows for what the chosen state changed: what the list leaves, or half the screen."""
        left = self.size.height // 2 - len(self._states)
        return max(left, super().detail_height())

    def detail(self, width: int, height: int) -> list[Line]:
        """Say in full what the chosen state changed, or what the last command has to say."""
        text = self.message or (self.chosen.told if self.chosen else NONE_YET)
        style = "strong" if self.message else "plain"
        lines = wrap(text, width - 2, break_on_hyphens=False)
        if len(lines) >= height:
            lines[height - 1 :] = [cut_to(" ".join(lines[height - 1 :]), width - 2)]
        return [[(f" {line}", style)] for line in lines]

    def foot(self, width: int) -> str:
        """Give the hints for the keys."""
        return footer(self.MODE, width, self.usable)

    # Keys

    def usable(self, action: str) -> bool:
        """Say whether a command can do anything now."""
        return action not in ("open", "bring_back") or self.chosen is not None

    def before_key(self) -> None:
        """Forget what the last command had to say."""
        self.message = ""

    def say(self, message: str) -> None:
        """Say something until the next key."""
        self.message = message
        self.draw()

    def action_open(self) -> None:
        """Read what differs from the chosen state to the file as it is now."""
        if self.chosen is None:
            return
        number = self.chosen.state.number
        after, to = held_against(self._states, self._now)
        text = difference(self.chosen.state.data, after, (f"in state {number}", f"in it {to}"))
        title = f"{called(self.kind, self.record)}: from state {number} to {to}"
        lines = undriven(text).splitlines() or [" no difference"]
        self.app.push_screen(TextScreen(title, lines))

    def action_bring_back(self) -> None:
        """Ask whether the record is to be as in the chosen state again."""
        if self.chosen is None:
            return
        if self.book.built_in:
            self.say(READ_ONLY)
        elif self.chosen.stands:
            self.say(f"it is as in state {self.chosen.state.number} now; {MARK} marks that one")
        else:
            state = self.chosen.state
            name = called(self.kind, self.record)
            question = [f"{name} as in state {state.number} again, of {when_text(state)}? {KEPT}"]
            question += [NOT_SAVED] if self._unsaved else []
            self.app.push_screen(AskScreen(question, {"y": "bring it back"}), self._bring_back)

    def _bring_back(self, answer: str | None) -> None:
        if answer is None or self.chosen is None:
            return
        number = self.chosen.state.number
        try:
            self.book.restore_state(self.kind, self.record, number)
        except SwarfbookError as error:
            self.say(f"not brought back: {error.problems[0].remedy}")
        else:
            self.dismiss(f"{self.record} is as in state {number} again{unkept(self.book)}")

    def action_close(self) -> None:
        """Go back to the page."""
        self.dismiss(None)
