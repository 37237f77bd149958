"""Inside corners and outside arcs: what they engage of the cutter, and the feed its centre needs there."""

from __future__ import annotations

from swarfbook import quantities
from swarfbook.decisions.case import Case
from swarfbook.decisions.limits import hard_uses
from swarfbook.decisions.numbers import Knobs, evaluate, nominal_knobs
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.frozen import frozen
from swarfbook.physics import corners

LOADS = ("cutting_power", "cutting_torque_peak", "force_peak", "deflection_total", "chip_thickness_max")


@frozen
class Corner:
    """A recipe on a curved wall.

    Attributes:
        radius: of the finished wall [m].
        inside: whether the cutter runs in a hollow.
        radial_width: width of the straight cut that engages the cutter as much [m].
        feed_factor: share of the feed rate that the centre has to run, so that the edge keeps its feed.
        loads: each load over the straight cut's, at the same feed per tooth.
        over: hard limits that hold on the straight and do not hold here.
    """

    radius: float
    inside: bool
    radial_width: float
    feed_factor: float
    loads: dict[str, float]
    over: tuple[str, ...]


def corner(case: Case, *, radius: float, inside: bool = True) -> Corner:
    """Work out a recipe on a curved wall.

    Args:
        case: the recipe, resolved.
        radius: of the finished wall [m].
        inside: in a hollow, or round the outside.

    Raises:
        SwarfbookError: a hollow no wider than the cutter.
    """
    diameter = case["diameter"]
    if inside and radius <= diameter / 2:
        found = quantities.show(radius, "length")
        remedy = (
            f"an inside corner has to be wider than the cutter's {quantities.show(diameter / 2, 'length')}"
        )
        raise SwarfbookError(Problem("--corner", "", found, remedy))
    width = float(
        corners.equivalent_radial_width(
            radial_width=case["radial_width"], wall_radius=radius, diameter=diameter, inside=inside
        )
    )
    factor = corners.centre_feed_factor(wall_radius=radius, diameter=diameter, inside=inside)
    knobs = nominal_knobs(case)
    straight = evaluate(case, knobs)
    curved = evaluate(case, Knobs(knobs.axial_depth, width, knobs.feed_per_tooth, knobs.spindle_speed))
    before, after = hard_uses(case, straight), hard_uses(case, curved)
    return Corner(
        radius=radius,
        inside=inside,
        radial_width=width,
        feed_factor=float(factor),
        loads={name: float(getattr(curved, name) / getattr(straight, name)) for name in LOADS},
        over=tuple(name for name in after if after[name] > 1 >= before[name]),
    )
