"""Where a recipe begins to chatter, for people."""

from __future__ import annotations

from swarfbook import quantities
from swarfbook.decisions.case import Case
from swarfbook.decisions.dynamics import Stability

GUESSED = (
    "An estimate from the cutter's own bending alone: holder, spindle and frame are left out and lower it. "
    "Measured modes go to the machine's [tool_tip]."
)
MEASURED = (
    "Zero-order lobes from the measured modes, without process damping. The more one direction is stiffer "
    "than the other, the less of a pocket's depth is really there: come up to it in steps."
)
NARROW = (
    "This cut is narrower than a fifth of the diameter: flip lobes, which these depths leave out, can halve "
    "them at some speeds. Stay below half of them, or try it out."
)


def chatter_lines(case: Case, found: Stability, *, system: str) -> list[str]:
    """Write a heading and paragraphs below it, which begin with blanks.

    Args:
        case: the recipe, resolved.
        found: where it begins to chatter.
        system: units to show, `metric` or `imperial`.
    """
    depth, lowest, best, now = (
        quantities.show(si, "length", system=system)
        for si in (found.depth, found.lowest, found.speed_depth, case["axial_depth"])
    )
    speed = quantities.show(found.speed, "spindle_speed")
    return [
        "Where it would begin to chatter: a guess" if found.estimate else "Where it begins to chatter",
        f"  At this speed the cut is stable to {depth} deep; the recipe is {now} deep.",
        f"  At any speed it is stable to {lowest}.",
        f"  The best speed within a quarter of this one is {speed}: stable to {best}.",
        "",
        f"  {GUESSED if found.estimate else MEASURED}",
        *([f"  {NARROW}"] if found.narrow else []),
    ]
