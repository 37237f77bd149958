"""What cannot stand together in two records: a recipe and the cutter it names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from swarfbook.errors import Problem
from swarfbook.records.recipe import Recipe
from swarfbook.records.tool import Tool

ROUNDING = 1e-9


def misfits(recipe: Recipe, tool: Tool, *, raw: Mapping[str, Any], where: str) -> Iterator[Problem]:
    """Yield a radial width above the cutter's diameter and a stickout above its length.

    Args:
        recipe: the recipe.
        tool: the cutter it names.
        raw: the recipe as typed, for the message.
        where: the recipe's file as messages name it.
    """
    pairs = (
        ("radial_width", recipe.radial_width, tool.diameter, f"the diameter of {recipe.tool}"),
        ("stickout", recipe.stickout, tool.overall_length, f"the overall length of {recipe.tool}"),
    )
    for key, value, most, what in pairs:
        if value > most * (1 + ROUNDING):
            yield Problem(where, key, f"'{raw.get(key)}'", f"write a length not above {what}")
