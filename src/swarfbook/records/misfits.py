"""What cannot stand together in two records: a recipe and the cutter it names."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from swarfbook.errors import Problem
from swarfbook.records.recipe import Recipe
from swarfbook.records.tool import Tool

ROUNDING = 1e-9
DEEPEST = 100.0  # diameters: no cutter is that slender, and the work of a check grows with it


def misfits(recipe: Recipe, tool: Tool, *, raw: Mapping[str, Any], where: str) -> Iterator[Problem]:
    """Yield what the cutter cannot do: too wide, too deep, or sticking out further than it is long.

    Args:
        recipe: the recipe.
        tool: the cutter it names.
        raw: the recipe as typed, for the message.
        where: the recipe's file as messages name it.
    """
    pairs = (
        ("radial_width", recipe.radial_width, tool.diameter, f"the diameter of {recipe.tool}"),
        ("stickout", recipe.stickout, tool.overall_length, f"the overall length of {recipe.tool}"),
        ("axial_depth", recipe.axial_depth, *_deepest(recipe, tool)),
    )
    for key, value, most, what in pairs:
        if value > most * (1 + ROUNDING):
            yield Problem(where, key, f"'{raw.get(key)}'", f"write a length not above {what}")


def _deepest(recipe: Recipe, tool: Tool) -> tuple[float, str]:
    """Give the deepest cut that can be thought of, and what sets it.

    The load stands at half the depth, which has to be below the holder; what is merely too deep is a limit's
    business.
    """
    return min(
        (1.99 * recipe.stickout, "twice the stickout"),
        (tool.overall_length, f"the overall length of {recipe.tool}"),
        (DEEPEST * tool.diameter, f"{DEEPEST:.0f} diameters of {recipe.tool}"),
    )
