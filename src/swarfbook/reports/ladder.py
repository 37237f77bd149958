"""The ladder: one rung per limit, the tightest first, every demand on one scale whose end is its limit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from swarfbook import quantities
from swarfbook.decisions.check import Check, Limit
from swarfbook.decisions.figures import Figure
from swarfbook.decisions.past import Mark
from swarfbook.decisions.relief import STRAINED, Relief, relief
from swarfbook.decisions.titles import said, title
from swarfbook.frozen import frozen
from swarfbook.reports.breaking import wrap
from swarfbook.reports.duty import duty_note
from swarfbook.reports.evidence_page import mark_text
from swarfbook.reports.sentence import NO_BREAK

TITLE_WIDTH = 15
OVER = 3  # places right of the limit
SHORTEST_RULE = 16
LONGEST_RULE = 64
MOST_USE = 99  # larger ones are not told apart
BAND_FROM = 100  # columns from which the band is drawn
SMALL_LENGTH = 1e-4  # m: shorter ones are shown in the finer unit
FINE = {"metric": "um", "imperial": "thou"}


@frozen
class Rung:
    """One limit as it is drawn.

    Attributes:
        limit: the limit's name.
        title: what it is called.
        asks: the demand, three figures, without its unit.
        of: what can be given, likewise; a minimum begins with `≥`.
        unit: unit of both.
        use: the demand's place on the scale that ends at 1.
        low, high: places of its 5 % and 95 % points.
        mark: place of the high-water mark, of what it still covers where it is disputed; None without one.
        disputed: whether a later run speaks against all that has run clean.
        verdict: holds, tight or over.
        advice: whether passing it is against advice only.
        assumed: whether an assumed value is inside.
    """

    limit: str
    title: str
    asks: str
    of: str
    unit: str
    use: float
    low: float
    high: float
    mark: float | None
    disputed: bool
    verdict: str
    advice: bool
    assumed: bool

    @property
    def word(self) -> str:
        """The verdict as it is printed: in brackets where only advice is strained."""
        return f"({self.verdict})" if self.advice and self.verdict != "holds" else self.verdict


@frozen
class Signs:
    """The characters a rule is drawn with, each one column wide."""

    demand: str = "●"
    mark: str = "▲"
    disputed: str = "△"
    both: str = "◆"
    limit: str = "┃"
    line: str = "·"
    quarter: str = "┼"
    band: str = "─"
    least: str = "≥"


DRAWN = Signs()
PLAIN = Signs(
    demand="o", mark="^", disputed="?", both="@", limit="|", line=".", quarter="+", band="-", least=">="
)


@frozen
class Layout:
    """Where the columns of a ladder stand.

    Attributes:
        width: columns there are.
        signs: the characters of the rule.
    """

    width: int
    signs: Signs = DRAWN

    @property
    def rule(self) -> int:
        """Columns from 0 to the limit, a multiple of four; 0 where the rule has to go."""
        room = self.width - TITLE_WIDTH - OVER - 36  # 36: pointer, gaps, numbers and words
        return min(room - room % 4, LONGEST_RULE) if room >= SHORTEST_RULE else 0

    @property
    def bands(self) -> bool:
        """Whether there is room for the likely band."""
        return self.width >= BAND_FROM


def rungs(check: Check, *, system: str = "metric") -> list[Rung]:
    """Give the judged limits as rungs, the tightest first.

    Args:
        check: a checked recipe.
        system: `metric` or `imperial`.
    """
    return [_rung(limit, check.demands[limit.name], system) for limit in check.limits if is_judged(limit)]


def is_judged(limit: Limit) -> bool:
    """Say whether a limit has a use that is a number: outside its formula's range it has none."""
    return limit.use is not None and not math.isnan(limit.use)


def _rung(limit: Limit, demand: Figure, system: str) -> Rung:
    unit = rung_unit(limit, system)
    low, high = sorted(_place(limit, point) for point in demand.number.band())
    least = "≥ " if limit.sense == "minimum" else ""
    return Rung(
        limit=limit.name,
        title=title(limit.name),
        asks=_number(limit.demand, limit.dimension, unit),
        of=least + _number(limit.limit or 0.0, limit.dimension, unit),
        unit=quantities.pretty(unit),
        use=limit.use or 0.0,
        low=low,
        high=high,
        mark=None if limit.mark is None else _place(limit, _standing_mark(limit.mark)),
        disputed=limit.mark is not None and limit.mark.covers is None,
        verdict=limit.verdict,
        advice=limit.severity == "advice",
        assumed=bool(limit.assumed_inputs),
    )


def _standing_mark(mark: Mark) -> float:
    return mark.value if mark.covers is None else mark.covers


def _place(limit: Limit, demand: float) -> float:
    if not limit.limit or not demand:
        return 0.0
    return limit.limit / demand if limit.sense == "minimum" else demand / limit.limit


def rung_unit(limit: Limit, system: str) -> str:
    """Choose the unit a limit is shown in, for its demand and what can be given alike."""
    if limit.dimension == "length" and limit.limit is not None and limit.limit < SMALL_LENGTH:
        return FINE[system]
    return quantities.preferred_unit(limit.dimension, system) if system == "imperial" else limit.unit


def _number(si: float, dimension: str, unit: str) -> str:
    shown = quantities.show(si, dimension, unit=unit)
    return shown.removesuffix(quantities.pretty(unit)).strip()


def heading(layout: Layout) -> str:
    """Write the line above the rungs: the scale and what the columns are."""
    scale = _scale(layout) if layout.rule else ""
    room = 7 + (layout.rule + OVER + 2 if layout.rule else 0) - len(scale)
    return f"{'':{TITLE_WIDTH + 2}}{scale}{'asks':>{room}} {'of':>8}"


def _scale(layout: Layout) -> str:
    quarters = ("0", "¼", "½", "¾") if layout.signs is DRAWN else ("0", "1/4", "1/2", "3/4")
    return "".join(f"{text:<{layout.rule // 4}}" for text in quarters) + "1 limit"


def row(rung: Rung, layout: Layout, *, chosen: bool = False) -> str:
    """Write one rung as a line, the chosen one pointed at."""
    pointer = ("▸" if layout.signs is DRAWN else ">") if chosen else " "
    name = rung.title + ("*" if rung.assumed else "")
    of = rung.of.replace("≥", layout.signs.least)
    numbers = f"{rung.asks:>7} {of:>8} {rung.unit:<6} {rung.word:<7}"
    if layout.rule:
        return f"{pointer}{name:<{TITLE_WIDTH}} {rule(rung, layout)} {numbers}".rstrip()
    use = f"{rung.use:.2f}" if rung.use < MOST_USE else f"> {MOST_USE}"
    return f"{pointer}{name:<{TITLE_WIDTH}} {numbers} {use:>5}"


def rule(rung: Rung, layout: Layout) -> str:
    """Draw one rule: quarters, the limit, the likely band where there is room, the mark and the demand."""
    signs, length = layout.signs, layout.rule
    cells = [signs.line] * length + [signs.limit] + [" "] * OVER
    for quarter in (1, 2, 3):
        cells[length * quarter // 4] = signs.quarter
    if layout.bands and rung.low < rung.high:
        for place in range(_cell(rung.low, length), _cell(rung.high, length) + 1):
            cells[place] = signs.band if place != length else signs.limit
    marked = None if rung.mark is None else _cell(rung.mark, length)
    if marked is not None:
        cells[marked] = signs.disputed if rung.disputed else signs.mark
    asked = _cell(rung.use, length)
    cells[asked] = signs.both if asked == marked and not rung.disputed else signs.demand
    return "".join(cells)


def _cell(use: float, length: int) -> int:
    # The limit's own column stays free: at the limit and a hair under it the dot stands left of the bar.
    place = round(use * length)
    if use <= 1:
        return min(place, length - 1)
    return min(max(place, length + 1), length + OVER)


def ladder_text(check: Check, *, width: int = 80, plain: bool = False, system: str = "metric") -> str:
    """Write the whole ladder as lines of at most `width` columns (60 or more).

    Args:
        check: a checked recipe.
        width: columns there are.
        plain: draw with ASCII only.
        system: `metric` or `imperial`.
    """
    layout = Layout(width, PLAIN if plain else DRAWN)
    shown = rungs(check, system=system)
    lines = [heading(layout), *(row(rung, layout) for rung in shown), *legend(shown, layout)]
    for line in unjudged(check):
        lines += wrap(line, width, initial_indent=" ", subsequent_indent="   ")
    return "\n".join(lines)


def legend(shown: Sequence[Rung], layout: Layout) -> list[str]:
    """Say that the numbers are estimates, and explain the signs that any rung has."""
    notes = ["estimates", *(_legend_of_marks(shown, layout.signs) if layout.rule else ())]
    if any(rung.assumed for rung in shown):
        notes.append("* an assumed value inside")
    if any(rung.word != rung.verdict for rung in shown):
        notes.append("(...) advice only")
    return wrap(" · ".join(notes), layout.width - 1, initial_indent=" ", subsequent_indent=" ")


def _legend_of_marks(shown: Sequence[Rung], signs: Signs) -> Iterator[str]:
    marked = [rung for rung in shown if rung.mark is not None]
    if any(not rung.disputed for rung in marked):
        yield f"{signs.mark} ran clean, {signs.both} as this does"
    if any(rung.disputed for rung in marked):
        yield f"{signs.disputed} clean once, disputed"


def unjudged(check: Check) -> list[str]:
    """Say which limits are not judged and what to give so that they can be."""
    return [_unjudged(limit) for limit in check.limits if not is_judged(limit)]


def _unjudged(limit: Limit) -> str:
    outside = "these numbers are outside what its formula covers"
    return f"{title(limit.name)} is not judged: {limit.origin if limit.use is None else outside}"


def rung_note(check: Check, limit: Limit, *, system: str = "metric") -> list[str]:
    """Explain one limit in plain sentences: what asks, of what, what eases it and how sure that is.

    Args:
        check: a checked recipe.
        limit: one of its limits.
        system: `metric` or `imperial`.
    """
    first, *rest = standing_note(check, limit, system=system)
    return [first, *relief_note(limit, relief(check, limit)), *rest]


def standing_note(check: Check, limit: Limit, *, system: str = "metric") -> list[str]:
    """Say what asks, of what and how sure that is: `rung_note` without the relief, which takes a search."""
    if not is_judged(limit):
        return [f"{_unjudged(limit)}."]
    duty = duty_note(check) if limit.name == "spindle-power" else ()
    marked = mark_text(limit, system=system, unit=rung_unit(limit, system)) if check.case.past.cuts else ""
    return [_asked(limit, system), *duty, *_sureness(check, limit, system), *([marked] if marked else [])]


def relief_note(limit: Limit, eased: Relief | None) -> list[str]:
    """Say what eases a tight or broken limit, as `relief` found it; empty for a limit that holds."""
    if limit.verdict not in STRAINED:
        return []
    if eased is None:
        return [f"No single change of {_listed(limit.eases)} eases it without breaking another limit."]
    return [f"Relief: {eased}."]


def _asked(limit: Limit, system: str) -> str:
    unit = rung_unit(limit, system)
    sizes = (limit.demand, limit.limit or 0.0)
    asked, given = (_held(quantities.show(si, limit.dimension, unit=unit)) for si in sizes)
    advice = " Advice only." if limit.severity == "advice" else ""
    if limit.sense == "minimum":
        return f"{title(limit.name)}: {asked} where at least {given} is needed; {limit.origin}.{advice}"
    return f"{title(limit.name)}: asks {asked} of {given}; {limit.origin}.{advice}"


def _sureness(check: Check, limit: Limit, system: str) -> Iterator[str]:
    low, high = check.demands[limit.name].number.band()
    chance = _held(percent(limit.chance_over or 0.0))
    if low < high:
        unit = rung_unit(limit, system)
        most = _held(quantities.show(high, limit.dimension, unit=unit))
        ends = f"{_number(low, limit.dimension, unit)} to {most}"
        yield f"{_held('90 %')} of likely cuts ask {ends}; chance of going past it {chance}."
    elif 0.0 < (limit.chance_over or 0.0) < 1.0:
        yield f"Chance of going past it {chance}."
    if limit.assumed_inputs:
        yield f"Assumed: {', '.join(title(name) for name in limit.assumed_inputs)}."


def _held(text: str) -> str:
    return text.replace(" ", NO_BREAK)


def percent(chance: float) -> str:
    """Write a chance in words that do not claim more than they know."""
    if 0.0 < chance < 0.001:
        return "below 0.1 %"
    if 0.999 < chance < 1.0:
        return "above 99.9 %"
    return f"{100 * chance:.1f} %" if 0.0 < chance < 0.01 else f"{100 * chance:.0f} %"


def _listed(keys: Sequence[str]) -> str:
    words = [said(key) for key in keys]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} or {words[-1]}"
