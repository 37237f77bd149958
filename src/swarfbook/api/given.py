"""What a caller in Python gives: texts as typed, pint quantities, words; never a number without its unit."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING, Any, TypeAlias

from swarfbook import quantities
from swarfbook.errors import Problem, SwarfbookError

if TYPE_CHECKING:
    import pint

Measured: TypeAlias = "str | pint.Quantity[Any]"
"""A value with its unit: a text as it would be typed, `"2.5 mm"`, or a pint quantity."""
Share: TypeAlias = "float | str"
"""A share: `0.25`, or `"25%"`."""
_OPTION = re.compile(r"--([a-z][a-z-]*)")


def typed(name: str, given: object, dimension: str) -> str:
    """Give a value as it would be typed.

    Args:
        name: what it is, for messages.
        given: a text, a pint quantity, or a bare number where the dimension needs no unit.
        dimension: its dimension, as `quantities` names it.

    Raises:
        TypeError: a bare number where a unit is needed, or nothing that could be a value.
        SwarfbookError: a pint quantity of another dimension.
    """
    if isinstance(given, str):
        return given
    if not hasattr(given, "magnitude"):
        return _bare(name, given, dimension)
    try:
        si = quantities.from_pint(given, dimension)
    except quantities.QuantityError as error:
        raise SwarfbookError(Problem(name, "", str(given), str(error))) from None
    unit = quantities.preferred_unit(dimension)
    # Pint leaves a last place of its own: 900.0000000000001 mm/min is nobody's feed.
    return quantities.write(float(f"{quantities.convert(si, dimension, unit):.15g}"), unit)


def _bare(name: str, given: object, dimension: str) -> str:
    try:
        quantities.read(plain_number(given), dimension)
    except quantities.QuantityError as error:
        raise TypeError(f"{name}: {error}; or give a pint quantity") from None
    return str(plain_number(given))


def plain_number(given: object) -> object:
    """Give a number of numpy as Python's own; anything else as it is."""
    return given.item() if hasattr(given, "item") and not getattr(given, "shape", ()) else given


def share(name: str, given: object) -> float:
    """Give a share; raises as `typed`, and SwarfbookError for a text that is none."""
    text = typed(name, given, "ratio")
    try:
        return quantities.parse(text, "ratio")
    except quantities.QuantityError as error:
        raise SwarfbookError(Problem(name, "", text, str(error))) from None


def told(given: Mapping[str, Any], dimensions: Mapping[str, str]) -> dict[str, str | None]:
    """Give arguments as the command line's options would have them; raises as `typed`.

    Args:
        given: arguments by name; None where nothing was said.
        dimensions: of those that are values.
    """
    return {
        name: typed(name, value, dimensions[name]) if name in dimensions and value is not None else value
        for name, value in given.items()
    }


@contextmanager
def as_arguments() -> Iterator[None]:
    """Name what will not do as an argument, `inside_corner`, where a message speaks of `--inside-corner`."""
    try:
        yield
    except SwarfbookError as error:
        raise type(error)(*map(_renamed, error.problems)) from None


def _renamed(problem: Problem) -> Problem:
    return replace(problem, where=_plain(problem.where), remedy=_plain(problem.remedy))


def _plain(text: str) -> str:
    return _OPTION.sub(lambda found: found[1].replace("-", "_"), text)
