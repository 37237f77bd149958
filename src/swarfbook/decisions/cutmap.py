"""A map of a recipe: two knobs turned over their ranges, with every limit's use and the removal rate."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from swarfbook.decisions import dynamics
from swarfbook.decisions.borders import Floats, Reach, nearest
from swarfbook.decisions.case import Case
from swarfbook.decisions.limits import SLOT, Rule, Severity, rules, use_of
from swarfbook.decisions.numbers import Knobs, Numbers, evaluate, nominal_knobs
from swarfbook.decisions.ran import Ran
from swarfbook.decisions.steps import is_free
from swarfbook.errors import Problem, SwarfbookError, did_you_mean
from swarfbook.physics.shapes import Chamfer, Square

KNOBS = tuple(field.name for field in fields(Knobs))
FEWEST, MOST = 10, 400  # points along each axis
AT_ONCE = 8192  # points worked out together, so that memory does not grow with the map
PAST_CEILING = 1.25  # how far beyond the thickest chip of the tables the feed goes
MORE_FEED = 2.5  # how far the feed goes where no table says how thick a chip may be
ROOM = 1.05  # a recipe outside the usual range stands this share inside the map's end

Watch = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Axis:
    """One knob of a map.

    Attributes:
        knob: its name.
        values: where it stands at the points [SI], rising, shape (points,).
        now: where the recipe has it [SI].
    """

    knob: str
    values: Floats
    now: float


@dataclass(frozen=True, slots=True)
class CutMap:
    """Every limit's use and the removal rate over two knobs, the others as the recipe has them.

    Attributes:
        case: the recipe, resolved.
        x, y: the two knobs.
        uses: share of each limit that is used, by the limit's name, shape (points of y, points of x); nan
            where it is not judged. Limits that are judged nowhere are left out.
        severity: `hard` or `advice`, by the limit's name.
        removal_rate: [m^3/s], the same shape.
        reaches: the limits that are met first when one knob is turned from the recipe, the nearest first.
        over: limits that the recipe itself is over.
        ran: runs of the same machine, cutter and material.
    """

    case: Case
    x: Axis
    y: Axis
    uses: Mapping[str, Floats]
    severity: Mapping[str, Severity]
    removal_rate: Floats
    reaches: tuple[Reach, ...]
    over: tuple[str, ...]
    ran: tuple[Ran, ...]

    @property
    def holds(self) -> NDArray[np.bool_]:
        """Where every hard limit is kept; what no formula reaches is never taken to hold."""
        return within(self.uses, [name for name in self.uses if self.severity[name] == "hard"])

    def inside(self, run: Ran) -> bool:
        """Say whether a run's place lies on the map."""
        return all(
            axis.values[0] <= getattr(run.knobs, axis.knob) <= axis.values[-1] for axis in (self.x, self.y)
        )


def within(uses: Mapping[str, Floats], names: Sequence[str]) -> NDArray[np.bool_]:
    """Say where all the named uses are 1 or less."""
    kept: NDArray[np.bool_] = np.logical_and.reduce([uses[name] <= 1 for name in names])
    return kept


def chosen_axes(case: Case, x: str | None = None, y: str | None = None) -> tuple[str, str]:
    """Give the knobs of a map, those that nobody chose filled in.

    Args:
        case: the recipe, resolved.
        x: name of the knob across; None for the width.
        y: name of the knob upwards; None for the depth.

    Returns:
        x and y; in place of a width or a depth that is not free, or that is the other one, the feed or speed.
    """
    across = x or _first_free(case, ("radial_width", "feed_per_tooth", "spindle_speed", "axial_depth"), but=y)
    up = ("axial_depth", "spindle_speed", "feed_per_tooth", "radial_width")
    return across, y or _first_free(case, up, but=across)


def _first_free(case: Case, knobs: Sequence[str], *, but: str | None) -> str:
    others = [knob for knob in knobs if knob != but]
    return next((knob for knob in others if is_free(case, knob)), others[0])


def cut_map(
    case: Case,
    x: str,
    y: str,
    points: int,
    *,
    ran: tuple[Ran, ...] = (),
    at_once: int | None = None,
    watch: Watch | None = None,
) -> CutMap:
    """Map a recipe over two knobs.

    Args:
        case: the recipe, resolved.
        x: name of the knob across.
        y: name of another one, upwards.
        points: points along each axis, `FEWEST` to `MOST`.
        ran: runs to be drawn in.
        at_once: points worked out together, at least a row of them; None for `AT_ONCE`.
        watch: called between parts with the rows that are done and those that there are; what it raises
            ends the work.

    Raises:
        SwarfbookError: no such knob, the same one twice, or too few or too many points.
    """
    _refuse(x, y, points)
    across, up = _axis(case, x, points), _axis(case, y, points)
    parts = []
    rows = max((at_once or AT_ONCE) // points, 1)
    for start in range(0, points, rows):
        parts.append(uses_at(case, _grid(case, across, up, slice(start, start + rows))))
        if watch is not None:
            watch(min(start + rows, points), points)
    names = [name for name in parts[0][0] if any(np.isfinite(part[name]).any() for part, _ in parts)]
    lines = [_line(case, axis) for axis in (across, up)]
    severity = {rule.name: rule.severity for rule in rules(case) if rule.name in names}
    return CutMap(
        case=case,
        x=across,
        y=up,
        uses={name: np.concatenate([part[name] for part, _ in parts]) for name in names},
        severity=severity,
        removal_rate=np.concatenate([rate for _, rate in parts]),
        reaches=tuple(
            reach
            for axis, (values, uses) in zip((across, up), lines, strict=True)
            for reach in nearest(axis.knob, values, axis.now, {name: uses[name] for name in names}, severity)
        ),
        over=_over(across, *lines[0]),
        ran=ran,
    )


def _refuse(x: str, y: str, points: int) -> None:
    for option, knob in (("--x", x), ("--y", y)):
        if knob not in KNOBS:
            raise SwarfbookError(Problem(option, "", knob, did_you_mean(knob, KNOBS)))
    if x == y:
        raise SwarfbookError(Problem("--y", "", y, "--x is that knob already; choose another one"))
    refuse_points(points)


def refuse_points(points: int) -> None:
    """Raise a SwarfbookError where there are fewer than `FEWEST` or more than `MOST` points along an axis."""
    if not FEWEST <= points <= MOST:
        remedy = f"write a number from {FEWEST} to {MOST}"
        raise SwarfbookError(Problem("--points", "", str(points), remedy))


def _axis(case: Case, knob: str, points: int) -> Axis:
    now = case[knob]
    low, high = RANGES[knob](case)
    low = low if low else max(high, now) / points
    # A recipe beyond the usual range is drawn in all the same.
    low = low if now >= low else now / ROOM
    high = high if now <= high else now * ROOM
    return Axis(knob, np.linspace(low, high, points), now)


def _depths(case: Case) -> tuple[float, float]:
    deepest = min(case["flute_length"], case["stickout"])
    if case.recipe.operation == "chamfer" and isinstance(case.cutter, Chamfer):
        deepest = min(deepest, float(case.cutter.bend()))
    return 0.0, deepest


def _widths(case: Case) -> tuple[float, float]:
    return 0.0, case["diameter"] / (2 if case.recipe.operation == "chamfer" else 1)


def _feeds(case: Case) -> tuple[float, float]:
    now, ceiling = case["feed_per_tooth"], case.optional("chip_ceiling")
    if ceiling is None:
        return 0.0, MORE_FEED * now
    # The chip is proportional to the feed.
    thickest = float(np.asarray(evaluate(case, nominal_knobs(case)).chip_thickness_max))
    return 0.0, max(PAST_CEILING * ceiling * now / thickest, ROOM * now)


def _speeds(case: Case) -> tuple[float, float]:
    motor = case.machine.spindle
    return motor.min_speed, motor.max_speed


RANGES: Mapping[str, Callable[[Case], tuple[float, float]]] = {
    "axial_depth": _depths,
    "radial_width": _widths,
    "feed_per_tooth": _feeds,
    "spindle_speed": _speeds,
}
"""How far each knob is turned [SI]; from 0 stands for one step from it."""


def _grid(case: Case, across: Axis, up: Axis, rows: slice) -> Knobs:
    x, y = np.meshgrid(across.values, up.values[rows])
    return _knobs(case, {across.knob: x, up.knob: y})


def _line(case: Case, axis: Axis) -> tuple[Floats, dict[str, Floats]]:
    """Give an axis with the recipe's own place in it, and the uses along it."""
    values = np.unique(np.append(axis.values, axis.now))
    return values, uses_at(case, _knobs(case, {axis.knob: values}))[0]


def _knobs(case: Case, turned: Mapping[str, Floats]) -> Knobs:
    shape = next(iter(turned.values())).shape
    nominal = nominal_knobs(case)
    still = {name: np.full(shape, getattr(nominal, name)) for name in KNOBS if name not in turned}
    return Knobs(**turned, **still)


def _over(axis: Axis, values: Floats, uses: Mapping[str, Floats]) -> tuple[str, ...]:
    here = int(np.searchsorted(values, axis.now))
    return tuple(name for name, use in uses.items() if use[here] > 1)


def uses_at(case: Case, knobs: Knobs) -> tuple[dict[str, Floats], Floats]:
    """Work out the use of every limit, and the removal rate.

    Args:
        case: the recipe, resolved.
        knobs: arrays of one shape.

    Returns:
        Uses by the limit's name, nan where a limit is not judged, and the removal rate [m^3/s]; both of the
        knobs' shape.
    """
    numbers = evaluate(case, knobs)
    shape = np.shape(knobs.axial_depth)
    rate = np.broadcast_to(np.asarray(numbers.material_removal_rate, dtype=float), shape)
    return uses_of(case, numbers, shape), rate


def uses_of(case: Case, numbers: Numbers, shape: tuple[int, ...]) -> dict[str, Floats]:
    """Give the use of every limit by its name, of the numbers' shape; nan where it is not judged."""
    return {rule.name: _use(rule, case, numbers, shape) for rule in rules(case)}


def _use(rule: Rule, case: Case, numbers: Numbers, shape: tuple[int, ...]) -> Floats:
    if rule.name == "chip-clearing":
        return _clearing(case, numbers, shape)
    if rule.name == "chatter":
        return _chatter(case, numbers, shape)
    use = use_of(rule, case, numbers)
    return np.array(np.broadcast_to(np.nan if use is None else use, shape), dtype=float)


def _clearing(case: Case, numbers: Numbers, shape: tuple[int, ...]) -> Floats:
    # The rule itself asks whether all points together are slots, which no part of a map must decide.
    slot = np.asarray(numbers.radial_width) >= case["diameter"] * SLOT
    return np.where(slot, np.broadcast_to(numbers.flute_filling, shape), np.nan)


def _chatter(case: Case, numbers: Numbers, shape: tuple[int, ...]) -> Floats:
    """Give the use of the stable depth, worked out once for each different cut and each speed it has."""
    if dynamics.measured_modes(case) is None:
        return np.full(shape, np.nan)
    stable = _stable_depth(case, numbers, shape)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(np.isfinite(stable), np.asarray(numbers.axial_depth) / stable, np.nan)


def _stable_depth(case: Case, numbers: Numbers, shape: tuple[int, ...]) -> Floats:
    # The lobes of a cut serve all speeds; those of a square cutter serve all depths as well.
    apart = ["radial_width", "feed_per_tooth", *([] if type(case.cutter) is Square else ["axial_depth"])]
    columns = np.stack([np.ravel(getattr(numbers, name)) for name in apart], axis=1)
    _, first, cut = np.unique(columns, axis=0, return_index=True, return_inverse=True)
    speeds, speed = np.unique(np.ravel(numbers.spindle_speed), return_inverse=True)
    if first.size * speeds.size > cut.size:
        return np.array(np.broadcast_to(np.asarray(dynamics.stable_depth(case, numbers)), shape), dtype=float)
    knobs = {
        name: np.ravel(getattr(numbers, name))[first][:, None]
        for name in ("axial_depth", "radial_width", "feed_per_tooth")
    }
    # Only the knobs among the numbers are asked for.
    table = dynamics.stable_depth(case, replace(numbers, **knobs, spindle_speed=speeds[None, :]))
    every = np.broadcast_to(np.asarray(table, dtype=float), (first.size, speeds.size))
    found: Floats = every[np.ravel(cut), np.ravel(speed)].reshape(shape)
    return found
