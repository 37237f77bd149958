"""Vibration modes of the tool tip: measured ones, and the cutter's own first mode as an estimate."""

from __future__ import annotations

from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swarfbook.frozen import frozen
from swarfbook.physics.arrays import Array, only_where, positive
from swarfbook.physics.beam import FLUTED_RATIO
from swarfbook.physics.sampling import ordered

Numbers = NDArray[np.float64]
Waves = NDArray[np.complex128]

TURN = 2 * np.pi
AROUND = 0.5 * np.sinh(np.linspace(-5.0, 5.0, 501))
"""Where to look around a mode, in half-widths of its resonance: close near it, wide away from it."""
BETWEEN = 400
"""Frequencies to look at over the whole range, in equal ratios."""
NODES, WEIGHTS = np.polynomial.legendre.leggauss(8)
"""Places and shares of the mass of each rod: the first frequency is then within 0.2 %."""


@frozen
class Modes:
    """Modes of the tool tip in one direction; one entry a mode, any number of them, none for a rigid one.

    Attributes:
        frequency: natural frequency fn, undamped [Hz].
        damping: ratio zeta [1].
        stiffness: modal stiffness k at the tip [N/m].
        lead: of a complex mode [s]: the force is answered as by k, plus `lead` times its rate. 0 for a mode
            with proportional damping, which is what most measurements are reduced to.

    Validity:
        measured at the tip, with the cutter, stickout and spindle speed of the cut.
    """

    frequency: ArrayLike
    damping: ArrayLike
    stiffness: ArrayLike
    lead: ArrayLike = 0.0

    @classmethod
    def from_residues(cls, *, frequency: ArrayLike, damping: ArrayLike, residue: ArrayLike) -> Self:
        """Modes as curve fitters give them: residue over pole, and the same conjugated.

        Args:
            frequency: fn [Hz], shape (k,).
            damping: zeta [1], shape (k,).
            residue: sigma + i nu [m/(N s)], shape (k,).

        References:
            Altintas, Manufacturing Automation, 2nd ed. (2012), ch. 3: alpha = 2 (zeta wn sigma - wd nu),
            beta = 2 sigma, receptance (alpha + beta s) / (s^2 + 2 zeta wn s + wn^2).
        """
        natural, share = TURN * np.asarray(frequency), np.asarray(damping)
        rate = 2 * np.real(residue)
        still = share * natural * rate - 2 * natural * np.sqrt(1 - share * share) * np.imag(residue)
        return cls(frequency, damping, natural * natural / still, rate / still)

    def receptance(self, frequency: ArrayLike, shares: ArrayLike = 1.0) -> Waves:
        """Displacement of the tip over the force on it.

        Args:
            frequency: [Hz], any shape.
            shares: of each mode in the sum [1], shape (k,).

        Returns:
            sum of (1 + 2 pi i f lead) / (k (1 - r^2 + 2 i zeta r)), r = f / fn [m/N]; nan by `doubt`.
        """
        f = np.asarray(frequency, dtype=np.float64)[..., None]
        stiffness = np.asarray(self.stiffness) + self.doubt()
        with np.errstate(divide="ignore", invalid="ignore"):
            ratio = f / np.asarray(self.frequency)
            swing = 1 - ratio * ratio + 2j * np.asarray(self.damping) * ratio
            answer = shares * (1 + 1j * TURN * f * np.asarray(self.lead)) / (stiffness * swing)
        total: Waves = answer.sum(axis=-1)
        return total

    def doubt(self) -> float:
        """0, or nan where a mode is none: a frequency or stiffness not above 0, a damping below 0."""
        signs = [np.min(value, initial=1.0) for value in map(np.asarray, (self.frequency, self.stiffness))]
        sound = min(signs) > 0 and np.min(self.damping, initial=0.0) >= 0 and np.all(np.isfinite(self.lead))
        return 0.0 if sound else float("nan")

    def static_stiffness(self) -> float:
        """Stiffness of all modes together under a steady force [N/m]; infinite without a mode.

        A set fitted for chatter can be far off as a static stiffness: modes outside its range are missing.
        """
        soft = float(np.sum(1 / np.asarray(self.stiffness)))
        return 1 / soft if soft else float("inf")


RIGID = Modes((), (), ())
"""No mode at all: the tip does not give in this direction."""


def chatter_frequencies(*, modes_x: Modes, modes_y: Modes) -> Numbers:
    """Frequencies worth looking at for chatter [Hz], rising: close around every mode, wide elsewhere.

    Args:
        modes_x: modes along x.
        modes_y: modes along y.

    Returns:
        frequencies from a fifth of the lowest mode to four times the highest [Hz], shape (k,); 1 Hz alone
        where there is no mode.
    """
    natural = np.concatenate([np.ravel(mode.frequency) for mode in (modes_x, modes_y)]).astype(np.float64)
    if not np.min(natural, initial=1.0) > 0 or not natural.size:
        return np.ones(1)
    damping = np.concatenate([np.ravel(mode.damping) for mode in (modes_x, modes_y)])
    close = natural[:, None] * (1 + damping[:, None] * AROUND)
    low, high = natural.min() / 5, 4 * natural.max()
    wide = np.geomspace(low, high, BETWEEN)
    every: Numbers = ordered(np.concatenate([close.ravel(), wide]))
    inside: Numbers = every[(every >= low) & (every <= high)]
    return inside


def resonant_speed(*, frequency: Array, flutes: Array, waves: Array) -> Array:
    """Spindle speed at which the teeth pass in step with a mode: the middle of a pocket.

    Args:
        frequency: fn of the mode [Hz], any shape.
        flutes: z [1], broadcasts.
        waves: whole waves k between two teeth [1], from 1, broadcasts.

    Returns:
        n = fn / (k z) [rev/s].

    References:
        Smith & Tlusty, J. Eng. Ind. 112 (1990).
    """
    return positive(frequency) / (positive(waves) * positive(flutes))


def cantilever_mode(
    *,
    flute_length: Array,
    diameter: Array,
    shank_diameter: Array,
    stickout: Array,
    youngs_modulus: Array,
    density: Array,
) -> tuple[Array, Array, Array]:
    """Estimate the cutter's own first bending mode, as a rod clamped in a rigid holder.

    Args:
        flute_length: of the fluted part, may exceed the stickout [m], any shape.
        diameter: D, cutting [m], broadcasts; the fluted part bends and weighs like a rod of 0.8 D.
        shank_diameter: [m], broadcasts.
        stickout: L, from the holder to the tip [m], broadcasts.
        youngs_modulus: E [Pa], broadcasts.
        density: of the cutter [kg/m^3], broadcasts.

    Returns:
        (frequency [Hz], modal stiffness at the tip [N/m], modal mass at the tip [kg]) of the first mode; for
        a plain rod 0.560 sqrt(E I / (rho A L^4)), a quarter of the mass, 3.09 E I / L^3.

    Validity:
        an estimate only. Holder, spindle and frame are left out; they lower the frequency and give modes of
        their own, so a stability limit from this mode alone is no limit of the machine. The damping has to
        be assumed: 0.01 to 0.05.

    References:
        Rayleigh, The Theory of Sound; Kops & Vo, CIRP Annals 39 (1990) 93, for the fluted diameter.
    """
    inputs = np.broadcast_arrays(flute_length, diameter, shank_diameter, stickout, youngs_modulus, density)
    flutes, across, shank, holder, modulus, weight = (np.asarray(value, dtype=np.float64) for value in inputs)
    known = np.isfinite(sum(inputs)) & (np.minimum.reduce(inputs[1:]) > 0) & (flutes >= 0)
    end = np.where(known, np.minimum(flutes, holder), 0.5)
    rods = _Rods(
        start=np.stack((0 * end, end), axis=-1),
        end=np.stack((end, np.where(known, holder, 1.0)), axis=-1),
        across=np.stack((FLUTED_RATIO * np.where(known, across, 1.0), np.where(known, shank, 1.0)), axis=-1),
    )
    rate, mass = rods.first_mode()
    speed = np.sqrt(positive(modulus) / positive(weight) * rate)
    return (
        only_where(known, speed / TURN),
        only_where(known, modulus * rate * mass),
        only_where(known, weight * mass),
    )


@frozen
class _Rods:
    """A stepped rod, unit modulus and density, clamped at the top; heights from the tip, rods last."""

    start: Numbers
    end: Numbers
    across: Numbers

    def sag(self, one: Numbers, other: Numbers) -> Numbers:
        """Deflection at one height for a unit force at the other [1/m]."""
        total = np.zeros(np.broadcast_shapes(one.shape, other.shape))
        for rod in range(2):
            start, end, across = (side[..., rod, None, None] for side in (self.start, self.end, self.across))
            low = np.maximum(start, np.maximum(one, other))
            high = np.maximum(end, low)
            cubes, squares = (high**3 - low**3) / 3, (high**2 - low**2) / 2
            arms = cubes - (one + other) * squares + one * other * (high - low)
            total = total + arms * 64 / (np.pi * across**4)
        return total

    def first_mode(self) -> tuple[Numbers, Numbers]:
        """Square of the lowest angular frequency [m^-2], and its mass at the tip [m^3], of unit material."""
        half = ((self.end - self.start) / 2)[..., None]
        heights = (self.start[..., None] + half * (1 + NODES)).reshape(*half.shape[:-2], 2 * len(NODES))
        lumps = (np.pi * self.across[..., None] ** 2 / 4 * half * WEIGHTS).reshape(heights.shape)
        roots = np.sqrt(lumps)
        soft = self.sag(heights[..., :, None], heights[..., None, :])
        values, shapes = np.linalg.eigh(roots[..., :, None] * soft * roots[..., None, :])
        tip = self.sag(np.zeros((*heights.shape[:-1], 1, 1)), heights[..., None, :])[..., 0, :]
        rate = 1 / values[..., -1]
        swing = rate * np.sum(tip * roots * shapes[..., -1], axis=-1)
        return rate, 1 / (swing * swing)
