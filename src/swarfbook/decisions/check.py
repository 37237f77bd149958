"""Checking a recipe: every quantity with its band, every limit with its verdict, and what is tightest."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Literal

from swarfbook import quantities
from swarfbook.decisions.case import Case
from swarfbook.decisions.cautions import cautions
from swarfbook.decisions.chance import Uncertain, chance_above
from swarfbook.decisions.figures import RUNG_SPECS, Figure, assumed_among, figures
from swarfbook.decisions.limits import Rule, Severity, rules
from swarfbook.decisions.numbers import Numbers, evaluate, nominal_knobs
from swarfbook.decisions.past import Mark, Marks, Sense, TrackRecord, excess, marks, track_record
from swarfbook.frozen import frozen

Verdict = Literal["holds", "tight", "over", "not judged"]


@dataclass(frozen=True)
class Limit:
    """One rung: a demand against what can be given.

    Attributes:
        name, severity, sense: as in `limits.Rule`.
        demand, limit: SI; the limit None where unknown.
        mark: the high-water mark [SI]; None where nothing has run clean.
        dimension, unit: of all three; the unit is JSON's.
        use: share of the limit used; None where not judged.
        verdict: holds, tight, over or not judged.
        chance: works out `chance_over`; a list does without.
        origin: where the limit comes from; for an unjudged one, what to give.
        assumed_inputs: inputs behind demand or limit that a default stands in for.
        eases: knobs that ease it, the most useful first.
    """

    name: str
    severity: Severity
    sense: Sense
    demand: float
    limit: float | None
    dimension: str
    unit: str
    use: float | None
    mark: Mark | None
    verdict: Verdict
    chance: Callable[[], float] | None
    origin: str
    assumed_inputs: tuple[str, ...]
    eases: tuple[str, ...]

    @cached_property
    def chance_over(self) -> float | None:
        """Chance that the limit is not kept; None where not judged."""
        return self.chance() if self.chance else None

    def in_unit(self, si: float) -> float:
        """Give a demand, a limit or a mark in the unit of JSON."""
        return quantities.convert(si, self.dimension, self.unit)

    @property
    def beyond(self) -> float | None:
        """Share by which the demand goes beyond what has run clean; 0 where covered, None without a mark."""
        if self.mark is None or self.mark.covers is None:
            return None
        return excess(self.demand, self.mark.covers, self.sense)


@frozen
class Check:
    """What is known of one recipe before the first chip.

    Attributes:
        case: the recipe, resolved.
        numbers: everything worked out [SI].
        figures: reported quantities by name.
        limits: every rung, the tightest first, unjudged ones last.
        cautions: what to mind, a line each.
        demands: the figure behind each limit's demand, by the limit's name.
        track_record: what the log says of the recipe at these numbers.
    """

    case: Case
    numbers: Numbers
    figures: dict[str, Figure]
    limits: tuple[Limit, ...]
    cautions: tuple[str, ...]
    demands: dict[str, Figure]
    track_record: TrackRecord

    @property
    def covered(self) -> bool:
        """Whether every demand is at or under an undisputed high-water mark."""
        return all(limit.beyond == 0.0 for limit in self.limits)

    @property
    def furthest_beyond(self) -> Limit | None:
        """The limit whose demand goes furthest beyond what has run clean; None where none does."""
        beyond = [limit for limit in self.limits if limit.beyond]
        return max(beyond, key=lambda limit: limit.beyond or 0.0, default=None)

    @property
    def tightest(self) -> Limit:
        """The hard limit of highest use."""
        hard = [limit for limit in self.limits if limit.severity == "hard" and limit.use is not None]
        return max(hard, key=lambda limit: limit.use or 0.0)

    @property
    def verdict(self) -> Verdict:
        """Verdict of the tightest hard limit, which is the recipe's."""
        return self.tightest.verdict

    @property
    def over(self) -> bool:
        """Whether a hard limit is over."""
        return self.verdict == "over"


def check(case: Case) -> Check:
    """Judge a recipe against every limit its records allow to judge."""
    numbers = evaluate(case, nominal_knobs(case))
    shown = figures(case, numbers)
    known = {**shown, **figures(case, numbers, RUNG_SPECS)}
    demands = {rule.name: known[rule.demand] for rule in rules(case)}
    found = marks(case.past, stickout=case["stickout"], clean_time=case.settings.thresholds.clean_time)
    limits = [_judge(rule, case, numbers, demands[rule.name], found) for rule in rules(case)]
    # A limit that is not judged is shown only where a person could give what it lacks.
    limits = [limit for limit in limits if limit.use is not None or limit.origin]
    limits.sort(key=lambda limit: -1.0 if limit.use is None else limit.use, reverse=True)
    return Check(case, numbers, shown, tuple(limits), cautions(case, numbers), demands, _track_record(case))


def _track_record(case: Case) -> TrackRecord:
    thresholds = case.settings.thresholds
    # The digest costs as much as the rest of a check, and without runs nothing is compared with it.
    numbers = case.digest if case.past.has(case.recipe_id) else ""
    return track_record(
        case.past,
        case.recipe_id,
        numbers,
        clean_time=thresholds.clean_time,
        clean_runs=thresholds.clean_runs,
    )


def _judge(rule: Rule, case: Case, numbers: Numbers, demand: Figure, found: Marks) -> Limit:
    value = rule.limit(case, numbers)
    # No lobe reaches some speeds: a limit without end is none.
    limit = None if value is None or not math.isfinite(value) else float(value)
    use = None if limit is None else _use(rule, demand.value, limit)
    # A number that no formula reaches is not judged: it must never read as holding.
    limit = None if use is None else limit
    return Limit(
        name=rule.name,
        severity=rule.severity,
        sense=rule.sense,
        demand=demand.value,
        limit=limit,
        dimension=rule.dimension,
        unit=rule.unit,
        use=use,
        mark=found.of(rule.demand, rule.sense),
        verdict=_verdict(use, case),
        chance=None if limit is None else partial(_chance, rule, case, demand, limit),
        origin=rule.missing if limit is None else rule.origin,
        assumed_inputs=_unique(demand.assumed_inputs + assumed_among(case, rule.needs)),
        eases=rule.eases,
    )


def _unique(names: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))


def _use(rule: Rule, demand: float, limit: float) -> float | None:
    use = limit / demand if rule.sense == "minimum" else demand / limit
    return use if math.isfinite(use) else None


def _chance(rule: Rule, case: Case, demand: Figure, limit: float) -> float:
    known = Uncertain(limit, {name: power * case.inputs[name].sd for name, power in rule.causes})
    if rule.sense == "minimum":
        return chance_above(known, demand.number)
    return chance_above(demand.number, known)


def _verdict(use: float | None, case: Case) -> Verdict:
    if use is None:
        return "not judged"
    if use > 1:
        return "over"
    return "tight" if use > tight_threshold(case) else "holds"


def tight_threshold(case: Case) -> float:
    """Use above which a limit reads `tight`; the book may set its own."""
    return case.settings.thresholds.tight
