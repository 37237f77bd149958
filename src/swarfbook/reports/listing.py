"""What a list says of a recipe in one line, and how words find it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

from swarfbook.decisions.check import Check, Limit

SPEED_MARKS = frozenset({"spindle-speed", "spindle-speed-low", "tool-speed"})
"""Limits that say where the speed stands and nothing of the cut."""

SHARED = ("machine", "tool", "material", "operation", "standing")
"""Keys of a recipe that words are looked for in, beside its name: thousands of recipes say the same there."""


def telling(check: Check) -> Limit:
    """Give the limit a list names: the tightest hard one, speed marks aside as long as they hold.

    Nearly every recipe turns at two thirds of what the spindle can; that would hide how hard it cuts.
    """
    tightest = check.tightest
    if tightest.name not in SPEED_MARKS or tightest.verdict != "holds":
        return tightest
    cuts = (limit for limit in check.limits if limit.severity == "hard" and limit.name not in SPEED_MARKS)
    return max(cuts, key=lambda limit: limit.use or 0.0, default=tightest)


def findable(text: str) -> str:
    """Give a text as small words with a blank before each, so that a search can hold to their beginnings.

    Looked for inside words, "out" would find every router.
    """
    return "".join(f" {word}" for word in re.split(r"[^\w./]+", text.lower()) if word)


def wanted(text: str) -> list[str]:
    """Give the beginnings of words that a text asks for, each as it stands in what `findable` gives."""
    return [f" {word}" for word in findable(text).split()]


def has_all(words: str, beginnings: Iterable[str]) -> bool:
    """Say whether words, as `findable` gives them, hold every beginning that `wanted` gives, in any order."""
    return all(beginning in words for beginning in beginnings)


def recipe_words(recipe: str, values: Mapping[str, Any], names: Iterable[str]) -> str:
    """Give everything a recipe is found by: its id, its words, and the names of what it is cut with.

    Args:
        recipe: its id.
        values: its record as typed.
        names: of its machine, cutter and material.
    """
    return findable(f"{recipe} {values.get('name')}") + _findable(
        *names, *(str(values.get(key)) for key in SHARED)
    )


@lru_cache(maxsize=1024)
def _findable(*texts: str) -> str:
    return findable(" ".join(texts))
