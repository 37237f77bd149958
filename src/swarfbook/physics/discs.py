"""Torque, force and chip of cutters of any shape, by one integration over discs.

`turn` does square cutters faster and to more digits; a square profile comes out the same here. Directions
are the package's: on the cutter a length of edge at immersion phi and edge angle kappa feels

    dFx = -dFt cos(phi) - (dFr sin(kappa) + dFa cos(kappa)) sin(phi)
    dFy =  dFt sin(phi) - (dFr sin(kappa) + dFa cos(kappa)) cos(phi)

and lifts the work by dFz = dFa sin(kappa) - dFr cos(kappa), dFa turned round for a left-hand helix. The free
edge of the stock stands D/2 - ae from the axis at every height, so that a disc of radius r is
r - (D/2 - ae) wide in the stock, from nothing to a slot of 2 r. With `earlier_pass` one of the same
cutter left the free edge, and every disc is ae wide in the stock, up to 2 r.

References:
    Engin & Altintas, Int. J. Mach. Tools Manuf. 41 (2001) 2195; Altintas, Manufacturing Automation, 2nd ed.
    (2012), ch. 2.
"""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, Flags, not_negative
from swarfbook.physics.chip import Chips
from swarfbook.physics.helical import column
from swarfbook.physics.laws import CuttingLaw
from swarfbook.physics.sampling import Numbers
from swarfbook.physics.shapes import Profile
from swarfbook.physics.stack import common_shape, forces, means, outline, stack_loads, stacked
from swarfbook.physics.strips import Strip, facing_strip, side_strip
from swarfbook.physics.turn import Loads, Turn

SAMPLES = 24
"""Equal steps over what repeats of a turn: means are then within 1e-3, peaks within 5e-3 of those of any
number of discs and angles, most of them within 1e-3."""


def loads(
    *,
    law: CuttingLaw,
    cutter: Profile,
    flutes: Array,
    helix: Array,
    axial_depth: Array,
    radial_width: Array,
    feed_per_tooth: Array,
    climb: Flags,
    earlier_pass: Flags = False,
    samples: int = SAMPLES,
) -> Loads:
    """Mean torque and the peaks of torque and force over a turn, for any number of side cuts at once.

    Args:
        law: cutting law, coefficients floats or arrays that broadcast with the rest.
        cutter: the profile, its sizes [m] and [rad] floats or arrays that broadcast with the rest.
        flutes: z [1], any shape.
        helix: beta [rad], broadcasts; negative for a down-cut cutter.
        axial_depth: ap [m], broadcasts.
        radial_width: ae [m], broadcasts; D for a slot at every height.
        feed_per_tooth: fz [m], broadcasts.
        climb: True for climb milling, broadcasts.
        earlier_pass: True where an earlier pass of the cutter left the free edge, broadcasts.
        samples: equal steps over what repeats of a turn, besides the leads of its events [1].

    Returns:
        `Loads`; nan where an input has no meaning, nought where no disc reaches the stock. An axial
        coefficient that is blank blanks what a slanting edge turns it into.
    """
    strip = side_strip(
        radial_width=radial_width, diameter=cutter.diameter, climb=climb, earlier_pass=earlier_pass
    )
    return _loads(law, cutter, (flutes, helix, axial_depth, feed_per_tooth), strip, samples)


def facing_loads(
    *,
    law: CuttingLaw,
    cutter: Profile,
    flutes: Array,
    helix: Array,
    axial_depth: Array,
    stock_width: Array,
    stock_offset: Array,
    feed_per_tooth: Array,
    samples: int = SAMPLES,
) -> Loads:
    """`loads` of a cutter that passes over stock with two free edges.

    Args:
        law: cutting law, coefficients floats or arrays that broadcast with the rest.
        cutter: the profile, its sizes [m] and [rad] floats or arrays that broadcast with the rest.
        flutes: z [1], any shape.
        helix: beta [rad], broadcasts; negative for a down-cut cutter.
        axial_depth: ap [m], broadcasts.
        stock_width: of the stock across the feed [m], broadcasts.
        stock_offset: y of the middle of the stock from the cutter's axis [m], broadcasts.
        feed_per_tooth: fz [m], broadcasts.
        samples: equal steps over what repeats of a turn, besides the leads of its events [1].

    Returns:
        `Loads`; nan where an input has no meaning, nought where the cutter does not meet the stock.
    """
    strip = facing_strip(stock_width=stock_width, stock_offset=stock_offset)
    return _loads(law, cutter, (flutes, helix, axial_depth, feed_per_tooth), strip, samples)


def _loads(
    law: CuttingLaw, cutter: Profile, values: tuple[Array, Array, Array, Array], strip: Strip, samples: int
) -> Loads:
    """Loads of flutes, helix, depth and feed in a strip of stock."""
    flutes, helix, depth, feed = values
    stack, shape = stacked(
        law=law,
        cutter=cutter,
        flutes=flutes,
        helix=helix,
        axial_depth=depth,
        feed_per_tooth=feed,
        strip=strip,
    )
    return stack_loads(stack, shape, samples=samples)


def mean_forces(
    *,
    law: CuttingLaw,
    cutter: Profile,
    flutes: Array,
    helix: Array,
    axial_depth: Array,
    radial_width: Array,
    feed_per_tooth: Array,
    climb: Flags,
    earlier_pass: Flags = False,
) -> tuple[Array, Array, Array]:
    """Mean over a turn of the forces on a cutter of any shape.

    Args:
        law: cutting law, coefficients floats or arrays that broadcast with the rest.
        cutter: the profile, its sizes [m] and [rad] floats or arrays that broadcast with the rest.
        flutes: z [1], any shape.
        helix: beta [rad], broadcasts: only its sign counts, and on what lifts.
        axial_depth: ap [m], broadcasts.
        radial_width: ae [m], broadcasts.
        feed_per_tooth: fz [m], broadcasts.
        climb: True for climb milling, broadcasts.
        earlier_pass: True where an earlier pass of the cutter left the free edge, broadcasts.

    Returns:
        (Fx, Fy, Fz) [N], Fz the lift on the work: below nought where the bottom of the edge presses on it.
    """
    stack, shape = stacked(
        law=law,
        cutter=cutter,
        flutes=flutes,
        helix=helix,
        axial_depth=axial_depth,
        feed_per_tooth=feed_per_tooth,
        strip=side_strip(
            radial_width=radial_width, diameter=cutter.diameter, climb=climb, earlier_pass=earlier_pass
        ),
    )
    along, across, lift = (mean.reshape(shape)[()] for mean in means(stack)[1:])
    return along, across, lift


def turn(
    *,
    law: CuttingLaw,
    cutter: Profile,
    flutes: Array,
    helix: Array,
    axial_depth: Array,
    radial_width: Array,
    feed_per_tooth: Array,
    climb: Flags,
    angles: Numbers,
    earlier_pass: Flags = False,
) -> Turn:
    """Forces and torque of a cutter of any shape at given angles.

    Args:
        law: cutting law, coefficients floats or arrays that broadcast with the rest.
        cutter: the profile, its sizes [m] and [rad] floats or arrays that broadcast with the rest.
        flutes: z [1], any shape.
        helix: beta [rad], broadcasts; negative for a down-cut cutter.
        axial_depth: ap [m], broadcasts.
        radial_width: ae [m], broadcasts.
        feed_per_tooth: fz [m], broadcasts.
        climb: True for climb milling, broadcasts.
        angles: immersion of the tip's end of one edge [rad], shape (k,), whichever way the helix runs.
        earlier_pass: True where an earlier pass of the cutter left the free edge, broadcasts.

    Returns:
        `Turn`, each entry of the common shape and (k,).
    """
    stack, shape = stacked(
        law=law,
        cutter=cutter,
        flutes=flutes,
        helix=helix,
        axial_depth=axial_depth,
        feed_per_tooth=feed_per_tooth,
        strip=side_strip(
            radial_width=radial_width, diameter=cutter.diameter, climb=climb, earlier_pass=earlier_pass
        ),
    )
    torque, *course = forces(
        stack, np.mod(angles - stack.events().min(axis=1, keepdims=True), stack.pitch_angle[:, 0])
    )
    full = (*shape, np.size(angles))
    return Turn(np.asarray(angles), *(part.reshape(full) for part in (*course, torque)))


def chips(
    *,
    cutter: Profile,
    axial_depth: Array,
    radial_width: Array,
    feed_per_tooth: Array,
    earlier_pass: Flags = False,
) -> Chips:
    """Chips of a side cut with a cutter of any shape.

    Args:
        cutter: the profile, its sizes [m] and [rad] floats or arrays that broadcast with the rest.
        axial_depth: ap [m], any shape.
        radial_width: ae [m], broadcasts.
        feed_per_tooth: fz [m], broadcasts.
        earlier_pass: True where an earlier pass of the cutter left the free edge, broadcasts.

    Returns:
        `Chips`: the thickest is fz sin(kappa) sin(phi) at its largest, fz Deff/D for a ball in a slot.

    References:
        ISO 3002-3 (1984): h = fz sin(kappa) sin(phi).
    """
    strip = side_strip(
        radial_width=radial_width, diameter=cutter.diameter, climb=False, earlier_pass=earlier_pass
    )
    return _chips(cutter, axial_depth, feed_per_tooth, strip)


def facing_chips(
    *, cutter: Profile, axial_depth: Array, stock_width: Array, stock_offset: Array, feed_per_tooth: Array
) -> Chips:
    """Chips of a cutter of any shape that passes over stock with two free edges.

    Args:
        cutter: the profile, its sizes [m] and [rad] floats or arrays that broadcast with the rest.
        axial_depth: ap [m], any shape.
        stock_width: of the stock across the feed [m], broadcasts.
        stock_offset: y of the middle of the stock from the cutter's axis [m], broadcasts.
        feed_per_tooth: fz [m], broadcasts.

    Returns:
        `Chips`.
    """
    strip = facing_strip(stock_width=stock_width, stock_offset=stock_offset)
    return _chips(cutter, axial_depth, feed_per_tooth, strip)


def _chips(cutter: Profile, axial_depth: Array, feed_per_tooth: Array, strip: Strip) -> Chips:
    """Chips in a strip of stock."""
    shape = common_shape((axial_depth, feed_per_tooth), cutter.sizes(), *strip.bounds())
    slices = outline(cutter=cutter, axial_depth=axial_depth, strip=strip, shape=shape)
    feed = np.where(slices.known, not_negative(column(feed_per_tooth, shape)), np.nan)
    thickest, mean, arc, area = (value.reshape(shape)[()] for value in slices.shares())
    feeds = feed.reshape(shape)[()]
    return Chips(feeds * thickest, feeds * mean, arc + 0 * feeds, area + 0 * feeds)
