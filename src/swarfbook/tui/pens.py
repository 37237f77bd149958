"""Pens: what is in hand while one value of the sentence is being written. Pure state, no widget."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Protocol

from swarfbook import quantities, records
from swarfbook.decisions.following import DIMENSIONS, OTHER_FEED, Facts, leading
from swarfbook.errors import SwarfbookError
from swarfbook.frozen import frozen
from swarfbook.quantities import QuantityError
from swarfbook.tui.amend import amended
from swarfbook.tui.line_edit import LineEdit

MAY_GO = frozenset({"allowance", "tolerance", "wear"})


class Pen(Protocol):
    """What the page asks of a pen.

    Attributes:
        key: the recipe's key that is being written.
    """

    key: str

    def press(self, key: str, character: str | None) -> bool:
        """Take a key; False if this pen has no use for it."""

    def changes(self) -> Mapping[str, Any]:
        """Give what the value would become; raises QuantityError, in words, where it is none yet."""

    def shown(self) -> tuple[str, int | None]:
        """Give the text that stands in the sentence meanwhile and the caret's place, None for no caret."""


@dataclass(slots=True)
class LinePen:
    """A value being typed over the one that stands.

    Attributes:
        key: the record's key, dotted where it stands in a table.
        before: the value as it stood.
        line: what is typed so far.
    """

    key: str
    before: str
    line: LineEdit

    @property
    def dimension(self) -> str:
        """Dimension of the value; empty for words of a person's own."""
        return ""

    def press(self, key: str, character: str | None) -> bool:
        """Take a key that edits the line; see `Pen`."""
        return self.line.press(key, character)

    def shown(self) -> tuple[str, int | None]:
        """Give the line as typed, with the unit it would get while none is typed; see `Pen`."""
        bare = not any(char.isalpha() or char in '%"' for char in self.line.text)
        unit = f" {self._unit()}".rstrip() if self.dimension and bare else ""
        return self.line.text + unit, self.line.caret

    def _unit(self) -> str:
        try:
            return quantities.pretty(quantities.read(self.before, self.dimension).unit)
        except QuantityError:
            return quantities.preferred_unit(self.dimension)


@dataclass(slots=True)
class NumberPen(LinePen):
    """A number with its unit, being typed.

    Attributes:
        kind: kind of record.
    """

    kind: str = "recipe"

    @property
    def dimension(self) -> str:
        """Dimension of the value."""
        return records.dimension(self.kind, self.key) or ""

    def changes(self) -> Mapping[str, Any]:
        """Give the value and, for a feed, the other one taken out; see `Pen`."""
        typed = self.line.text.strip()
        if typed == self.before.strip():
            return {}
        if not typed and may_go(self.kind, self.key):
            return {self.key: None}
        before = "" if typed.startswith("-") and _takes_a_sign(self.kind, self.key) else self.before
        text = amended(typed, before=before, dimension=self.dimension)
        _refuse_out_of_range(self.kind, self.key, text)
        other = OTHER_FEED.get(self.key)
        return {self.key: text, other: None} if other else {self.key: text}


@dataclass(slots=True)
class FollowPen(LinePen):
    """A value of the sentence that follows from a written one, which is what changes in the file.

    Attributes:
        values: the recipe as typed.
        facts: of its cutter and machine.
    """

    values: Mapping[str, Any]
    facts: Facts

    @property
    def dimension(self) -> str:
        """Dimension of the value."""
        return DIMENSIONS[self.key]

    def changes(self) -> Mapping[str, Any]:
        """Give the written value that makes this one what is typed; see `Pen`."""
        typed = self.line.text.strip()
        if typed == self.before.strip():
            return {}
        text = amended(typed, before=self.before, dimension=self.dimension)
        changes = leading(self.key, quantities.parse(text, self.dimension), self.values, self.facts)
        for key, value in changes.items():
            _refuse_out_of_range("recipe", key, value)
        return changes


@dataclass(slots=True)
class TextPen(LinePen):
    """Words of a person's own, being typed: a name, a note.

    Attributes:
        kind: kind of record.
    """

    kind: str = "recipe"

    def changes(self) -> Mapping[str, Any]:
        """Give the words, a note that is emptied taken out; see `Pen`."""
        text = self.line.text.strip()
        if not text and self.key == "notes":
            return {self.key: None}
        _refuse_out_of_range(self.kind, self.key, text)
        return {self.key: text}


def may_go(kind: str, key: str) -> bool:
    """Say whether a value may be emptied; a recipe's one feed and what its operation needs may not."""
    return key in MAY_GO if kind == "recipe" else not records.required(kind, key)


def _takes_a_sign(kind: str, key: str) -> bool:
    # A helix of -30 deg is a down-cut: there a minus is the value's own and no change of what stands.
    return records.dimension(kind, key) == "angle" and records.takes(kind, key, "-1 deg")


def _refuse_out_of_range(kind: str, key: str, text: str) -> None:
    try:
        records.read_value(kind, key, text)
    except SwarfbookError as error:
        raise QuantityError(error.problems[0].remedy) from None


@frozen
class Option:
    """One word that may stand.

    Attributes:
        value: the word as the file has it.
        said: how the sentence says it.
    """

    value: str
    said: str


@dataclass(slots=True)
class WordPen:
    """A word from a list, being chosen: up and down walk, letters find.

    Attributes:
        key: the recipe's key.
        options: what may stand.
        place: the option in hand.
        letters: what was typed to find it.
    """

    key: str
    options: Sequence[Option]
    place: int = 0
    letters: str = field(default="")

    def press(self, key: str, character: str | None) -> bool:
        """Walk with up and down, find by letters; see `Pen`."""
        if key in ("up", "down"):
            self.letters = ""
            self.place = (self.place + (1 if key == "down" else -1)) % len(self.options)
            return True
        if key == "backspace":
            self.letters = self.letters[:-1]
            return True
        if character is not None and character.isprintable():
            self._find(self.letters + character)
            return True
        return False

    def _find(self, letters: str) -> None:
        # A letter that leads nowhere starts the search afresh, so that a slip does not have to be erased.
        for sought in (letters, letters[-1]):
            hits = [place for place, option in enumerate(self.options) if _matches(option, sought)]
            starts = [place for place in hits if self.options[place].value.startswith(sought.lower())]
            if hits:
                self.letters, self.place = sought, (starts or hits)[0]
                return

    def changes(self) -> Mapping[str, Any]:
        """Give the word in hand; see `Pen`."""
        return {self.key: self.options[self.place].value}

    def shown(self) -> tuple[str, int | None]:
        """Give the word as the sentence says it; see `Pen`."""
        return self.options[self.place].said, None


def _matches(option: Option, letters: str) -> bool:
    said = f"{option.value} {option.said}".lower()
    return all(word in said for word in letters.lower().split())
