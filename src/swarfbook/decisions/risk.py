"""Derating to a chance: the smallest margin that brings the chance of every load's limit down to it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from swarfbook.decisions.case import Case
from swarfbook.decisions.check import Check
from swarfbook.decisions.derate import LARGEST_MARGIN, Derating, derate
from swarfbook.decisions.limits import RUNG_ORDER
from swarfbook.decisions.past import LOADS
from swarfbook.decisions.titles import title
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.frozen import frozen

LOAD_LIMITS = tuple(rule.name for rule in RUNG_ORDER if rule.demand in LOADS)
"""Limits on loads, which backing off eases; `deflection` counts where a tolerance makes it hard."""
STEP = 0.001  # margins are found to a tenth of a per cent
LARGEST_RISK = 0.5


@frozen
class Risk:
    """A derating to a chance.

    Attributes:
        risk: the chance asked for, of each load's limit.
        reached: whether every load-type hard limit of the child keeps it.
        chances: chance of not being kept, of each load-type hard limit of the child.
        chip_thin: chance that the child's chip is under the rubbing floor; backing off does not lower it.
        derating: the child, at the smallest margin that keeps the risk, or at the largest that was reached.
        note: what stays over the risk; empty where it is reached.
    """

    risk: float
    reached: bool
    chances: dict[str, float]
    chip_thin: float
    derating: Derating
    note: str


def load_chances(check: Check) -> dict[str, float]:
    """Give the chance that each load-type hard limit of a checked recipe is not kept."""
    return {
        limit.name: limit.chance_over
        for limit in check.limits
        if limit.name in LOAD_LIMITS and limit.severity == "hard" and limit.chance_over is not None
    }


ChancesOf = Callable[[Derating], dict[str, float]]
"""Gives the chances of a child by the limit's name."""


def _own_chances(derating: Derating) -> dict[str, float]:
    return load_chances(derating.check)


def derate_to_risk(
    case: Case,
    *,
    risk: float,
    method: str = "least-time",
    stock_top: float | None = None,
    chances: ChancesOf = _own_chances,
) -> Risk:
    """Find the smallest margin at which no load-type hard limit is likelier to be passed than a risk.

    Args:
        case: the recipe to back off.
        risk: chance allowed of each limit, above 0 and at most 0.5.
        method: which knobs move, as in `derate`.
        stock_top: as in `derate`.
        chances: what a child's chances are, a hold's among them where a job is given.

    Returns:
        The child at that margin; `reached` False where no margin does.

    Raises:
        SwarfbookError: another risk, or no such method.
    """
    if not 0 < risk <= LARGEST_RISK:
        raise SwarfbookError(Problem("risk", "", f"{risk:g}", "a risk lies above 0 % and up to 50 %"))
    children = _Children(case, method, stock_top, chances)
    low, high = 0, round(LARGEST_MARGIN / STEP)
    if not children.too_likely(low, risk):
        return _risk(children.at(low), risk, chances)
    # Chances fall with the margin, and a margin that cannot be reached has none above it that can.
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (middle, high) if children.too_likely(middle, risk) else (low, middle)
    best = children.at(high)
    return _risk(best if best.reached else children.at(low), risk, chances)


class _Children:
    """The children of one recipe by their margin, each worked out once."""

    def __init__(self, case: Case, method: str, stock_top: float | None, chances: ChancesOf) -> None:
        self._case, self._method, self._top, self._chances = case, method, stock_top, chances
        self._known: dict[int, Derating] = {}

    def at(self, step: int) -> Derating:
        """Give the child at so many steps of margin."""
        if step not in self._known:
            self._known[step] = derate(
                self._case, margin=step * STEP, method=self._method, stock_top=self._top
            )
        return self._known[step]

    def too_likely(self, step: int, risk: float) -> bool:
        """Say whether a child that keeps its margin still passes a limit likelier than a risk."""
        child = self.at(step)
        return child.reached and max(self._chances(child).values(), default=0.0) > risk


def _risk(derating: Derating, risk: float, chances_of: ChancesOf) -> Risk:
    chances = chances_of(derating)
    over = [name for name, chance in chances.items() if chance > risk]
    thin = next((limit.chance_over for limit in derating.check.limits if limit.name == "chip-thin"), None)
    reached = derating.reached and not over
    return Risk(
        risk=risk,
        reached=reached,
        chances=chances,
        chip_thin=thin or 0.0,
        derating=derating if reached else replace(derating, reached=False),
        note="" if reached else _note(over, derating),
    )


def _note(over: Sequence[str], derating: Derating) -> str:
    if not over:
        return derating.note
    words = ", ".join(map(title, over))
    return f"no margin that {derating.method} reaches brings the chance of {words} down that far"
