"""Peaks of cuts whose law is a straight line and two harmonics of the immersion.

Between two leads at which an edge's end meets entry or exit, the sum over all edges is again a straight line
and two harmonics of the lead. So the teeth are summed once a stretch and not once an angle, and the angles of
a stretch, evenly spaced, are powers of one step: no angle takes a sine.

Arrays over stretches have the shape (stretches, cuts), arrays over angles (angles, stretches times cuts). The
lead counts from the start of its stretch here.
"""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from swarfbook.frozen import frozen
from swarfbook.physics.arrays import Array
from swarfbook.physics.helical import Cuts, stretches
from swarfbook.physics.laws import Harmonics, Turning
from swarfbook.physics.sampling import Indices, Numbers

Turned: TypeAlias = NDArray[np.complex128]

LOT = 4096
"""Cuts worked on together: fewer keep threads waiting for each other, more leave the processor's cache."""


@frozen
class Sums:
    """Sums over the ends of all edges, foremost ends counted up and hindmost ones down.

    Attributes:
        width: of the stretch [rad].
        start: of phi, at the start of the stretch [rad].
        growth: by what the sum of phi grows over the stretch [rad].
        first: of exp(-i phi) at the start, of the ends between entry and exit; it turns with the lead.
        second: the same of exp(-2i phi).
        still_first: of exp(-i phi), of what does not turn: ends past the exit, and the entry's value.
        still_second: the same of exp(-2i phi).
    """

    width: Numbers
    start: Numbers
    growth: Numbers
    first: Turned
    second: Turned
    still_first: Turned
    still_second: Turned


class Bench:
    """Room for arrays over angles, laid out once and used lot by lot."""

    def __init__(self, *, samples: int, columns: int) -> None:
        size = (samples + 1) * columns
        self.shares = np.linspace(0, 1, samples + 1)[:, None]
        self._turned = np.empty((3, size), dtype=np.complex128)
        self._numbers = np.empty((3, size))

    def turned(self, columns: int) -> list[Turned]:
        """Give three arrays over angles, complex."""
        size = len(self.shares) * columns
        return [room[:size].reshape(-1, columns) for room in self._turned]

    def numbers(self, columns: int) -> list[Numbers]:
        """Give three arrays over angles."""
        size = len(self.shares) * columns
        return [room[:size].reshape(-1, columns) for room in self._numbers]


def unit(angle: Numbers) -> Turned:
    """Give exp(i angle) of angles [rad], by the tangent of the half: numpy's sine may take ten times that."""
    tangent = np.tan(angle / 2)
    square = tangent * tangent
    length = 1 + square
    turned = np.empty(angle.shape, dtype=np.complex128)
    np.divide(1 - square, length, out=turned.real)
    np.divide(2 * tangent, length, out=turned.imag)
    return turned


def _several(teeth: Numbers, half_pitch: Numbers) -> Numbers:
    """Sum exp(i phi) over evenly pitched teeth, and divide by the value in their middle.

    It is sin(n x) / sin(x) with x half the pitch, found from the cosine of x tooth by tooth.
    """
    most = int(teeth.max(initial=0))
    if most < 2:
        return teeth
    found, before, double = teeth, np.ones_like(half_pitch), 2 * unit(half_pitch).real
    latest = double
    for count in range(2, most + 1):
        found = np.where(teeth == count, latest, found)
        before, latest = latest, double * latest - before
    return found


def _moving(teeth: Numbers, foremost: Numbers, pitch_angle: Numbers) -> tuple[Turned, Turned]:
    """Sum exp(-i phi) and exp(-2i phi) over a number of teeth, the first of which stands at `foremost`."""
    middle = unit(-(foremost + (teeth - 1) * (pitch_angle / 2)))
    return _several(teeth, pitch_angle / 2) * middle, _several(teeth, pitch_angle) * (middle * middle)


def _sums(cuts: Cuts, knots: Numbers) -> Sums:
    """Sum over the edges of n cuts, between knots of shape (stretches + 1, n)."""
    angles = (cuts.entry, cuts.exit, cuts.lag, cuts.pitch_angle)
    entry, leave, lag, pitch_angle = (value[:, 0] for value in angles)
    lead, width, arc = knots[:-1], np.diff(knots, axis=0), leave - entry
    middle = lead + width / 2

    def passed(angle: Numbers) -> Numbers:
        """Count the teeth whose foremost end, past the entry, has not come as far as an angle."""
        return np.maximum(np.ceil((angle - middle) / pitch_angle), 0)

    # Ends in the arc move together; ends past it stand at the exit, ends before it at the entry.
    tops, not_begun, touching = passed(arc), passed(lag), passed(arc + lag)
    bottoms, out = touching - not_begun, touching - tops
    net, behind = tops - bottoms, lag - not_begun * pitch_angle
    top = _moving(tops, entry + lead, pitch_angle)
    bottom = _moving(bottoms, entry + lead - behind, pitch_angle)
    enter, exits = unit(-entry), unit(-leave)
    return Sums(
        width=width,
        start=net * lead
        + bottoms * behind
        + out * arc
        + pitch_angle / 2 * (tops * (tops - 1) - bottoms * (bottoms - 1)),
        growth=net * width,
        first=top[0] - bottom[0],
        second=top[1] - bottom[1],
        still_first=out * (exits - enter) - net * enter,
        still_second=out * (exits * exits - enter * enter) - net * (enter * enter),
    )


def _turn_on(turned: Turned, step: Numbers) -> None:
    """Fill exp(-i angle) of equal steps from nought, each row a product of two before it."""
    turned[0] = 1
    turned[1] = unit(-step)
    known, last = 1, len(turned) - 1
    while known < last:
        more = min(known, last - known)
        np.multiply(turned[1 : more + 1], turned[known], out=turned[known + 1 : known + more + 1])
        known += more


def _highest(heights: Numbers, room: Numbers) -> Numbers:
    """Find the peak of each cut, as `sampling.peak` does, the tops of parabolas only where they can count.

    Args:
        heights: at the angles, shape (angles, stretches times cuts).
        room: by how much a top can stand above the angle it is at, shape (stretches, cuts).

    Returns:
        peaks, shape (cuts,).
    """
    inner = heights[1:-1].max(axis=0)
    tops = np.maximum(inner, np.maximum(heights[0], heights[-1]))
    highest = tops.reshape(room.shape).max(axis=0)
    near = np.flatnonzero(inner.reshape(room.shape) + room > highest)
    tops[near] = np.maximum(tops[near], _parabola_tops(heights.take(near, axis=1)))
    found: Numbers = tops.reshape(room.shape).max(axis=0)
    return found


def _parabola_tops(heights: Numbers) -> Numbers:
    """Highest top of the parabolas through three neighbours, or angle without one, of each column."""
    rise = np.diff(heights, axis=0)
    bend, slope = rise[:-1] - rise[1:], rise[:-1] + rise[1:]
    middle = heights[1:-1]
    has_top = np.flatnonzero((bend > 0) & (np.abs(slope) <= 2 * bend))
    middle.ravel()[has_top] += np.square(slope.ravel()[has_top]) / (8 * bend.ravel()[has_top])
    highest: Numbers = middle.max(axis=0)
    return highest


def _plane_peaks(law: Harmonics, sums: Sums, bench: Bench, turned: Turned, bow: Numbers) -> list[Numbers]:
    """Peaks of the resultant, Fx and Fy [N/m rad]."""
    _, plane, spare = bench.turned(sums.width.size)
    height = bench.numbers(sums.width.size)[0]
    line, first, second = law.plane
    stands = line * sums.start + first * sums.still_first + second * sums.still_second
    once, twice = first * sums.first, second * sums.second
    np.multiply(turned, twice.ravel(), out=plane)
    plane += once.ravel()
    plane *= turned
    np.multiply(bench.shares, (line * sums.growth).ravel(), out=spare)
    spare += stands.ravel()
    plane += spare
    room = bow * (np.abs(once) + 4 * np.abs(twice))
    return [_highest(np.abs(part, out=height), room) for part in (plane, plane.real, plane.imag)]


def _around_peaks(law: Harmonics, sums: Sums, bench: Bench, turned: Turned, bow: Numbers) -> list[Numbers]:
    """Peaks of the tangential force and of the lift [N/m rad]."""
    spare = bench.turned(sums.width.size)[2]
    height, ring, share = bench.numbers(sums.width.size)
    np.multiply(turned, sums.first.ravel(), out=spare)
    np.copyto(ring, spare.real)
    reach = bow * np.abs(sums.first)
    found = []
    for line, cosine in (law.tangential, law.lift):
        np.multiply(bench.shares, (line * sums.growth).ravel(), out=height)
        height += (line * sums.start + cosine * sums.still_first.real).ravel()
        every = np.broadcast_to(cosine, sums.width.shape)
        height += np.multiply(ring, every.ravel(), out=share)
        found.append(_highest(np.abs(height, out=height), reach * np.abs(cosine)))
    return found


def _lot_peaks(law: Harmonics, sums: Sums, bench: Bench, samples: int) -> Numbers:
    step = sums.width / samples
    turned = bench.turned(step.size)[0]
    _turn_on(turned, step.ravel())
    # No parabola's top stands higher above its angle than half the second difference there.
    bow = step * step / 2
    resultant, along, across = _plane_peaks(law, sums, bench, turned, bow)
    tangential, lift = _around_peaks(law, sums, bench, turned, bow)
    return np.stack((tangential, resultant, along, across, lift))


def _lots(cuts: Cuts) -> list[tuple[int, Indices]]:
    """Rows in lots, with their number of stretches: the last one is empty where teeth cut one by one."""
    alone = (cuts.window() <= cuts.pitch_angle)[:, 0]
    groups = ((3, np.flatnonzero(alone)), (4, np.flatnonzero(~alone)))
    return [
        (count, rows[start : start + LOT]) for count, rows in groups for start in range(0, len(rows), LOT)
    ]


def _rows_of(law: Harmonics, rows: Indices) -> Harmonics:
    """Rows of the entries that differ from cut to cut, each as an array of one axis."""

    def picked(entry: Array | Turning) -> Array | Turning:
        return entry[rows, 0] if isinstance(entry, np.ndarray) else entry

    return law.each(picked)


def peaks(cuts: Cuts, law: Harmonics, *, samples: int) -> Numbers:
    """Find the peaks over a turn.

    Args:
        cuts: n cuts.
        law: of the cuts' law, floats or arrays of shape (n, 1).
        samples: equal steps over each smooth stretch of what repeats of a turn [1].

    Returns:
        peaks of tangential force, in-plane resultant, Fx, Fy and Fz [N], shape (5, n).
    """
    total = len(cuts.pitch_angle)
    found = np.empty((5, total))
    bench = Bench(samples=samples, columns=4 * min(LOT, total))
    for count, rows in _lots(cuts):
        part = cuts if len(rows) == total else cuts.pick(rows)
        sums = _sums(part, stretches(part)[:, : count + 1].T)
        found[:, rows] = _lot_peaks(_rows_of(law, rows), sums, bench, samples)
    return found * (cuts.axial_depth / cuts.lag)[:, 0]
