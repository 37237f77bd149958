"""How far a real, ringing cut peaks above the quasi-static force."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, not_negative, positive


def dynamic_factor(
    *,
    tooth_passing_frequency: Array,
    dynamic_low_frequency: Array,
    dynamic_high_frequency: Array,
    dynamic_high_factor: Array,
) -> Array:
    """Factor on a quasi-static peak force at a tooth-passing frequency.

    Args:
        tooth_passing_frequency: f_t [Hz], any shape.
        dynamic_low_frequency: where the factor leaves 1 [Hz], broadcasts.
        dynamic_high_frequency: where it reaches `dynamic_high_factor` [Hz], above the low one, broadcasts.
        dynamic_high_factor: factor from there on [1], broadcasts.

    Returns:
        1 up to the low frequency, `dynamic_high_factor` from the high one, a straight line between [1].

    Validity:
        an assumption with a wide band, drawn through two measured slots: within 8 % of the quasi-static
        peak at 27 Hz, 1.6 to 1.9 times it at 200 Hz.
    """
    width = positive(dynamic_high_frequency - dynamic_low_frequency)
    share: Array = np.clip((not_negative(tooth_passing_frequency) - dynamic_low_frequency) / width, 0, 1)
    return 1 + (dynamic_high_factor - 1) * share
