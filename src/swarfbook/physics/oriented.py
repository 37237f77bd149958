"""Tlusty's limit: one cutting direction, the modes projected on it. A check beside the milling solution."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from swarfbook.physics.arrays import Array, not_negative, only_where, positive
from swarfbook.physics.modes import Modes

Numbers = NDArray[np.float64]


def single_mode_depth(
    *, stiffness: Array, damping: Array, specific_force: Array, orientation: Array, teeth_in_cut: Array
) -> Array:
    """Depth that is stable at every speed, with one mode that gives.

    Args:
        stiffness: k of the mode [N/m], any shape.
        damping: zeta [1], broadcasts.
        specific_force: Ks, force per chip area [Pa], broadcasts.
        orientation: mu, share of the mode's motion in the chip times that of the force in the mode [1],
            broadcasts.
        teeth_in_cut: z*, mean number of teeth in the stock [1], broadcasts.

    Returns:
        2 k zeta (1 + zeta) / (Ks mu z*) [m]: the negative real part is largest at fn sqrt(1 + 2 zeta).

    References:
        Tlusty & Polacek (1963); Altintas, Manufacturing Automation, 2nd ed. (2012), ch. 4.
    """
    share = not_negative(damping)
    pushed = positive(specific_force) * positive(orientation) * positive(teeth_in_cut)
    return 2 * positive(stiffness) * share * (1 + share) / pushed


def oriented_depth(
    *,
    chatter_frequency: Array,
    modes: Modes,
    orientations: Numbers,
    specific_force: Array,
    teeth_in_cut: Array,
) -> Array:
    """Depth at which a frequency chatters, with any number of modes at angles to the cut.

    Args:
        chatter_frequency: [Hz], any shape.
        modes: each along its own direction.
        orientations: mu of each mode [1], shape (k,).
        specific_force: Ks, force per chip area [Pa], broadcasts.
        teeth_in_cut: z* [1], 1 for turning and shaping, broadcasts.

    Returns:
        -1 / (2 Ks z* Re G) [m], G = sum mu_i G_i; nan where Re G is not below 0. The lowest over all
        frequencies is stable at every speed.

    References:
        Tlusty & Polacek (1963); Altintas, Manufacturing Automation, 2nd ed. (2012), ch. 4.
    """
    real = modes.receptance(chatter_frequency, orientations).real
    return -1 / (2 * positive(specific_force) * positive(teeth_in_cut) * only_where(real < 0, real))
