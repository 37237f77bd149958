"""Reading and judging all recipes of a book, in steps small enough to rest between. No widget.

What was read and judged is kept between openings of the list: a file is read again only when its stamp
changed, a recipe is judged again only when it or what it is cut with did.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from swarfbook.book.glance import glance
from swarfbook.book.index_file import Brief
from swarfbook.book.reading import Stamp, stamp
from swarfbook.decisions.case import Gives, case_of
from swarfbook.decisions.check import check
from swarfbook.decisions.past import Past
from swarfbook.errors import SwarfbookError
from swarfbook.reports.listing import findable, recipe_words
from swarfbook.tui.draft import PARTS, Draft
from swarfbook.tui.logbook import Logbook, parts_of
from swarfbook.tui.shelf import Row, Shelf, Told

Mark = tuple[object, ...]
"""What a row or a verdict was made from; a new one is due when it is no longer the same."""
Parts = tuple[str, ...]
"""Ids of a recipe's machine, cutter and material."""

READ, NEW, SAME = 64, 8, 1  # what a row costs whose file is read, that is made, that stays as it was


class Catalogue:
    """What is known of the recipes of a book.

    Attributes:
        book: the book.
        logbook: its run log, as far as it is known.
        drafts: the recipes on the desk, by id; those with changes are listed as they stand there.
        shelf: the list as it was left.
    """

    def __init__(self, logbook: Logbook, drafts: Mapping[str, Draft]) -> None:
        self.book = logbook.book
        self.logbook = logbook
        self.drafts = drafts
        self.shelf = Shelf()
        self.rows: dict[str, tuple[Mark, Parts, Row]] = {}
        self.told: dict[str, tuple[Mark, Told]] = {}

    def values(self, recipe: str) -> Mapping[str, Any]:
        """Give a recipe as it stands on the desk, else as typed in its file; raises SwarfbookError."""
        draft = self.drafts.get(recipe)
        return draft.values if draft and draft.dirty else glance(self.book, "recipe", recipe)


class Look:
    """One look over the book, beside the keys: what other files say is asked once.

    Attributes:
        ids: every recipe there is.
    """

    def __init__(self, catalogue: Catalogue) -> None:
        self._catalogue = catalogue
        self._look = catalogue.book.index.look()
        self._stamps = self._look.stamps
        self._drafts = {key: one.values for key, one in list(catalogue.drafts.items()) if one.dirty}
        self._names: dict[tuple[str, str], str] = {}
        self._parts: dict[tuple[str, str], Stamp | None] = {}
        self._pasts: dict[Parts, Past | None] = {}
        self._gives = Gives()
        self.ids = list(self._stamps)

    def read(self) -> Iterator[list[Row]]:
        """Yield the rows the shelf does not have as they are, in steps of what it costs to read a file."""
        rows, cost, reads = list[Row](), 0, 0
        for brief in self._look:
            row = self._fresh_row(brief)
            rows += [row] if row is not None else []
            cost += READ if self._look.reads > reads else NEW if row is not None else SAME
            reads = self._look.reads
            if cost >= READ:
                yield rows
                rows, cost = [], 0
        yield rows

    def judge(self, sight: Callable[[], Sequence[str]]) -> Iterator[tuple[str, Told]]:
        """Yield what is worked out of each recipe, one a step, those in sight first.

        Args:
            sight: gives the ids in sight now; asked at every step.
        """
        waiting = dict.fromkeys(recipe for recipe in self.ids if not self.told(recipe))
        while waiting:
            recipe = next((one for one in sight() if one in waiting), None) or next(iter(waiting))
            del waiting[recipe]
            yield recipe, self._judged(recipe)

    # Rows

    def _mark(self, recipe: str) -> Mark:
        return (self._stamps[recipe], self._drafts.get(recipe))

    def _fresh_row(self, brief: Brief) -> Row | None:
        recipe = brief.id
        rows, mark = self._catalogue.rows, (brief, self._drafts.get(recipe))
        if recipe in rows:
            before, parts, row = rows[recipe]
            if before == mark and self._named(parts) == (row.machine, row.tool, row.material):
                # One that was read when the list was closed never came to the shelf.
                return None if self._catalogue.shelf.known.get(recipe) == row else row
        parts, row = self._row(brief)
        rows[recipe] = mark, parts, row
        return row

    def _row(self, brief: Brief) -> tuple[Parts, Row]:
        recipe, values = brief.id, self._drafts.get(brief.id, brief.values)
        if brief.problems and recipe not in self._drafts:
            words = findable(f"{recipe} {SwarfbookError(*brief.problems)}")
            return (), Row(recipe, recipe, words=words, trouble=str(brief.problems[0]))
        parts = tuple(str(values.get(kind)) for kind in PARTS)
        names = self._named(parts)
        name, standing = str(values.get("name", recipe)), str(values.get("standing", ""))
        words = recipe_words(recipe, values, names)
        return parts, Row(
            recipe, name, names[0], names[1], names[2], standing, words, dirty=recipe in self._drafts
        )

    def _named(self, parts: Parts) -> tuple[str, ...]:
        return tuple(map(self._name, PARTS, parts)) if parts else ("", "", "")

    def _name(self, kind: str, record: str) -> str:
        if (kind, record) not in self._names:
            try:
                self._names[kind, record] = str(self._catalogue.book.get(kind, record).raw["name"])
            except SwarfbookError:
                self._names[kind, record] = record
        return self._names[kind, record]

    # Verdicts

    def told(self, recipe: str) -> bool:
        """Say whether the shelf has what a recipe comes to now; nothing is to come of one unread or gone."""
        if recipe not in self._stamps or self._catalogue.rows[recipe][2].trouble:
            return True
        known = self._known(recipe)
        return known is not None and self._catalogue.shelf.told.get(recipe) == known

    def _known(self, recipe: str) -> Told | None:
        """Give what was worked out of a recipe as it and its parts stand now; None where nothing was."""
        before = self._catalogue.told.get(recipe)
        same = before is not None and before[0] == self._whole(recipe, self._catalogue.rows[recipe][1])
        return before[1] if before is not None and same else None

    def _whole(self, recipe: str, parts: Parts) -> Mark:
        return (self._mark(recipe), *map(self._part, PARTS, parts), self._past(parts))

    def _part(self, kind: str, record: str) -> Stamp | None:
        if (kind, record) not in self._parts:
            self._parts[kind, record] = stamp(self._catalogue.book.path(kind, record))
        return self._parts[kind, record]

    def _past(self, parts: Parts) -> Past | None:
        if parts not in self._pasts:
            machine, tool, material = parts
            three, logbook = (machine, tool, material), self._catalogue.logbook
            try:
                self._pasts[parts] = logbook.past(three, parts_of(logbook.book, three))
            except SwarfbookError:
                self._pasts[parts] = None
        return self._pasts[parts]

    def _judged(self, recipe: str) -> Told:
        known = self._known(recipe)
        if known is not None:
            return known
        told = self._told(recipe)
        self._catalogue.told[recipe] = self._whole(recipe, self._catalogue.rows[recipe][1]), told
        return told

    def _told(self, recipe: str) -> Told:
        try:
            values = self._catalogue.values(recipe)
            case = case_of(self._catalogue.book, recipe, values, self._gives)
            return Told.of(check(self._catalogue.logbook.judged(case)))
        except SwarfbookError as error:
            return Told(trouble=error.problems[0].remedy)
