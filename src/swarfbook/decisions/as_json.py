"""Decisions as the JSON objects that scripts rely on: full precision, names that only ever gain keys."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from swarfbook import quantities
from swarfbook.decisions.case import Case
from swarfbook.decisions.check import Check, Limit
from swarfbook.decisions.figures import Figure
from swarfbook.decisions.leaves import leavings
from swarfbook.decisions.past import TrackRecord
from swarfbook.decisions.relief import Relief, relief

if TYPE_CHECKING:  # a check in JSON does without them
    from swarfbook.decisions.compare import Comparison
    from swarfbook.decisions.corner import Corner
    from swarfbook.decisions.derate import Derating
    from swarfbook.decisions.dynamics import Stability
    from swarfbook.decisions.risk import Risk
    from swarfbook.decisions.why import Why

Json = dict[str, Any]


def check_json(check: Check) -> Json:
    """Give a check as one object."""
    return {
        "recipe": check.case.recipe_id,
        "standing": check.case.recipe.standing,
        "digest": check.case.digest,
        "context_digest": check.case.context_digest,
        "quantities": {name: _figure(one) for name, one in (check.figures | leavings(check)).items()},
        "limits": [limit_json(limit, relief(check, limit)) for limit in check.limits],
        "tightest": check.tightest.name,
        "verdict": check.verdict,
        "covered": check.covered,
        "beyond": [{"name": limit.name, "by": limit.beyond} for limit in check.limits if limit.beyond],
        "track_record": _track_record(check.track_record),
        "learnt": _learnt(check.case),
        "cautions": list(check.cautions),
    }


def _track_record(record: TrackRecord) -> Json:
    trouble = record.trouble
    return {
        "runs": record.runs,
        "clean_runs": record.clean_runs,
        "clean_minutes": record.clean_minutes,
        "last_clean": record.last_clean and record.last_clean.isoformat(),
        "earned": record.earned,
        "trouble": trouble and {"run": trouble.run, "outcome": trouble.outcome},
        "runs_at_other_numbers": record.elsewhere,
    }


def _learnt(case: Case) -> Json | None:
    learnt = case.choice.learnt
    if learnt is None:
        return None
    return {
        "factor": learnt.factor,
        "log_sd": case.choice.sd,
        "log_sd_before": learnt.base_sd,
        "runs": learnt.runs,
    }


def inputs_json(case: Case) -> Json:
    """Give every input of a case in SI, with its origin and whether a default stands in for it."""
    return {
        name: {"value": item.value, "from": item.origin, "assumed": item.assumed, "log_sd": item.sd}
        for name, item in case.inputs.items()
    }


def _figure(figure: Figure) -> Json:
    low, high = figure.number.band()
    return {
        "value": figure.in_unit(figure.value),
        "unit": figure.unit,
        "low": figure.in_unit(low),
        "high": figure.in_unit(high),
        "from": figure.origin,
        "assumed": bool(figure.assumed_inputs),
        "assumed_inputs": list(figure.assumed_inputs),
    }


def limit_json(limit: Limit, eased: Relief | None) -> Json:
    """Give a limit as one object, with what would ease it; `eased` None where nothing was worked out."""
    return {
        "name": limit.name,
        "severity": limit.severity,
        "sense": limit.sense,
        "demand": _in_unit(limit, limit.demand),
        "limit": _in_unit(limit, limit.limit),
        "unit": limit.unit,
        "use": limit.use,
        "mark": _in_unit(limit, limit.mark.value if limit.mark else None),
        "mark_run": limit.mark.run if limit.mark else None,
        "mark_disputed_by": (limit.mark.disputed_by or None) if limit.mark else None,
        "mark_covers": _in_unit(limit, limit.mark.covers if limit.mark else None),
        "beyond_mark": limit.beyond,
        "verdict": limit.verdict,
        "chance_over": limit.chance_over,
        "from": limit.origin,
        "remedy": str(eased) if eased else "",
        "assumed": bool(limit.assumed_inputs),
        "assumed_inputs": list(limit.assumed_inputs),
    }


def _in_unit(limit: Limit, si: float | None) -> float | None:
    return None if si is None else limit.in_unit(si)


def why_json(why: Why) -> Json:
    """Give what stands behind one number as one object."""
    return {
        "name": why.name,
        "value": why.value,
        "says": why.says,
        "formula": why.formula,
        "limit": why.limit,
        "rests_on": [
            {
                "name": rest.name,
                "value": rest.value,
                "from": rest.origin,
                "assumed": rest.assumed,
                "log_sd": rest.spread,
            }
            for rest in why.rests_on
        ],
        "rows": [row.provenance() for row in why.rows],
    }


def corner_json(found: Corner) -> Json:
    """Give a recipe on a curved wall as one object; lengths in mm."""
    return {
        "wall_radius": found.radius * 1000,
        "inside": found.inside,
        "radial_width": found.radial_width * 1000,
        "feed_factor": found.feed_factor,
        "loads": dict(found.loads),
        "over": list(found.over),
    }


def stability_json(found: Stability) -> Json:
    """Give where a cut begins to chatter as one object; depths in mm, speeds in rpm."""
    return {
        "depth": _in_mm(found.depth),
        "lowest_depth": _in_mm(found.lowest),
        "best_speed": found.speed * 60,
        "best_speed_depth": _in_mm(found.speed_depth),
        "estimate": found.estimate,
        "narrow": found.narrow,
    }


def _in_mm(depth: float) -> float | None:
    # JSON has no infinity: a depth that nothing limits is null.
    return depth * 1000 if math.isfinite(depth) else None


def derate_json(derating: Derating) -> Json:
    """Give a derating as one object; loads in the units of a check."""
    demands = []
    for demand in derating.demands:
        dimension, unit = derating.measure(demand.name)
        demands.append(
            {
                "name": demand.name,
                "parent": quantities.convert(demand.parent, dimension, unit),
                "child": quantities.convert(demand.child, dimension, unit),
                "ratio": demand.ratio,
                "unit": unit,
            }
        )
    return {
        "parent": derating.parent,
        "method": derating.method,
        "margin": derating.margin,
        "reached": derating.reached,
        "child": derating.values,
        "removal_rate_ratio": derating.removal_rate_ratio,
        "chance_over": derating.chance_over,
        "demands": demands,
        "limits_broken": list(derating.limits_broken),
        "note": derating.note,
    }


def risk_json(found: Risk) -> Json:
    """Give a derating to a chance as one object: the derating's keys and the chances."""
    return derate_json(found.derating) | {
        "risk": found.risk,
        "reached": found.reached,
        "chances": found.chances,
        "chance_chip_thin": found.chip_thin,
        "note": found.note or found.derating.note,
    }


def compare_json(comparison: Comparison) -> Json:
    """Give a comparison as one object."""
    return {
        "recipes": [check_json(one) for one in comparison.checks],
        "differences": [
            {"name": row.name, "values": list(row.values), "ratio": row.ratio, "unit": row.unit}
            for row in comparison.differences
        ],
    }
