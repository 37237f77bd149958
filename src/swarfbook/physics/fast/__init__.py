"""The peaks of `harmonic` compiled, for calls so large that they pay for loading a compiler.

numba is an optional extra (`fast`). Nothing here loads it but a call of `SETS` sets and more, or the word of
whoever set the environment's `SWARFBOOK_FAST`: 0 for never, 1 for always. Where it is not installed, or does
not compile, numpy's own way serves.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from functools import cache
from typing import TypeAlias

from swarfbook.physics import harmonic
from swarfbook.physics.sampling import Numbers

Peaks: TypeAlias = Callable[..., Numbers]

VARIABLE = "SWARFBOOK_FAST"
SETS = 4_000_000
"""Sets from which on the compiled way is done sooner, loading it counted in: about half a second."""


def peaks_for(sets: int) -> Peaks:
    """Choose between `harmonic.peaks` and the same compiled, for a call of so many sets."""
    asked = os.environ.get(VARIABLE)
    if asked == "0" or (asked != "1" and sets < SETS):
        return harmonic.peaks
    return _compiled() or harmonic.peaks


@cache
def _compiled() -> Peaks | None:
    """Load and try the compiled kernel; None where that fails."""
    try:
        from swarfbook.physics.fast import compiled  # noqa: PLC0415 - it loads numba

        compiled.warm_up()
    except Exception:  # noqa: BLE001 - a compiler fails in its own many ways, and nothing depends on it
        return None
    return compiled.peaks
