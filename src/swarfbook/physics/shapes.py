"""Shapes of cutters: how far the edge stands from the axis, and how steep it is, at each height.

Heights count from the tip. The edge angle kappa is the angle between the edge and the plane across the
axis: a right angle on a cylinder, nought on a flat bottom, so that h = fz sin(phi) sin(kappa) and a height dz
holds a length dz / sin(kappa) of edge. The flat of a bottom is no part of a profile: moving sideways it cuts
nothing.

Every edge lags by the same angle per height, 2 tan(beta) / D: a thread of constant lead, as a cutter is
ground that keeps its helix beta on the cylinder and runs into the tip at that lead.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Sequence
from dataclasses import fields, replace
from typing import ClassVar, Self

import numpy as np

from swarfbook.frozen import frozen
from swarfbook.physics.arrays import Array, Flags, chosen, not_negative, only_where, positive

RIGHT_ANGLE = np.pi / 2


@frozen
class Profile(ABC):
    """A cutter's outline from the tip upwards, its sizes floats or arrays; nan where a size cannot be.

    Attributes:
        diameter: cutting diameter D (ISO 13399 DC) [m]: the cylinder's, or a tapered cutter's at its tip.
    """

    diameter: Array
    slices: ClassVar[int] = 1
    """Discs that the part below the bend takes: one for a cylinder, more where the radius changes."""
    bends: ClassVar[bool] = False
    """There is a part above the bend, and it is a cylinder."""
    turns_back: ClassVar[bool] = False
    """Above the bend the helix runs the other way."""

    def sizes(self) -> Sequence[Array]:
        """Every size, in the order of the fields."""
        return [getattr(self, field.name) for field in fields(self)]

    def each(self, change: Callable[[Array], Array]) -> Self:
        """The profile with `change` applied to every size."""
        return replace(self, **{field.name: change(getattr(self, field.name)) for field in fields(self)})

    def full_radius(self) -> Array:
        """Half the cutting diameter [m]; nan unless above nought."""
        return positive(self.diameter) / 2

    def bend(self) -> Array:
        """Height at which the lower part ends [m]; infinite where there is one part only."""
        return np.inf + 0 * self.full_radius()

    @abstractmethod
    def radius(self, *, height: Array) -> Array:
        """Distance of the edge from the axis [m] at a height [m] that broadcasts with the sizes."""

    @abstractmethod
    def edge_angle(self, *, height: Array) -> Array:
        """Angle kappa of the edge against the plane across the axis [rad] at a height [m]."""

    @abstractmethod
    def height(self, *, radius: Array) -> Array:
        """Lowest height [m] at which the edge stands this far from the axis [m]; infinite where never."""


@frozen
class Square(Profile):
    """A cylinder down to the tip; a negative helix makes it a down-cut cutter."""

    def radius(self, *, height: Array) -> Array:
        """Half the diameter."""
        return self.full_radius() + 0 * height

    def edge_angle(self, *, height: Array) -> Array:
        """A right angle."""
        return RIGHT_ANGLE + 0 * self.radius(height=height)

    def height(self, *, radius: Array) -> Array:
        """Nought up to the full radius."""
        full = self.full_radius()
        return chosen(np.greater(radius, full), np.inf, 0 * (radius + full))


@frozen
class Compression(Square):
    """A cylinder whose helix is that of an up-cut cutter below a height and of a down-cut one above it.

    Attributes:
        upcut_length: height of the change [m], nought or more.
    """

    upcut_length: Array
    bends: ClassVar[bool] = True
    turns_back: ClassVar[bool] = True

    def bend(self) -> Array:
        """Where up-cut changes to down-cut."""
        return not_negative(self.upcut_length)


@frozen
class _Rounded(Profile):
    """An arc that runs from the bottom into the cylinder."""

    slices: ClassVar[int] = 24
    bends: ClassVar[bool] = True

    @abstractmethod
    def rounding(self) -> Array:
        """Radius of the arc [m]."""

    def bend(self) -> Array:
        """The arc is as high as its radius."""
        return self.rounding()

    def radius(self, *, height: Array) -> Array:
        """R - RE + sqrt(z (2 RE - z)) up to z = RE."""
        arc = self.rounding()
        within = np.minimum(height, arc)
        return self.full_radius() - arc + np.sqrt(within * (2 * arc - within))

    def edge_angle(self, *, height: Array) -> Array:
        """arccos(1 - z/RE) up to z = RE."""
        arc = self.rounding()
        below = np.less(height, arc)
        share: Array = height / chosen(below, arc, 2 * height + 1)
        return chosen(below, 2 * np.arcsin(np.sqrt(share / 2)), RIGHT_ANGLE + 0 * (share + arc))

    def height(self, *, radius: Array) -> Array:
        """RE - sqrt(RE^2 - x^2), x what the radius exceeds R - RE by."""
        arc, full = self.rounding(), self.full_radius()
        across: Array = np.clip(radius - (full - arc), 0, arc)
        rise = arc - np.sqrt(np.square(arc) - np.square(across))
        return chosen(np.greater(radius, full), np.inf, rise)


@frozen
class Ball(_Rounded):
    """Half a ball under a cylinder of its diameter."""

    def rounding(self) -> Array:
        """The ball's radius [m]."""
        return self.full_radius()


@frozen
class CornerRadius(_Rounded):
    """A flat bottom with a rounded corner.

    Attributes:
        corner_radius: RE (ISO 13399) [m], from 0 to D/2.
    """

    corner_radius: Array

    def rounding(self) -> Array:
        """The corner radius [m]; nan above half the diameter."""
        fits = np.less_equal(self.corner_radius, self.diameter / 2)
        return only_where(fits, not_negative(self.corner_radius))


@frozen
class Chamfer(Profile):
    """A cone under a cylinder: chamfering and engraving cutters.

    Attributes:
        point_angle: included angle of the point SIG (ISO 13399) [rad], above 0 and below pi.
        tip_diameter: flat at the point [m], from 0 to D.
    """

    point_angle: Array
    tip_diameter: Array
    slices: ClassVar[int] = 24
    bends: ClassVar[bool] = True

    def _spread(self) -> Array:
        """Radius gained per height, tan(SIG/2) [1]."""
        fits = np.logical_and(np.greater(self.point_angle, 0), np.less(self.point_angle, np.pi))
        spread: Array = np.tan(only_where(fits, self.point_angle) / 2)
        return spread

    def _tip_radius(self) -> Array:
        """Half the flat [m]."""
        fits = np.less_equal(self.tip_diameter, self.diameter)
        return only_where(fits, not_negative(self.tip_diameter)) / 2

    def bend(self) -> Array:
        """Height of the cone."""
        return (self.full_radius() - self._tip_radius()) / self._spread()

    def radius(self, *, height: Array) -> Array:
        """d0/2 + z tan(SIG/2), at most R."""
        wide: Array = np.minimum(self._tip_radius() + height * self._spread(), self.full_radius())
        return wide

    def edge_angle(self, *, height: Array) -> Array:
        """A right angle less SIG/2 on the cone."""
        on_cone = np.less(height, self.bend())
        return RIGHT_ANGLE - chosen(on_cone, np.arctan(self._spread()), 0 * (height + self.bend()))

    def height(self, *, radius: Array) -> Array:
        """(r - d0/2) / tan(SIG/2)."""
        rise: Array = np.maximum(radius - self._tip_radius(), 0) / self._spread()
        return chosen(np.greater(radius, self.full_radius()), np.inf, rise)


@frozen
class Tapered(Profile):
    """A cone that widens upwards from D at the tip, without end.

    Attributes:
        taper: angle of the side against the axis [rad], from 0 to below a right angle.
    """

    taper: Array
    slices: ClassVar[int] = 12

    def _spread(self) -> Array:
        """Radius gained per height, tan(taper) [1]."""
        spread: Array = np.tan(only_where(np.less(self.taper, RIGHT_ANGLE), not_negative(self.taper)))
        return spread

    def radius(self, *, height: Array) -> Array:
        """D/2 + z tan(taper)."""
        return self.full_radius() + height * self._spread()

    def edge_angle(self, *, height: Array) -> Array:
        """A right angle less the taper."""
        return RIGHT_ANGLE - np.arctan(self._spread()) + 0 * self.radius(height=height)

    def height(self, *, radius: Array) -> Array:
        """(r - D/2) / tan(taper)."""
        excess, spread = radius - self.full_radius(), self._spread()
        steep: Flags = np.greater(spread, 0)
        rise = np.maximum(excess, 0) / chosen(steep, spread, 1.0)
        return chosen(np.logical_or(steep, np.less_equal(excess, 0)), rise, np.inf)


def effective_diameter(*, cutter: Profile, axial_depth: Array) -> Array:
    """Diameter at the top of the cut, which the cutting speed goes by.

    Args:
        cutter: the profile, its sizes [m] and [rad] floats or arrays.
        axial_depth: ap [m], broadcasts.

    Returns:
        Deff = 2 r(ap) [m]: 2 sqrt(ap (D - ap)) for a ball up to ap = D/2,
        D - 2 RE + 2 sqrt(RE^2 - (RE - ap)^2) for a rounded corner up to ap = RE, d0 + 2 ap tan(SIG/2) for a
        point, D + 2 ap tan(taper) for a tapered cutter, D on a cylinder.

    References:
        exact geometry; Altintas, Manufacturing Automation, 2nd ed. (2012), ch. 2.
    """
    return 2 * cutter.radius(height=not_negative(axial_depth))


def effective_cutting_speed(*, cutter: Profile, axial_depth: Array, spindle_speed: Array) -> Array:
    """Speed of the edge at the top of the cut, the fastest there is in it.

    Args:
        cutter: the profile, its sizes [m] and [rad] floats or arrays.
        axial_depth: ap [m], broadcasts.
        spindle_speed: n [rev/s], broadcasts.

    Returns:
        vc = pi Deff n [m/s]. Towards the tip of a ball or a point the speed falls to nought.
    """
    return np.pi * effective_diameter(cutter=cutter, axial_depth=axial_depth) * not_negative(spindle_speed)


def edge_angle_at_depth(*, cutter: Profile, axial_depth: Array) -> Array:
    """Edge angle at the top of the cut.

    Args:
        cutter: the profile, its sizes [m] and [rad] floats or arrays.
        axial_depth: ap [m], broadcasts.

    Returns:
        kappa(ap) [rad]: the chip there is thinner by sin(kappa) than a square cutter's.
    """
    return cutter.edge_angle(height=not_negative(axial_depth))
