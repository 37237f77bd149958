"""Which key a column goes to, and in which unit its bare numbers are."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from difflib import get_close_matches
from functools import cache
from typing import NamedTuple

from swarfbook import quantities
from swarfbook.book.spreadsheets.sheet import Sheet, letters
from swarfbook.decisions.importing.words import HEADINGS, folded
from swarfbook.errors import Problem, SwarfbookError, did_you_mean
from swarfbook.frozen import frozen
from swarfbook.records import dimension, record_keys
from swarfbook.records.keys import find
from swarfbook.tables import Row, load

ID = "id"
NEAR = 0.7
"""How like a key a heading is, from 0 to 1, for the key to be named as near."""
_BRACKETS = re.compile(r"(?P<name>.*?)\s*[\[(]\s*(?P<unit>[^\[\]()]*?)\s*[\])]\s*")
_LAST_WORD = re.compile(r"(?P<name>.*\S)[\s,_]+(?:in\s+)?(?P<unit>[^\s,_]+)")


@frozen
class Column:
    """A column of a sheet and where it goes.

    Attributes:
        heading: as it stands in the file.
        letters: A, B, ...
        key: dotted key of the record, `id`, or empty where the column is left out.
        unit: unit of its bare numbers, canonical spelling; empty for none.
        told: where that comes from, or why it is left out.
    """

    heading: str
    letters: str
    key: str
    unit: str
    told: str


class Wish(NamedTuple):
    """What a person says of the columns: heading to key, empty to leave it out, and heading to unit."""

    keys: Mapping[str, str]
    units: Mapping[str, str]


def columns_of(kind: str, sheet: Sheet, wish: Wish) -> list[Column]:
    """Give every column its key and unit.

    Raises:
        SwarfbookError: a wish names no column, key or unit, or two columns go to one key.
    """
    problems = list(_about_wish(kind, sheet, wish))
    columns: list[Column] = []
    for at, heading in enumerate(sheet.headings):
        try:
            columns.append(_column(kind, heading, letters(at), wish))
        except ValueError as error:
            problems.append(Problem(f"{sheet.where}, column {heading}", "", "", str(error)))
    problems += _twice(sheet.where, columns)
    if problems:
        raise SwarfbookError(*problems)
    return columns


def _about_wish(kind: str, sheet: Sheet, wish: Wish) -> Iterator[Problem]:
    for option, said in (("--map", wish.keys), ("--unit", wish.units)):
        for heading in said:
            if heading not in sheet.headings:
                told = f"no such column; {did_you_mean(heading, sheet.headings)}"
                yield Problem(option, "", f"'{heading}'", told)
    for key in filter(None, wish.keys.values()):
        if not is_key(kind, key):
            yield Problem(
                "--map", "", f"'{key}'", f"no such key; {did_you_mean(key, (ID, *record_keys(kind)))}"
            )


def is_key(kind: str, key: str) -> bool:
    """Say whether a column may go to a key: one of the kind, `id`, or a table that stands empty."""
    return key in (ID, *record_keys(kind)) or find(kind, key) is not None


def _twice(where: str, columns: Sequence[Column]) -> Iterator[Problem]:
    first: dict[str, Column] = {}
    for one in columns:
        before = first.setdefault(one.key, one) if one.key else one
        if before is not one:
            told = (
                f"it goes to {one.key}, as {before.heading} does; leave one out with --map '{one.heading}='"
            )
            yield Problem(f"{where}, column {one.heading}", "", "", told)


def _column(kind: str, heading: str, place: str, wish: Wish) -> Column:
    """Give a column its key; raises ValueError for a unit that the key does not take."""
    key, unit, told = _matched(kind, heading)
    if heading in wish.keys:
        key = wish.keys[heading]
        told = "as --map says" if key else "as --map says: left out"
        unit = unit if key and unit and _takes(kind, key, unit) else _heading_unit(kind, key, heading)
    if heading in wish.units:
        if not key or not (unit := _takes(kind, key, wish.units[heading])):
            raise ValueError(_no_unit(kind, key, wish.units[heading]))
        told = "as --unit says"
    return Column(heading, place, key, unit, told)


def _no_unit(kind: str, key: str, unit: str) -> str:
    of = dimension(kind, key) if key and key != ID else None
    if of is None:
        return f"{key or 'a column that is left out'} takes no unit; leave --unit out"
    try:
        quantities.read(f"1 {unit}", of)
    except quantities.QuantityError as error:
        return str(error)
    return f"'{unit}' is no unit"


def _matched(kind: str, heading: str) -> tuple[str, str, str]:
    """Give key, unit and where it comes from; raises ValueError for a unit in brackets that will not do."""
    if heading.casefold() == ID or is_key(kind, heading):
        return (ID if heading.casefold() == ID else heading), "", ""
    for name, unit in _splits(heading):
        for key, usual, told in _candidates(kind, name):
            if not unit:
                return key, usual, told
            taken = _takes(kind, key, unit)
            if taken or (_in_brackets(heading) and dimension(kind, key) is None):
                return key, taken, ""
    if (bracket := _BRACKETS.fullmatch(heading)) and (found := list(_candidates(kind, bracket["name"]))):
        raise ValueError(_no_unit(kind, found[0][0], bracket["unit"]))
    return "", "", _no_key(kind, heading)


def _no_key(kind: str, heading: str) -> str:
    code = _codes().get(heading.upper()) if kind == "tool" else None
    if code is not None:
        why = code.text("note") or "no key holds that"
        return f"left out: {code.text('name')} of ISO 13399; {why}"
    near = get_close_matches(heading.casefold().replace(" ", "_"), record_keys(kind), n=2, cutoff=NEAR)
    return "left out: no such key" + (f"; nearest {', '.join(near)}" if near else "")


def _splits(heading: str) -> Iterator[tuple[str, str]]:
    """Yield the ways in which a heading may be a name and a unit."""
    yield heading, ""
    for form in (_BRACKETS, _LAST_WORD):
        if match := form.fullmatch(heading):
            yield match["name"], match["unit"]


def _in_brackets(heading: str) -> bool:
    return _BRACKETS.fullmatch(heading) is not None


def _candidates(kind: str, name: str) -> Iterator[tuple[str, str, str]]:
    """Yield keys that a name may mean, with the unit it has by itself, and why: the surest first."""
    plain = folded(name)
    if plain in ("id", kind + "id"):
        yield ID, "", ""
    keys = record_keys(kind)
    yield from ((key, "", "") for key in keys if folded(key) == plain)
    last = [key for key in keys if folded(key.rpartition(".")[2]) == plain]
    if len(last) == 1:
        yield last[0], "", ""
    code = _codes().get(name.strip().upper()) if kind == "tool" else None
    if code is not None and code.text("key"):
        unit = code.text("unit")
        yield code.text("key"), unit, f"{code.text('name')}{f', {unit}' if unit else ''} as ISO 13399 has it"
    unit = "rpm" if plain.endswith("rpm") else ""
    yield from ((key, unit, "") for key, words in HEADINGS[kind].items() if plain in words)


@cache
def _codes() -> Mapping[str, Row]:
    return {row.id: row for row in load("iso_13399").rows}


def units_of(kind: str, key: str) -> tuple[str, ...]:
    """Give the units a key's numbers may have; an empty one where they need none."""
    of = dimension(kind, key)
    return ("",) if of is None else quantities.units(of)


def _heading_unit(kind: str, key: str, heading: str) -> str:
    return next((taken for _, unit in _splits(heading) if unit and (taken := _takes(kind, key, unit))), "")


def _takes(kind: str, key: str, unit: str) -> str:
    """Give a unit's canonical spelling, empty where the key does not take it."""
    of = dimension(kind, key) if key and key != ID else None
    if of is None:
        return ""
    try:
        return quantities.read(f"1 {unit}", of).unit
    except quantities.QuantityError:
        return ""
