"""Recipes side by side, a column each: the values that differ, the uses that do, then the rest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest
from textwrap import shorten, wrap

from swarfbook import quantities, records
from swarfbook.decisions.check import Check, Limit
from swarfbook.decisions.compare import Comparison, uses_apart
from swarfbook.decisions.past import excess_text
from swarfbook.decisions.titles import said, title
from swarfbook.reports.listing import telling
from swarfbook.reports.sentence import NAMED, shown

LABEL = 16  # columns of what is compared
NARROWEST, WIDEST = 9, 30  # columns of a recipe
SAID = (
    "machine", "tool", "material", "operation", "standing", "spindle_speed", "feed_per_tooth", "feed_rate",
    "axial_depth", "radial_width", "direction", "stickout", "cooling",
    "hole_diameter", "stock_offset", "ramp_angle", "allowance", "tolerance",
)  # fmt: skip
"""What the sentence of a recipe says, in its order."""
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

Row = tuple[str, Sequence[str]]
"""What is compared and the cell of each recipe."""


def side_by_side(
    comparison: Comparison, *, width: int, system: str | None = None, unfolded: bool = True
) -> Iterator[str]:
    """Write a comparison as lines.

    Args:
        comparison: the recipes, checked, and what they differ in.
        width: columns there are.
        system: units shown; None shows values as typed.
        unfolded: write what differs little or not at all, not only how much of it there is.
    """
    checks = comparison.checks
    differing = {row.name for row in comparison.differences}
    apart = uses_apart(checks)
    values = {key: _value(checks, key, system) for key in SAID}
    far = [_use(checks, name) for name in apart]
    rest = [values[key] for key in SAID if key not in differing and any(values[key][1])]
    rest += [_use(checks, name) for name in _limits(checks) if name not in apart]
    asked = [_figure(checks, name, system) for name in checks[0].figures if name not in SAID]
    columns = _columns(len(checks), width)
    yield from _legend(checks, width)
    yield ""
    yield from _part("", [("", LETTERS[: len(checks)])], columns)
    yield from _part("What they say", [values[key] for key in SAID if key in differing], columns)
    yield from _part("Uses of limits, a tenth or more apart", far, columns)
    if any(one.case.past.cuts for one in checks):
        yield from _part("What has run clean", list(_evidence(checks, system)), columns)
    if unfolded:
        yield from _part("Less apart, or the same", rest, columns)
        yield from _part("What they ask", asked, columns)
    else:
        yield f" … {len(rest)} less apart or the same, and {len(asked)} figures of what they ask"


def _columns(recipes: int, width: int) -> int:
    return max(min((width - LABEL - 1) // recipes, WIDEST), NARROWEST)


def _legend(checks: Sequence[Check], width: int) -> Iterator[str]:
    for letter, one in zip(LETTERS, checks, strict=False):
        limit = telling(one)
        told = f" · {title(limit.name)} {limit.use or 0.0:.2f} {one.verdict}"
        name = shorten(one.case.recipe.name, max(width - len(told) - 5, 12), placeholder=" …")
        yield f" {letter}  {name}{told}"


def _part(heading: str, rows: Sequence[Row], column: int) -> Iterator[str]:
    """Write rows under a heading, cells that are too long on several lines."""
    if heading:
        yield heading if rows else f"{heading}: none"
    for label, cells in rows:
        parts = [wrap(cell, column - 1, break_on_hyphens=False) or ["-"] for cell in cells]
        for first, *line in zip_longest(wrap(label, LABEL - 1), *parts, fillvalue=""):
            yield f" {first:<{LABEL}}{''.join(f'{cell:<{column}}' for cell in line)}".rstrip()
    if heading:
        yield ""


def _value(checks: Sequence[Check], key: str, system: str | None) -> Row:
    return said(key), [_said(one, key, system) for one in checks]


def _said(one: Check, key: str, system: str | None) -> str:
    if key in NAMED:
        return str(getattr(one.case, key).name)
    raw = one.case.values.get(key)
    dimension = records.dimension("recipe", key)
    if raw is None and key in one.figures and dimension:
        return quantities.show(one.figures[key].value, dimension, system=system or "metric")
    if raw is None:
        return ""
    return shown(raw, key, system) if dimension else str(raw)


def _limits(checks: Sequence[Check]) -> list[str]:
    return list(dict.fromkeys(limit.name for one in checks for limit in one.limits))


def _use(checks: Sequence[Check], name: str) -> Row:
    found = [next((limit for limit in one.limits if limit.name == name), None) for one in checks]
    cells = [
        "" if limit is None else limit.verdict if limit.use is None else f"{limit.use:.2f} {limit.verdict}"
        for limit in found
    ]
    return title(name), cells


def _evidence(checks: Sequence[Check], system: str | None) -> Iterator[Row]:
    yield "all of it", ["covered" if one.covered else _furthest(one) for one in checks]
    for name in _limits(checks):
        limits = [next((limit for limit in one.limits if limit.name == name), None) for one in checks]
        cells = [_mark(limit, system) for limit in limits]
        if len(set(cells)) > 1:
            yield title(name), cells


def _furthest(one: Check) -> str:
    limit = one.furthest_beyond
    return "no" if limit is None else f"beyond by {excess_text(limit.beyond or 0.0)} in {title(limit.name)}"


def _mark(limit: Limit | None, system: str | None) -> str:
    if limit is None or limit.mark is None:
        return ""
    shown = quantities.show(limit.mark.value, limit.dimension, system=system or "metric")
    return f"{shown} disputed" if limit.mark.disputed_by else shown


def _figure(checks: Sequence[Check], name: str, system: str | None) -> Row:
    figures = [one.figures[name] for one in checks]
    return title(name), [
        quantities.show(figure.value, figure.dimension, system=system or "metric") for figure in figures
    ]
