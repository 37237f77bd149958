"""What would do where a hold is tight, over or not judged: tried out by judging it, then put in words."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from swarfbook.decisions.jobs.holding_readings import Reading, best
from swarfbook.decisions.jobs.holds_adhesive import ADHESIVES, LOOSENED
from swarfbook.decisions.jobs.holds_clamping import squeeze
from swarfbook.decisions.jobs.holds_ways import STRESS, WET, Piece, Push, length, newtons
from swarfbook.quantities import show
from swarfbook.records import BookSettings
from swarfbook.records.job import Hold

GROWTH = 1.1
TRIES = 30
DRY = f"{LOOSENED}: cut dry or with air, or hold it with clamps, screws or a vise"
MOST_CLAMPS = 12  # more than a bench has room for
MOST_SCREWS = 24
MOST_TABS = 8
MOST_FORCE = 5.0  # times the squeeze there is, beyond which another clamp is meant


@dataclass(frozen=True, slots=True)
class Wish:
    """Holds that are to bear a step, and the reading that bears it best so far."""

    holds: tuple[Hold, ...]
    reading: Reading
    push: Push
    piece: Piece
    settings: BookSettings

    def use(self, old: Hold, new: Hold) -> float:
        """Use with one hold in another's place; infinite where it is not judged."""
        holds = [new if hold is old else hold for hold in self.holds]
        found = best(holds, self.push, self.piece, self.settings)
        return math.inf if found is None else found.rank


Offer = tuple[Hold, str]
Offers = Callable[[Hold, Wish], Iterator[Offer]]


def remedies(wish: Wish) -> tuple[str, ...]:
    """What would bring the use down to where a hold counts as tight, the cheapest first."""
    if wish.reading.use is None:
        return (DRY,)
    found = [*_wetted(wish)]
    for hold in wish.reading.holds:
        for offers in OFFERS[hold.method]:
            offer = _first_that_does(hold, offers, wish)
            if offer is not None and offer not in found:
                found.append(offer)
    return (*found, _gentler(wish))


def _first_that_does(hold: Hold, offers: Offers, wish: Wish) -> str | None:
    tight, found = wish.settings.thresholds.tight, list(offers(hold, wish))
    # The last offer is the strongest: where it does not do, none does.
    if not found or wish.use(hold, found[-1][0]) > tight:
        return None
    return next((text for new, text in found if wish.use(hold, new) <= tight), None)


def _wetted(wish: Wish) -> Iterator[str]:
    if wish.push.cooling in WET and any(hold.method in ADHESIVES for hold in wish.holds):
        yield DRY


def too_warm(wish: Wish, cool_to: float | None) -> str:
    """How much strength the heat has cost, and the temperature at which there is enough; empty for none."""
    warm = wish.piece.temperature.value
    if cool_to is None or cool_to >= warm:
        return ""
    system = wish.settings.units or "metric"
    now, then = (
        show(math.floor(kelvin - 273.15) + 273.15, "temperature", system=system, figures=2)
        for kelvin in (warm, cool_to)
    )
    way = max(wish.reading.ways, key=lambda one: one.use or 0.0)
    gap = way.demand.value - (way.limit.value if way.limit else 0.0)
    unit = STRESS[1] if system == "metric" else "psi"
    short = (
        f"{show(gap, 'stress', unit=unit, figures=2)} short at {now}: " if gap > 0 else f"tight at {now}: "
    )
    return f"{short}let it cool to {then}"


def _gentler(wish: Wish) -> str:
    """A use grows in proportion to the forces, so what would hold follows from it."""
    share = wish.settings.thresholds.tight / (wish.reading.use or 1.0)
    force, lift = (newtons(asked.value * share, wish.settings) for asked in (wish.push.force, wish.push.lift))
    raised = f" and {lift} of lift" if wish.push.lift.value > 0 else ""
    return f"a step with {force} of side force{raised} would hold as it is"


def _rounded_up(value: float, step: float) -> float:
    return step * math.ceil(value / step - 1e-9)


def _larger(hold: Hold, wish: Wish) -> Iterator[Offer]:
    """A footprint grown both ways to the sides of the piece, in whole 10 mm."""
    piece, words = wish.piece, "vacuum" if hold.method == "vacuum" else "tape"
    long, wide = hold.length or 0.0, (hold.width or 0.0) * (hold.count or 1)
    for step in range(1, TRIES):
        sides = (
            min(_rounded_up(long * GROWTH**step, 0.01), max(piece.length, long)),
            min(_rounded_up(wide * GROWTH**step, 0.01), max(piece.width, wide)),
        )
        if sides == (long, wide):
            continue
        changed = {"length": sides[0], "width": sides[1], "count": None}
        shown = " x ".join(length(side, wish.settings) for side in sides)
        yield hold.replaced(**changed), f"{words} over {shown}"


def _foam(hold: Hold, _wish: Wish) -> Iterator[Offer]:
    yield hold.replaced(method="tape"), "acrylic foam tape in place of the glue"


def _more(most: int, one: str, *, forced: bool = True) -> Offers:
    """More of the same thing."""

    def offers(hold: Hold, wish: Wish) -> Iterator[Offer]:
        force = f" at {newtons(squeeze(hold).value, wish.settings)}" if forced else ""
        for count in range((hold.count or 1) + 1, most + 1):
            yield hold.replaced(count=count), f"{count} {one}{force}"

    return offers


def _harder(one: str) -> Offers:
    """The same things squeezed harder."""

    def offers(hold: Hold, wish: Wish) -> Iterator[Offer]:
        now, count = squeeze(hold).value, hold.count or 1
        for step in range(1, TRIES):
            force = _rounded_up(now * GROWTH**step, 50.0)
            if force > MOST_FORCE * now:
                return
            many = f"{count} {one}s" if count > 1 else f"a {one}"
            text = f"{many} at {newtons(force, wish.settings)}"
            yield hold.replaced(force=force), text

    return offers


def _serrated(hold: Hold, _wish: Wish) -> Iterator[Offer]:
    if hold.jaws != "serrated":
        yield hold.replaced(jaws="serrated"), "serrated jaws, which mark the work"


def _tabs(hold: Hold, wish: Wish) -> Iterator[Offer]:
    """More tabs first, then larger ones, in whole half millimetres."""
    wide, thick = hold.width or 0.0, hold.thickness or 0.0
    for step in range(TRIES):
        sizes = {
            "width": max(_rounded_up(wide * GROWTH**step, 5e-4), wide),
            "thickness": min(max(_rounded_up(thick * GROWTH**step, 5e-4), thick), wish.piece.thickness),
        }
        if step == 0:
            sizes = {"width": wide, "thickness": thick}
        for count in range(hold.count or 1, MOST_TABS + 1):
            shown = [length(size, wish.settings) for size in sizes.values()]
            text = f"{count} tabs {shown[0]} wide and {shown[1]} thick"
            yield hold.replaced(**{"count": count, **sizes}), text


def _thicker(hold: Hold, wish: Wish) -> Iterator[Offer]:
    thick = hold.thickness or 0.0
    for step in range(1, TRIES):
        new = _rounded_up(thick * GROWTH**step, 5e-5)
        if new > wish.piece.thickness:
            return
        yield hold.replaced(thickness=new), f"a floor of {length(new, wish.settings)}"


OFFERS: dict[str, tuple[Offers, ...]] = {
    "tape": (_larger,),
    "glue-tape": (_larger, _foam),
    "vacuum": (_larger,),
    "clamps": (_more(MOST_CLAMPS, "clamps"), _harder("clamp")),
    "side-clamps": (_more(MOST_CLAMPS, "side clamps"), _harder("side clamp"), _serrated),
    "vise": (_harder("vise"), _serrated),
    "screws": (_more(MOST_SCREWS, "screws", forced=False),),
    "tabs": (_tabs,),
    "floor": (_thicker,),
    "friction-fit": (_harder("fit"),),
}
