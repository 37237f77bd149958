"""Whole steps, features and holds of a job: added, taken out, moved; lists as typed. No widget."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from itertools import count
from typing import Any, NamedTuple

from swarfbook.decisions.titles import said
from swarfbook.errors import shorten
from swarfbook.records import starter
from swarfbook.reports.part_words import ENTRY, ENTRY_NAME

Values = Mapping[str, Any]
_PLACE = re.compile(r"(?P<list>\w+)\[(?P<number>\d+)\]")
LONGEST_STEM = 60  # letters of an id that a new one keeps


class Spot(NamedTuple):
    """An entry of a list: the list's key, and the number from 1."""

    list: str
    number: int


def spot_of(place: str) -> Spot | None:
    """Give the entry that a place is in; None for none: `steps[2].path` is in the second of `steps`."""
    found = _PLACE.match(place)
    return Spot(found["list"], int(found["number"])) if found and found["list"] in ENTRY else None


def entries(values: Values, name: str) -> list[dict[str, Any]]:
    """Give the entries of a list; none where it is not there or is no list."""
    found = values.get(name)
    return [dict(one) for one in found if isinstance(one, Mapping)] if isinstance(found, list) else []


def like(values: Values, name: str, at: Spot | None) -> int:
    """Give the number of the entry that a new one begins like: the chosen one, else the last; 0 for none."""
    return at.number if at and at.list == name else len(entries(values, name))


def called(values: Values, spot: Spot) -> str:
    """Say an entry: `step 2, outline`."""
    held = entries(values, spot.list)
    named = held[spot.number - 1].get(ENTRY_NAME[spot.list], "") if spot.number <= len(held) else ""
    return f"{ENTRY[spot.list]} {spot.number}, {shorten(said(str(named)))}"


def added(values: Values, name: str, at: Spot | None) -> tuple[list[dict[str, Any]], int]:
    """Give a list with one more entry, after the one it begins like, and the number of the new one.

    Args:
        values: the job as typed.
        name: the list.
        at: the chosen entry, of whichever list; None for none.
    """
    held, number = entries(values, name), like(values, name, at)
    new = dict(held[number - 1]) if number else dict(starter("job")[name][0])
    if name == "features":
        new["id"] = _free(str(new.get("id", "")), [one.get("id") for one in held])
    return [*held[:number], new, *held[number:]], number + 1


def _free(stem: str, ids: Sequence[object]) -> str:
    names = (f"{stem[:LONGEST_STEM]}-{number}" for number in count(2))
    return stem if stem not in ids else next(one for one in names if one not in ids)


def without(values: Values, spot: Spot) -> list[dict[str, Any]]:
    """Give a list without one of its entries."""
    held = entries(values, spot.list)
    return held[: spot.number - 1] + held[spot.number :]


def moved(values: Values, spot: Spot, step: int) -> list[dict[str, Any]]:
    """Give a list with an entry before the one before it, or after the one after it."""
    held = entries(values, spot.list)
    held.insert(spot.number - 1 + step, held.pop(spot.number - 1))
    return held
