"""A form: its fields, what is said in each so far, and which is written in. No widget."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from swarfbook import quantities
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.reports.listing import findable
from swarfbook.tui.finding import Finder
from swarfbook.tui.line_edit import LineEdit

NONE = "no {} begins so; take some letters back"


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a form.

    Attributes:
        id: its name where it is read.
        label: what it is called.
        unsaid: what is taken where nothing is written.
        hint: what may be written.
        dimension: what a bare number is taken as; empty where it stays bare.
        unit: the unit it is taken in; empty for the usual one of the units shown.
    """

    id: str
    label: str
    unsaid: str
    hint: str
    dimension: str = ""
    unit: str = ""
    group: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True)
class Word:
    """One word of those that a field takes.

    Attributes:
        id: the word as it is read.
        said: as it is said.
    """

    id: str
    said: str
    group: str = ""

    @property
    def words(self) -> str:
        """What it is found by."""
        return findable(f"{self.said} {self.id}")


@dataclass(slots=True)
class Form:
    """What is said so far.

    Attributes:
        system: `metric` or `imperial`: what a bare number is in.
        fields: the fields, and which is written in.
        texts: what is typed, by field.
        choices: words to choose from, what is typed to find one, and which is chosen, by field.
        known: what was written before, by field, the latest first.
        refusal: why a field will not do, in words; empty where none was refused.
    """

    system: str
    fields: Finder[Field] = field(default_factory=Finder)
    texts: dict[str, LineEdit] = field(default_factory=dict)
    choices: dict[str, Finder[Word]] = field(default_factory=dict)
    known: Mapping[str, Sequence[str]] = field(default_factory=dict)
    refusal: str = ""

    def begin(
        self, fields: Sequence[Field], words: Mapping[str, Sequence[Word]], said: Mapping[str, str]
    ) -> None:
        """Put the fields in.

        Args:
            fields: in order.
            words: what may be chosen, by field; all others are typed into.
            said: what stands there to begin with, by field; the id of a word that is chosen.
        """
        self.fields.fill(fields, fields[0].id)
        for one in fields:
            if one.id in words:
                self.choices[one.id] = Finder()
                self.choices[one.id].fill(words[one.id], said.get(one.id))
            else:
                self.texts[one.id] = LineEdit.holding(said.get(one.id, ""))

    @property
    def asked(self) -> Field:
        """The field that is written in."""
        return self.fields.hits[self.fields.place]

    def text(self, name: str) -> str:
        """Give what stands in a field that is typed into."""
        return self.texts[name].text.strip()

    def go(self, name: str) -> None:
        """Write in another field."""
        self.fields.place = next(at for at, one in enumerate(self.fields.hits) if one.id == name)

    # Typing

    def press(self, key: str, character: str | None) -> None:
        """Give a key to the field that is written in."""
        name = self.asked.id
        if name in self.choices:
            self.press_choice(self.choices[name], key, character)
        elif key == "right" and (rest := self.suggestion):
            self.texts[name] = LineEdit.holding(rest)
        else:
            self.texts[name].press(key, character)

    def press_choice(self, words: Finder[Word], key: str, character: str | None) -> None:
        """Give a key to a field whose words are chosen: arrows walk, letters find."""
        if key in ("left", "right"):
            step = 1 if key == "right" else -1
            words.place = (words.place + step) % max(len(words.hits), 1)
        else:
            words.press(key, character)

    @property
    def suggestion(self) -> str:
        """A text written before that goes on as what is typed begins; empty for none, or inside the text."""
        line = self.texts.get(self.asked.id)
        if line is None or line.caret < len(line.text):
            return ""
        begun = line.text.casefold()
        known = self.known.get(self.asked.id, ())
        return next((one for one in known if one != line.text and one.casefold().startswith(begun)), "")

    # What it makes

    def told(self) -> dict[str, str | None]:
        """Give what is said, by field, bare numbers with their units; None where nothing is.

        Raises:
            SwarfbookError: what is typed to find a word finds none.
        """
        for one in self.fields.rows:
            if one.id in self.choices and not self.choices[one.id].hits:
                raise SwarfbookError(
                    Problem(f"--{one.id}", "", self.choices[one.id].find.text, NONE.format(one.label))
                )
        typed = {name: self.with_unit(name) or None for name in self.texts}
        return {**typed, **{name: words.chosen or None for name, words in self.choices.items()}}

    def with_unit(self, name: str) -> str:
        """Give what is typed in a field, a bare number with the unit it is meant in."""
        text = self.text(name)
        asked = next(one for one in self.fields.rows if one.id == name)
        if bare(text) is None or not asked.dimension:
            return text
        return f"{text} {asked.unit or quantities.preferred_unit(asked.dimension, self.system)}"

    def refuse(self, problem: Problem) -> None:
        """Go to the field that a problem is of, and say there what would do; one of none names its file."""
        named = self.named(problem)
        self.refusal = str(problem) if named is None else problem.remedy
        if named is not None:
            self.go(named)

    def named(self, problem: Problem) -> str | None:
        """Give the field that a problem is of; None for none of them."""
        name = problem.where.removeprefix("--").replace("-", "_")
        names = {one.id for one in self.fields.hits}
        return next((one for one in (name, problem.key.partition(".")[0]) if one in names), None)


def bare(text: str) -> float | None:
    """Give a number that stands without a unit; None for anything else."""
    try:
        return float(text) if text.replace(".", "", 1).lstrip("+-").isdigit() else None
    except ValueError:
        return None
