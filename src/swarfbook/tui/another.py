"""A new recipe like one that is there, on trial. No widget."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import count
from typing import Any

from swarfbook.errors import SwarfbookError
from swarfbook.tui.desk import READ_ONLY, Desk

LONGEST_STEM = 60  # letters of an id that a proposal keeps
NOT_TAKEN_OVER = ("schema", "derived")


def proposal(desk: Desk, recipe: str) -> str:
    """Give an id that is free, made from that of a recipe."""
    names = (f"{recipe[:LONGEST_STEM]}-{number}" for number in count(2))
    return next(name for name in names if not desk.book.has("recipe", name))


def another(values: Mapping[str, Any]) -> dict[str, Any]:
    """Give the values of a recipe like another: on trial, and without what is said of its parent.

    A parent says how a recipe was backed off; what a person writes down anew was not.
    """
    kept = {key: value for key, value in values.items() if key not in NOT_TAKEN_OVER}
    return {**kept, "name": f"{kept.get('name', '')}, another", "standing": "trial"}


def save_new(desk: Desk, recipe: str, values: Mapping[str, Any]) -> str:
    """Save a new recipe; give why it was not saved, empty when it was."""
    if desk.book.built_in:
        return READ_ONLY
    try:
        desk.book.save("recipe", recipe, values, seen=None)
    except SwarfbookError as error:
        return error.problems[0].remedy
    return ""
