"""A tool's record as the outline the physics cuts with; the square cutter keeps its exact closed forms."""

from __future__ import annotations

from swarfbook.frozen import frozen
from swarfbook.physics import chip, engagement, turn
from swarfbook.physics.arrays import Array
from swarfbook.physics.chip import Chips
from swarfbook.physics.laws import CuttingLaw
from swarfbook.physics.shapes import Ball, Chamfer, Compression, CornerRadius, Profile, Square, Tapered
from swarfbook.records import Tool

# ruff: noqa: PLC0415 - a square cutter does without the integration over discs, and every start pays for it


@frozen
class Engagement:
    """Where the cutter stands in the stock: depth, width and feed per tooth [m], floats or arrays."""

    axial_depth: Array
    radial_width: Array
    feed_per_tooth: Array


def cutter_of(tool: Tool) -> Profile:
    """Give the outline of a tool's cutting part."""
    match tool.shape:
        case "ball":
            return Ball(diameter=tool.diameter)
        case "corner-radius":
            return CornerRadius(diameter=tool.diameter, corner_radius=tool.corner_radius or 0.0)
        case "chamfer":
            return Chamfer(
                diameter=tool.diameter,
                point_angle=tool.point_angle or 0.0,
                tip_diameter=tool.tip_diameter or 0.0,
            )
        case "tapered":
            return Tapered(diameter=tool.diameter, taper=tool.taper or 0.0)
    if tool.upcut_length is not None:
        return Compression(diameter=tool.diameter, upcut_length=tool.upcut_length)
    return Square(diameter=tool.diameter)


def chips_of(cutter: Profile, cut: Engagement) -> Chips:
    """Thickest and mean chip, longest arc and cross-section of a side cut."""
    if type(cutter) is not Square:
        from swarfbook.physics import discs

        return discs.chips(
            cutter=cutter,
            axial_depth=cut.axial_depth,
            radial_width=cut.radial_width,
            feed_per_tooth=cut.feed_per_tooth,
        )
    shape = {
        "feed_per_tooth": cut.feed_per_tooth,
        "radial_width": cut.radial_width,
        "diameter": cutter.diameter,
    }
    return Chips(
        chip_thickness_max=chip.chip_thickness_max(**shape),
        chip_thickness_mean=chip.chip_thickness_mean(**shape),
        engagement_angle=engagement.engagement_angle(radial_width=cut.radial_width, diameter=cutter.diameter),
        area=cut.axial_depth * cut.radial_width,
    )


def loads_of(
    cutter: Profile, cut: Engagement, *, law: CuttingLaw, flutes: float, helix: float, climb: bool
) -> turn.Loads:
    """Means and peaks over a turn of a side cut [N, N m]."""
    if type(cutter) is Square:
        return turn.loads(
            law=law,
            diameter=cutter.diameter,
            flutes=flutes,
            helix=helix,
            axial_depth=cut.axial_depth,
            radial_width=cut.radial_width,
            feed_per_tooth=cut.feed_per_tooth,
            climb=climb,
        )
    from swarfbook.physics import discs

    return discs.loads(
        law=law,
        cutter=cutter,
        flutes=flutes,
        helix=helix,
        axial_depth=cut.axial_depth,
        radial_width=cut.radial_width,
        feed_per_tooth=cut.feed_per_tooth,
        climb=climb,
    )
