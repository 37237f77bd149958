"""Stock that warms while it is cut away: one lump, a steady heat into it, chips leaving with theirs."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, not_negative, only_where, positive

STRAIGHT = 1e-8
"""Below this a ratio is its own limit to the last place: (1 - exp(-y)) / y and ln(1 - x) / x."""


def shrinking_lump_temperature(
    *,
    start_temperature: Array,
    surroundings: Array,
    heat: Array,
    conductance: Array,
    heat_capacity: Array,
    share_lost: Array,
    duration: Array,
) -> Array:
    """Temperature of a body of one temperature that loses mass evenly while heat flows into it.

    Args:
        start_temperature: T0 of the body [K], any shape.
        surroundings: Ta of air and bed [K], broadcasts.
        heat: P into the body [W], broadcasts.
        conductance: G to the surroundings, h A of all faces and of the bed [W/K], broadcasts.
        heat_capacity: C at the start, m c [J/K], broadcasts.
        share_lost: part of the mass that is gone at the end, 0 to below 1 [1], broadcasts.
        duration: t [s], broadcasts.

    Returns:
        Ta + (T0 - Ta) e^-y + P t' (1 - e^-y) / y with t' = t/C ln(1/(1 - x)) / x and y = G t' [K], the
        solution of C (1 - x s/t) dT/ds = P - G (T - Ta): what leaves takes its own warmth along.

    Validity:
        `heat.LUMP`; heat, conductance and surroundings steady over the time.

    References:
        Incropera et al., ch. 5 (general lumped capacitance), with a falling mass; exact integration.
    """
    lost = only_where(np.less(share_lost, 1), not_negative(share_lost))
    # As mass falls the same heat warms it faster: the time counts for more by ln(1/(1-x))/x.
    faster = np.where(np.less(lost, STRAIGHT), 1.0, -np.log1p(-lost) / np.maximum(lost, STRAIGHT))
    stretched = not_negative(duration) / positive(heat_capacity) * faster
    decay = not_negative(conductance) * stretched
    kept = np.where(np.less(decay, STRAIGHT), 1.0, -np.expm1(-decay) / np.maximum(decay, STRAIGHT))
    temperature: Array = (
        surroundings + (start_temperature - surroundings) * np.exp(-decay) + heat * stretched * kept
    )[()]
    return temperature


def bed_conductance(
    *,
    area: Array,
    layer_thickness: Array,
    layer_conductivity: Array,
    bed_thickness: Array,
    bed_conductivity: Array,
) -> Array:
    """Conductance through a thin layer and the bed under it, A / (t1/k1 + t2/k2).

    Args:
        area: A of the contact [m^2], any shape.
        layer_thickness: of tape, glue or a gap of air [m], broadcasts.
        layer_conductivity: of it [W/(m K)], broadcasts.
        bed_thickness: of the bed [m], broadcasts.
        bed_conductivity: of it [W/(m K)], broadcasts.

    Returns:
        G [W/K].

    References:
        Incropera et al., ch. 3: composite wall.
    """
    layer = not_negative(layer_thickness) / positive(layer_conductivity)
    bed = not_negative(bed_thickness) / positive(bed_conductivity)
    conductance: Array = not_negative(area) / positive(layer + bed)
    return conductance
