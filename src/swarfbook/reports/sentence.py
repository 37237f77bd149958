"""A recipe as one sentence whose values stand where a person would say them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from swarfbook import quantities, records
from swarfbook.decisions.case import Case
from swarfbook.decisions.following import DIMENSIONS, OTHER_FEED, Facts, facts_of, follower, written_feed

VERBS = {
    "face-rough": "Rough-face",
    "face-finish": "Finish-face",
    "rough": "Rough",
    "slot": "Slot",
    "semi-finish": "Semi-finish",
    "finish": "Finish",
    "through-cut": "Cut through",
    "chamfer": "Chamfer",
    "bore": "Bore",
    "ramp": "Ramp into",
    "plunge": "Plunge into",
}
DIRECTIONS = {"climb": "climbing", "conventional": "cutting conventionally"}
COOLINGS = {"dry": "dry", "air-blast": "air blast", "mist": "mist", "flood": "flood"}
WORDS: Mapping[str, Mapping[str, str]] = {"operation": VERBS, "direction": DIRECTIONS, "cooling": COOLINGS}
"""How a word of the file is said in the sentence, by its key."""

EXTRAS = (
    ("hole_diameter", "in a hole of ", ""),
    ("stock_offset", "", " off the middle of the stock"),
    ("ramp_angle", "going down at ", ""),
    ("allowance", "leaving ", " on the wall"),
    ("tolerance", "to within ", ""),
)
"""Keys said only where they stand, with the words before and after."""
NAMED = ("material", "tool", "machine")
IMPERIAL = ("in", "thou", "ft")
"""How the imperial units of a recipe begin, and no metric one."""
NO_BREAK = "\u00a0"


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of the sentence.

    Attributes:
        text: what stands there.
        key: the recipe's key whose value it is; None for the words between.
    """

    text: str
    key: str | None = None


def sentence(
    values: Mapping[str, Any],
    *,
    names: Mapping[str, str],
    facts: Facts | None = None,
    system: str | None = None,
) -> list[Piece]:
    """Say a recipe.

    Args:
        values: the recipe's record as typed; a value that does not read stands as it is.
        names: name of the material, the tool and the machine, by key; the id serves where one is missing.
        facts: of its cutter and machine, for the values that follow from others; None leaves those out.
        system: `metric` or `imperial`: values of the other one are converted; None converts none.

    Returns:
        The pieces in order; a piece never starts or ends with a blank that matters for its value.
    """

    def named(key: str) -> Piece:
        return Piece(names.get(key) or str(values.get(key, "")), key)

    def value(key: str) -> Piece:
        return Piece(shown(values.get(key), key, system), key)

    return [
        worded(values, "operation"), Piece(" "), named("material"), Piece(" with the "), named("tool"),
        Piece(" in the "), named("machine"), Piece(": "),
        *_with_follower("spindle_speed", "cutting_speed", values, facts, system), Piece(", "),
        *_feeds(values, facts, system), Piece(", "),
        value("axial_depth"), Piece(" deep, "),
        *_with_follower("radial_width", "radial_share", values, facts, system), Piece(" wide, "),
        worded(values, "direction"), Piece(", "), value("stickout"), Piece(" out of the collet, "),
        worded(values, "cooling"), *_extras(values, system), Piece("."),
    ]  # fmt: skip


def sentence_of(case: Case, *, system: str | None = None) -> list[Piece]:
    """Say a recipe that is resolved; see `sentence`."""
    return sentence(case.values, names=names_of(case), facts=facts_of(case), system=system)


def names_of(case: Case) -> dict[str, str]:
    """Give the names of a case's material, tool and machine, by the recipe's key."""
    return {"material": case.material.name, "tool": case.tool.name, "machine": case.machine.name}


def sentence_text(pieces: Sequence[Piece], *, width: int) -> str:
    """Write the sentence as lines of at most `width` columns; values keep number and unit together."""
    lines = sentence_lines(pieces, width=width)
    return "\n".join("".join(piece.text for piece in line) for line in lines)


def sentence_lines(pieces: Sequence[Piece], *, width: int) -> list[list[Piece]]:
    """Break the pieces into lines of at most `width` columns; only names are broken inside a value.

    A word longer than that stands on a line of its own.
    """
    lines: list[list[Piece]] = [[]]
    room = width
    for word in _words(pieces):
        length = sum(len(part.text) for part in word)
        if lines[-1] and length + 1 > room:
            lines.append([])
            room = width
        elif lines[-1]:
            inside = lines[-1][-1].key if lines[-1][-1].key == word[0].key else None
            lines[-1].append(Piece(" ", inside))
            room -= 1
        lines[-1] += word
        room -= length
    return lines


def _words(pieces: Sequence[Piece]) -> Iterator[list[Piece]]:
    word: list[Piece] = []
    for piece in pieces:
        held = piece.key is not None and piece.key not in NAMED
        first, *rest = [piece.text.replace(" ", NO_BREAK)] if held else piece.text.split(" ")
        word += [Piece(first, piece.key)] if first else []
        for part in rest:
            if word:
                yield word
            word = [Piece(part, piece.key)] if part else []
    if word:
        yield word


def worded(values: Mapping[str, Any], key: str) -> Piece:
    """Give the piece of a word, as the sentence says it."""
    word = str(values.get(key, ""))
    return Piece(WORDS[key].get(word, word), key)


def shown(raw: object, key: str, system: str | None = None, *, figures: int = 3) -> str:
    """Write one value of a recipe for people.

    Args:
        raw: the value as typed.
        key: the recipe's key, one with a dimension.
        system: `metric` or `imperial`; a value in a unit of that system, or of both, stays as typed, one of
            the other system is converted. None keeps every number and unit as typed.
        figures: figures of one that is converted.
    """
    dimension = records.dimension("recipe", key)
    if dimension is None:
        return str(raw)
    try:
        quantity = quantities.read(raw, dimension)
    except quantities.QuantityError:
        return "…" if raw is None else str(raw)
    if system in (None, *_systems(quantity.unit, dimension)):
        return _typed(str(raw), quantity, dimension)
    return trimmed(quantities.show(quantity.si, dimension, system=system or "metric", figures=figures))


def _systems(unit: str, dimension: str) -> tuple[str, ...]:
    """Give the systems a unit is of: both where both show the dimension alike, as with rpm."""
    both = ("metric", "imperial")
    if len({quantities.preferred_unit(dimension, system) for system in both}) == 1:
        return both
    return ("imperial",) if unit.startswith(IMPERIAL) else ("metric",)


def trimmed(text: str) -> str:
    """Take the zeros off that end a decimal fraction: "3.050 mm" is "3.05 mm", "24.0 mm" is "24 mm"."""
    return re.sub(r"\.0+(?!\d)|(\.\d*[1-9])0+(?!\d)", r"\1", text)


def _typed(raw: str, quantity: quantities.Quantity, dimension: str) -> str:
    unit = quantity.unit.removesuffix("/tooth")
    match = re.match(r"[0-9 ./-]*[0-9]", raw.strip())
    number = match[0] if match else ""
    if not _says(number, quantity, dimension):
        number = quantities.write(quantity.number, unit).removesuffix(unit).strip()
    if re.fullmatch("[0-9]{5,}", number):
        number = f"{int(number):,}".replace(",", NO_BREAK)
    return f"{number} {quantities.pretty(unit)}".rstrip()


def _says(number: str, quantity: quantities.Quantity, dimension: str) -> bool:
    try:
        return quantities.read(f"{number} {quantity.unit}", dimension).number == quantity.number
    except quantities.QuantityError:
        return False


def _feeds(values: Mapping[str, Any], facts: Facts | None, system: str | None) -> Iterator[Piece]:
    written = written_feed(values)
    yield Piece(shown(values.get(written), written, system), written)
    yield Piece(" a tooth" if written == "feed_per_tooth" else "")
    other = follows(OTHER_FEED[written], values, facts, system)
    if other:
        yield Piece(" (")
        yield other
        yield Piece(" a tooth)" if other.key == "feed_per_tooth" else ")")


def _with_follower(
    leader: str, key: str, values: Mapping[str, Any], facts: Facts | None, system: str | None
) -> Iterator[Piece]:
    yield Piece(shown(values.get(leader), leader, system), leader)
    other = follows(key, values, facts, system)
    if other:
        yield Piece(" (")
        yield other
        yield Piece(")")


def follows(
    key: str, values: Mapping[str, Any], facts: Facts | None, system: str | None = None
) -> Piece | None:
    """Give a value that follows from one that is written; None where it cannot be worked out.

    Args:
        key: `feed_rate` or `feed_per_tooth`, whichever is not written, `cutting_speed` or `radial_share`.
        values: the recipe as typed.
        facts: of its cutter and machine; None leaves every such value out.
        system: `metric` or `imperial`; None takes that of the value it follows from.
    """
    si = follower(key, values, facts) if facts else None
    if si is None:
        return None
    if key == "radial_share":
        return Piece(trimmed(quantities.show(si, "ratio", unit="%")), key)
    spoken = system or _spoken(values)
    return Piece(trimmed(quantities.show(si, DIMENSIONS.get(key, key), system=spoken)), key)


def _spoken(values: Mapping[str, Any]) -> str:
    # A speed in rpm is of both systems: what the lengths are in says which the recipe speaks.
    written = written_feed(values)
    try:
        return _systems(quantities.read(values.get(written), written).unit, written)[0]
    except quantities.QuantityError:
        return "metric"


def _extras(values: Mapping[str, Any], system: str | None) -> Iterator[Piece]:
    for key, before, after in EXTRAS:
        if values.get(key) is not None:
            yield Piece(f", {before}")
            yield Piece(shown(values[key], key, system), key)
            yield Piece(after)
    if values.get("wear") is not None and values["wear"] != 1:
        yield Piece(", wear factor ")
        yield Piece(shown(values["wear"], "wear", system), "wear")
