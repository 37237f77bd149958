"""What a tenth more of each input does, as a table for people, and what is worth measuring."""

from __future__ import annotations

import math
from collections.abc import Iterator

from swarfbook.decisions.sensitivity import Effect, Sensitivity
from swarfbook.decisions.titles import title
from swarfbook.reports.listing import SPEED_MARKS
from swarfbook.reports.measuring import topics_for
from swarfbook.reports.words import wrapped

LABEL, CELL = 23, 11
LIKELY = 1.6448536269514722  # standard normal quantile of 0.95: the half width of the 90 % band
SMALL = 0.005  # a change of a use that is not worth a number


def sensitivity_lines(found: Sensitivity, *, width: int) -> list[str]:
    """Write the table: an input a line, the tightest limits across, and below it what is worth measuring.

    Args:
        found: the sensitivity.
        width: columns there are.
    """
    told = [name for name in found.uses if any(_tells(one, name) for one in found.effects)]
    limits = [name for name in told if name not in SPEED_MARKS]
    shown = limits[: max((width - LABEL) // CELL, 1)]
    lines = ["change of each limit's use for a tenth more, in per cent", ""]
    lines += [f"{'':{LABEL}}{''.join(part)}".rstrip() for part in _heads(shown)]
    lines.append(f"{'use now':{LABEL}}{''.join(f'{found.uses[name]:>{CELL}.2f}' for name in shown)}")
    rows = [one for one in found.effects if any(_tells(one, name) for name in shown)]
    rows.sort(key=lambda one: max(abs(one.changes.get(name, 0.0)) for name in shown), reverse=True)
    lines += [_row(one, shown) for one in rows]
    hidden = len(told) - len(shown)
    lines += [f"{hidden} more limits are not shown; --json has them"] if hidden else []
    return [*lines, "* assumed", "", *wrapped(_worth(found), width=width)]


def _tells(one: Effect, limit: str) -> bool:
    return abs(one.changes.get(limit, 0.0)) > SMALL


def _heads(limits: list[str]) -> Iterator[list[str]]:
    words = [title(name).split() for name in limits]
    for row in range(max(map(len, words), default=0)):
        yield [f"{(parts[row] if row < len(parts) else ''):>{CELL}}" for parts in words]


def _row(one: Effect, limits: list[str]) -> str:
    name = title(one.name) + ("*" if one.assumed else "")
    cells = "".join(_cell(one.changes.get(limit, 0.0)) for limit in limits)
    return f"{name:<{LABEL}}{cells}".rstrip()


def _cell(change: float) -> str:
    return f"{100 * change:>+{CELL}.0f}" if abs(change) > SMALL else " " * CELL


def _worth(found: Sensitivity) -> Iterator[str]:
    for limit, use in list(found.uses.items()):
        unknown = [one for one in found.worth_measuring(limit) if one.doubt(limit) > 0.02]
        if use < 0.4 or not unknown:
            continue
        told = [f"{title(one.name)}{_times(one.doubt(limit))}" for one in unknown[:3]]
        yield f"{title(limit)}: least known {'is' if len(told) == 1 else 'are'} {', '.join(told)}"
    pages = {topic.name for one in found.effects if one.assumed for topic in topics_for([one.name])}
    for name in sorted(pages):
        yield f"  swarfbook measure {name}"


def _times(sd: float) -> str:
    return f" (a factor of {math.exp(LIKELY * sd):.2f} either way)"
