"""What a list says of a recipe in one line."""

from __future__ import annotations

from swarfbook.decisions.check import Check, Limit

SPEED_MARKS = frozenset({"spindle-speed", "spindle-speed-low", "tool-speed"})
"""Limits that say where the speed stands and nothing of the cut."""


def telling(check: Check) -> Limit:
    """Give the limit a list names: the tightest hard one, speed marks aside as long as they hold.

    Nearly every recipe turns at two thirds of what the spindle can; that would hide how hard it cuts.
    """
    tightest = check.tightest
    if tightest.name not in SPEED_MARKS or tightest.verdict != "holds":
        return tightest
    cuts = (limit for limit in check.limits if limit.severity == "hard" and limit.name not in SPEED_MARKS)
    return max(cuts, key=lambda limit: limit.use or 0.0, default=tightest)
