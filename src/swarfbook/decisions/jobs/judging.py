"""A whole job judged: every step with its hold and its warmth, every feature, the stock, time and money."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from swarfbook import quantities
from swarfbook.decisions.chance import Uncertain
from swarfbook.decisions.check import Limit, Verdict
from swarfbook.decisions.jobs import heating, holding
from swarfbook.decisions.jobs.costing import Bill, JobTime, bill, job_time
from swarfbook.decisions.jobs.holding import Holding, Piece
from swarfbook.decisions.jobs.loading import Cutting, JobCase
from swarfbook.decisions.jobs.locating import Relocation, relocations
from swarfbook.decisions.jobs.making import Judged, feature_tools, feature_verdict
from swarfbook.decisions.jobs.planning import Left, course, holds_on, is_through, spells
from swarfbook.decisions.jobs.rungs import job_rungs, push
from swarfbook.decisions.jobs.stocking import StockPlan, stock_plan
from swarfbook.records.job import Hold

JobVerdict = Literal["holds", "tight", "over", "cannot"]


@dataclass(frozen=True, slots=True)
class StepReport:
    """One step of a job, judged.

    Attributes:
        cutting: the step.
        left: what stands on the machine.
        piece: the same as its hold sees it.
        holding: its hold.
        temperature: of the stock at its warmest in this step [K].
        most: temperature it must stay below [K] and why; None where none is known.
        limits: the recipe's and the job's, the tightest first, unjudged ones last.
        warnings: what to mind in this step, a line each.
    """

    cutting: Cutting
    left: Left
    piece: Piece
    holding: Holding
    temperature: Uncertain
    most: tuple[float, str] | None
    limits: tuple[Limit, ...]
    warnings: tuple[str, ...]

    @property
    def tightest(self) -> Limit:
        """The hard limit of highest use."""
        hard = [one for one in self.limits if one.severity == "hard" and one.use is not None]
        return max(hard, key=lambda one: one.use or 0.0)

    @property
    def verdict(self) -> Verdict:
        """Verdict of the worst hard limit: a hold that nobody can judge does not hold."""
        hard = [one for one in self.limits if one.severity == "hard"]
        if any(one.verdict == "over" for one in hard):
            return "over"
        if any(one.name == "hold" and one.use is None for one in hard):
            return "not judged"
        return "tight" if any(one.verdict == "tight" for one in hard) else "holds"


@dataclass(frozen=True, slots=True)
class JobReport:
    """What is known of a job before the first chip.

    Attributes:
        case: the job, resolved.
        steps: in order.
        features: what can be made with what, by feature.
        stock: what it is cut from.
        warmth: the stock's temperature through one piece.
        time, bill: how long and how much.
        relocations: what turning the piece over costs.
        warnings: what concerns the whole job, a line each.
        cautions: what to mind, a line each.
    """

    case: JobCase
    steps: tuple[StepReport, ...]
    features: Mapping[str, Judged]
    stock: StockPlan
    warmth: heating.Warmth
    time: JobTime
    bill: Bill
    relocations: tuple[Relocation, ...]
    warnings: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def worst(self) -> StepReport:
        """The step that gives first."""
        return max(self.steps, key=lambda one: (VERDICTS.index(one.verdict), one.tightest.use or 0.0))

    @property
    def verdict(self) -> JobVerdict:
        """Whether it may be run: "cannot" where a feature or the stock rules it out."""
        if not self.stock.fits or any(one.verdict == "cannot" for one in self.features.values()):
            return "cannot"
        if any(one.verdict == "short" for one in self.relocations):
            return "over"
        worst = self.worst.verdict
        return "over" if worst == "not judged" else worst


VERDICTS: tuple[Verdict, ...] = ("holds", "tight", "not judged", "over")


def judge_job(case: JobCase) -> JobReport:
    """Judge a job."""
    time = job_time(case.job, case.cuttings)
    warmth = heating.warm_up(
        heating.body_of(case.job, case.material.table, case.ambient), spells(case, time.waits, case.cuttings)
    )
    lefts = course(case)
    steps = tuple(
        _step(case, one, left, warmth.temperature(index))
        for index, (one, left) in enumerate(zip(case.cuttings, lefts, strict=True))
    )
    stock = stock_plan(case.job, case.family, cutter_width=_parting(case))
    return JobReport(
        case=case,
        steps=steps,
        features=_features(case),
        stock=stock,
        warmth=warmth,
        time=time,
        bill=bill(case.job, time, stock.buy),
        relocations=relocations(case.job, case.cuttings),
        warnings=tuple(_warnings(case, time)),
        cautions=tuple(dict.fromkeys(line for one in case.cuttings for line in one.check.cautions)),
    )


def _parting(case: JobCase) -> float | None:
    """Give the width of the cutter that goes round the parts [m]; None where none does."""
    widths = [one.case["diameter"] for one in case.cuttings if one.feature.kind == "outside"]
    return max(widths, default=None)


def _features(case: JobCase) -> dict[str, Judged]:
    stiffness = case.cuttings[0].case["tool_tip_stiffness"]
    found = {}
    for feature in case.job.features:
        through = feature.depth >= case.job.part.thickness * (1 - 1e-9) and feature.kind != "face"
        overshoot = (case.job.bed.cut_in or 0.0) if through else 0.0
        fits = feature_tools(feature, case.tools, overshoot=overshoot, machine_stiffness=stiffness)
        found[feature.id] = feature_verdict(feature, fits)
    return found


def _step(case: JobCase, one: Cutting, left: Left, warm: Uncertain) -> StepReport:
    asked, piece = push(one, left), _piece(case, left, warm)
    holds = holds_on(case, one.step.side)
    held = holding.judge(holds, asked, piece, case.settings)
    most = _most(case, holding.limit_temperature(holds, asked, piece, case.settings))
    rungs = (*one.check.limits, *job_rungs(case, one, held, warm, most))
    limits = sorted(rungs, key=lambda limit: -1.0 if limit.use is None else limit.use, reverse=True)
    return StepReport(
        cutting=one,
        left=left,
        piece=piece,
        holding=held,
        temperature=warm,
        most=most,
        limits=tuple(limits),
        warnings=(*_step_warnings(case, one, holds), *held.remarks),
    )


def _piece(case: JobCase, left: Left, warm: Uncertain) -> Piece:
    return Piece(
        length=left.length,
        width=left.width,
        thickness=left.thickness,
        free=left.free,
        family=case.family,
        iso_group=case.iso_group,
        material=case.material.table,
        temperature=warm,
    )


def _most(case: JobCase, hold: float | None) -> tuple[float, str] | None:
    """Give the lowest temperature that the stock must stay below, and why."""
    known = [] if hold is None else [(hold, "what the hold still stands in this step")]
    soft = heating.softening(case.material.table)
    if soft is not None and any(word in case.family for word in SOFTENING):
        known.append((soft[0], f"{soft[1]} of the material"))
    return min(known, default=None)


def _step_warnings(case: JobCase, one: Cutting, holds: tuple[Hold, ...]) -> Iterator[str]:
    recipe, feature, part = one.case.recipe, one.feature, case.job.part
    core = max((feature.width or 0.0) - 2 * one.case["diameter"], 0.0) if feature.kind == "bore" else 0.0
    through = is_through(case, one)
    slug = holding.slug_warning(feature, recipe.operation, through=through, holds=holds, core=core)
    if slug:
        yield slug
    if feature.kind == "pocket" and not through:
        thinned = holding.stiffness_loss(part.thickness - feature.depth, part.thickness).warning
        if thinned:
            yield f"the floor of {feature.id}: {thinned}"
    if one.step.pattern == "both-ways" and recipe.operation in ("face-rough", "face-finish"):
        other = OTHER[recipe.direction]
        yield f"every other pass cuts {other}, the recipe is for {recipe.direction}: finish and forces differ"
    if one.time.reached < SHORT_OF_FEED:
        share = 100 * one.time.reached
        yield f"short moves come to {share:.0f} % of the feed: chips are as much thinner there"


SHORT_OF_FEED = 0.9
SOFTENING = ("plastic", "laminate")
"""Families that soften long before metals or wood come to harm."""
OTHER = {"climb": "conventional", "conventional": "climb"}


def _warnings(case: JobCase, time: JobTime) -> Iterator[str]:
    if case.job.hands_off:
        longest = quantities.show(time.hands_off, "time", unit="min", figures=2)
        yield (
            f"hands-off for up to {longest}: no hand on the controls, and someone within reach of the stop"
        )
    body = heating.body_of(case.job, case.material.table, case.ambient)
    for cooling in dict.fromkeys(one.case.recipe.cooling for one in case.cuttings):
        biot = heating.biot(case.job, body, cooling)
        if not heating.LUMP.covers(biot):
            yield (
                f"under {cooling} the inside stays warmer than the faces (Bi {biot:.2f}, above 0.1): one "
                "temperature for the whole piece is a rough picture"
            )
