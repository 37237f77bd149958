"""Whether what holds a piece stands the peak force and lift of a step, as warm as it gets."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from swarfbook.decisions.chance import Uncertain
from swarfbook.decisions.check import Verdict
from swarfbook.decisions.jobs import holding_remedies, holds_adhesive, holds_cutout, holds_pressing
from swarfbook.decisions.jobs.holding_readings import Reading, best
from swarfbook.decisions.jobs.holding_words import slug_warning, stiffness_loss
from swarfbook.decisions.jobs.holds_ways import WET, Piece, Push, Way
from swarfbook.records import BookSettings
from swarfbook.records.job import Hold

__all__ = [
    "Holding",
    "Piece",
    "Push",
    "Way",
    "judge",
    "limit_temperature",
    "slug_warning",
    "stiffness_loss",
    "strength_at",
]
HALVINGS = 30
ONE_OR_THE_OTHER = (
    "tape and what grips the work do not slip together: the stiffer of the two carries the force until it "
    "gives, so the stronger one ({methods}) is judged alone"
)


@dataclass(frozen=True, slots=True)
class Holding:
    """What is known of a hold under one step.

    Attributes:
        ways: how it can give, the tightest first and those not judged last.
        use: share of the tightest limit used; None where not judged.
        verdict: holds, tight, over or not judged.
        weakest: the tightest way; None where nothing is judged.
        remedies: what would do, a sentence each; none where it holds.
        too_warm: what the heat has cost, and how cool it has to be; empty where that is not it.
        remarks: what the judgement leaves out or takes for granted, a sentence each.
    """

    ways: tuple[Way, ...]
    use: float | None
    verdict: Verdict
    weakest: Way | None
    remedies: tuple[str, ...]
    remarks: tuple[str, ...] = ()
    too_warm: str = ""


def judge(holds: Sequence[Hold], push: Push, piece: Piece, settings: BookSettings) -> Holding:
    """Judge the holds of one side under one step, by the reading that bears it best."""
    found = best(holds, push, piece, settings)
    if found is None:
        return Holding((), None, "not judged", None, (_nothing(holds),))
    ways = tuple(sorted(found.ways, key=lambda way: math.inf if way.use is None else -way.use))
    verdict = _verdict(found.use, settings)
    remedies, too_warm = ((), "") if verdict == "holds" else _helps(holds, found, push, piece, settings)
    weakest = ways[0] if ways[0].use is not None else None
    remarks = _remarks(holds, found, piece, settings)
    return Holding(ways, found.use, verdict, weakest, remedies, remarks, too_warm)


def _nothing(holds: Sequence[Hold]) -> str:
    if holds:
        return "tabs and a floor hold a part in its stock: say what holds the stock"
    return "say what holds the piece on this side"


def _verdict(use: float | None, settings: BookSettings) -> Verdict:
    if use is None:
        return "not judged"
    if use > 1.0:
        return "over"
    return "tight" if use > settings.thresholds.tight else "holds"


def _helps(
    holds: Sequence[Hold], found: Reading, push: Push, piece: Piece, settings: BookSettings
) -> tuple[tuple[str, ...], str]:
    wish = holding_remedies.Wish(tuple(holds), found, push, piece, settings)
    cool_to = _temperature_at(settings.thresholds.tight, found.holds, push, piece, settings)
    return holding_remedies.remedies(wish), holding_remedies.too_warm(wish, cool_to)


def _remarks(holds: Sequence[Hold], found: Reading, piece: Piece, settings: BookSettings) -> tuple[str, ...]:
    remarks: list[str] = []
    kinds = {hold.method in holds_adhesive.ADHESIVES for hold in holds if _counts(hold, piece)}
    if len(kinds) > 1:
        methods = " and ".join(dict.fromkeys(hold.method for hold in found.holds))
        remarks.append(ONE_OR_THE_OTHER.format(methods=methods))
    if any(hold.method in holds_cutout.CUTOUTS for hold in found.holds):
        remarks.extend(holds_cutout.softening_remarks(piece, settings))
    for hold in found.holds:
        if hold.method == "vacuum":
            remarks.extend(holds_pressing.vacuum_remarks(hold, piece, settings))
    return tuple(remarks)


def _counts(hold: Hold, piece: Piece) -> bool:
    return piece.free or hold.method not in holds_cutout.CUTOUTS


def strength_at(hold: Hold, temperature: Uncertain, piece: Piece) -> Uncertain | None:
    """Stress a hold bears at a temperature [K]: working strength of tape and glue, shear strength of tabs.

    Returns:
        [Pa]; None for what holds by force, whose strength is none of the temperature's business.
    """
    if hold.method in holds_adhesive.ADHESIVES:
        return holds_adhesive.strength(hold.method, temperature)
    if hold.method in holds_cutout.CUTOUTS:
        return holds_cutout.strength(piece.material, "shear")
    return None


def limit_temperature(
    holds: Sequence[Hold], push: Push, piece: Piece, settings: BookSettings
) -> float | None:
    """Temperature at the hold at which the step would use all of it [K], for tape and glue.

    Returns:
        [K]; None when the use never reaches 1, is over however cool it is, or is no matter of temperature.
    """
    return _temperature_at(1.0, holds, push, piece, settings)


def _temperature_at(
    share: float, holds: Sequence[Hold], push: Push, piece: Piece, settings: BookSettings
) -> float | None:
    methods = [hold.method for hold in holds if hold.method in holds_adhesive.ADHESIVES]
    if not methods or push.cooling in WET:
        return None

    def use(kelvin: float) -> float:
        at = replace(piece, temperature=Uncertain(kelvin))
        found = best(holds, push, at, settings)
        return math.inf if found is None else found.rank

    cool, warm = holds_adhesive.span(methods)
    if not use(cool) < share <= use(warm):
        return None
    for _ in range(HALVINGS):
        middle = (cool + warm) / 2
        cool, warm = (middle, warm) if use(middle) < share else (cool, middle)
    return cool
