"""What goes in and out of every formula: floats and arrays on one path, nan where there is no meaning."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = float | NDArray[np.float64]
Flags: TypeAlias = bool | NDArray[np.bool_]


def only_where(condition: Flags, value: Array) -> Array:
    """Keep `value` where `condition` holds and put nan elsewhere; a scalar stays a scalar."""
    kept: Array = np.where(condition, value, np.nan)[()]
    return kept


def positive(value: Array) -> Array:
    """Keep what is above zero, nan elsewhere."""
    return only_where(np.greater(value, 0), value)


def not_negative(value: Array) -> Array:
    """Keep what is zero or above, nan elsewhere."""
    return only_where(np.greater_equal(value, 0), value)


def chosen(condition: Flags, value: Array, other: Array) -> Array:
    """Take `value` where `condition` holds and `other` elsewhere; a scalar stays a scalar."""
    picked: Array = np.where(condition, value, other)[()]
    return picked
