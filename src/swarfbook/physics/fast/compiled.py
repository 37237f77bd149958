"""The peaks of `harmonic`, cut by cut, compiled by numba.

What is compiled stays on disk beside this file, or in numba's folder of the user where that cannot be
written. numba takes a function from there by its name, its types and the age of its own file: options and
what it calls do not count. So all that is compiled stands in this one file, each function compiled one way.
Several threads may be in it at once.
"""

from __future__ import annotations

import math

import numpy as np
from numba import njit

from swarfbook.physics.arrays import Array
from swarfbook.physics.harmonic import Turned
from swarfbook.physics.helical import Cuts
from swarfbook.physics.laws import Harmonics, Turning
from swarfbook.physics.sampling import Numbers

compiled = njit(cache=True, nogil=True, fastmath=True, error_model="numpy")


@compiled
def _unit(angle: float) -> complex:
    return complex(math.cos(angle), math.sin(angle))


@compiled
def _several(teeth: float, cosine: float) -> float:
    # sin(n x) / sin(x) from the cosine of x, tooth by tooth.
    before, found = -1.0, 0.0
    for _ in range(int(teeth)):
        before, found = found, 2 * cosine * found - before
    return found


@compiled
def _moving(
    teeth: float, foremost: float, pitch_angle: float, cosines: tuple[float, float]
) -> tuple[complex, complex]:
    middle = _unit(-(foremost + (teeth - 1) * pitch_angle / 2))
    return _several(teeth, cosines[0]) * middle, _several(teeth, cosines[1]) * (middle * middle)


@compiled
def _passed(angle: float, lead: float, pitch_angle: float) -> float:
    return max(math.ceil((angle - lead) / pitch_angle), 0.0)


@compiled
def _set_knots(knots: Numbers, arc: float, lag: float, pitch_angle: float) -> None:
    span = min(arc + lag, pitch_angle)
    knots[0] = 0.0
    knots[1] = min(arc % pitch_angle, span)
    knots[2] = min(lag % pitch_angle, span)
    knots[3] = min((arc + lag) % pitch_angle, span)
    knots[4] = span
    for last in (2, 1):
        for place in range(1, last + 1):
            if knots[place] > knots[place + 1]:
                knots[place], knots[place + 1] = knots[place + 1], knots[place]


@compiled
def _turn_on(turned: Numbers, step: float) -> None:
    turned[:, 0] = 1.0, 0.0
    turned[:, 1] = math.cos(step), -math.sin(step)
    known, last = 1, turned.shape[1] - 1
    while known < last:
        more = min(known, last - known)
        cosine, sine = turned[0, known], turned[1, known]
        for row in range(1, more + 1):
            turned[0, known + row] = turned[0, row] * cosine - turned[1, row] * sine
            turned[1, known + row] = turned[0, row] * sine + turned[1, row] * cosine
        known += more


@compiled
def _peak(heights: Numbers, highest: float, room: float) -> float:
    inner, last = 0.0, heights.size - 1
    for place in range(1, last):
        inner = max(inner, heights[place])
    highest = max(highest, inner, heights[0], heights[last])
    if inner + room <= highest:
        return highest
    for place in range(1, last):
        before, after = heights[place] - heights[place - 1], heights[place + 1] - heights[place]
        bend, slope = before - after, before + after
        rise = slope * slope / (8 * bend)
        has_top = (bend > 0) & (abs(slope) <= 2 * bend)
        highest = max(highest, heights[place] + rise if has_top else heights[place])
    return highest


@compiled
def _fill_plane(
    heights: Numbers, turned: Numbers, stands: complex, grows: complex, once: complex, twice: complex
) -> None:
    for place in range(turned.shape[1]):
        share, c, s = place / (turned.shape[1] - 1), turned[0, place], turned[1, place]
        c2, s2 = c * c - s * s, 2 * c * s
        x = (
            stands.real
            + grows.real * share
            + once.real * c
            - once.imag * s
            + twice.real * c2
            - twice.imag * s2
        )
        y = (
            stands.imag
            + grows.imag * share
            + once.real * s
            + once.imag * c
            + twice.real * s2
            + twice.imag * c2
        )
        heights[1, place] = math.sqrt(x * x + y * y)
        heights[2, place] = abs(x)
        heights[3, place] = abs(y)


@compiled
def _fill_around(heights: Numbers, turned: Numbers, stands: float, grows: float, ring: complex) -> None:
    for place in range(turned.shape[1]):
        share = place / (turned.shape[1] - 1)
        harmonic = ring.real * turned[0, place] - ring.imag * turned[1, place]
        heights[place] = abs(stands + grows * share + harmonic)


@compiled
def _sums(
    angles: tuple[float, float, float, float],
    ends: tuple[complex, complex],
    cosines: tuple[float, float],
    lead: float,
    width: float,
) -> tuple[float, float, complex, complex, complex, complex]:
    (entry, arc, lag, pitch_angle), (enter, exits) = angles, ends
    middle = lead + width / 2
    tops, not_begun = _passed(arc, middle, pitch_angle), _passed(lag, middle, pitch_angle)
    touching = _passed(arc + lag, middle, pitch_angle)
    bottoms, out = touching - not_begun, touching - tops
    net, behind = tops - bottoms, lag - not_begun * pitch_angle
    first, second = _moving(tops, entry + lead, pitch_angle, cosines)
    bottom_first, bottom_second = _moving(bottoms, entry + (lead - behind), pitch_angle, cosines)
    start = net * lead + bottoms * behind + out * arc
    start += (tops * (tops - 1) - bottoms * (bottoms - 1)) * (pitch_angle / 2)
    still_first = out * (exits - enter) - net * enter
    still_second = out * (exits * exits - enter * enter) - net * (enter * enter)
    return start, net * width, first - bottom_first, second - bottom_second, still_first, still_second


@compiled
def _fill(
    heights: Numbers,
    rooms: Numbers,
    turned: Numbers,
    plane: tuple[complex, complex, complex],
    around: tuple[float, float, float, float],
    sums: tuple[float, float, complex, complex, complex, complex],
) -> None:
    start, growth, first, second, still_first, still_second = sums
    line, once, twice = plane
    stands = line * start + once * still_first + twice * still_second
    _fill_plane(heights, turned, stands, line * growth, once * first, twice * second)
    still, (slope, cosine, lift_slope, lift_cosine) = still_first.real, around
    _fill_around(heights[0], turned, slope * start + cosine * still, slope * growth, cosine * first)
    level = lift_slope * start + lift_cosine * still
    _fill_around(heights[4], turned, level, lift_slope * growth, lift_cosine * first)
    rooms[0], rooms[4] = abs(cosine) * abs(first), abs(lift_cosine) * abs(first)
    rooms[1:4] = abs(once * first) + 4 * abs(twice * second)


@compiled
def _peaks(
    entries: Numbers,
    exits: Numbers,
    lags: Numbers,
    pitches: Numbers,
    plane: Turned,
    around: Numbers,
    samples: int,
    found: Numbers,
) -> None:
    knots = np.empty(5)
    turned = np.empty((2, samples + 1))
    heights, rooms = np.empty((5, samples + 1)), np.empty(5)
    found[:] = 0.0
    for cut in range(entries.size):
        angles = (entries[cut], exits[cut] - entries[cut], lags[cut], pitches[cut])
        ends = (_unit(-entries[cut]), _unit(-exits[cut]))
        cosines = (math.cos(pitches[cut] / 2), math.cos(pitches[cut]))
        law = (plane[0, cut], plane[1, cut], plane[2, cut])
        rest = (around[0, cut], around[1, cut], around[2, cut], around[3, cut])
        _set_knots(knots, angles[1], angles[2], angles[3])
        for stretch in range(4):
            lead, width = knots[stretch], knots[stretch + 1] - knots[stretch]
            if width > 0:
                sums = _sums(angles, ends, cosines, lead, width)
                _turn_on(turned, width / samples)
                _fill(heights, rooms, turned, law, rest, sums)
                bow = (width / samples) ** 2 / 2
                for course in range(5):
                    found[course, cut] = _peak(heights[course], found[course, cut], bow * rooms[course])


def _spread(entries: tuple[Array | Turning, ...], total: int) -> list[Numbers | Turned]:
    """Entries of a law, one number a cut."""
    return [np.broadcast_to(np.ravel(entry), total) for entry in entries]


def peaks(cuts: Cuts, law: Harmonics, *, samples: int) -> Numbers:
    """Find the peaks over a turn, as `harmonic.peaks` does."""
    total = len(cuts.pitch_angle)
    plane = np.array(_spread(law.plane, total), dtype=np.complex128)
    around = np.array(_spread((*law.tangential, *law.lift), total))
    # The compiled code takes every number for finite: what is not is put back here.
    flat, tangential, lift = np.abs(plane).sum(axis=0), around[:2].sum(axis=0), around[2:].sum(axis=0)
    blank = 0 * np.stack((tangential, flat, flat, flat, lift))
    angles = (cuts.entry, cuts.exit, cuts.lag, cuts.pitch_angle)
    entry, leave, lag, pitch_angle = (np.ravel(value) for value in angles)
    found = np.empty((5, total))
    _peaks(entry, leave, lag, pitch_angle, np.nan_to_num(plane), np.nan_to_num(around), samples, found)
    found += blank
    found *= (cuts.axial_depth / cuts.lag)[:, 0]
    return found


def warm_up() -> None:
    """Compile, or load what was compiled before, for the types that `peaks` calls with."""
    one, plane = np.ones(1), np.ones((3, 1), dtype=np.complex128)
    _peaks(0 * one, one, one, one, plane, np.ones((4, 1)), 2, np.ones((5, 1)))
