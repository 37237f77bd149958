"""How a case cuts: loads and chip of its operation, side cut or not, for one set of knobs or many."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

import numpy as np

from swarfbook.decisions.cutters import Engagement, chips_of, loads_of
from swarfbook.frozen import frozen
from swarfbook.physics import chip, engagement, runout
from swarfbook.physics.arrays import Array
from swarfbook.physics.chip import Chips
from swarfbook.physics.shapes import Chamfer
from swarfbook.physics.turn import Loads

if TYPE_CHECKING:
    from swarfbook.decisions.case import Case
    from swarfbook.physics.operations import OperationLoads
    from swarfbook.records import Recipe

# ruff: noqa: PLC0415 - a plain side cut does without the other operations, and every start pays for them

FULL_TURN = 2 * np.pi


class AtKnobs(Protocol):
    """Depth, width and feed per tooth [m]; `Knobs` and `Numbers` both have them."""

    @property
    def axial_depth(self) -> Array:
        """Axial depth, or what the operation calls so [m]."""

    @property
    def radial_width(self) -> Array:
        """Radial width [m]."""

    @property
    def feed_per_tooth(self) -> Array:
        """Feed per tooth [m]."""


@frozen
class Cut:
    """What an operation makes of a case.

    Attributes:
        loads: means and peaks over a turn [N, N m].
        chip_thickness_max: thickest chip [m].
        chip_thickness_mean: mean over the arc [m].
        engagement_angle: arc of contact [rad].
        area: cross-section; times the feed rate it is the removal rate [m^2].
        width: width of the straight side cut that engages the cutter as much [m].
        descent: share of the feed rate that goes down; 0 where none does or nobody knows.
    """

    loads: Loads
    chip_thickness_max: Array
    chip_thickness_mean: Array
    engagement_angle: Array
    area: Array
    width: Array
    descent: Array


def cut_of(case: Case, at: AtKnobs) -> Cut:
    """Work out the operation of a case at the given knobs."""
    return OPERATIONS.get(case.recipe.operation, _side)(case, at)


def chip_and_width(case: Case, at: AtKnobs) -> tuple[Array, Array]:
    """Mean chip, and width of the straight side cut that engages the cutter as much [m]; see `Cut`."""
    if is_side_cut(case.recipe):
        return _side_chips(case, at).chip_thickness_mean, at.radial_width
    cut = cut_of(case, at)
    return cut.chip_thickness_mean, cut.width


def thickest_chip(case: Case, at: AtKnobs) -> Array:
    """Thickest chip [m]; see `Cut`."""
    chips = _side_chips(case, at) if is_side_cut(case.recipe) else cut_of(case, at)
    return chips.chip_thickness_max


def _side_chips(case: Case, at: AtKnobs) -> Chips:
    return chips_of(case.cutter, Engagement(at.axial_depth, at.radial_width, at.feed_per_tooth))


def growth_with_runout(case: Case, at: AtKnobs, cut: Cut) -> Array:
    """By what run-out raises the in-plane force; 1 for one flute and straight down [1]."""
    # A shaped cutter's chip grows in the same proportion at every height: a square one's factor serves.
    if case["flutes"] == 1 or case["runout"] == 0 or case.recipe.operation == "plunge":
        return 1.0
    return runout.force_growth_runout(
        law=case.law,
        diameter=case["diameter"],
        flutes=case["flutes"],
        helix=case["helix"],
        axial_depth=at.axial_depth,
        radial_width=cut.width,
        feed_per_tooth=at.feed_per_tooth,
        climb=_climbs(case),
        runout=case["runout"],
    )


def _climbs(case: Case) -> bool:
    return case.recipe.direction == "climb"


def _face(case: Case, at: AtKnobs) -> Cut:
    offset = case.optional("stock_offset")
    if offset is None:
        return _side(case, at)
    from swarfbook.physics import discs

    # A tooth enters at +y in conventional and leaves at -y in climb milling: the stock lies on that side.
    middle = -offset if _climbs(case) else offset
    chips = discs.facing_chips(
        cutter=case.cutter,
        axial_depth=at.axial_depth,
        stock_width=at.radial_width,
        stock_offset=middle,
        feed_per_tooth=at.feed_per_tooth,
    )
    return Cut(
        loads=discs.facing_loads(
            law=case.law,
            cutter=case.cutter,
            flutes=case["flutes"],
            helix=case["helix"],
            axial_depth=at.axial_depth,
            stock_width=at.radial_width,
            stock_offset=middle,
            feed_per_tooth=at.feed_per_tooth,
        ),
        chip_thickness_max=chips.chip_thickness_max,
        chip_thickness_mean=chips.chip_thickness_mean,
        engagement_angle=chips.engagement_angle,
        area=chips.area,
        width=at.radial_width,
        descent=0.0,
    )


def _side(case: Case, at: AtKnobs) -> Cut:
    place = Engagement(at.axial_depth, at.radial_width, at.feed_per_tooth)
    loads = loads_of(
        case.cutter,
        place,
        law=case.law,
        flutes=case["flutes"],
        helix=case["helix"],
        climb=_climbs(case),
    )
    chips = _side_chips(case, at)
    return Cut(
        loads=loads,
        chip_thickness_max=chips.chip_thickness_max,
        chip_thickness_mean=chips.chip_thickness_mean,
        engagement_angle=chips.engagement_angle,
        area=chips.area,
        width=at.radial_width,
        descent=0.0,
    )


def _bore(case: Case, at: AtKnobs) -> Cut:
    hole = case.optional("hole_diameter")
    if hole is None:
        # Without the hole's size the wall's curve and the way down are not known: a straight cut as wide.
        return _side(case, at)
    from swarfbook.physics import corners, operations

    found = operations.bore(
        law=case.law,
        cutter=case.cutter,
        flutes=case["flutes"],
        helix=case["helix"],
        axial_depth=at.axial_depth,
        radial_width=at.radial_width,
        feed_per_tooth=at.feed_per_tooth,
        climb=_climbs(case),
        hole_diameter=hole,
    )
    width = corners.equivalent_radial_width(
        radial_width=at.radial_width, wall_radius=hole / 2, diameter=case["diameter"], inside=True
    )
    return _going_down(case, at, found, width)


def _ramp(case: Case, at: AtKnobs) -> Cut:
    from swarfbook.physics import operations

    angle = case.optional("ramp_angle")
    found = operations.ramp(
        law=case.law,
        cutter=case.cutter,
        flutes=case["flutes"],
        helix=case["helix"],
        axial_depth=at.axial_depth,
        feed_per_tooth=at.feed_per_tooth,
        ramp_length=np.inf if angle is None else at.axial_depth / np.tan(angle),
    )
    return _going_down(case, at, found, case["diameter"] + 0 * np.asarray(at.axial_depth))


def _going_down(case: Case, at: AtKnobs, found: OperationLoads, width: Array) -> Cut:
    chips = chips_of(case.cutter, Engagement(at.axial_depth, width, at.feed_per_tooth))
    return Cut(
        loads=found,
        chip_thickness_max=found.chip_thickness_max,
        chip_thickness_mean=chips.chip_thickness_mean,
        engagement_angle=engagement.engagement_angle(radial_width=width, diameter=case["diameter"]),
        area=found.area,
        width=width,
        descent=np.sin(found.ramp_angle),
    )


def _plunge(case: Case, at: AtKnobs) -> Cut:
    from swarfbook.physics import operations

    found = operations.plunge(
        law=case.law,
        cutter=case.cutter,
        flutes=case["flutes"],
        axial_depth=at.axial_depth,
        radial_width=at.radial_width,
        feed_per_tooth=at.feed_per_tooth,
    )
    return Cut(
        loads=found,
        chip_thickness_max=found.chip_thickness_max,
        chip_thickness_mean=found.chip_thickness_max,
        engagement_angle=FULL_TURN + 0 * np.asarray(found.area),
        area=found.area,
        width=at.radial_width,
        descent=1.0,
    )


def _chamfer(case: Case, at: AtKnobs) -> Cut:
    cone = case.cutter
    if not isinstance(cone, Chamfer):
        return _side(case, at)
    from swarfbook.physics import operations

    found = operations.chamfer(
        law=case.law,
        cone=cone,
        flutes=case["flutes"],
        helix=case["helix"],
        axial_depth=at.axial_depth,
        radial_width=at.radial_width,
        feed_per_tooth=at.feed_per_tooth,
        climb=_climbs(case),
    )
    # The middle of the flank cuts: the arc is that of its widest disc.
    top = (cone.bend() + np.asarray(at.axial_depth)) / 2
    widest = {"radial_width": at.radial_width, "diameter": 2 * cone.radius(height=top)}
    steepness = np.sin(cone.edge_angle(height=top))
    return Cut(
        loads=found,
        chip_thickness_max=found.chip_thickness_max,
        chip_thickness_mean=steepness * chip.chip_thickness_mean(feed_per_tooth=at.feed_per_tooth, **widest),
        engagement_angle=engagement.engagement_angle(**widest),
        area=found.area,
        width=at.radial_width,
        descent=0.0,
    )


OPERATIONS: dict[str, Callable[[Case, AtKnobs], Cut]] = {
    "bore": _bore,
    "ramp": _ramp,
    "plunge": _plunge,
    "chamfer": _chamfer,
    "face-rough": _face,
    "face-finish": _face,
}
"""Operations that are no plain side cut, or not always; every other one is."""


def is_side_cut(recipe: Recipe) -> bool:
    """Say whether a recipe is a plain side cut: faces are, unless the stock's middle is given."""
    faces = recipe.operation in ("face-rough", "face-finish") and recipe.stock_offset is None
    return faces or recipe.operation not in OPERATIONS
