"""Cutting laws: what force a length of edge feels at a chip thickness.

Both laws answer the same questions (`CuttingLaw`), so nothing above them asks which one it holds. The
antiderivatives over the immersion angle are what makes a helical edge exact: with the lag proportional to
the height, the force on an edge is a difference of two of their values.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import fields, replace
from typing import Any, Protocol, Self, TypeAlias

import numpy as np
from numpy.typing import NDArray

from swarfbook.frozen import frozen
from swarfbook.physics.arrays import Array, chosen, not_negative, only_where, positive
from swarfbook.physics.sine_integrals import sine_power_integral

Turning: TypeAlias = complex | NDArray[np.complexfloating[Any, Any]]
Components = tuple[Array, Array, Array]
Antiderivatives = tuple[Array, Array, Array, Array]

MILLIMETRE = 1e-3
RAKE_SLOPE = 0.015 / np.radians(1.0)
"""Fall of the cutting force per radian of rake: 1.5 % a degree (Tschaetsch; others say 1 %)."""


@frozen
class Harmonics:
    """Antiderivatives over the immersion that are a straight line and harmonics, for a chip fz sin(phi).

    Every entry is a float or an array that broadcasts [N/m]: what multiplies phi, and then

    Attributes:
        plane: exp(-i phi) and exp(-2i phi); complex, for Fx + i Fy.
        tangential: cos(phi).
        lift: cos(phi), for a right-hand helix.
    """

    plane: tuple[Turning, Turning, Turning]
    tangential: tuple[Array, Array]
    lift: tuple[Array, Array]

    def each(self, change: Callable[[Any], Any]) -> Harmonics:
        """The harmonics with `change` applied to every entry."""
        return Harmonics(*(tuple(map(change, getattr(self, field.name))) for field in fields(self)))


class CuttingLaw(Protocol):
    """A law whose force follows the chip thickness alone, its coefficients floats or arrays."""

    def edge_forces(self, chip_thickness: Array) -> Components:
        """Tangential, radial and axial force on the edge per length of it [N/m] at a chip [m]."""

    def antiderivatives(self, *, feed_per_tooth: Array, phi: Array) -> Antiderivatives:
        """Antiderivatives over the immersion of the force per edge length [N/m], at `phi` [rad].

        In order: tangential (for torque), x, y and axial, with a chip fz sin(phi) and
        dFx = -dFt cos(phi) - dFr sin(phi), dFy = dFt sin(phi) - dFr cos(phi), dFz = dFa.
        Only differences between two angles of [0, pi] have a meaning.
        """

    def harmonics(self, feed_per_tooth: Array) -> Harmonics | None:
        """The same antiderivatives as harmonics of the immersion; None for a law that has none such."""

    def scaled(self, factor: Array) -> Self:
        """The law with every force multiplied by `factor` [1]: wear, uncertainty, what was learnt."""

    def inclined(self, *, sine: Array, cosine: Array, hand: Array) -> Self:
        """The law per height of a slanting edge, its chip still counted in the plane of the cut.

        The edge stands at kappa against the plane across the axis, and feels h sin(kappa) on a length
        1 / sin(kappa) per height. The answer's radial part points at the axis, its axial part lifts the work:

            dFr' = dFr sin(kappa) + hand dFa cos(kappa),  dFz = hand dFa sin(kappa) - dFr cos(kappa)

        with `sine` and `cosine` those of kappa [1] and `hand` 1 for a right-hand helix, -1 for a left-hand
        one. An upright edge of a right-hand helix leaves the law as it is.
        """

    def coefficients(self) -> Sequence[Array]:
        """Every coefficient, in the order of its fields."""

    def each(self, change: Callable[[Array], Array]) -> Self:
        """The law with `change` applied to every coefficient: for broadcasting and picking sets."""


def _turned(radial: Array, axial: Array, sine: Array, cosine: Array) -> tuple[Array, Array]:
    """Radial and axial force of an edge, turned to the axis: inwards and up. Upright, no part is mixed in."""
    upright = np.equal(cosine, 0)
    inwards = radial * sine + chosen(upright, 0.0, axial * cosine)
    return inwards, axial * sine - chosen(upright, 0.0, radial * cosine)


@frozen
class _Coefficients:
    """A set of coefficients, all of them the fields of a dataclass."""

    def coefficients(self) -> Sequence[Array]:
        """Every coefficient, in the order of its fields."""
        return [getattr(self, field.name) for field in fields(self)]

    def each(self, change: Callable[[Array], Array]) -> Self:
        """The set with `change` applied to every coefficient."""
        return replace(self, **{field.name: change(getattr(self, field.name)) for field in fields(self)})


@frozen
class LinearEdge(_Coefficients):
    """Linear edge-force law: dFt = (Ktc h + Kte) dz, and the same for radial and axial.

    Attributes:
        ktc: tangential cutting coefficient [Pa], any shape.
        krc: radial cutting coefficient [Pa], broadcasts.
        kac: axial cutting coefficient [Pa], broadcasts.
        kte: tangential edge coefficient [N/m], broadcasts.
        kre: radial edge coefficient [N/m], broadcasts.
        kae: axial edge coefficient [N/m], broadcasts.

    Validity:
        the feeds it was identified on; the edge term carries small chips, which is why it is the first
        choice for them.

    References:
        Budak, Altintas & Armarego, J. Eng. Ind. 118 (1996) 216; Altintas, Manufacturing Automation,
        2nd ed. (2012), ch. 2.
    """

    ktc: Array
    krc: Array
    kac: Array
    kte: Array
    kre: Array
    kae: Array

    def edge_forces(self, chip_thickness: Array) -> Components:
        """Force per edge length [N/m] at a chip thickness [m]; nan for a negative chip."""
        h = not_negative(chip_thickness)
        return self.ktc * h + self.kte, self.krc * h + self.kre, self.kac * h + self.kae

    def antiderivatives(self, *, feed_per_tooth: Array, phi: Array) -> Antiderivatives:
        """Closed forms of the four antiderivatives (see `CuttingLaw`)."""
        sine, cosine = np.sin(phi), np.cos(phi)
        square = sine * sine / 2
        area = (phi - sine * cosine) / 2
        tangential, radial = self.ktc * feed_per_tooth, self.krc * feed_per_tooth
        return (
            self.kte * phi - tangential * cosine,
            self.kre * cosine - self.kte * sine - tangential * square - radial * area,
            tangential * area - radial * square - self.kte * cosine - self.kre * sine,
            self.kae * phi - self.kac * feed_per_tooth * cosine,
        )

    def harmonics(self, feed_per_tooth: Array) -> Harmonics:
        """The antiderivatives as harmonics: with K = Kt + i Kr, dFx + i dFy = -(Kc h + Ke) exp(-i phi)."""
        chip: Turning = (self.ktc + 1j * self.krc) * feed_per_tooth
        edge: Turning = self.kte + 1j * self.kre
        return Harmonics(
            plane=(0.5j * chip, -1j * edge, chip / 4),
            tangential=(self.kte, -self.ktc * feed_per_tooth),
            lift=(self.kae, -self.kac * feed_per_tooth),
        )

    def scaled(self, factor: Array) -> Self:
        """The law with every coefficient multiplied by `factor` [1]."""
        return self.each(lambda coefficient: coefficient * factor)

    def inclined(self, *, sine: Array, cosine: Array, hand: Array) -> Self:
        """The law per height of a slanting edge (see `CuttingLaw`)."""
        radial_chip, lift_chip = _turned(self.krc, hand * self.kac, sine, cosine)
        radial_edge, lift_edge = _turned(self.kre / sine, hand * self.kae / sine, sine, cosine)
        return replace(
            self,
            krc=radial_chip,
            kac=lift_chip,
            kte=self.kte / sine,
            kre=radial_edge,
            kae=lift_edge,
        )


@frozen
class Kienzle(_Coefficients):
    """Kienzle's law: Ft = kc1.1 b h^(1 - mc), h in millimetres, radial and axial in fixed ratios.

    Attributes:
        kc11: specific cutting force at a chip of 1 mm by 1 mm [Pa], any shape.
        mc: exponent [1], 0 <= mc < 1, broadcasts.
        force_ratio_radial: radial over tangential force [1], broadcasts.
        force_ratio_axial: axial over tangential force [1], broadcasts.

    Validity:
        fitted on `validity.KIENZLE_CHIP`; below it (most router chips) the power law is used as it
        stands and the caller flags it.

    References:
        Kienzle, VDI-Z 94 (1952) 299; VDI 3206.
    """

    kc11: Array
    mc: Array
    force_ratio_radial: Array
    force_ratio_axial: Array

    def _exponent(self) -> Array:
        """1 - mc; nan where mc is no exponent of a cutting law."""
        return only_where(np.logical_and(np.greater_equal(self.mc, 0), np.less(self.mc, 1)), 1 - self.mc)

    def _tangential(self, chip_thickness: Array) -> Array:
        """Tangential force per edge length [N/m]: the millimetre of the definition taken out."""
        force: Array = np.power(not_negative(chip_thickness) / MILLIMETRE, self._exponent())
        return self.kc11 * MILLIMETRE * force

    def edge_forces(self, chip_thickness: Array) -> Components:
        """Force per edge length [N/m] at a chip thickness [m]; nan for a negative chip."""
        tangential = self._tangential(chip_thickness)
        return tangential, self.force_ratio_radial * tangential, self.force_ratio_axial * tangential

    def antiderivatives(self, *, feed_per_tooth: Array, phi: Array) -> Antiderivatives:
        """The four antiderivatives (see `CuttingLaw`): one closed power, two sine integrals."""
        scale, p = self._tangential(feed_per_tooth), self._exponent()
        along = np.power(np.maximum(np.sin(phi), 0), p + 1) / (p + 1)
        across = sine_power_integral(exponent=p + 1, phi=phi)
        turning = scale * sine_power_integral(exponent=p, phi=phi)
        return (
            turning,
            -scale * (along + self.force_ratio_radial * across),
            scale * (across - self.force_ratio_radial * along),
            self.force_ratio_axial * turning,
        )

    def harmonics(self, feed_per_tooth: Array) -> None:
        """None: a power of a sine is no sum of few harmonics."""

    def scaled(self, factor: Array) -> Self:
        """The law with every force multiplied by `factor` [1]: kc1.1 alone carries it."""
        return replace(self, kc11=self.kc11 * factor)

    def inclined(self, *, sine: Array, cosine: Array, hand: Array) -> Self:
        """The law per height of a slanting edge (see `CuttingLaw`)."""
        radial, lift = _turned(self.force_ratio_radial, hand * self.force_ratio_axial, sine, cosine)
        thinned = self.kc11 * np.power(sine, -np.asarray(self.mc))
        return replace(self, kc11=thinned, force_ratio_radial=radial, force_ratio_axial=lift)


def rake_factor(*, rake: Array, rake_base: Array) -> Array:
    """Correction of a Kienzle force for a rake other than the one its row was measured at.

    Args:
        rake: gamma of the cutter [rad], any shape.
        rake_base: gamma of the row [rad], broadcasts: +6 degrees for steel, +2 for cast iron, 0 for
            aluminium in the German tables.

    Returns:
        1 - 0.015 (gamma - gamma_0), the angles in degrees [1]; nan where the line has fallen to 0.

    References:
        Tschaetsch, Praxis der Zerspantechnik.
    """
    return positive(1 - RAKE_SLOPE * (rake - rake_base))
