"""Exit codes of every command."""

from __future__ import annotations

from enum import IntEnum


class Exit(IntEnum):
    """What a command's exit code says."""

    DONE = 0
    OVER = 1
    BAD_INPUT = 2
    INTERRUPTED = 130


SAYS = {
    Exit.DONE: "done, and nothing is over",
    Exit.OVER: "done, but something is over, not reached, or does not fit",
    Exit.BAD_INPUT: "bad input or usage, or something that cannot be read or written: a line each on stderr",
    Exit.INTERRUPTED: "stopped from the keyboard",
}
"""What each code says, for the man page and the documentation."""
