"""What a cutter that runs out does to the thickest chip."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, not_negative, only_where


def chip_thickness_runout(*, chip_thickness_max: Array, runout: Array, flutes: Array) -> Array:
    """Thickest chip of the tooth that stands out furthest.

    Args:
        chip_thickness_max: hmax without run-out [m], any shape.
        runout: total indicator reading, twice the radial offset rho [m], broadcasts.
        flutes: z [1], broadcasts.

    Returns:
        h = hmax + 2 rho sin(pi/z), at most z hmax, where one tooth does all the cutting [m]. A cutter
        with one flute sees nothing of it.

    References:
        Kline & DeVor, Int. J. Mach. Tool Des. Res. 23 (1983): h_i = fz sin(phi) + r_i - r_(i-1).
    """
    teeth = only_where(np.greater_equal(flutes, 1), flutes)
    thickest = not_negative(chip_thickness_max)
    excess: Array = np.minimum(not_negative(runout) * np.sin(np.pi / teeth), (teeth - 1) * thickest)
    return thickest + excess


def runout_factor(*, chip_thickness_max: Array, runout: Array, flutes: Array) -> Array:
    """Thickest chip with run-out over the one without, from 1 to z.

    Args:
        chip_thickness_max: hmax without run-out [m], any shape; 0 gives nan.
        runout: total indicator reading [m], broadcasts.
        flutes: z [1], broadcasts.

    Returns:
        `chip_thickness_runout` / hmax [1]. A feed per tooth times this factor gives the chip of the tooth
        that stands out; loads at that feed are an upper bound where several teeth cut at once.
    """
    thickest = only_where(np.greater(chip_thickness_max, 0), chip_thickness_max)
    return chip_thickness_runout(chip_thickness_max=thickest, runout=runout, flutes=flutes) / thickest
