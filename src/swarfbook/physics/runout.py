"""What a cutter that runs out does to the chips of its teeth, and to the force."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from swarfbook.physics.arrays import Array, Flags, chosen, not_negative, only_where
from swarfbook.physics.engagement import immersion
from swarfbook.physics.helical import Cuts, arc_cuts, column, stretches
from swarfbook.physics.laws import CuttingLaw
from swarfbook.physics.sampling import Numbers, distinct, lots, peak, sampled
from swarfbook.physics.turn import loads

PHASES = 12
"""Places of the eccentricity over one pitch that the force is looked at."""
COUNTED_PHASES = 48
"""The same where only teeth are counted."""
CELLS = 96
"""Cells of the arc of contact, with one force each."""
SAMPLES = 8
"""Equal steps over each smooth stretch of a turn."""
ROUNDING = 1e-9
"""Share of the chip below which a tooth counts as clear."""


def chip_thickness_runout(*, chip_thickness_max: Array, runout: Array, flutes: Array) -> Array:
    """Thickest chip of the tooth that stands out furthest.

    Args:
        chip_thickness_max: hmax without run-out [m], any shape.
        runout: total indicator reading, twice the radial offset rho [m], broadcasts.
        flutes: z [1], broadcasts.

    Returns:
        h = hmax + 2 rho sin(pi/z), at most z hmax, where one tooth does all the cutting [m]. A cutter
        with one flute sees nothing of it.

    References:
        Kline & DeVor, Int. J. Mach. Tool Des. Res. 23 (1983): h_i = fz sin(phi) + r_i - r_(i-1).
    """
    teeth = only_where(np.greater_equal(flutes, 1), flutes)
    thickest = not_negative(chip_thickness_max)
    excess: Array = np.minimum(not_negative(runout) * np.sin(np.pi / teeth), (teeth - 1) * thickest)
    return thickest + excess


def chip_thickness_thinnest(*, chip_thickness_max: Array, runout: Array, flutes: Array) -> Array:
    """Thickest chip of the tooth that stands back furthest behind the one before it.

    Args:
        chip_thickness_max: hmax without run-out [m], any shape.
        runout: total indicator reading [m], broadcasts.
        flutes: z [1], broadcasts.

    Returns:
        h = hmax - 2 rho sin(pi/z), 0 where that tooth does not cut at all [m], at the worst place of the
        eccentricity between the teeth. A cutter with one flute sees nothing of it.

    References:
        Kline & DeVor, Int. J. Mach. Tool Des. Res. 23 (1983).
    """
    teeth = only_where(np.greater_equal(flutes, 1), flutes)
    lacking: Array = np.minimum(teeth - 1, 1) * not_negative(runout) * np.sin(np.pi / teeth)
    thinnest: Array = np.maximum(not_negative(chip_thickness_max) - lacking, 0)
    return thinnest


def runout_that_idles_a_tooth(*, chip_thickness_max: Array, flutes: Array) -> Array:
    """Total indicator reading from which on a tooth may not cut.

    Args:
        chip_thickness_max: hmax without run-out [m], any shape.
        flutes: z [1], broadcasts.

    Returns:
        hmax / sin(pi/z) [m]; infinite for one flute.
    """
    teeth = only_where(np.greater_equal(flutes, 1), flutes)
    several = np.greater(teeth, 1)
    share = chosen(several, np.sin(np.pi / teeth), 1.0)
    return chosen(several, not_negative(chip_thickness_max) / share, np.inf + 0 * (teeth + share))


def teeth_cutting(*, chip_thickness_max: Array, runout: Array, flutes: Array) -> Array:
    """How many teeth still cut, at the worst place of the eccentricity between the teeth.

    A tooth that does not cut leaves its chip to the next: each tooth meets the surface that the one before
    it left, or an earlier one that stood out further.

    Args:
        chip_thickness_max: hmax without run-out [m], any shape.
        runout: total indicator reading [m], broadcasts.
        flutes: z, a whole number [1], broadcasts.

    Returns:
        the number [1], from 1 to z; nan for an input without meaning, or no whole number of teeth.

    References:
        Kline & DeVor, Int. J. Mach. Tool Des. Res. 23 (1983).
    """
    shape = np.broadcast_shapes(*(np.shape(value) for value in (chip_thickness_max, runout, flutes)))
    chip, reading, teeth = (column(value, shape) for value in (chip_thickness_max, runout, flutes))
    known = np.isfinite(chip) & (chip > 0) & np.isfinite(reading) & (reading >= 0) & _whole(teeth)
    found = np.full(len(teeth), np.nan)
    for count in distinct(teeth[known]):
        rows = np.flatnonzero(known & (teeth == count))
        offsets = _offsets(reading[rows] / 2, count, COUNTED_PHASES)
        cut = _chips(chip[rows], offsets)[..., 0] > ROUNDING * chip[rows, :, None]
        found[rows] = cut.sum(axis=2).min(axis=1)
    number: Array = found.reshape(shape)[()]
    return number


def force_growth_runout(
    *,
    law: CuttingLaw,
    diameter: Array,
    flutes: Array,
    helix: Array,
    axial_depth: Array,
    radial_width: Array,
    feed_per_tooth: Array,
    climb: Flags,
    runout: Array,
) -> Array:
    """By what the largest in-plane force of a side cut grows when the cutter runs out.

    Each tooth has its own chip, h = fz sin(phi) + r_i - r_(i-1), or what earlier teeth that stood out
    further left it; the forces of all teeth in the stock are summed as they are. The place of the
    eccentricity between the teeth is not known, so the worst of several counts.

    Args:
        law: cutting law, coefficients floats or arrays that broadcast with the rest.
        diameter: D [m], any shape.
        flutes: z, a whole number [1], broadcasts.
        helix: beta [rad], broadcasts.
        axial_depth: ap [m], broadcasts.
        radial_width: ae [m], broadcasts.
        feed_per_tooth: fz [m], broadcasts.
        climb: True for climb milling, broadcasts.
        runout: total indicator reading, the same at every height [m], broadcasts.

    Returns:
        the force with run-out over the one without [1]; 1 for one flute, for no run-out and where there is
        no force; nan for an input without meaning. On a shaped cutter the chip at every height grows in
        the same proportion, so that the factor of a square one of its diameter serves.

    References:
        Kline & DeVor, Int. J. Mach. Tool Des. Res. 23 (1983).
    """
    entry, leave = immersion(radial_width=radial_width, diameter=diameter, climb=climb)
    cuts, shape = arc_cuts(
        law=law,
        diameter=diameter + np.zeros(np.shape(runout)),
        flutes=flutes,
        helix=helix,
        axial_depth=axial_depth,
        feed_per_tooth=feed_per_tooth,
        entry=entry,
        exit=leave,
    )
    reading, teeth = column(runout, shape), column(flutes, shape)
    known = np.isfinite(cuts.axial_depth) & np.isfinite(reading) & (reading >= 0) & _whole(teeth)
    found = np.where(known, 1.0, np.nan)[:, 0]
    uneven = known & (teeth > 1) & (reading > 0)
    for count in distinct(teeth[uneven]):
        rows = np.flatnonzero(uneven & (teeth == count))
        for lot in lots(cuts.passes()[rows], ends=4 * SAMPLES * PHASES * count):
            part = rows[lot]
            found[part] = _growth(cuts.pick(part), _offsets(reading[part] / 2, count, PHASES))
    growth: Array = found.reshape(shape)[()]
    return growth


def force_peak_runout(
    *,
    law: CuttingLaw,
    diameter: Array,
    flutes: Array,
    helix: Array,
    axial_depth: Array,
    radial_width: Array,
    feed_per_tooth: Array,
    climb: Flags,
    runout: Array,
) -> Array:
    """Largest in-plane force of a side cut with a square cutter that runs out.

    Args:
        law: cutting law, coefficients floats or arrays that broadcast with the rest.
        diameter: D [m], any shape.
        flutes: z, a whole number [1], broadcasts.
        helix: beta [rad], broadcasts.
        axial_depth: ap [m], broadcasts.
        radial_width: ae [m], broadcasts.
        feed_per_tooth: fz [m], broadcasts.
        climb: True for climb milling, broadcasts.
        runout: total indicator reading, the same at every height [m], broadcasts.

    Returns:
        `turn.loads` force_peak times `force_growth_runout` [N].

    References:
        Kline & DeVor, Int. J. Mach. Tool Des. Res. 23 (1983).
    """
    cut: dict[str, Any] = {
        "law": law,
        "diameter": diameter,
        "flutes": flutes,
        "helix": helix,
        "axial_depth": axial_depth,
        "radial_width": radial_width,
        "feed_per_tooth": feed_per_tooth,
        "climb": climb,
    }
    return loads(**cut).force_peak * force_growth_runout(**cut, runout=runout)


def _whole(teeth: Numbers) -> NDArray[np.bool_]:
    """Whether a number of teeth is one."""
    whole: NDArray[np.bool_] = (teeth >= 1) & (teeth == np.round(teeth))
    return whole


def _offsets(eccentricity: Numbers, teeth: int, phases: int) -> Numbers:
    """How far each tooth stands out, at phases of the eccentricity over one pitch.

    Args:
        eccentricity: rho [m], shape (n, 1).
        teeth: z.
        phases: equal steps; at the first of them one tooth stands out most against the one before it.

    Returns:
        r_i [m], shape (n, phases, z).
    """
    pitch_angle = 2 * np.pi / teeth
    turned = (pitch_angle - np.pi) / 2 + pitch_angle * np.arange(phases)[:, None] / phases
    return eccentricity[:, :, None] * np.cos(turned + pitch_angle * np.arange(teeth))


def _chips(even: Numbers, offsets: Numbers) -> Numbers:
    """Chip of each tooth.

    Args:
        even: chip without run-out at some immersions [m], shape (n, k).
        offsets: r_i [m], shape (n, phases, z).

    Returns:
        the least of m h + r_i - r_(i-m) over the teeth before, 0 where a tooth is clear of the surface they
        left [m]; shape (n, phases, z, k).
    """
    teeth = offsets.shape[2]
    share = even[:, None, None, :]
    chips = teeth * share + 0 * offsets[..., None]
    for before in range(1, teeth):
        ahead = offsets - np.roll(offsets, before, axis=2)
        chips = np.minimum(chips, before * share + ahead[..., None])
    cut: Numbers = np.maximum(chips, 0)
    return cut


def _growth(cuts: Cuts, offsets: Numbers) -> Numbers:
    """Peak force at the worst phase over the one without run-out, shape (n,).

    The force per lag of each tooth is tabled over the arc and summed up once, so that a helical edge is a
    difference of two places in the table.
    """
    offsets = np.concatenate((offsets, 0 * offsets[:, :1]), axis=1)
    along, across = _in_plane(cuts, offsets, sampled(stretches(cuts), samples=SAMPLES))
    peaks = peak(np.hypot(along, across), samples=SAMPLES).max(axis=2)
    worst, without = peaks[:, :-1].max(axis=1), peaks[:, -1]
    return np.where(without > 0, worst / np.where(without > 0, without, 1.0), 1.0)


def _in_plane(cuts: Cuts, offsets: Numbers, leads: Numbers) -> tuple[Numbers, Numbers]:
    """Force along the feed and normal to it, up to a factor of each cut; see `_summed` for the shape."""
    arc = cuts.exit - cuts.entry
    phi = cuts.entry + arc * (np.arange(CELLS) + 0.5) / CELLS
    chips = _chips(cuts.feed_per_tooth * np.sin(phi), offsets)
    law = cuts.law.each(lambda c: c[..., None, None] if isinstance(c, np.ndarray) else c)
    tangential, radial, _ = (np.where(chips > 0, force, 0.0) for force in law.edge_forces(chips))
    sine, cosine = np.sin(phi)[:, None, None], np.cos(phi)[:, None, None]
    along = _summed(-tangential * cosine - radial * sine, cuts, leads)
    return along, _summed(tangential * sine - radial * cosine, cuts, leads)


def turn_runout(*, cuts: Cuts, runout: float, flutes: int, leads: Numbers) -> tuple[Numbers, Numbers]:
    """Forces over a whole turn of a square cutter that runs out.

    Args:
        cuts: one cut.
        runout: total indicator reading, the same at every height [m].
        flutes: z [1].
        leads: how far the foremost end of the hindmost edge in the stock stands past the entry [rad], in
            order from 0 to one pitch, shape (1, k).

    Returns:
        (Fx, Fy) with the eccentricity at the worst place between the teeth, the hindmost edge's leads one
        tooth after the other [N], each of shape (z k,). The arc of contact is in `CELLS` cells.

    References:
        Kline & DeVor, Int. J. Mach. Tool Des. Res. 23 (1983).
    """
    offsets = _offsets(np.array([[runout / 2]]), flutes, PHASES)
    along, across = _in_plane(cuts, offsets, leads)
    worst = int(np.hypot(along, across).max(axis=(2, 3)).argmax())
    scale = (cuts.axial_depth / cuts.lag * (cuts.exit - cuts.entry) / CELLS)[0, 0]
    return along[0, worst].ravel() * scale, across[0, worst].ravel() * scale


def _summed(force: Numbers, cuts: Cuts, leads: Numbers) -> Numbers:
    """Sum over the teeth in the stock of a force that is tabled over the arc.

    Args:
        force: per edge length of each tooth in each cell of the arc, shape (n, phases, z, cells).
        cuts: n cuts.
        leads: of the foremost end past the entry, shape (n, angles).

    Returns:
        the sum up to a factor of each cut, with each tooth in turn as the hindmost one, shape
        (n, phases, z, angles).
    """
    running = np.concatenate((0 * force[..., :1], np.cumsum(force, axis=3)), axis=3)
    total = np.zeros((*force.shape[:3], leads.shape[1]))
    for ahead in range(int(cuts.passes().max(initial=1))):
        front = leads + ahead * cuts.pitch_angle
        edge = _looked_up(running, front, cuts) - _looked_up(running, front - cuts.lag, cuts)
        total += np.roll(edge, ahead, axis=2)
    return total


def _looked_up(running: Numbers, past_entry: Numbers, cuts: Cuts) -> Numbers:
    """Running sums at angles past the entry, evenly between the bounds of cells."""
    place = np.clip(past_entry / (cuts.exit - cuts.entry), 0, 1) * CELLS
    cell = np.minimum(place.astype(np.intp), CELLS - 1)
    within, cell = (place - cell)[:, None, None], cell[:, None, None]
    below = np.take_along_axis(running, cell, axis=3)
    return below + within * (np.take_along_axis(running, cell + 1, axis=3) - below)
