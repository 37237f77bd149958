"""Room for chips: what a tooth cuts loose against what its flute can hold. A rough estimate throughout.

How far a chip swells depends on its shape (3 to 90 times and more), and the flutes of small cutters are
nowhere published. A share above 1 says that chips have to leave the flute while they are cut; one far below 1
that a slot does not jam by its volume alone.
"""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, not_negative, only_where, positive
from swarfbook.physics.validity import Range

_SPACE = "chip space number R (VDI 3332; Koenig & Klocke), from memory"
LOOSE_CHIPS = Range("loose over solid volume: broken chips, needles", 3.0, 10.0, _SPACE)
SPIRAL_CHIPS = Range("loose over solid volume: short helical chips, spirals", 8.0, 50.0, _SPACE)
LONG_CHIPS = Range("loose over solid volume: long helical chips", 50.0, 90.0, _SPACE)
SNARLED_CHIPS = Range("loose over solid volume: ribbons, snarls", 90.0, np.inf, _SPACE)
FLUTE_SHARE = Range(
    "flute space over ring between core and diameter", 0.6, 0.8, "an assumption: the rest is the tooth itself"
)


def chip_volume(*, axial_depth: Array, radial_width: Array, feed_per_tooth: Array) -> Array:
    """Solid volume that a tooth takes in one pass, ap ae fz.

    Args:
        axial_depth: ap [m], any shape.
        radial_width: ae [m], broadcasts.
        feed_per_tooth: fz [m], broadcasts.

    Returns:
        V [m^3].
    """
    return not_negative(axial_depth) * not_negative(radial_width) * not_negative(feed_per_tooth)


def loose_volume(*, chip_volume: Array, chip_volume_ratio: Array) -> Array:
    """Volume of the same chips heaped loosely.

    Args:
        chip_volume: V, solid [m^3], any shape.
        chip_volume_ratio: R, loose over solid [1], from 1 up, broadcasts: `LOOSE_CHIPS`, `LONG_CHIPS`.

    Returns:
        R V [m^3].

    References:
        VDI 3332, chip space number (from memory).
    """
    return not_negative(chip_volume) * only_where(np.greater_equal(chip_volume_ratio, 1), chip_volume_ratio)


def flute_area(*, diameter: Array, core_diameter: Array, flutes: Array, flute_space_share: Array) -> Array:
    """Cross-section of the space in front of one tooth.

    Args:
        diameter: D [m], any shape.
        core_diameter: of the solid middle [m], below D, broadcasts; often 0.5 to 0.6 D.
        flutes: z [1], broadcasts.
        flute_space_share: of the ring that is empty [1], broadcasts: `FLUTE_SHARE`.

    Returns:
        share x pi/4 (D^2 - Dcore^2) / z [m^2].
    """
    core = only_where(np.less(core_diameter, diameter), not_negative(core_diameter))
    ring = np.pi / 4 * (positive(diameter) * diameter - core * core)
    return not_negative(flute_space_share) * ring / positive(flutes)


def flute_filling(
    *, feed_per_tooth: Array, radial_width: Array, chip_volume_ratio: Array, flute_area: Array
) -> Array:
    """Share of its flute that a tooth fills in one pass; the depth of cut drops out.

    Args:
        feed_per_tooth: fz [m], any shape.
        radial_width: ae [m], broadcasts.
        chip_volume_ratio: R, loose over solid [1], from 1 up, broadcasts.
        flute_area: in front of one tooth [m^2], broadcasts.

    Returns:
        R fz ae / area [1].

    Validity:
        a rough estimate; see the top of this module.
    """
    solid = chip_volume(axial_depth=1.0, radial_width=radial_width, feed_per_tooth=feed_per_tooth)
    return loose_volume(chip_volume=solid, chip_volume_ratio=chip_volume_ratio) / positive(flute_area)


def feed_to_fill(*, radial_width: Array, chip_volume_ratio: Array, flute_area: Array) -> Array:
    """Feed per tooth at which a flute is just full, area / (R ae).

    Args:
        radial_width: ae [m], any shape.
        chip_volume_ratio: R, loose over solid [1], from 1 up, broadcasts.
        flute_area: in front of one tooth [m^2], broadcasts.

    Returns:
        fz [m].
    """
    loose = loose_volume(chip_volume=positive(radial_width), chip_volume_ratio=chip_volume_ratio)
    return not_negative(flute_area) / loose
