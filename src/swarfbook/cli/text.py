"""What the commands print for people: the page, the list, a derating, a comparison."""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Iterator, Sequence
from textwrap import wrap

from swarfbook import quantities
from swarfbook.decisions.check import Check
from swarfbook.decisions.derate import LOAD_WORDS, Derating, percent_text
from swarfbook.decisions.figures import Figure
from swarfbook.decisions.inputs import Input
from swarfbook.decisions.leaves import leavings
from swarfbook.reports.ladder import ladder_text, rung_note
from swarfbook.reports.listing import telling
from swarfbook.reports.sentence import sentence_of, sentence_text
from swarfbook.reports.words import said, title

NARROWEST, WIDEST = 60, 120
INDENT = "  "


def page_width() -> int:
    """Columns to write in: the terminal's, within what reads well; 80 where there is no terminal."""
    return max(NARROWEST, min(WIDEST, shutil.get_terminal_size((80, 24)).columns))


def _wrapped(lines: Iterable[str], width: int) -> Iterator[str]:
    for line in lines:
        yield from wrap(line, width, initial_indent=" ", subsequent_indent="   ") or [""]


def head_text(check: Check, units: str | None) -> str:
    """Write the sentence, and what standing it has."""
    recipe = check.case.recipe
    sentence = sentence_text(sentence_of(check.case, system=units), width=page_width())
    derived = f" · backed off from {recipe.derived.from_}" if recipe.derived else ""
    return f"{recipe.name}\n\n{sentence}\n{recipe.standing}{derived}"


def check_text(check: Check, units: str | None, *, plain: bool = False) -> str:
    """Write a check: the sentence, the ladder, why the strained rungs are strained, and cautions."""
    width, system = page_width(), units or "metric"
    strained = [limit for limit in check.limits if limit.verdict in ("tight", "over")]
    notes = [" ".join(rung_note(check, limit, system=system)) for limit in strained]
    tightest = check.tightest
    parts = [
        head_text(check, units),
        ladder_text(check, width=width, plain=plain, system=system),
        "\n".join(_wrapped(notes, width)),
        "\n".join(_wrapped((f"Mind: {line}" for line in check.cautions), width)),
        f"{check.verdict}: the tightest hard limit is {title(tightest.name)}, use {tightest.use or 0.0:.2f}",
    ]
    return "\n\n".join(part for part in parts if part)


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
                "* an assumed value inside: a default stands in for what the book does not say",
                *_assumed_lines(case.inputs.items()),
            ]
        ),
    ]
    if case.recipe.notes:
        parts.append("Notes\n" + "\n".join(_wrapped(case.recipe.notes.strip().splitlines(), page_width())))
    parts.append("\n".join(_wrapped((f"Mind: {line}" for line in check.cautions), page_width())))
    return "\n\n".join(part for part in parts if part)


def _figure_line(figure: Figure, system: str) -> str:
    unit = None if system == "imperial" else figure.unit
    value = quantities.show(figure.value, figure.dimension, unit=unit, system=system)
    star = "*" if figure.assumed_inputs else " "
    name = figure.name.replace("_", " ") + star
    return f"{INDENT}{name:<27}{value:>20}{_band(figure, unit, system)}"


def _band(figure: Figure, unit: str | None, system: str) -> str:
    low, high = figure.number.band()
    if low == high:
        return ""
    shown = (quantities.show(end, figure.dimension, unit=unit, system=system) for end in (low, high))
    return "   (" + " to ".join(shown) + ")"


def _assumed_lines(inputs: Iterable[tuple[str, Input]]) -> Iterator[str]:
    for name, item in inputs:
        if item.assumed:
            yield f"{INDENT}{said(name):<27}{item.origin}"


def list_text(heading: str, checks: Sequence[Check]) -> str:
    """Write the judged list: a line a recipe, by machine and material."""
    lines = [f"{heading} · {len(checks)} recipes"]
    group = ""
    for one in sorted(checks, key=_group):
        if _group(one) != group:
            group = _group(one)
            lines += ["", group]
        lines.append(_list_line(one))
    return "\n".join(lines)


def _group(one: Check) -> str:
    return f"{one.case.machine.name} · {one.case.material.name}"


def _list_line(one: Check) -> str:
    limit = telling(one)
    use = f"{limit.use or 0.0:.2f}"
    wide = page_width() - 2 - 12 - 18 - 6 - 7
    name = one.case.recipe_id if len(one.case.recipe_id) <= wide else one.case.recipe_id[: wide - 1] + "…"
    return f"  {name:<{wide}}{one.case.recipe.standing:<12}{title(limit.name):<18}{use:>5} {one.verdict}"


def derate_text(derating: Derating, units: str | None) -> str:
    """Write a derating: the promise, what each load comes to, the child as a sentence."""
    width = page_width()
    share = 1 - derating.margin
    lines = [
        f"Backing off {derating.parent} by {percent_text(derating.margin)}, {derating.method}",
        f"Promise: power, torque, force, bending and deflection each at most {share:.2f} of it",
        "",
        *(_load_line(derating, name) for name in LOAD_WORDS),
        f"{INDENT}{'removal rate':<16}{derating.removal_rate_ratio:>7.3f}",
        "",
        sentence_text(sentence_of(derating.check.case, system=units), width=width),
    ]
    if derating.note:
        lines += ["", *_wrapped([derating.note], width)]
    lines += ["", _outcome(derating)]
    return "\n".join(lines)


def _load_line(derating: Derating, name: str) -> str:
    demand = next(one for one in derating.demands if one.name == name)
    figure = derating.check.figures[name]
    before, after = (
        quantities.show(si, figure.dimension, unit=figure.unit) for si in (demand.parent, demand.child)
    )
    short = "" if demand.ratio <= 1 - derating.margin else "  short"
    return f"{INDENT}{LOAD_WORDS[name]:<16}{demand.ratio:>7.3f}   {before:>14} -> {after}{short}"


def _outcome(derating: Derating) -> str:
    if not derating.reached:
        return "not reached: nothing is saved"
    tightest = derating.check.tightest
    use = f"{title(tightest.name)}, use {tightest.use or 0.0:.2f}"
    return f"reached; the child's tightest limit is {use}, {derating.check.verdict}"
