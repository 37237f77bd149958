"""How things are counted, cut, wrapped and shown on screen and paper; what they are called is in `titles`."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from swarfbook.reports.breaking import wrap

MILLIMETRES = re.compile(r"(\d+(?:\.\d+)?)[ \u00a0]mm\b(?!/)")
"""A length in millimetres in a text, and no feed."""

USUAL_CAUTION = (
    "Makers' limits, guards, local codes and licensed practice come first; every figure here is an estimate. "
    "Never leave a running machine alone."
)


def counted(number: int, one: str, many: str = "") -> str:
    """Say how many there are: `1 recipe`, `16 recipes`."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def used_by(recipes: int, jobs: int) -> str:
    """Say how many use something: `3 recipes`, `3 recipes and 1 job`; jobs only where there are any."""
    return " and ".join([counted(recipes, "recipe"), *([counted(jobs, "job")] if jobs else [])])


def cut_to(text: str, width: int) -> str:
    """Cut a name to a width, with a sign that it goes on."""
    return text if len(text) <= width else f"{text[: width - 1]}…"


def in_system(text: str, system: str | None) -> str:
    """Write the millimetres of a reason as inches where those are shown; decisions reason in millimetres."""
    return MILLIMETRES.sub(_inches, text) if system == "imperial" else text


def _inches(found: re.Match[str]) -> str:
    return f"{float(found[1]) / 25.4:.4g} in"


def wrapped(lines: Iterable[str], *, width: int) -> Iterator[str]:
    """Break lines at a width, the rest of a paragraph two columns in."""
    for line in lines:
        blanks = len(line) - len(line.lstrip())
        indent = " " * (blanks + 2 * bool(blanks))
        yield from wrap(line, width, subsequent_indent=indent, break_on_hyphens=False) or [""]
