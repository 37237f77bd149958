"""What the commands print for people: how wide, and the list of recipes."""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Iterator, Sequence

from swarfbook.decisions.check import Check
from swarfbook.decisions.titles import title
from swarfbook.reports.breaking import wrap
from swarfbook.reports.evidence_page import word
from swarfbook.reports.listing import telling
from swarfbook.reports.words import cut_to

NARROWEST, WIDEST = 60, 120
INDENT = "  "


def page_width() -> int:
    """Columns to write in: the terminal's, within what reads well; 80 where there is no terminal."""
    return max(NARROWEST, min(WIDEST, shutil.get_terminal_size((80, 24)).columns))


def indented(lines: Iterable[str], width: int) -> Iterator[str]:
    """Wrap lines to a width, each a column in and what follows of it three."""
    from swarfbook.reports.sentence import NO_BREAK

    for line in lines:
        whole = line.replace(" %", f"{NO_BREAK}%")
        yield from wrap(whole, width, initial_indent=" ", subsequent_indent="   ") or [""]


def list_text(heading: str, checks: Sequence[Check]) -> str:
    """Write the judged list: a line a recipe, by machine and material."""
    lines = [f"{heading} · {len(checks)} recipe{'' if len(checks) == 1 else 's'}"]
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
    name = cut_to(one.case.recipe_id, wide - 1)
    return f"  {name:<{wide}}{one.case.recipe.standing:<12}{title(limit.name):<18}{use:>5} {word(one)}"
