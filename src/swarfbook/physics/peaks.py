"""Peaks over a turn of many cuts of square cutters, whichever way their law allows."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.fast import Peaks
from swarfbook.physics.helical import Cuts, forces, stretches
from swarfbook.physics.sampling import Numbers, lots, peak, sampled


def peaks_of(cuts: Cuts, *, samples: int, harmonic_peaks: Peaks) -> Numbers:
    """Find the peaks of tangential force, in-plane resultant, Fx, Fy and Fz [N].

    Args:
        cuts: n cuts.
        samples: equal steps over each smooth stretch of what repeats of a turn [1].
        harmonic_peaks: `harmonic.peaks`, or what gives the same, for a law of harmonics.

    Returns:
        peaks, shape (5, n).
    """
    harmonics = cuts.law.harmonics(cuts.feed_per_tooth)
    if harmonics is not None:
        return harmonic_peaks(cuts, harmonics, samples=samples)
    found = np.empty((5, len(cuts.pitch_angle)))
    for rows in lots(cuts.passes(), ends=8 * samples):
        found[:, rows] = _angle_by_angle(cuts.pick(rows), samples)
    return found


def _angle_by_angle(cuts: Cuts, samples: int) -> Numbers:
    """Peaks from the forces of every edge at every angle."""
    tangential, along, across, lift = forces(cuts, sampled(stretches(cuts), samples=samples))
    courses = (tangential, np.hypot(along, across), along, across, lift)
    return np.stack([peak(course, samples=samples) for course in courses])
