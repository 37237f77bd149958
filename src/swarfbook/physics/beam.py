"""The cutter as a stepped cantilever: fluted part, neck, shank, clamped in the holder.

Heights are counted from the tip upwards. A part that the holder swallows does not bend; a neck of no
length (`neck_end` at or below `flute_length`) and its diameter are left out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from swarfbook.physics.arrays import Array, not_negative, only_where, positive

FLUTED_RATIO = 0.8
"""Diameter of the plain rod that bends like the fluted part, over the cutting diameter, for two and four
flutes alike (Kops & Vo, CIRP Annals 39 (1990) 93)."""


@dataclass(frozen=True, slots=True)
class _Section:
    """One stretch of plain rod between two heights, empty where it is swallowed or absent."""

    start: Array
    end: Array
    diameter: Array

    def compliance(self, load_height: Array) -> Array:
        """Integral of (x - a)^2 / I over the stretch above the load [1/m]."""
        start, end = np.maximum(self.start, load_height), np.maximum(self.end, load_height)
        cubes = _cubed(end - load_height) - _cubed(start - load_height)
        return self._where_present(cubes / (3 * self._inertia()))

    def stress_per_force(self, load_height: Array) -> Array:
        """Outer-fibre stress at the upper end per force on the load's height [1/m^2]."""
        arm = np.maximum(self.end - load_height, 0)
        return self._where_present(32 * arm / (np.pi * _cubed(positive(self.diameter))))

    def _inertia(self) -> Array:
        """Second moment of area pi d^4 / 64 [m^4]."""
        return np.pi * positive(self.diameter) ** 4 / 64

    def _where_present(self, value: Array) -> Array:
        """`value` where the stretch has a length, 0 where it has none, nan where nobody knows."""
        kept: Array = np.where(np.less_equal(self.end, self.start), 0.0, value)[()]
        return kept


def _cubed(value: Array) -> Array:
    """The third power: a good deal quicker than the general one."""
    return value * value * value


def _sections(
    *,
    flute_length: Array,
    fluted_diameter: Array,
    neck_end: Array,
    neck_diameter: Array,
    shank_diameter: Array,
    stickout: Array,
) -> tuple[_Section, _Section, _Section]:
    """Fluted part, neck and shank, cut off at the holder."""
    runout: Array = np.minimum(not_negative(flute_length), stickout)
    neck: Array = np.minimum(np.maximum(neck_end, runout), stickout)
    return (
        _Section(0 * runout, runout, fluted_diameter),
        _Section(runout, neck, neck_diameter),
        _Section(neck, stickout, shank_diameter),
    )


def _load(load_height: Array, stickout: Array) -> Array:
    """The load's height; nan below the tip and inside the holder, where there is no cantilever."""
    inside = np.logical_and(np.greater_equal(load_height, 0), np.less_equal(load_height, stickout))
    return only_where(inside, load_height)


def equivalent_diameter(*, diameter: Array) -> Array:
    """Rod that bends like the fluted part, 0.8 D [m], of a cutting `diameter` [m]; see FLUTED_RATIO."""
    return FLUTED_RATIO * positive(diameter)


def deflection(
    *,
    force: Array,
    load_height: Array,
    flute_length: Array,
    fluted_diameter: Array,
    neck_end: Array,
    neck_diameter: Array,
    shank_diameter: Array,
    stickout: Array,
    youngs_modulus: Array,
) -> Array:
    """Deflection of the cutter at the load.

    Args:
        force: F across the axis [N], any shape.
        load_height: a, of the load above the tip [m], broadcasts.
        flute_length: of the fluted part, may exceed the stickout [m], broadcasts.
        fluted_diameter: equivalent diameter of the fluted part [m], broadcasts.
        neck_end: height at which the neck ends and the shank begins [m], broadcasts.
        neck_diameter: [m], broadcasts.
        shank_diameter: [m], broadcasts.
        stickout: L, from the holder to the tip [m], broadcasts.
        youngs_modulus: E [Pa], broadcasts.

    Returns:
        F/E times the integral of (x - a)^2 / I(x) from the load to the holder [m]; nan where the load
        stands below the tip or inside the holder.

    Validity:
        a slender rod, without shear and without the give of holder and machine.

    References:
        Castigliano's theorem; Kops & Vo, CIRP Annals 39 (1990) 93, for the fluted diameter.
    """
    parts = _sections(
        flute_length=flute_length,
        fluted_diameter=fluted_diameter,
        neck_end=neck_end,
        neck_diameter=neck_diameter,
        shank_diameter=shank_diameter,
        stickout=stickout,
    )
    load = _load(load_height, stickout)
    return force / positive(youngs_modulus) * sum(part.compliance(load) for part in parts)


def bending_stress(
    *,
    force: Array,
    load_height: Array,
    flute_length: Array,
    fluted_diameter: Array,
    neck_end: Array,
    neck_diameter: Array,
    shank_diameter: Array,
    stickout: Array,
) -> Array:
    """Largest bending stress of the cutter: at the flute run-out, the neck's end or the holder.

    Args:
        force: F across the axis [N], any shape.
        load_height: a, of the load above the tip [m], broadcasts.
        flute_length: of the fluted part, may exceed the stickout [m], broadcasts.
        fluted_diameter: equivalent diameter of the fluted part [m], broadcasts.
        neck_end: height at which the neck ends and the shank begins [m], broadcasts.
        neck_diameter: [m], broadcasts.
        shank_diameter: [m], broadcasts.
        stickout: L, from the holder to the tip [m], broadcasts.

    Returns:
        the largest 32 F (x - a) / (pi d^3) over the upper ends x of the parts inside the stickout [Pa],
        without stress concentration; nan where the load stands below the tip or inside the holder.
    """
    parts = _sections(
        flute_length=flute_length,
        fluted_diameter=fluted_diameter,
        neck_end=neck_end,
        neck_diameter=neck_diameter,
        shank_diameter=shank_diameter,
        stickout=stickout,
    )
    load = _load(load_height, stickout)
    first, second, third = (part.stress_per_force(load) for part in parts)
    return force * np.maximum(np.maximum(first, second), third)
