"""The closed lists of words in the code, by the section of docs/glossary.toml that tells them."""

from __future__ import annotations

from typing import get_args

from swarfbook.decisions import check, derate, limits, past, pick
from swarfbook.decisions.jobs import judging, locating, making
from swarfbook.records import job, machine, material, recipe, rename, run, settings, tool
from swarfbook.tables.loader import SOURCE_KINDS

OF_RECORDS: dict[str, tuple[str, ...]] = {
    "standing": get_args(recipe.Standing),
    "operation": get_args(recipe.Operation),
    "direction": get_args(recipe.Direction),
    "cooling": get_args(recipe.Cooling),
    "knob": get_args(recipe.Knob),
    "derate_method": get_args(recipe.Method),
    "outcome": run.OUTCOMES,
    "shape": get_args(tool.Shape),
    "substrate": get_args(tool.Substrate),
    "motor": get_args(machine.Motor),
    "rating": get_args(machine.Rating),
    "axis": get_args(machine.Axis),
    "cutting_law": get_args(material.CuttingLaw),
    "form": get_args(job.Form),
    "feature_kind": get_args(job.FeatureKind),
    "place": get_args(job.Place),
    "hold_method": get_args(job.Method),
    "side": get_args(job.Side),
    "pattern": get_args(job.Pattern),
    "locate": get_args(job.Locate),
    "bed": get_args(job.Bed),
    "jaws": get_args(job.Jaws),
    "units": get_args(settings.UnitSystem),
    "renamed": get_args(rename.Renamed),
}
OF_DECISIONS: dict[str, tuple[str, ...]] = {
    "verdict": get_args(check.Verdict),
    "job_verdict": get_args(judging.JobVerdict),
    "feature_verdict": get_args(making.Verdict),
    "relocation_verdict": get_args(locating.Verdict),
    "fit": get_args(pick.Fit),
    "severity": get_args(limits.Severity),
    "sense": get_args(past.Sense),
    "meter_side": get_args(run.Side),
    "source_kind": tuple(SOURCE_KINDS),
}
WORD_LISTS = OF_RECORDS | OF_DECISIONS
DERATE_METHODS = tuple(derate.MOVES)
