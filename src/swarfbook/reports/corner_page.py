"""What an inside corner or an outside arc does to a recipe, for people."""

from __future__ import annotations

from swarfbook import quantities
from swarfbook.decisions.corner import Corner
from swarfbook.decisions.titles import title


def corner_lines(found: Corner, *, system: str) -> list[str]:
    """Write a heading and, below it, headings and paragraphs; these begin with blanks.

    Args:
        found: the corner, worked out.
        system: units to show, `metric` or `imperial`.
    """
    radius, width = (
        quantities.show(si, "length", system=system) for si in (found.radius, found.radial_width)
    )
    over = ", ".join(title(name) for name in found.over)
    factor = f"{found.feed_factor:.2f} of the feed"
    return [
        f"In an inside corner of radius {radius}"
        if found.inside
        else f"On an outside arc of radius {radius}",
        f"  The cutter is engaged as in a cut {width} wide.",
        f"  Its centre has to run at {factor}, or its edge gains."
        if found.inside
        else f"  Its centre may run at {factor}: at less its edge falls behind.",
        f"  Over there and not on the straight: {over}." if over else "  No hard limit breaks there.",
        "",
        "At the same feed per tooth, over the straight cut",
        *(f"  {title(name):<22}{ratio:>6.2f}" for name, ratio in found.loads.items()),
    ]
