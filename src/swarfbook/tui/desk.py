"""The desk: the book, the recipes being worked on and the one on top. No widget."""

from __future__ import annotations

from swarfbook import records
from swarfbook.book import Book
from swarfbook.decisions.following import DIMENSIONS
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.reports.sentence import WORDS
from swarfbook.tui.catalogue import Catalogue
from swarfbook.tui.draft import PARTS, Draft
from swarfbook.tui.job_shelf import JobShelf
from swarfbook.tui.line_edit import LineEdit
from swarfbook.tui.logbook import Logbook
from swarfbook.tui.pens import FollowPen, NumberPen, Option, Pen, TextPen, WordPen

READ_ONLY = "the demo book stays as it is; `swarfbook init --demo DIR` makes a copy to write in"
DEMO = "this is the demo book, read only; `swarfbook init DIR` starts one of your own"


class Desk:
    """What is open.

    Attributes:
        book: the book.
        drafts: the recipes taken out so far, by id; changes in them wait until they are saved or dropped.
        draft: the recipe on top; None while none could be read.
        recipes: how many recipes the book held when last counted.
        bad_files: how many files of the book have problems, as far as they were counted.
        problems: what kept the last recipe asked for from being opened.
        logbook: what is known of the run log.
        catalogue: what is known of all recipes, for the list.
        jobs: the list of jobs as it was left.
        shown: the units asked for on screen, `metric` or `imperial`; None shows values as typed.
    """

    def __init__(self, book: Book, recipe_id: str | None = None) -> None:
        self.book = book
        self.drafts: dict[str, Draft] = {}
        self.draft: Draft | None = None
        self.problems: tuple[Problem, ...] = ()
        self.recipes = self.bad_files = 0
        self.shown: str | None = None
        self.logbook = Logbook(book)
        self.catalogue = Catalogue(self.logbook, self.drafts)
        self.jobs = JobShelf()
        self._open_first(recipe_id)
        self.count()

    @property
    def system(self) -> str:
        """The units of what is worked out: those asked for, else the book's."""
        return self.shown or self.book.settings.units or "metric"

    def switch_units(self) -> str | None:
        """Show the other system's units, then the book's own, then values as typed again; give which."""
        own = self.book.settings.units or "metric"
        other = "imperial" if own == "metric" else "metric"
        self.shown = {None: other, other: own}.get(self.shown)
        return self.shown

    def count(self) -> None:
        """Count the recipes anew; not done at every key, for a folder of ten thousand takes a while."""
        self.recipes = len(self.book.ids("recipe"))

    def _open_first(self, recipe_id: str | None) -> None:
        for candidate in [recipe_id] if recipe_id else self.book.ids("recipe"):
            if self.open(candidate):
                return

    def open(self, recipe_id: str) -> bool:
        """Put a recipe on top; False, with `problems`, if its file does not read."""
        try:
            self.draft = self.drafts.get(recipe_id) or Draft(self.book, recipe_id, self.logbook)
        except SwarfbookError as error:
            self.problems = error.problems
            return False
        self.drafts[recipe_id] = self.draft
        self.problems = ()
        return True

    def close(self, recipe_id: str) -> None:
        """Put a recipe away that is no longer in the book, and open another."""
        self.drafts.pop(recipe_id, None)
        self.draft = None
        self._open_first(None)
        self.count()

    def read_anew(self) -> None:
        """Take the recipe on top from its file again and put the others away: ids may have changed."""
        self.drafts.clear()
        if self.draft is not None:
            self.open(self.draft.recipe_id)

    def judge(self) -> None:
        """Judge every recipe taken out anew."""
        for draft in self.drafts.values():
            draft.judge()

    def unsaved(self) -> list[Draft]:
        """Give the recipes with changes that are not saved."""
        return [draft for draft in self.drafts.values() if draft.dirty]

    def name(self, kind: str, record: str) -> str:
        """Give the name of a record; its id where it cannot be read."""
        try:
            return str(self.book.get(kind, record).raw["name"])
        except SwarfbookError:
            return record

    def names(self) -> dict[str, str]:
        """Give the names of the machine, cutter and material of the recipe on top, by key."""
        values = self.draft.values if self.draft else {}
        return {kind: self.name(kind, str(values.get(kind, ""))) for kind in PARTS}

    def options(self, key: str) -> list[Option]:
        """Give what may stand at a key: the book's records or a closed list's words; empty for numbers."""
        if key in PARTS:
            return [Option(record, self.name(key, record)) for record in self.book.ids(key)]
        return [
            Option(word, WORDS.get(key, {}).get(word, word)) for word in records.choices("recipe", key) or ()
        ]

    def pen(self, key: str, before: str, typed: str | None) -> Pen | None:
        """Take a pen to a value.

        Args:
            key: the recipe's key, or that of a value which follows from one.
            before: the value as it stands in the sentence.
            typed: what was typed to begin with; None starts from the value as it stands.
        """
        line = LineEdit.holding(before if typed is None else typed)
        if key in DIMENSIONS:
            draft = self.draft
            return FollowPen(key, before, line, draft.values, draft.facts) if draft and draft.facts else None
        options = self.options(key)
        if options:
            now = str(self.draft.values.get(key)) if self.draft else ""
            return WordPen(key, options, next((at for at, one in enumerate(options) if one.value == now), 0))
        return (NumberPen if records.dimension("recipe", key) else TextPen)(key, before, line)
