"""A job's facts in words: lengths of time, temperatures, steps, ways of holding, money."""

from __future__ import annotations

from swarfbook import quantities
from swarfbook.decisions.jobs.backing_off import HoldUse
from swarfbook.decisions.jobs.cures import Cure
from swarfbook.decisions.jobs.judging import JobReport, StepReport
from swarfbook.decisions.jobs.locating import Relocation
from swarfbook.decisions.jobs.planning import holds_on
from swarfbook.decisions.titles import said, title
from swarfbook.records.job import Hold
from swarfbook.reports.sentence import VERBS
from swarfbook.reports.words import counted

VERDICTS = {
    "holds": "holds: every step is inside its limits",
    "tight": "tight: inside every limit, with little left",
    "over": "over: not to be run as it stands",
    "cannot": "cannot be made as it stands",
}
HELD = {
    "tape": "tape",
    "glue-tape": "glue on tape",
    "clamps": "clamp",
    "side-clamps": "side clamp",
    "vise": "vise",
    "screws": "screw",
    "tabs": "tab",
    "floor": "floor",
    "vacuum": "vacuum",
    "friction-fit": "friction fit",
}
LOCATED = {"pins": "by its pins", "bores": "by its bores", "edges": "by its edges"}


def length(si: float, system: str) -> str:
    """Write a length in the units shown, no noughts behind."""
    unit = "in" if system == "imperial" else "mm"
    return f"{quantities.convert(si, 'length', unit):.4g} {unit}"


def lasting(seconds: float) -> str:
    """Write a time as a person says it: `45 s`, `12 min`, `3 h 20 min`."""
    if seconds < 90:
        return f"{seconds:.0f} s"
    minutes = round(seconds / 60)
    if minutes < 90:
        return f"{minutes} min"
    hours, rest = divmod(minutes, 60)
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def warmth(kelvin: float, system: str) -> str:
    """Write a temperature to the degree."""
    unit = "degF" if system == "imperial" else "degC"
    return f"{quantities.convert(kelvin, 'temperature', unit):.0f} {quantities.pretty(unit)}"


def money(amount: float | None, currency: str | None) -> str:
    """Write an amount of money; empty for one that is not known."""
    if amount is None:
        return ""
    shown = (
        f"{amount:,.2f}".replace(",", "\u00a0") if amount < 1000 else f"{amount:,.0f}".replace(",", "\u00a0")
    )
    return f"{shown}\u00a0{currency}" if currency else shown


def step_title(one: StepReport) -> str:
    """Say what a step does: `Rough the outline`."""
    return f"{VERBS[one.cutting.case.recipe.operation]} the {said(one.cutting.feature.id)}"


def held_by(hold: Hold, system: str) -> str:
    """Say what holds: `glue on tape, 300 mm x 95 mm`, `4 clamps`."""
    word = HELD[hold.method]
    if hold.method in ("tape", "glue-tape", "vacuum"):
        size = f"{length(hold.length or 0.0, system)} x {length(hold.width or 0.0, system)}"
        return f"{word}, {size}" if hold.count in (None, 1) else f"{hold.count} strips of {word}, {size} each"
    if hold.method == "floor":
        return f"a floor of {length(hold.thickness or 0.0, system)}"
    if hold.method == "tabs":
        size = f"{length(hold.width or 0.0, system)} wide and {length(hold.thickness or 0.0, system)} thick"
        return f"{counted(hold.count or 1, word)}, {size}"
    return counted(hold.count, word) if hold.count else f"a {word}"


def holds_text(report: JobReport, side: str, system: str) -> str:
    """Say all that holds a side."""
    return " and ".join(held_by(hold, system) for hold in holds_on(report.case, side))


def leaves(one: StepReport, system: str) -> str:
    """Say what a step leaves; empty where nothing is said of it."""
    step, recipe = one.cutting.step, one.cutting.case.recipe
    wall = step.allowance if step.allowance is not None else recipe.allowance
    told = [f"{length(wall, system)} on the wall"] if wall else []
    told += [f"{length(step.floor, system)} under it"] if step.floor else []
    return " and ".join(told)


def cure_text(one: Cure, system: str) -> str:
    """Say what would help a step and what it costs in time."""
    step = f"step {one.step}"
    then = f"the stock comes to {warmth(one.temperature, system)} then"
    match one.kind:
        case "pause":
            return f"a pause of {lasting(one.amount)} before {step}: {then}"
        case "stops":
            return f"{counted(int(one.amount), 'stop')} of 10 min in {step}, evenly spread: {then}"
        case "pace":
            return (
                f"a slower pace, all cuts up to {step} taking {one.amount:.2f} times as long "
                f"({lasting(one.seconds)} more a piece): {then}"
            )
        case "order":
            return f"{step} before step {one.amount:.0f}: {then}"
        case "hold":
            return one.text


def relocation_text(one: Relocation, system: str) -> str:
    """Say what the location error does to one feature."""
    error = length(one.error, system)
    doubt = " (assumed)" if one.assumed else ""
    if one.verdict == "step":
        within = "" if one.tolerance is None else f", its tolerance is {length(one.tolerance, system)}"
        return (
            f"{said(one.feature)}: both sides finish it, so a line as high as the location error, "
            f"{error}{doubt}, stays between them{within}"
        )
    left = length(one.allowance or 0.0, system)
    if one.verdict == "short":
        return (
            f"{said(one.feature)}: {left} left for the second side does not cover a location error of "
            f"{error}{doubt}: leave {length(one.missing, system)} more"
        )
    return f"{said(one.feature)}: {left} left for the second side covers a location error of {error}{doubt}"


def hold_change(job: str, before: HoldUse, after: HoldUse) -> str:
    """Say what backing a recipe off does to the hold of a job."""
    uses = ["not judged" if one.use is None else f"{one.use:.2f}" for one in (before, after)]
    return f"In {job} the hold is used {uses[0]} now and {uses[1]} then (step {after.step})."


def tightest_text(one: StepReport) -> str:
    """Say what is tightest in a step."""
    return f"{title(one.tightest.name)} {one.tightest.use or 0.0:.2f}"
