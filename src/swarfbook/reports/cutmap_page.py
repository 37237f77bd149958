"""A map for the terminal: limits as lines of letters, removal rate dotted, and in words what bounds it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import groupby
from string import ascii_letters

import numpy as np

from swarfbook import quantities
from swarfbook.decisions.borders import Outline, Reach, outline
from swarfbook.decisions.cutmap import KNOBS, Axis, CutMap
from swarfbook.decisions.cutmap_json import knob_unit, scale
from swarfbook.decisions.titles import said, title
from swarfbook.reports.plain import plain as in_ascii
from swarfbook.reports.sheet import LEFT, Flags, Numbers, Scale, Sheet, edge, resampled, round_levels
from swarfbook.reports.words import counted, wrapped

NARROWEST, WIDEST = 60, 200
RIGHT = 8  # columns for the removal rates beside the frame
FEWEST_ROWS, MOST_ROWS = 16, 32
LOWEST_ROWS = 8  # where a screen is low
AROUND = 3  # rows for the removal rates above the frame, the frame below and its numbers
CONTOURS = 5
SIGNS = {"recipe": "●o", "clean": "▲^", "disputed": "△?", "bad": "×x"}
"""Of the recipe and of runs, drawn and in ASCII; no letter of a limit is one of them."""
LETTERS = [letter for letter in ascii_letters if letter not in "ox"]
WENT = {"clean": "ran clean", "disputed": "ran clean, disputed since", "bad": "went wrong"}
TURNS = {
    "axial_depth": ("deeper", "shallower"),
    "radial_width": ("wider", "narrower"),
    "feed_per_tooth": ("more feed", "less feed"),
    "spindle_speed": ("faster", "slower"),
}
APART = 7  # columns from one removal rate above the frame to the next
HAIR = 1e-9
FAR = 700.0  # of the logarithm of a use: more than any number has


def cut_map_lines(
    found: CutMap, *, width: int, system: str, height: int | None = None, plain: bool = False
) -> list[str]:
    """Draw a map, with what its signs mean and what bounds the cut below it.

    Args:
        found: the map.
        width: columns there are, of which at least 60 and at most 200 are used.
        system: units to show, `metric` or `imperial`.
        height: rows that the heading and the drawing are to take together; None for as suits the width.
        plain: draw with ASCII only.
    """
    columns = max(NARROWEST, min(WIDEST, width))
    outlined = outline(found.uses, found.severity)
    letters = _letters_of(found, outlined)
    head = list(wrapped([heading(found, system)], width=columns))
    size = sheet_size(columns, None if height is None else height - len(head))
    sheet = _sheet(found, letters, size, system, plain=plain)
    words = [
        *_letters(found, letters, sheet),
        *_legend(found, system, plain=plain),
        *_others(outlined),
        "",
        *_region(found, outlined, system),
        *_reaches(found, system),
    ]
    lines = [
        *head,
        *sheet.lines(plain=plain),
        *wrapped(words, width=columns),
    ]
    return [in_ascii(line) for line in lines] if plain else lines


def sheet_size(width: int, height: int | None) -> tuple[int, int]:
    """Give the columns and rows of a drawing.

    Args:
        width: columns there are for it and the numbers beside it.
        height: rows there are for it and the numbers above and below; None for as suits the width.
    """
    columns = width - LEFT - RIGHT - 1
    if height is None:
        return columns, max(FEWEST_ROWS, min(MOST_ROWS, columns // 3))
    return columns, max(LOWEST_ROWS, min(MOST_ROWS, height - AROUND))


def drawn_limits(found: CutMap, outlined: Outline) -> list[tuple[str, ...]]:
    """Give the limits whose lines are drawn, the longest border first; those of one line together."""
    lines: list[tuple[str, ...]] = []
    for name in outlined.bounding:
        same = next((line for line in lines if _same(found, line[0], name)), None)
        if same is None:
            lines.append((name,))
        else:
            lines[lines.index(same)] = (*same, name)
    return lines


def _same(found: CutMap, one: str, other: str) -> bool:
    uses = found.uses[one], found.uses[other]
    alike = found.severity[one] == found.severity[other]
    return alike and np.allclose(*uses, rtol=HAIR, atol=0, equal_nan=True)


def line_title(found: CutMap, names: tuple[str, ...]) -> str:
    """Say what limits a line is of."""
    advice = " (advice)" if found.severity[names[0]] == "advice" else ""
    return ", ".join(map(title, names)) + advice


def _letters_of(found: CutMap, outlined: Outline) -> dict[tuple[str, ...], str]:
    """Give each line that is drawn a letter: capitals for hard limits, small ones for advice."""
    return {
        names: letter.upper() if found.severity[names[0]] == "hard" else letter
        for names, letter in zip(drawn_limits(found, outlined), LETTERS, strict=False)
    }


def heading(found: CutMap, system: str) -> str:
    """Say what a map is over, and where the other knobs stand."""
    over = " over ".join(axis_title(axis, system) for axis in (found.y, found.x))
    still = [knob for knob in KNOBS if knob not in (found.x.knob, found.y.knob)]
    told = ", ".join(f"{said(knob)} {show_knob(knob, found.case[knob], system)}" for knob in still)
    return f"{over}; {told}"


def axis_title(axis: Axis, system: str) -> str:
    """Say a knob and the unit of its numbers."""
    return f"{said(axis.knob)} [{quantities.pretty(knob_unit(axis.knob, system)[1])}]"


def show_knob(knob: str, si: float, system: str) -> str:
    """Write where a knob stands, with its unit."""
    dimension, unit = knob_unit(knob, system)
    return quantities.show(si, dimension, unit=unit)


def rate_unit(system: str) -> str:
    """Give the unit that removal rates are shown in."""
    return quantities.preferred_unit("volume_rate", system)


def in_units(axis: Axis, system: str) -> Numbers:
    """Give the values of an axis in the unit shown."""
    return axis.values * scale(*knob_unit(axis.knob, system))


def rate_levels(found: CutMap, system: str) -> Sequence[float]:
    """Give the round removal rates that are drawn, in the unit shown."""
    rate = found.removal_rate * scale("volume_rate", rate_unit(system))
    rate = np.where(np.isfinite(rate), rate, 0.0)
    if not (rate > 0).any():
        return []
    wanted = float(rate[found.holds].max()) if found.holds.any() else float(np.median(rate))
    return round_levels(float(rate.min()), float(rate.max()), wanted, CONTOURS)


def _sheet(
    found: CutMap, letters: dict[tuple[str, ...], str], size: tuple[int, int], system: str, *, plain: bool
) -> Sheet:
    x, y = (Scale(float(values[0]), float(values[-1])) for values in _both(found, system))
    sheet = Sheet(*size, x, y)
    _contours(sheet, found, system, "." if plain else "·")
    # The longest border is drawn last, so that no other hides it.
    for names, letter in reversed(letters.items()):
        level = _level(found.uses[names[0]], sheet.columns, sheet.rows)
        sheet.fill(edge(level > 0, level <= 0), letter)
    by_x, by_y = (scale(*knob_unit(axis.knob, system)) for axis in (found.x, found.y))
    for went in WENT:
        for run in found.ran:
            if run.went == went and found.inside(run):
                across, up = (float(getattr(run.knobs, axis.knob)) for axis in (found.x, found.y))
                sheet.put(across * by_x, up * by_y, SIGNS[went][plain])
    sheet.put(found.x.now * by_x, found.y.now * by_y, SIGNS["recipe"][plain])
    return sheet


def _both(found: CutMap, system: str) -> tuple[Numbers, Numbers]:
    return in_units(found.x, system), in_units(found.y, system)


def _level(use: Numbers, columns: int, rows: int) -> Numbers:
    """Give the logarithm of a use in each cell: above 0 it is over."""
    with np.errstate(divide="ignore"):
        level = np.clip(np.log(use), -FAR, FAR)
    return resampled(level, columns, rows)


def _contours(sheet: Sheet, found: CutMap, system: str, dot: str) -> None:
    """Dot the removal rates, with their values beside rows or, where there is no room, above columns."""
    rate = resampled(found.removal_rate, sheet.columns, sheet.rows) * scale("volume_rate", rate_unit(system))
    for level in rate_levels(found, system):
        dots: Flags = edge(rate > level, rate <= level)
        beside, above = np.nonzero(dots[:, -1])[0], np.nonzero(dots[-1])[0]
        if beside.size and int(beside[0]) not in sheet.right:
            sheet.right[int(beside[0])] = f" {level:g}"
        elif above.size and not any(abs(int(above[0]) - column) < APART for column in sheet.top):
            sheet.top[int(above[0])] = f"{level:g}"
        else:
            continue
        sheet.fill(dots, dot)


def _letters(found: CutMap, letters: dict[tuple[str, ...], str], sheet: Sheet) -> Iterator[str]:
    seen = {sign for row in sheet.cells for sign in row}
    for names, letter in letters.items():
        hidden = "" if letter in seen else ", its line under the others"
        yield f"{letter}  {line_title(found, names)}{hidden}"
    if letters:
        yield "a limit is over where its letters stand and beyond; capitals are hard limits"


def _legend(found: CutMap, system: str, *, plain: bool) -> Iterator[str]:
    went = Counter[str](run.went for run in found.ran if found.inside(run))
    runs = [f"{SIGNS[word][plain]} {WENT[word]} ({went[word]})" for word in WENT if went[word]]
    yield ", ".join([f"{SIGNS['recipe'][plain]} the recipe", *runs])
    if runs:
        yield "runs stand at their own numbers; what the map does not turn was theirs too"
    away = sum(not found.inside(run) for run in found.ran)
    if away:
        yield f"{counted(away, 'run')} beyond this map"
    yield f"dots and the values at their ends: removal rate [{quantities.pretty(rate_unit(system))}]"


def _others(outlined: Outline) -> Iterator[str]:
    for heading_, names in (
        ("passed only beyond these lines", outlined.behind),
        ("not reached on this map", outlined.nowhere),
    ):
        if names:
            yield f"{heading_}: {', '.join(map(title, names))}"


def _region(found: CutMap, outlined: Outline, system: str) -> Iterator[str]:
    if found.over:
        yield f"The recipe itself is over {', '.join(map(title, found.over))}."
    hard = [name for name in outlined.everywhere if found.severity[name] == "hard"]
    advice = [name for name in outlined.everywhere if name not in hard]
    if advice:
        yield f"Against advice everywhere on this map: {', '.join(map(title, advice))}."
    if hard:
        yield f"Nothing on this map holds: {', '.join(map(title, hard))} is over everywhere."
    elif not found.holds.any():
        yield "Nothing on this map holds: its lines leave no room between them."
    else:
        yield _best(found, system)


def _best(found: CutMap, system: str) -> str:
    row, column = np.unravel_index(
        int(np.argmax(np.where(found.holds, found.removal_rate, -1.0))), found.holds.shape
    )
    rate = quantities.show(float(found.removal_rate[row, column]), "volume_rate", unit=rate_unit(system))
    places = (
        f"{said(axis.knob)} {show_knob(axis.knob, float(axis.values[index]), system)}"
        for axis, index in ((found.x, column), (found.y, row))
    )
    share = 100 * found.holds.mean()
    most = f"the most removed there is {rate}, at {', '.join(places)}"
    return f"Every hard limit holds on {share:.0f} % of this map; {most}."


def _reaches(found: CutMap, system: str) -> Iterator[str]:
    dial = found.case.machine.spindle.speeds
    if dial and "spindle_speed" in (found.x.knob, found.y.knob):
        speeds = ", ".join(show_knob("spindle_speed", speed, system) for speed in sorted(dial))
        yield f"The spindle has these speeds only: {speeds}."
    yield "From the recipe, one knob alone:"
    for (knob, more), group in groupby(found.reaches, key=lambda one: (one.knob, one.more)):
        yield f"  {TURNS[knob][not more]}: {', then '.join(_met(found, one, system) for one in group)}"


def _met(found: CutMap, one: Reach, system: str) -> str:
    at = show_knob(one.knob, one.at, system)
    if one.limit is None:
        other = "other " if found.over else ""
        return f"no {other}hard limit {'up' if one.more else 'down'} to {at}, where the map ends"
    return f"{title(one.limit)}{' (advice)' if one.severity == 'advice' else ''} at {at}"
