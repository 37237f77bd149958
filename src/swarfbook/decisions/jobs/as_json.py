"""A judged job as one object: minutes, degrees Celsius, mm; numbers never rounded."""

from __future__ import annotations

from typing import Any

from swarfbook.decisions.as_json import limit_json
from swarfbook.decisions.jobs.cures import Cure, cures
from swarfbook.decisions.jobs.judging import JobReport, StepReport
from swarfbook.decisions.jobs.locating import Relocation
from swarfbook.decisions.jobs.making import feature_json
from swarfbook.decisions.jobs.stocking import as_json as stock_json

MINUTE = 60.0
MM = 1e-3
ZERO_CELSIUS = 273.15


def job_json(report: JobReport) -> dict[str, Any]:
    """Give a job as one object."""
    time = report.time
    return {
        "job": report.case.job_id,
        "steps": [_step(one) for one in report.steps],
        "features": [feature_json(one) for one in report.features.values()],
        "stock": stock_json(report.stock),
        "minutes": time.total / MINUTE,
        "piece_minutes": time.piece / MINUTE,
        "pieces_of_stock": time.pieces_of_stock,
        "hands_off_minutes": time.hands_off / MINUTE,
        "derating_minutes": time.derating * time.pieces_of_stock / MINUTE,
        "cost": _cost(report),
        "relocation": [_relocation(one) for one in report.relocations],
        "stock_temperature": _curve(report),
        "cures": [_cure(one) for one in cures(report)],
        "verdict": report.verdict,
        "warnings": list(report.warnings),
        "cautions": list(report.cautions),
    }


def _step(one: StepReport) -> dict[str, Any]:
    cutting, warm = one.cutting, one.temperature
    low, high = warm.band()
    return {
        "step": cutting.number,
        "recipe": cutting.step.recipe,
        "feature": cutting.feature.id,
        "side": cutting.step.side,
        "minutes": cutting.time.seconds / MINUTE,
        "air_share": cutting.time.air_share,
        "path": cutting.time.way.path / MM,
        "volume": cutting.time.way.volume * 1e6,
        "worked_out": cutting.time.way.worked_out,
        "mean_power": cutting.time.mean_power,
        "verdict": one.verdict,
        "tightest": one.tightest.name,
        "tightest_use": one.tightest.use,
        "hold": _hold(one),
        "stock_temperature": warm.value - ZERO_CELSIUS,
        "stock_temperature_low": low - ZERO_CELSIUS,
        "stock_temperature_high": high - ZERO_CELSIUS,
        "stock_temperature_limit": None if one.most is None else one.most[0] - ZERO_CELSIUS,
        "limits": [limit_json(limit, None) for limit in one.limits],
        "warnings": list(one.warnings),
    }


def _hold(one: StepReport) -> dict[str, Any]:
    uses = {way.name: way.use for way in one.holding.ways}
    return {
        **{name: uses.get(name) for name in ("shear", "peel", "slip")},
        "use": one.holding.use,
        "ways": [
            {
                "name": way.name,
                "demand": way.demand.value,
                "limit": way.limit.value if way.limit else None,
                "unit": SI_UNITS.get(way.dimension, way.unit),
                "use": way.use,
                "chance_over": way.chance_over,
                "from": way.origin,
            }
            for way in one.holding.ways
        ],
        "verdict": one.holding.verdict,
        "remedies": list(one.holding.remedies),
        "too_warm": one.holding.too_warm,
    }


SI_UNITS = {"force": "N", "stress": "Pa", "torque": "N*m"}


def _cost(report: JobReport) -> dict[str, Any]:
    bill = report.bill
    return {
        "machine": bill.machine,
        "material": bill.material,
        "derating": bill.derating,
        "total": bill.total,
        "each": bill.each,
        "currency": report.case.job.currency,
    }


def _relocation(one: Relocation) -> dict[str, Any]:
    return {
        "feature": one.feature,
        "error": one.error / MM,
        "assumed": one.assumed,
        "allowance": None if one.allowance is None else one.allowance / MM,
        "missing": one.missing / MM,
        "verdict": one.verdict,
    }


def _curve(report: JobReport) -> dict[str, Any]:
    times, temperatures = report.warmth.curve()
    return {
        "minutes": [float(time) / MINUTE for time in times],
        "degC": [float(warm) - ZERO_CELSIUS for warm in temperatures],
    }


def _cure(one: Cure) -> dict[str, Any]:
    amounts = {"pause": one.amount / MINUTE}
    return {
        "kind": one.kind,
        "step": one.step,
        "amount": amounts.get(one.kind, one.amount),
        "stock_temperature": one.temperature - ZERO_CELSIUS,
        "minutes": one.seconds / MINUTE,
        "text": one.text,
    }
