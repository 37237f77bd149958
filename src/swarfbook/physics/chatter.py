"""How deep a cut may be before it chatters: the zero-order solution of milling, and Tlusty's limit.

Both take the tool tip as a sum of modes and ask where the wave left by one tooth and the wave cut by the
next keep each other alive. A chatter frequency fixes the depth at which that happens; the number of whole
waves between two teeth fixes the spindle speeds at which it can.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from swarfbook.frozen import frozen
from swarfbook.physics.arrays import Array, only_where, positive
from swarfbook.physics.laws import CuttingLaw
from swarfbook.physics.modes import Modes, chatter_frequencies
from swarfbook.physics.validity import Range

Numbers = NDArray[np.float64]
Waves = NDArray[np.complex128]

TURN = 2 * np.pi
CHUNK = 1 << 20
"""Numbers worked on together when speeds are held against frequencies."""
STEP = 1e-4
"""Share of a chip by which it is varied to read a law's slope."""
SPEEDS = 240
"""Speeds looked at on the way to the pockets."""
CLOSER = 25
"""Speeds looked at from one of those to the next but one, on the second look; odd, to keep the middle."""

IMMERSION = Range(
    "radial_width / diameter",
    0.2,
    1.0,
    "Altintas & Budak, CIRP Annals 44 (1995): mean directional factors; thinner cuts have flip lobes as well",
)
"""Below it the zero-order solution misses the lobes that thin, interrupted cuts have by period doubling."""
DAMPED_SPEED = Range(
    "tooth_passing_frequency / frequency",
    0.1,
    np.inf,
    "process damping, which is left out here, raises the limit where ten waves or more lie between two teeth",
)


@frozen
class Lobes:
    """Curves of the least unstable depth against speed, a lobe a row; nan where the curve has a gap.

    Attributes:
        spindle_speed: n [rev/s], the inputs' common shape and (lobes, points).
        depth: axial depth above which the cut chatters there [m], the same shape.
        frequency: of the chatter [Hz], the same shape.
    """

    spindle_speed: Array
    depth: Array
    frequency: Array


@frozen
class Pockets:
    """Speeds with more depth than their neighbours, the deepest first; nan where there are fewer.

    Attributes:
        spindle_speed: n [rev/s], the inputs' common shape and (count,).
        depth: stable depth there [m], the same shape.
    """

    spindle_speed: Array
    depth: Array


def regenerative_coefficients(*, law: CuttingLaw, chip_thickness: Array) -> tuple[Array, Array]:
    """Stiffness of a cutting law about a chip: what a ripple of the chip feels.

    Args:
        law: cutting law.
        chip_thickness: h about which the chip ripples, usually the mean [m], any shape; above 0.

    Returns:
        (ktc, radial_ratio): slope of the tangential force per edge length [Pa], and the slope of the radial
        one over it [1]. For a linear law its Ktc and Krc / Ktc; for Kienzle (1 - mc) kc, not kc. An edge
        force is the same at every chip and has no part in it.
    """
    h, step = positive(chip_thickness), STEP * positive(chip_thickness)
    above, below = law.edge_forces(h + step), law.edge_forces(h - step)
    tangential, radial = above[0] - below[0], above[1] - below[1]
    return tangential / (2 * step), radial / tangential


def directional_factors(
    *,
    entry: Array,
    exit: Array,  # noqa: A002
    radial_ratio: Array,
) -> tuple[Array, Array, Array, Array]:
    """Mean over a turn of how a shift of the tool in one direction answers with force in another.

    Args:
        entry: phi_st [rad], any shape.
        exit: phi_ex [rad], broadcasts.
        radial_ratio: Kr = Krc / Ktc [1], broadcasts.

    Returns:
        (alpha_xx, alpha_xy, alpha_yx, alpha_yy) [1], not yet multiplied by z / (2 pi).

    References:
        Altintas & Budak, CIRP Annals 44 (1995) 357; Altintas, Manufacturing Automation, 2nd ed. (2012),
        ch. 4; Schmitz & Smith, Machining Dynamics (2009), p. 133.
    """
    lower, upper = _directions(entry, radial_ratio), _directions(exit, radial_ratio)
    xx, xy, yx, yy = (above - below for above, below in zip(upper, lower, strict=True))
    return xx, xy, yx, yy


def _directions(phi: Array, ratio: Array) -> tuple[Array, Array, Array, Array]:
    """Antiderivatives over the immersion of the four directional factors."""
    sine, cosine = np.sin(2 * phi), np.cos(2 * phi)
    return (
        (cosine - 2 * ratio * phi + ratio * sine) / 2,
        (-sine - 2 * phi + ratio * cosine) / 2,
        (-sine + 2 * phi + ratio * cosine) / 2,
        (-cosine - 2 * ratio * phi - ratio * sine) / 2,
    )


def _same_branch(squares: Waves) -> Waves:
    """Square roots along the last axis, each of the two signs that lies nearer to its neighbour."""
    roots: Waves = np.sqrt(squares)
    turned = np.real(roots[..., 1:] * np.conj(roots[..., :-1])) < 0
    signs = np.cumprod(np.where(turned, -1.0, 1.0), axis=-1)
    roots[..., 1:] *= signs
    return roots


def _eigenvalues(
    factors: tuple[Array, Array, Array, Array], tip_x: Waves, tip_y: Waves
) -> tuple[Waves, Waves]:
    """The two eigenvalues of minus the oriented receptance [m/N], frequencies along the last axis."""
    xx, xy, yx, yy = (np.asarray(factor)[..., None] for factor in factors)
    half_sum = -(xx * tip_x + yy * tip_y) / 2
    product = (xx * yy - xy * yx) * tip_x * tip_y
    apart = _same_branch(half_sum * half_sum - product)
    return half_sum + apart, half_sum - apart


@frozen
class _Border:
    """Where one branch of the solution begins to chatter, frequencies along the last axis.

    Attributes:
        frequency: of the chatter [Hz], shape (frequencies,).
        hardness: depth times flutes times Ktc [N/m], nan where no depth chatters.
        phase: share of a wave by which the next tooth is behind [1], 0 to 1.
    """

    frequency: Numbers
    hardness: Numbers
    phase: Numbers


def _border(frequency: Numbers, value: Waves) -> _Border:
    """Depth and phase of one branch.

    The Lambda of the books is 1 / value: then -2 pi Re(Lambda) (1 + kappa^2) is -2 pi / Re(value), and
    epsilon = pi - 2 arctan(kappa) is the angle below.
    """
    pushing = np.where(value.real < 0, value.real, np.nan)
    phase = (np.pi - 2 * np.arctan2(value.imag, -value.real)) / TURN
    return _Border(frequency, -TURN / pushing, phase)


@frozen
class _Cut:
    """What decides on chatter beside the speed; the numbers broadcast against each other."""

    modes_x: Modes
    modes_y: Modes
    flutes: Array
    entry: Array
    leave: Array
    ktc: Array
    radial_ratio: Array

    def borders(self, frequencies: Numbers | None) -> list[_Border]:
        """The two branches of the border of stability."""
        wanted = (
            chatter_frequencies(modes_x=self.modes_x, modes_y=self.modes_y)
            if frequencies is None
            else frequencies
        )
        factors = directional_factors(entry=self.entry, exit=self.leave, radial_ratio=self.radial_ratio)
        values = _eigenvalues(factors, self.modes_x.receptance(wanted), self.modes_y.receptance(wanted))
        return [_border(wanted, value) for value in values]

    def edge(self) -> Array:
        """Flutes times Ktc [Pa]: what turns a border's hardness into a depth."""
        return positive(self.flutes) * positive(self.ktc)

    def known(self) -> Array:
        """0, or nan where an input has no meaning, of the inputs' common shape."""
        numbers = self.flutes + self.entry + self.leave + self.ktc + self.radial_ratio
        return 0 * numbers + self.modes_x.doubt() + self.modes_y.doubt()

    def with_axes(self, number: int) -> _Cut:
        """The same with axes of length one behind the others, for speeds of its own each."""
        behind = (..., *(None,) * number)
        numbers = (self.flutes, self.entry, self.leave, self.ktc, self.radial_ratio)
        return _Cut(self.modes_x, self.modes_y, *(np.asarray(value)[behind] for value in numbers))


def lowest_stable_depth(
    *,
    modes_x: Modes,
    modes_y: Modes,
    flutes: Array,
    entry: Array,
    exit: Array,  # noqa: A002
    ktc: Array,
    radial_ratio: Array,
    frequencies: Numbers | None = None,
) -> tuple[Array, Array]:
    """Depth that is stable at every spindle speed, and the frequency that chatters just above it.

    Args:
        modes_x: modes of the tool tip along the feed.
        modes_y: modes normal to it.
        flutes: z [1], any shape.
        entry: phi_st [rad], broadcasts.
        exit: phi_ex [rad], broadcasts.
        ktc: tangential slope of the cutting law [Pa], broadcasts.
        radial_ratio: radial slope over tangential [1], broadcasts.
        frequencies: chatter frequencies to look at [Hz], rising, shape (k,); None for
            `modes.chatter_frequencies`.

    Returns:
        (depth [m], frequency [Hz]): the smallest -2 pi / (z Ktc Re mu) over mu, the eigenvalues of minus
        the oriented receptance, which is -2 pi Re(Lambda) (1 + kappa^2) / (z Ktc) of the books with
        Lambda = 1 / mu. Where nothing chatters the depth is infinite and the frequency nan.

    Validity:
        `IMMERSION`; evenly pitched teeth, modes that do not couple x with y, and measured ones: from a
        guessed mode only a lower bound or a comparison is worth having.

    References:
        Altintas & Budak, CIRP Annals 44 (1995) 357.
    """
    cut = _Cut(modes_x, modes_y, flutes, entry, exit, ktc, radial_ratio)
    borders = cut.borders(frequencies)
    hardness = np.concatenate([border.hardness for border in borders], axis=-1)
    reached = np.where(np.isnan(hardness), np.inf, hardness)
    where = reached.argmin(axis=-1)
    depth = reached.min(axis=-1) / cut.edge() + cut.known()
    frequency = np.concatenate([border.frequency for border in borders])[where]
    return depth[()], only_where(np.isfinite(depth), frequency)


def _lowest_between(border: _Border, left: slice, right: slice, waves: Numbers) -> Numbers:
    """Least hardness at which a whole number of waves fits, between neighbouring frequencies."""
    before = border.frequency[left] * waves - border.phase[..., left]
    after = border.frequency[right] * waves - border.phase[..., right]
    first = np.maximum(np.ceil(np.minimum(before, after)), 0.0)
    last = np.floor(np.maximum(before, after))
    start = border.hardness[..., left]
    slope = (border.hardness[..., right] - start) / np.where(after == before, 1.0, after - before)
    low = start + np.minimum((first - before) * slope, (last - before) * slope)
    least: Numbers = np.fmin.reduce(np.where(first <= last, low, np.nan), axis=-1, initial=np.inf)
    return least


def _stretches(cells: int, points: int) -> Iterator[tuple[slice, slice]]:
    """Lots of neighbouring frequencies that keep the work in bounds: (left ends, right ends)."""
    size = max(1, CHUNK // max(points, 1))
    for start in range(0, cells, size):
        end = min(start + size, cells)
        yield slice(start, end), slice(start + 1, end + 1)


def stable_depth(
    *,
    spindle_speed: Array,
    modes_x: Modes,
    modes_y: Modes,
    flutes: Array,
    entry: Array,
    exit: Array,  # noqa: A002
    ktc: Array,
    radial_ratio: Array,
    frequencies: Numbers | None = None,
) -> Array:
    """Depth at which a cut begins to chatter at a spindle speed: the lowest of all lobes there.

    Args:
        spindle_speed: n [rev/s], any shape.
        modes_x: modes of the tool tip along the feed.
        modes_y: modes normal to it.
        flutes: z [1], broadcasts.
        entry: phi_st [rad], broadcasts.
        exit: phi_ex [rad], broadcasts.
        ktc: tangential slope of the cutting law [Pa], broadcasts.
        radial_ratio: radial slope over tangential [1], broadcasts.
        frequencies: chatter frequencies to look at [Hz], rising, shape (k,); None for
            `modes.chatter_frequencies`.

    Returns:
        depth [m]: a chatter frequency f belongs to the speeds with f / (z n) = k + epsilon / (2 pi) for a
        whole number k of waves, epsilon = pi - 2 arctan(kappa). Infinite where no lobe reaches the speed.

    Validity:
        as `lowest_stable_depth`; at low speed real cuts bear more (`DAMPED_SPEED`).

    References:
        Altintas & Budak, CIRP Annals 44 (1995) 357.
    """
    return _stable(_Cut(modes_x, modes_y, flutes, entry, exit, ktc, radial_ratio), spindle_speed, frequencies)


def _stable(cut: _Cut, speeds: Array, frequencies: Numbers | None = None) -> Array:
    """Least depth of all lobes at the speeds."""
    known = cut.known() + 0 * positive(speeds)
    waves = np.asarray(1 / (positive(cut.flutes) * positive(speeds)) + known)[..., None]
    lowest = np.full(np.shape(known), np.inf)
    for border in cut.borders(frequencies):
        for left, right in _stretches(len(border.frequency) - 1, np.size(known)):
            lowest = np.minimum(lowest, _lowest_between(border, left, right, waves))
    depth: Array = (lowest / cut.edge() + known)[()]
    return depth


def lobes(
    *,
    modes_x: Modes,
    modes_y: Modes,
    flutes: Array,
    entry: Array,
    exit: Array,  # noqa: A002
    ktc: Array,
    radial_ratio: Array,
    count: int,
    frequencies: Numbers | None = None,
) -> Lobes:
    """Curves of depth against spindle speed, for a picture: both branches of each lobe, a gap between.

    Args:
        modes_x: modes of the tool tip along the feed.
        modes_y: modes normal to it.
        flutes: z [1], any shape.
        entry: phi_st [rad], broadcasts.
        exit: phi_ex [rad], broadcasts.
        ktc: tangential slope of the cutting law [Pa], broadcasts.
        radial_ratio: radial slope over tangential [1], broadcasts.
        count: how many lobes, from the fastest one (no whole wave between two teeth) down [1].
        frequencies: chatter frequencies to look at [Hz], rising, shape (k,); None for
            `modes.chatter_frequencies`.

    Returns:
        `Lobes`, each entry of the common shape and (count, 2 k + 2).

    Validity:
        as `stable_depth`.

    References:
        Altintas & Budak, CIRP Annals 44 (1995) 357.
    """
    cut = _Cut(modes_x, modes_y, flutes, entry, exit, ktc, radial_ratio)
    borders = cut.borders(frequencies)
    frequency, hardness, phase = (
        np.concatenate([_with_gap(getattr(border, name)) for border in borders], axis=-1)[..., None, :]
        for name in ("frequency", "hardness", "phase")
    )
    row = cut.with_axes(2)
    speed = frequency / (positive(row.flutes) * (np.arange(count)[:, None] + phase)) + row.known()
    depth = hardness / row.edge() + 0 * speed
    return Lobes(*(only_where(np.isfinite(depth), curve + 0 * depth) for curve in (speed, depth, frequency)))


def _with_gap(curve: Numbers) -> Numbers:
    """A curve with nan after its end, so that the next one is not joined to it."""
    return np.concatenate((curve, np.full((*curve.shape[:-1], 1), np.nan)), axis=-1)


def best_speeds(
    *,
    spindle_speed: Array,
    search_share: Array,
    modes_x: Modes,
    modes_y: Modes,
    flutes: Array,
    entry: Array,
    exit: Array,  # noqa: A002
    ktc: Array,
    radial_ratio: Array,
    count: int,
) -> Pockets:
    """Spindle speeds near the present one that bear the deepest cuts.

    Args:
        spindle_speed: n at present [rev/s], any shape.
        search_share: share of it to look at on either side [1], below 1, broadcasts.
        modes_x: modes of the tool tip along the feed.
        modes_y: modes normal to it.
        flutes: z [1], broadcasts.
        entry: phi_st [rad], broadcasts.
        exit: phi_ex [rad], broadcasts.
        ktc: tangential slope of the cutting law [Pa], broadcasts.
        radial_ratio: radial slope over tangential [1], broadcasts.
        count: how many pockets [1].

    Returns:
        `Pockets`, each entry of the common shape and (count,): tops of `stable_depth` within that share, its
        two ends among them. A pocket is narrow: hold the depth a little off its top.

    Validity:
        as `stable_depth`.
    """
    cut = _Cut(modes_x, modes_y, flutes, entry, exit, ktc, radial_ratio)
    centre, share = np.broadcast_arrays(spindle_speed + cut.known(), search_share)
    low, high = (centre * (1 - share))[..., None], (centre * (1 + share))[..., None]
    grid = low + (high - low) * np.linspace(0, 1, SPEEDS)
    rough, found = _tops(grid, np.asarray(_stable(cut.with_axes(1), grid)), count)
    step = (high - low) / (SPEEDS - 1) * np.linspace(-1, 1, CLOSER)
    close = np.clip(rough[..., None] + step[..., None, :], low[..., None], high[..., None])
    depths = np.asarray(_stable(cut.with_axes(2), close))
    where = depths.argmax(axis=-1)[..., None]
    best = (np.take_along_axis(values, where, -1)[..., 0] for values in (close, depths))
    return Pockets(*(only_where(found, values) for values in best))


def _tops(speeds: Numbers, depths: Numbers, count: int) -> tuple[Numbers, NDArray[np.bool_]]:
    """The deepest local tops: their speeds, and which of them there are; shape (..., count)."""
    beyond = np.full((*depths.shape[:-1], 1), -np.inf)
    padded = np.concatenate((beyond, depths, beyond), axis=-1)
    top = (depths > padded[..., :-2]) & (depths >= padded[..., 2:])
    height = np.where(top, depths, -np.inf)
    order = np.argsort(-height, axis=-1, kind="stable")[..., :count]
    return np.take_along_axis(speeds, order, -1), np.take_along_axis(height, order, -1) > -np.inf
