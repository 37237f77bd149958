"""What the commands print for people: the page of a check and the list."""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Iterator, Sequence
from textwrap import wrap

from swarfbook.decisions.check import Check
from swarfbook.reports.evidence_page import covered_text, learnt_text, record_text, word
from swarfbook.reports.ladder import ladder_text, rung_note
from swarfbook.reports.listing import telling
from swarfbook.reports.sentence import sentence_of, sentence_text
from swarfbook.reports.words import cut_to, title

NARROWEST, WIDEST = 60, 120
INDENT = "  "


def page_width() -> int:
    """Columns to write in: the terminal's, within what reads well; 80 where there is no terminal."""
    return max(NARROWEST, min(WIDEST, shutil.get_terminal_size((80, 24)).columns))


def indented(lines: Iterable[str], width: int) -> Iterator[str]:
    """Wrap lines to a width, each a column in and what follows of it three."""
    for line in lines:
        yield from wrap(line, width, initial_indent=" ", subsequent_indent="   ") or [""]


def head_text(check: Check, units: str | None) -> str:
    """Write the sentence, and what standing it has."""
    recipe = check.case.recipe
    sentence = sentence_text(sentence_of(check.case, system=units), width=page_width())
    derived = f" · backed off from {recipe.derived.from_}" if recipe.derived else ""
    ran = record_text(check)
    standing = wrap(f"{recipe.standing}{f' · {ran}' if ran else ''}{derived}", width=page_width())
    return "\n".join([recipe.name, "", sentence, *standing])


def check_text(check: Check, units: str | None, *, plain: bool = False) -> str:
    """Write a check: the sentence, the ladder, why the strained rungs are strained, and cautions."""
    width, system = page_width(), units or "metric"
    strained = [limit for limit in check.limits if limit.verdict in ("tight", "over")]
    notes = [" ".join(rung_note(check, limit, system=system)) for limit in strained]
    tightest = check.tightest
    parts = [
        head_text(check, units),
        ladder_text(check, width=width, plain=plain, system=system),
        "\n".join(indented(filter(None, [covered_text(check), learnt_text(check)]), width)),
        "\n".join(indented(notes, width)),
        "\n".join(indented((f"Mind: {line}" for line in check.cautions), width)),
        f"{check.verdict}: the tightest hard limit is {title(tightest.name)}, use {tightest.use or 0.0:.2f}",
    ]
    return "\n\n".join(part for part in parts if part)


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
    name = cut_to(one.case.recipe_id, wide)
    return f"  {name:<{wide}}{one.case.recipe.standing:<12}{title(limit.name):<18}{use:>5} {word(one)}"
