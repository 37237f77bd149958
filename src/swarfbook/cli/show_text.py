"""What `swarfbook show RECIPE` prints for people."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from swarfbook import quantities
from swarfbook.cli.check_text import head_text
from swarfbook.cli.text import INDENT, indented, page_width
from swarfbook.decisions.check import Check
from swarfbook.decisions.figures import Figure
from swarfbook.decisions.inputs import Input
from swarfbook.decisions.leaves import leavings
from swarfbook.decisions.titles import title
from swarfbook.reports.evidence_page import learnt_text


def show_text(check: Check, units: str | None) -> str:
    """Write all a recipe asks, with bands, and every input with its origin."""
    system = units or "metric"
    case = check.case
    parts = [
        head_text(check, units),
        "\n".join(
            [
                "What it asks (90 % of likely cuts in brackets)",
                *(_figure_line(figure, system) for figure in check.figures.values()),
                "",
                "What it leaves and needs (bounds and second opinions)",
                *(_figure_line(figure, system) for figure in leavings(check).values()),
            ]
        ),
        "\n".join(
            [
                f"Cutting law: {case.choice.name}; {case.choice.origin}",
                *filter(None, [learnt_text(check)]),
                "* an assumed value inside: a default stands in for what the book does not say",
                *_assumed_lines(case.inputs.items()),
            ]
        ),
    ]
    if case.recipe.notes:
        parts.append("Notes\n" + "\n".join(indented(case.recipe.notes.strip().splitlines(), page_width())))
    parts.append("\n".join(indented((f"Mind: {line}" for line in check.cautions), page_width())))
    return "\n\n".join(part for part in parts if part)


def _figure_line(figure: Figure, system: str) -> str:
    unit = None if system == "imperial" else figure.unit
    value = quantities.show(figure.value, figure.dimension, unit=unit, system=system)
    star = "*" if figure.assumed_inputs else " "
    name = title(figure.name) + star
    return f"{INDENT}{name:<30}{value:>17}{_band(figure, unit, system)}"


def _band(figure: Figure, unit: str | None, system: str) -> str:
    low, high = figure.number.band()
    if low == high:
        return ""
    shown = (quantities.show(end, figure.dimension, unit=unit, system=system) for end in (low, high))
    return "   (" + " to ".join(shown) + ")"


def _assumed_lines(inputs: Iterable[tuple[str, Input]]) -> Iterator[str]:
    for name, item in inputs:
        if item.assumed:
            yield f"{INDENT}{title(name):<30}{item.origin}"
