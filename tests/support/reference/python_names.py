"""The names of the arguments of the physics, with the units that their docstrings state."""

from __future__ import annotations

import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from functools import cache
from importlib import import_module
from typing import Any

import swarfbook.physics

PLUMBING = frozenset(
    {"arrays", "parts", "sampling", "peaks", "fast", "helical", "harmonic", "stack", "strips"}
)
"""Modules that handle arrays, and no quantities of a cut."""
MATHEMATICAL = frozenset(
    {
        "change",
        "factor",
        "phi",
        "exponent",
        "cosine",
        "sine",
        "hand",
        "kwargs",
        "args",
        "given",
        "named",
        "rows",
    }
)
"""Names of mathematics and of the language, which stand for no quantity."""
ARGUMENTS = re.compile(r"Args:\n((?:    .*\n?|\n)*)")
UNIT = re.compile(r"\[([^\]]+)\]")


def formulas() -> Iterator[Callable[..., Any]]:
    """Yield the public functions of the physics, plumbing aside."""
    for found in pkgutil.iter_modules(swarfbook.physics.__path__):
        module = import_module(f"swarfbook.physics.{found.name}")
        if found.name not in PLUMBING:
            for name, one in vars(module).items():
                if inspect.isfunction(one) and one.__module__ == module.__name__ and not name.startswith("_"):
                    yield one


def stated_units(formula: Callable[..., Any]) -> dict[str, str]:
    """Give the units that a docstring states, by argument; nothing for those without one."""
    text = inspect.getdoc(formula) or ""
    section = ARGUMENTS.search(text)
    found = {}
    for entry in re.split(r"\n(?=    \S)", "\n" + section[1] if section else ""):
        told = re.match(r"\s*([\w, ]+): (.*)", entry, re.DOTALL)
        if told and (unit := UNIT.search(told[2])):
            found |= dict.fromkeys(re.split(r",\s*", told[1].strip()), unit[1])
    line = " ".join(text.split())
    for name in inspect.signature(formula).parameters:
        if name not in found and (unit := re.search(rf"`{name}`[^\[\]`]*\[([^\]]+)\]", line)):
            found[name] = unit[1]
    return found


@cache
def arguments() -> dict[str, frozenset[str]]:
    """Give every argument of a formula with the units stated for it; without any for words and flags."""
    found: dict[str, set[str]] = {}
    for formula in formulas():
        units = stated_units(formula)
        for name in inspect.signature(formula).parameters:
            if name not in MATHEMATICAL:
                found.setdefault(name, set()).update({units[name]} if name in units else set())
    return {name: frozenset(units) for name, units in sorted(found.items())}
