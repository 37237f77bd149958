"""What a hold cannot be judged for: slugs that come loose, and walls and floors that give as metal goes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from swarfbook.quantities import show
from swarfbook.records.job import Feature, Hold

UNDER_A_SLUG = ("tape", "glue-tape", "tabs", "floor")  # vacuum lets go of a slug, clamps never had it
ROUND_A_SLUG = ("slot", "through-cut")
USUAL_FLOOR = 2e-4  # [m] that a knife or a file takes off afterwards
FLOPPY = 0.2  # share of the stiffness under which a wall or floor gives way to the cutter


def slug_warning(
    feature: Feature, operation: str, *, through: bool, holds: Sequence[Hold], core: float = 0.0
) -> str | None:
    """Warn of a closed cut that lets go of what it cuts round.

    Args:
        feature: what is cut.
        operation: the recipe's; one that turns all of a pocket into chips leaves no slug.
        through: the cut goes through the stock.
        holds: of the side it is cut from.
        core: diameter of what is left standing in a bore [m]; 0 where the cutter takes it all.

    Returns:
        what comes loose and what to do; None where nothing does.
    """
    held = any(hold.method in UNDER_A_SLUG for hold in holds)
    if not through or held:
        return None
    if feature.kind == "outside":
        return (
            f"{feature.id} cuts the part free with nothing to hold it: leave tabs, or a floor of "
            f"{show(USUAL_FLOOR, 'length')}, or put tape under it"
        )
    closed = feature.kind in ("pocket", "bore") and (operation in ROUND_A_SLUG or core > 0)
    if not closed:
        return None
    return (
        f"{feature.id} frees a loose slug, which jams the cutter or flies: leave tabs, or a floor of "
        f"{show(USUAL_FLOOR, 'length')}, or put tape under it, or cut it up into chips, or stop before "
        "the last pass and take it out"
    )


@dataclass(frozen=True, slots=True)
class Thinned:
    """Share left of a wall's or floor's stiffness in bending [1], and a warning where it is little."""

    left: float
    warning: str | None


def stiffness_loss(now: float, start: float, *, system: str = "metric") -> Thinned:
    """Stiffness left of a wall or floor that has been cut down from one thickness [m] to another, (t / t0)^3.

    References:
        Statics: the second moment of area of a plate grows with the cube of its thickness.
    """
    left = (now / start) ** 3
    if left >= FLOPPY:
        return Thinned(left, None)
    thin, thick = (show(value, "length", system=system) for value in (now, start))
    # A thin wall keeps a small share: two figures, so that it never reads 0 %.
    return Thinned(
        left,
        f"cut from {thick} down to {thin} it keeps {100 * left:.2g} % of its stiffness: take it in light "
        "passes, from both faces in turn, or leave it thicker until the last pass",
    )
