"""Comparing recipes: what they ask, side by side, the differences first."""

from __future__ import annotations

import math
from collections.abc import Sequence

from swarfbook.book import Book
from swarfbook.decisions.case import Case
from swarfbook.decisions.check import Check, Limit
from swarfbook.decisions.evidence import load_case
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.frozen import frozen

KNOBS = ("spindle_speed", "feed_per_tooth", "feed_rate", "axial_depth", "radial_width", "stickout")
SAME = 1e-9
A_TENTH = 0.1
USE = "use of "
MARK = "mark of "
LENGTHS = ("allowance", "tolerance", "hole_diameter", "stock_offset")
"""Lengths that only some recipes say."""


@frozen
class Difference:
    """One number that is not the same in all recipes.

    Attributes:
        name: quantity, `use of <limit>`, or a word of the recipe (machine, tool ...).
        unit: unit of the values; empty for shares and words.
        values: one value a recipe, in order; None where a recipe has none.
    """

    name: str
    unit: str
    values: tuple[float | str | None, ...]

    @property
    def ratio(self) -> float | None:
        """Last value over the first; None for words and where it has no meaning."""
        first, last = self.values[0], self.values[-1]
        if isinstance(first, float) and isinstance(last, float) and first:
            return last / first
        return None


def load_cases(book: Book, recipes: Sequence[str]) -> list[Case]:
    """Read recipes and all they name; raises SwarfbookError with every problem of all of them."""
    cases: list[Case] = []
    problems: list[Problem] = []
    for recipe in recipes:
        try:
            cases.append(load_case(book, recipe))
        except SwarfbookError as error:
            problems += error.problems
    if problems:
        raise SwarfbookError(*problems)
    return cases


@frozen
class Comparison:
    """Checked recipes and everything they differ in: words, knobs, quantities, uses."""

    checks: tuple[Check, ...]
    differences: tuple[Difference, ...]


WORDS = ("machine", "tool", "material", "operation", "standing", "direction", "cooling")


def compare(checks: Sequence[Check]) -> Comparison:
    """Set recipes side by side.

    Args:
        checks: two or more checked recipes.

    Returns:
        The checks and the differences: the recipe's words, then quantities, then uses of limits, then what
        has run clean.
    """
    rows = [*_words(checks), *_lengths(checks), *_figures(checks), *_uses(checks), *_evidence(checks)]
    return Comparison(tuple(checks), tuple(row for row in rows if _differs(row)))


def uses_apart(checks: Sequence[Check], by: float = A_TENTH) -> list[str]:
    """Name the limits whose use differs by more than a share of the limit, or is known of some only."""
    return [
        row.name.removeprefix(USE)
        for row in _uses(checks)
        if None in row.values or _spread([use for use in row.values if isinstance(use, float)]) > by
    ]


def _spread(numbers: Sequence[float]) -> float:
    return max(numbers, default=0.0) - min(numbers, default=0.0)


def _words(checks: Sequence[Check]) -> list[Difference]:
    return [
        Difference(word, "", tuple(str(getattr(one.case.recipe, word)) for one in checks)) for word in WORDS
    ]


def _lengths(checks: Sequence[Check]) -> list[Difference]:
    names = ("axial_depth", "radial_width", "stickout")
    rows = [Difference(name, "mm", tuple(one.case[name] * 1000 for one in checks)) for name in names]
    said = [(name, tuple(getattr(one.case.recipe, name) for one in checks)) for name in LENGTHS]
    rows += [Difference(name, "mm", tuple(map(_millimetres, lengths))) for name, lengths in said]
    angles = tuple(one.case.recipe.ramp_angle for one in checks)
    return [*rows, Difference("ramp_angle", "deg", tuple(map(_degrees, angles)))]


def _millimetres(length: float | None) -> float | None:
    return None if length is None else length * 1000


def _degrees(angle: float | None) -> float | None:
    return None if angle is None else math.degrees(angle)


def _figures(checks: Sequence[Check]) -> list[Difference]:
    return [
        Difference(
            name, figure.unit, tuple(one.figures[name].in_unit(one.figures[name].value) for one in checks)
        )
        for name, figure in checks[0].figures.items()
    ]


def _uses(checks: Sequence[Check]) -> list[Difference]:
    uses = [{limit.name: limit.use for limit in one.limits} for one in checks]
    names = list(dict.fromkeys(name for one in uses for name in one))
    return [Difference(f"{USE}{name}", "", tuple(one.get(name) for one in uses)) for name in names]


def _evidence(checks: Sequence[Check]) -> list[Difference]:
    covered = Difference("covered", "", tuple("yes" if one.covered else "no" for one in checks))
    limits = [{limit.name: limit for limit in one.limits} for one in checks]
    names = dict.fromkeys(name for one in limits for name in one)
    return [covered, *(_marks(name, [one.get(name) for one in limits]) for name in names)]


def _marks(name: str, limits: Sequence[Limit | None]) -> Difference:
    unit = next(limit.unit for limit in limits if limit is not None)
    return Difference(f"{MARK}{name}", unit, tuple(map(_mark, limits)))


def _mark(limit: Limit | None) -> float | None:
    return None if limit is None or limit.mark is None else limit.in_unit(limit.mark.value)


def _differs(row: Difference) -> bool:
    numbers = [value for value in row.values if isinstance(value, float)]
    if len(numbers) < len(row.values):
        return len(set(row.values)) > 1
    return max(numbers) - min(numbers) > SAME * max(abs(number) for number in numbers)
