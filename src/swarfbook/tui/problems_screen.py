"""Everything in the book that does not read or fit, over the page; a file opens in the person's editor."""

from __future__ import annotations

from dataclasses import dataclass

from textual import on, work
from textual.message import Message
from textual.worker import get_current_worker

from swarfbook.book import Book
from swarfbook.decisions.troubles import look_through
from swarfbook.errors import Problem
from swarfbook.reports.breaking import wrap
from swarfbook.reports.trouble_page import ALL_WELL, bad_files, file_of, trouble_text
from swarfbook.reports.words import counted
from swarfbook.tui import outside
from swarfbook.tui.beside import Pace
from swarfbook.tui.commands import footer
from swarfbook.tui.desk import READ_ONLY
from swarfbook.tui.finding import Finder
from swarfbook.tui.lines import Line
from swarfbook.tui.rows_screen import RowsScreen
from swarfbook.tui.watching import STEPS

KEY_WIDTH = 24
TOLD = 200  # recipes between two messages


@dataclass(frozen=True, slots=True)
class TroubleRow:
    """One problem as a row.

    Attributes:
        problem: the problem.
    """

    problem: Problem

    @property
    def id(self) -> str:
        """What tells it from the others."""
        return f"{self.problem.where} {self.problem.key} {self.problem.remedy}"

    @property
    def group(self) -> str:
        """The file it stands in."""
        return self.problem.where

    @property
    def words(self) -> str:
        """Nothing is looked for on this screen."""
        return ""


class Looked(Message):
    """The book was looked through."""

    def __init__(self, problems: list[Problem]) -> None:
        super().__init__()
        self.problems = problems


class Looking(Message):
    """So many recipes were looked at."""

    def __init__(self, done: int) -> None:
        super().__init__()
        self.done = done


class ProblemsScreen(RowsScreen[int | None]):
    """Lists the problems file by file; gives how many files have any, or None where it was cut off."""

    MODE = "problems"

    def __init__(self, book: Book, *, first: str = "") -> None:
        """Look through a book.

        Args:
            book: the book.
            first: the file whose first problem is chosen to begin with; empty for the first of all.
        """
        super().__init__()
        self.book = book
        self.message = ""
        self._first = first
        self._finder: Finder[TroubleRow] = Finder()
        self._looking, self._done = True, 0

    def on_mount(self) -> None:
        """Begin to look."""
        self.look()

    @work(thread=True, exclusive=True)
    def look(self) -> None:
        """Look through the book beside the keys: thousands of recipes take a while."""
        pace, found = Pace(get_current_worker(), every=STEPS), list[Problem]()
        for done, problems in look_through(self.book):
            if pace.stops():
                return
            found += problems
            if done % TOLD == 0:
                self.post_message(Looking(done))
        self.post_message(Looked(found))

    @on(Looking)
    def take_step(self, message: Looking) -> None:
        """Show how far the looking has come."""
        self._done = message.done
        self.draw()

    @on(Looked)
    def take_problems(self, message: Looked) -> None:
        """Show what was found."""
        rows = [TroubleRow(problem) for problem in message.problems]
        at_first = next((row.id for row in rows if row.group == self._first), None)
        self._finder.fill(rows, self._finder.chosen or at_first)
        self._looking = False
        self.draw()

    @property
    def problem(self) -> Problem | None:
        """The chosen problem."""
        return self._finder.hits[self._finder.place].problem if self._finder.hits else None

    # What is drawn

    def rows(self) -> Finder[TroubleRow]:
        """Give the problems."""
        return self._finder

    def head(self, width: int) -> list[Line]:
        """Say how many there are, or that there are none."""
        if self._looking:
            done = f" {self._done} recipes" if self._done else ""
            return [[(f" looking through the book …{done}", "faint")], []]
        if self.problem is None:
            return [[(f" {line}", "strong")] for line in wrap(ALL_WELL, width - 2)]
        count = f"{counted(len(self._finder.rows), 'problem')} in {counted(self._bad_files(), 'file')}"
        return [[(f" {count}", "strong")], []]

    def row(self, at: int, width: int) -> Line:
        """Write one problem: its key and what would do."""
        problem, chosen = self._finder.hits[at].problem, at == self._finder.place
        text = f"{' ▸' if chosen else '  '} {problem.key or 'the file':<{KEY_WIDTH}} {trouble_text(problem)}"
        short = text if len(text) < width else f"{text[: width - 2]}…"
        return [(short, "strong" if chosen else "plain")]

    def detail(self, width: int, height: int) -> list[Line]:
        """Say the chosen problem in full, or what the last command has to say."""
        problem = self.problem
        text = self.message or (trouble_text(problem) if problem else "")
        style = "strong" if self.message else "plain"
        return [[(f" {line}", style)] for line in wrap(text, width - 2, break_on_hyphens=False)[:height]]

    def foot(self, width: int) -> str:
        """Give the hints for the keys."""
        return footer(self.MODE, width, self.usable)

    # Keys

    def usable(self, action: str) -> bool:
        """Say whether a command can do anything now."""
        return action != "open" or self.problem is not None

    def before_key(self) -> None:
        """Forget what the last command had to say."""
        self.message = ""

    def action_open(self) -> None:
        """Open the file of the chosen problem in the person's editor, then look again."""
        if self.problem is None:
            return
        if self.book.built_in:
            self.message = READ_ONLY
        else:
            self.message = outside.edit(self.app, self.book.root / file_of(self.problem))
            self.look()
        self.draw()

    def action_read_again(self) -> None:
        """Look through the book again."""
        self._looking, self._done = True, 0
        self.draw()
        self.look()

    def action_close(self) -> None:
        """Go back."""
        self.dismiss(None if self._looking else self._bad_files())

    def _bad_files(self) -> int:
        return bad_files(row.problem for row in self._finder.rows)
