"""The limits that only a job has: reach against its walls, its hold, and the stock's temperature."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from swarfbook.decisions.chance import Uncertain, chance_above
from swarfbook.decisions.check import Limit, Verdict
from swarfbook.decisions.jobs.holding import Holding, Push, Way
from swarfbook.decisions.jobs.loading import Cutting, JobCase
from swarfbook.decisions.jobs.planning import Left, is_through

WALLED = ("outside", "pocket", "bore", "slot")
"""Features whose wall a cutter has to reach down."""


def push(one: Cutting, left: Left) -> Push:
    """Give what a step asks of the hold: its peaks with run-out and ringing, at its highest pass."""
    check = one.check
    side = check.demands["axis-thrust"].number
    factor = float(check.numbers.dynamic_factor)
    axial = check.figures["force_z_peak"].number
    causes = {**axial.causes, **{k: v for k, v in side.causes.items() if k == "dynamic_factor"}}
    down = one.case.recipe.operation == "plunge" or one.case["helix"] < 0
    along = Uncertain(axial.value * factor, causes)
    return Push(
        force=side,
        lift=Uncertain(0.0) if down else along,
        press=along.value if down else 0.0,
        height=max(left.thickness - one.case["axial_depth"] / 2, 0.0),
        place=one.feature.place or "corner",
        cooling=one.case.recipe.cooling,
    )


def job_rungs(
    case: JobCase, one: Cutting, held: Holding, warm: Uncertain, most: tuple[float, str] | None
) -> Iterator[Limit]:
    """Yield the limits of a step that come with the job.

    Args:
        case: the job.
        one: the step.
        held: its hold, judged.
        warm: temperature of the stock at its warmest [K].
        most: temperature it must stay below [K] and why; None where none is known.
    """
    if one.feature.kind in WALLED:
        yield _reach(case, one)
    yield _hold(case, held)
    if most is not None:
        yield _temperature(case, warm, *most)


def _verdict(case: JobCase, use: float | None) -> Verdict:
    if use is None:
        return "not judged"
    return "over" if use > 1 else "tight" if use > case.settings.thresholds.tight else "holds"


def _reach(case: JobCase, one: Cutting) -> Limit:
    tool = one.case.tool
    wall = one.feature.depth + ((case.job.bed.cut_in or 0.0) if is_through(case, one) else 0.0)
    reach = min(tool.reach or tool.flute_length, one.case["stickout"])
    return Limit(
        name="reach",
        severity="hard",
        sense="maximum",
        demand=wall,
        limit=reach,
        dimension="length",
        unit="mm",
        use=wall / reach,
        mark=None,
        # A wall as tall as the reach is reached: there is no tight about it.
        verdict="over" if wall > reach * (1 + 1e-9) else "holds",
        chance=partial(float, wall > reach * (1 + 1e-9)),
        origin="how deep this cutter reaches, at most its stickout",
        assumed_inputs=(),
        eases=(),
    )


def _hold(case: JobCase, held: Holding) -> Limit:
    way: Way | None = held.weakest
    judged = way is not None and way.use is not None and way.limit is not None
    chance = way.chance_over if judged and way else None
    return Limit(
        name="hold",
        severity="hard",
        sense="maximum",
        demand=way.demand.value if way else 0.0,
        limit=way.limit.value if judged and way and way.limit else None,
        dimension=way.dimension if way else "force",
        unit=way.unit if way else "N",
        use=held.use if judged else None,
        mark=None,
        verdict=_verdict(case, held.use if judged else None),
        chance=None if chance is None else partial(float, chance),
        origin=f"{way.name}: {way.origin}" if way else "nothing holds this side",
        assumed_inputs=way.assumed if way else (),
        eases=("axial_depth", "radial_width", "feed_per_tooth"),
    )


def _temperature(case: JobCase, warm: Uncertain, most: float, why: str) -> Limit:
    ambient = case.ambient
    rise, room = warm.value - ambient, most - ambient
    use = rise / room if room > 0 else None
    share = max(rise, 1e-9) / warm.value
    rising = Uncertain(max(rise, 1e-9), {cause: sd / share for cause, sd in warm.causes.items()})
    return Limit(
        name="stock-temperature",
        severity="hard",
        sense="maximum",
        demand=warm.value,
        limit=most,
        dimension="temperature",
        unit="degC",
        use=use,
        mark=None,
        verdict=_verdict(case, use),
        chance=partial(chance_above, rising, Uncertain(room)) if room > 0 else None,
        origin=why,
        assumed_inputs=("heat_share", "film"),
        eases=("feed_per_tooth", "axial_depth"),
    )
