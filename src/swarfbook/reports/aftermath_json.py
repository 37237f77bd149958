"""After a run that did not go clean, as one object for scripts and screens."""

from __future__ import annotations

from typing import Any

from swarfbook import quantities
from swarfbook.decisions.aftermath import Aftermath, Unknown
from swarfbook.decisions.check import Limit
from swarfbook.decisions.steps import Shift, Step
from swarfbook.reports.aftermath_page import thought
from swarfbook.reports.measuring import topics_for
from swarfbook.reports.step_words import step_text

Json = dict[str, Any]


def aftermath_json(found: Aftermath) -> Json:
    """Give what there is to say after a run as one object: full precision, names that only ever gain keys."""
    return {
        "outcome": found.outcome,
        "says": thought(found),
        "tightest": found.check.tightest.name,
        "verdict": found.check.verdict,
        "closest": [_limit(found, limit) for limit in found.closest],
        "least_known": [_unknown(one) for one in found.least_known],
        "steps": [_step(found, one) for one in found.steps],
    }


def _limit(found: Aftermath, limit: Limit) -> Json:
    return {
        "name": limit.name,
        "bears_on_outcome": limit.name in found.bears,
        "severity": limit.severity,
        "sense": limit.sense,
        "demand": limit.in_unit(limit.demand),
        "limit": None if limit.limit is None else limit.in_unit(limit.limit),
        "unit": limit.unit,
        "use": limit.use,
        "verdict": limit.verdict,
        "chance_over": limit.chance_over,
        "assumed_inputs": list(limit.assumed_inputs),
    }


def _unknown(one: Unknown) -> Json:
    return {
        "name": one.name,
        "assumed": one.assumed,
        "log_sd": one.sd,
        "limit": one.limit,
        "log_sd_of_use": one.doubt,
        "share_of_variance": one.share,
        "measure": [topic.name for topic in topics_for([one.name])],
    }


def _step(found: Aftermath, step: Step) -> Json:
    return {
        "kind": step.kind,
        "subject": step.subject,
        "changes": dict(step.changes),
        "aim": step.aim,
        "still_over": list(step.still_over),
        "numbers": [_shift(one) for one in step.shifts],
        "says": step_text(step, found.check, system=None),
    }


def _shift(shift: Shift) -> Json:
    def given(si: float | None) -> float | None:
        plain = si is None or not shift.unit
        return si if plain else quantities.convert(si or 0.0, shift.dimension, shift.unit)

    return {
        "name": shift.name,
        "unit": shift.unit,
        "before": given(shift.before),
        "after": given(shift.after),
    }
