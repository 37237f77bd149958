"""Exit codes of every command."""

from __future__ import annotations

from enum import IntEnum


class Exit(IntEnum):
    """What a command's exit code says."""

    DONE = 0
    """Done, and nothing is over."""
    OVER = 1
    """Done, but something is over, not reached, or does not fit."""
    BAD_INPUT = 2
    """Bad input or usage: a line for each problem stands on stderr."""
    INTERRUPTED = 130
    """Stopped from the keyboard."""
