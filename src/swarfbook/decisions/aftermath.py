"""After a run that did not go clean: what the model thought of the cut, and what could be done next.

Nothing here says why it happened. It says which limits stood closest, what is least known behind them, and
three steps that were tried on the model.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain

from swarfbook.book import Book
from swarfbook.book.table import Brief
from swarfbook.decisions.case import Case
from swarfbook.decisions.check import Check, Limit, check
from swarfbook.decisions.evidence import judged, three_in, three_of
from swarfbook.decisions.next_steps import RULES, next_steps
from swarfbook.decisions.running import case_of_snapshot
from swarfbook.decisions.runs import Wanted
from swarfbook.decisions.sensitivity import Effect, Sensitivity, sensitivity
from swarfbook.decisions.steps import Step
from swarfbook.errors import Problem, SwarfbookError, did_you_mean
from swarfbook.records import Run

CLOSEST = 4
SOME = 0.01  # share of a use's log variance from which an input is worth telling
KNOWN = 4
PLACES = frozenset({"spindle-speed", "spindle-speed-low", "tool-speed", "feed-rate", "cut-depth"})
"""Limits that say where a knob stands: among the closest only where they bear on the outcome or are over."""
CHIPS = ("chip-clearing", "chip-thick", "chip-thin")
HEAT = ("surface-speed", "chip-thin", "chip-clearing")
EDGE = ("deflection", "chip-thin", "chip-thick")
BEARS: dict[str, tuple[str, ...]] = {
    "chatter": ("chatter", "deflection", "axis-thrust"),
    "rubbing": ("chip-thin", "surface-speed"),
    "chip-welding": HEAT,
    "recutting": CHIPS,
    "chips-packed": CHIPS,
    "melted": HEAT,
    "scorched": HEAT,
    "tear-out": EDGE,
    "burr": EDGE,
    "poor-finish": ("deflection", "chip-thin", "chatter"),
    "off-size": ("deflection", "axis-thrust", "bending"),
    "stalled": ("spindle-power", "spindle-torque", "spindle-torque-peak"),
    "lost-steps": ("axis-thrust", "feed-rate", "entry"),
    "cutter-worn": HEAT,
    "cutter-broke": ("bending", "chip-thick", "chip-clearing"),
    "work-moved": ("axis-thrust", "bending"),
    "stopped": (),
}
"""Limits that bear on each outcome, few enough that all of them are told."""


@dataclass(frozen=True, slots=True)
class Unknown:
    """An input that is not known well.

    Attributes:
        name: the input; `law` is the cutting force as a whole.
        assumed: whether a default stands in for it.
        sd: its log standard deviation.
        limit: of the closest limits the one it makes most uncertain.
        doubt: log standard deviation it adds to that one's use.
        share: its share of that use's log variance, 0 to 1.
    """

    name: str
    assumed: bool
    sd: float
    limit: str
    doubt: float
    share: float


@dataclass(frozen=True, slots=True)
class Aftermath:
    """What there is to say after a run.

    Attributes:
        outcome: how the run went.
        check: what was cut, checked.
        bears: names of the judged limits that bear on this outcome.
        closest: three or four limits, those that bear on the outcome first, each part by use.
        least_known: what makes those that bear on the outcome most uncertain, the most first; where that is
            nothing, those that make the others so.
        steps: three next steps.
    """

    outcome: str
    check: Check
    bears: tuple[str, ...]
    closest: tuple[Limit, ...]
    least_known: tuple[Unknown, ...]
    steps: tuple[Step, ...]


def aftermath(case: Case, outcome: str, *, minutes: float | None = None) -> Aftermath:
    """Say what the model makes of a cut that did not run clean.

    Args:
        case: the recipe as it was cut.
        outcome: how that went, any outcome but `clean`.
        minutes: time that this cutter has cut [min]; None where nobody knows.

    Raises:
        SwarfbookError: a clean run, or no such outcome.
    """
    if outcome not in RULES:
        raise SwarfbookError(Problem("outcome", "", outcome, did_you_mean(outcome, list(RULES))))
    checked = check(case)
    bears = tuple(limit for limit in _judged(checked) if limit.name in BEARS[outcome])
    closest = _closest(checked, bears)
    doubts = sensitivity(case)
    about = _effects(doubts, [limit.name for limit in closest if limit in bears])
    effects = about or _effects(doubts, [limit.name for limit in closest])
    unknown = tuple((effect, limit) for effect, limit, _ in effects)
    return Aftermath(
        outcome=outcome,
        check=checked,
        bears=tuple(limit.name for limit in bears),
        closest=closest,
        least_known=tuple(_unknown(*one) for one in effects[:KNOWN]),
        steps=next_steps(checked, outcome, unknown, minutes=minutes),
    )


def minutes_of_cutter(runs: Iterable[Run | Brief], run: Run) -> float | None:
    """Give how long the cutter of a run had cut by its end [min]; None where the run does not name it."""
    three = three_of(run)
    if not run.cutter or three is None:
        return None
    same = {
        one.id: one.minutes
        for one in chain(runs, [run])
        if one.cutter == run.cutter and one.at <= run.at and (three_in(one.snapshot) or three)[1] == three[1]
    }
    return sum(same.values())


def _of_cutter(book: Book, run: Run) -> Iterator[Brief]:
    table = book.light_log().table
    return map(table.brief, Wanted(cutter=run.cutter).rows(table, table.counts).tolist())


def _judged(checked: Check) -> list[Limit]:
    return [limit for limit in checked.limits if limit.use is not None]


def _closest(checked: Check, bears: tuple[Limit, ...]) -> tuple[Limit, ...]:
    """Put the limits that bear on the outcome before the others; a check has them by use."""
    others = [
        limit
        for limit in _judged(checked)
        if limit not in bears and (limit.name not in PLACES or limit.verdict == "over")
    ]
    return (*bears, *others)[:CLOSEST]


def _effects(found: Sensitivity, names: Sequence[str]) -> list[tuple[Effect, str, float]]:
    """Give the unknown inputs behind some limits, each with the limit it adds most to and its share there."""
    variance = {name: sum(one.doubt(name) ** 2 for one in found.worth_measuring(name)) for name in names}
    effects = []
    for one in found.effects if names else ():
        limit = max(names, key=one.doubt)
        share = one.doubt(limit) ** 2 / variance[limit] if variance[limit] else 0.0
        if not one.setting and share > SOME:
            effects.append((one, limit, share))
    effects.sort(key=lambda told: sum(told[0].doubt(name) ** 2 for name in names), reverse=True)
    return effects


def _unknown(effect: Effect, limit: str, share: float) -> Unknown:
    return Unknown(effect.name, effect.assumed, effect.sd, limit, effect.doubt(limit), share)


def after_run(book: Book, run: Run) -> Aftermath | None:
    """Say what the model makes of a run of a book's log, with what the log has taught.

    Returns:
        None for a clean run, and where its line does not hold enough of what was cut.
    """
    case = None if run.clean else case_of_snapshot(book, run.recipe, run.snapshot)
    if case is None:
        return None
    return aftermath(judged(book, case), run.outcome, minutes=minutes_of_cutter(_of_cutter(book, run), run))
