"""The state of a page of a record's values: chosen key, pen, what to say. No widget."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from swarfbook import records
from swarfbook.book import Book
from swarfbook.errors import Problem
from swarfbook.quantities import QuantityError
from swarfbook.reports.measuring import Topic
from swarfbook.reports.part_page import Fact, facts, topic_of
from swarfbook.reports.part_words import label
from swarfbook.tui import job_facts
from swarfbook.tui.desk import Desk
from swarfbook.tui.filed import FiledSheet
from swarfbook.tui.finding import Finder
from swarfbook.tui.pens import Pen
from swarfbook.tui.places import any_entry, value_at
from swarfbook.tui.record_draft import RecordDraft
from swarfbook.tui.record_pens import pen_for

FROM_TABLES = (
    "this stands in the tables: w says where; another row, or a number of your own above, changes it"
)
BY_LOG, RUN_LOG = "what each one has cut", "the run log"
FROM_LOG = "this stands in the run log, where runs can be corrected"
TOO_LONG = "too long to write on a line, or has several: e opens the file"


class RecordSheet(FiledSheet):
    """What the page of a record shows and what its keys do to it.

    Attributes:
        desk: the book and what is open.
        draft: the record being worked on.
        finder: its facts, and which is chosen.
        pen: what is being written; None while nothing is.
        refusal: why what is written is no value yet; empty where it is one.
        problems: why what stands on the page does not fit; of what is being written while something is.
        message: what the last command has to say, until the next key.
        on_disk: the file changed under changes made here.
    """

    def __init__(self, desk: Desk, kind: str, record_id: str) -> None:
        """Take a record from the book; raises SwarfbookError if its file does not read."""
        self.desk = desk
        self.finder: Finder[Fact] = Finder()
        self.message = ""
        self.turn_to(RecordDraft(desk.book, kind, record_id))

    def turn_to(self, draft: RecordDraft) -> None:
        """Show a record from its beginning."""
        self.draft = draft
        self.pen: Pen | None = None
        self.refusal = ""
        self.problems: tuple[Problem, ...] = ()
        self.on_disk = False
        self.judge()

    @property
    def filed(self) -> RecordDraft:
        """The record at hand."""
        return self.draft

    @property
    def book(self) -> Book:
        """The book it belongs to."""
        return self.desk.book

    @property
    def kind(self) -> str:
        """Kind of the record."""
        return self.draft.kind

    @property
    def fact(self) -> Fact:
        """The chosen fact."""
        return self.finder.hits[self.finder.place]

    @property
    def writing(self) -> bool:
        """Whether something is being typed."""
        return self.pen is not None

    def judge(self) -> None:
        """Read the facts anew, and judge what is being written."""
        draft = self.draft
        self.finder.fill([*self._facts(), *self._cutters()], self.finder.chosen)
        self.refusal, self.problems = "", draft.problems
        if self.pen is None:
            return
        try:
            self.problems = draft.preview(self._written())
        except QuantityError as error:
            self.refusal = str(error)

    def _facts(self) -> list[Fact]:
        draft, system = self.draft, self.desk.system
        if self.kind == "job":
            return job_facts.facts(draft.values, system)
        return facts(self.kind, draft.values, draft.record, self.book.settings, system=system)

    def _cutters(self) -> Iterator[Fact]:
        """Say of a kind of cutter what each one of it has cut."""
        for one in self.desk.logbook.cutters(self.draft.id) if self.kind == "tool" else ():
            told = f"{one.told}, last: clean" if one.last.clean else one.told
            yield Fact("", one.name or "not named", BY_LOG, one.name, told, origin=RUN_LOG)

    def choose(self, key: str) -> None:
        """Choose a value by its key; one that ends in a dot chooses the first below it."""
        keys = (at for at, fact in enumerate(self.finder.hits) if fact.key == key or _heads(key, fact.key))
        self.finder.place = next(keys, self.finder.place)

    def changed(self, key: str) -> bool:
        """Say whether a value differs from the file."""
        return key in self.draft.changed_keys()

    @property
    def by_log(self) -> bool:
        """Whether the chosen fact is of the run log and not of the record."""
        return self.fact.origin == RUN_LOG

    def label(self, key: str) -> str:
        """Say a key."""
        return job_facts.in_full(key) if self.kind == "job" else label(self.kind, key)

    def topic(self) -> Topic | None:
        """Give the page that says how to measure the chosen value; None where there is none."""
        return topic_of(self.fact)

    # Writing

    def starts(self, character: str | None) -> bool:
        """Say whether a character begins a number where one is chosen."""
        key, given = any_entry(self.fact.key), self.fact.given
        bare = isinstance(given, int | float) and not isinstance(given, bool)
        number = records.dimension(self.kind, key) or bare
        return bool(key and number and not records.is_list(self.kind, key) and character)

    def write(self, typed: str | None = None) -> None:
        """Take a pen to the chosen value; `typed` is what it begins with, None the value as it stands."""
        key = self.fact.key
        if not key:
            self.message = FROM_LOG if self.by_log else FROM_TABLES
            return
        ids = job_facts.words_of(self.desk, key, self.draft.values) if self.kind == "job" else ()
        now = value_at(self.draft.values, key)
        self.pen = pen_for(self.kind, any_entry(key), now, typed, ids)
        if self.pen is None:
            self.message = TOO_LONG
        self.judge()

    def press(self, key: str, character: str | None) -> None:
        """Give a key to what is being typed."""
        if self.pen is not None and self.pen.press(key, character):
            self.judge()

    def keep(self) -> bool:
        """Put what is written into the record; False, with `refusal`, where it is no value."""
        if self.pen is None:
            return False
        try:
            changes = self._written()
        except QuantityError as error:
            self.refusal = str(error)
            return False
        self.pen = None
        self.set(changes)
        return True

    def _written(self) -> dict[str, Any]:
        """Give what the pen changes, by place; raises QuantityError where that is no value yet."""
        pen = self.pen
        changes = pen.changes() if pen else {}
        # A pen knows its key, and only the chosen row which entry of a list that is of; an empty word is
        # the choice to leave it out.
        return {
            self.fact.key if pen and key == pen.key else key: None if value == "" else value
            for key, value in changes.items()
        }

    def set(self, changes: Mapping[str, Any]) -> None:
        """Make changes, by dotted key."""
        self.draft.change(changes)
        self.judge()

    def give_up(self) -> None:
        """Put the pen away; the value stays as it was."""
        self.pen = None
        self.judge()

    def look_at_disk(self) -> bool:
        """Notice that the file changed, unless something is being written; see `notice`."""
        return not self.writing and self.notice()


def _heads(head: str, key: str) -> bool:
    return head.endswith(".") and key.startswith(head)
