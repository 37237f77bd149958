"""How long a step takes: its way at feed, its short moves, its returns, and how much of it cuts."""

from __future__ import annotations

import math
from dataclasses import dataclass

from swarfbook import quantities, tables
from swarfbook.decisions.case import Case
from swarfbook.decisions.numbers import Numbers, evaluate, nominal_knobs
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.physics import motion, paths
from swarfbook.records.job import Feature, Job
from swarfbook.records.job import Step as JobStep

FACES = ("face-rough", "face-finish")
ONE_PASS_ROUND = ("finish", "semi-finish", "slot", "through-cut")
"""Operations that go round an outline once at each depth."""
ROOM = 1 + 1e-9


@dataclass(frozen=True, slots=True)
class StepPlace:
    """Where a step stands: its file, and its number in it, from 1."""

    where: str
    number: int

    def fault(self, key: str, found: str, remedy: str) -> Problem:
        """Give the problem of one of the step's keys."""
        return Problem(self.where, f"steps[{self.number}].{key}", found, remedy)


@dataclass(frozen=True, slots=True)
class Way:
    """The cutter's way of one step at feed.

    Attributes:
        path: all of it [m].
        volume: what it takes off [m^3].
        air: share of the path that cuts nothing [1].
        worked_out: the path or the volume that the file leaves out, and how it was found; empty for neither.
    """

    path: float
    volume: float
    air: float
    worked_out: str


@dataclass(frozen=True, slots=True)
class StepTime:
    """How long one step runs on one piece.

    Attributes:
        way: its way at feed.
        feed_time: at feed, short moves in it [s].
        return_time: above the work, between one-way passes [s].
        reached: fastest speed the usual move comes to, over the feed asked [1].
        mean_power: cutting power over the whole time [W].
        seconds_before_derating: what the recipe it was backed off from would take [s]; None without one.
    """

    way: Way
    feed_time: float
    return_time: float
    reached: float
    mean_power: float
    seconds_before_derating: float | None

    @property
    def seconds(self) -> float:
        """Time from the first chip to the last [s]."""
        return self.feed_time + self.return_time

    @property
    def air_share(self) -> float:
        """Share of the time in which nothing is cut [1]."""
        cutting = self.feed_time * (1 - self.way.air)
        return 1 - cutting / self.seconds if self.seconds else 0.0


def default_si(name: str) -> float:
    """Give a value of defaults.csv [SI]."""
    return tables.load("defaults").get(name).si("value") or 0.0


def step_time(
    job: Job, step: JobStep, feature: Feature, case: Case, *, place: StepPlace, parent: Case | None
) -> StepTime:
    """Work out the time of a step on one piece.

    Args:
        job: the job.
        step: the step.
        feature: the feature it cuts.
        case: its recipe, resolved.
        place: where it stands, for messages.
        parent: the recipe it was backed off from, resolved; None without one.

    Raises:
        SwarfbookError: more volume than the path can take off.
    """
    numbers = evaluate(case, nominal_knobs(case))
    way = way_of(job, step, feature, case, numbers, place=place)
    feed_time, reached = _at_feed(step, case, numbers, way.path)
    back = _returns(job, step, case, way.path)
    energy = _specific_energy(numbers) * way.volume
    seconds = feed_time + back
    before = None
    if parent is not None:
        theirs = evaluate(parent, nominal_knobs(parent))
        shorter = way.path * _area(numbers) / _area(theirs)
        before = _at_feed(step, parent, theirs, shorter)[0] + back * _area(numbers) / _area(theirs)
    return StepTime(way, feed_time, back, reached, energy / seconds if seconds else 0.0, before)


def _specific_energy(numbers: Numbers) -> float:
    return float(numbers.cutting_power / numbers.material_removal_rate)


def _area(numbers: Numbers) -> float:
    """Cross-section of what is taken off [m^2]."""
    return float(numbers.material_removal_rate / numbers.feed_rate)


def _at_feed(step: JobStep, case: Case, numbers: Numbers, path: float) -> tuple[float, float]:
    move = min(step.move or default_si("move-length"), path)
    timing = {"distance": move, "feed_rate": float(numbers.feed_rate), "acceleration": case["acceleration"]}
    each, top = motion.move_time(**timing), motion.speed_reached(**timing)
    return float(each) * path / move, float(top) / float(numbers.feed_rate)


def _returns(job: Job, step: JobStep, case: Case, path: float) -> float:
    """Time above the work between passes that all run one way; a face does unless the step says both ways."""
    if case.recipe.operation not in FACES or step.pattern == "both-ways":
        return 0.0
    row = step.move or job.stock.length
    rapid = float(
        motion.move_time(distance=row, feed_rate=case["max_feed"], acceleration=case["acceleration"])
    )
    lift = float(
        motion.move_time(
            distance=default_si("lift-clearance"),
            feed_rate=case["max_plunge"],
            acceleration=case["acceleration"],
        )
    )
    return (rapid + 2 * lift) * max(math.ceil(path / row * (1 - 1e-12)) - 1, 0)


def way_of(
    job: Job, step: JobStep, feature: Feature, case: Case, numbers: Numbers, *, place: StepPlace
) -> Way:
    """Give the way of a step: as its file says it, the rest from geometry; raises as `step_time`."""
    area = _area(numbers)
    if step.path is not None and step.volume is not None:
        most = step.path * area
        if step.volume > most * ROOM:
            raise _too_much(step.volume, most, place)
        return Way(step.path, step.volume, step.air if step.air is not None else 1 - step.volume / most, "")
    air = step.air if step.air is not None else default_si("air-share")
    if step.path is not None:
        return Way(step.path, step.path * area * (1 - air), air, "volume from the path and the cut")
    if step.volume is not None:
        return Way(step.volume / area / (1 - air), step.volume, air, "path from the volume and the cut")
    path, volume, how = _from_geometry(job, feature, case, area)
    return Way(path, volume, max(1 - volume / (path * area), 0.0), how)


def _too_much(volume: float, most: float, place: StepPlace) -> SwarfbookError:
    found, able = (quantities.show(one, "volume", unit="cm^3") for one in (volume, most))
    remedy = f"this recipe takes off at most {able} on that path: a longer path, or less volume"
    return SwarfbookError(place.fault("volume", found, remedy))


def _from_geometry(job: Job, feature: Feature, case: Case, area: float) -> tuple[float, float, str]:
    if feature.kind == "bore":
        return _bore(feature, case)
    if feature.kind == "face":
        return _face(job, feature, case)
    return _round(job, feature, case, area)


def _bore(feature: Feature, case: Case) -> tuple[float, float, str]:
    width, cutter = feature.width or 0.0, case["diameter"]
    core = max(width - 2 * cutter, 0.0)
    volume = math.pi / 4 * (width * width - core * core) * feature.depth * feature.count
    if case.recipe.operation == "plunge" or width <= cutter:
        return feature.depth * feature.count, volume, "path straight down"
    each = paths.helix_length(
        path_diameter=width - cutter, helix_pitch=case["axial_depth"], hole_depth=feature.depth
    )
    return float(each) * feature.count, volume, "path by helix"


def _face(job: Job, feature: Feature, case: Case) -> tuple[float, float, str]:
    width = feature.width or job.stock.width or job.stock.thickness
    rows = float(paths.passes(whole=width, each=case["radial_width"]))
    layers = float(paths.passes(whole=feature.depth, each=case["axial_depth"]))
    path = rows * layers * (job.stock.length + case["diameter"])
    return path, width * job.stock.length * feature.depth, "path by rows along the stock"


def _round(job: Job, feature: Feature, case: Case, area: float) -> tuple[float, float, str]:
    """Give the way round the part: a ring as wide as the cut, or all of the stock outside the part."""
    once = float(
        paths.outline_length(
            part_length=job.part.length, part_width=job.part.width, cutter_radius=case["diameter"] / 2
        )
    )
    layers = float(paths.passes(whole=feature.depth, each=case["axial_depth"]))
    if feature.kind == "edge":
        return once * job.pieces, once * job.pieces * area, "path once round each part"
    if case.recipe.operation in ONE_PASS_ROUND:
        path = once * layers * job.pieces
        return (
            path,
            min(path * area, once * case["radial_width"] * feature.depth * job.pieces),
            "path round each part",
        )
    outside = job.stock.length * (job.stock.width or job.stock.thickness)
    volume = max(outside - job.pieces * job.part.length * job.part.width, 0.0) * feature.depth
    air = default_si("air-share")
    return volume / area / (1 - air), volume, "path from what stands outside the part"
