"""Tabs and a floor: what holds a part in the stock it has been cut out of.

A stiff part on n tabs spread round it. Side force: the cut works on the outline, so it pushes (F / n) and
twists (F r over n tabs at about r, F / n again): the worst tab bears 2 F / n, in the middle of the part
F / n. Lift: as an even layer, 1, 4 or 7 times Fz / n in the middle, at an edge, at a corner. A force at
height h turns the part over its shorter side w: F h / w on the half of the tabs at one edge. Never more than
all of it.
"""

from __future__ import annotations

from collections.abc import Callable

from swarfbook import tables
from swarfbook.decisions.chance import Uncertain
from swarfbook.decisions.jobs.holds_ways import (
    LIFT_FACTORS,
    STRENGTH,
    Piece,
    Push,
    Way,
    between,
    judged,
    length,
    safety_of,
    scaled,
    through,
)
from swarfbook.physics import tabs
from swarfbook.quantities import show
from swarfbook.records import BookSettings
from swarfbook.records.job import Hold
from swarfbook.tables import Row

CUTOUTS = ("tabs", "floor")
NEAR_SOFTENING = 30.0  # [K] below the point a plastic softens at, from which it is noticeably weaker


def strength_row(material: str, kind: str) -> Row:
    """The row of strengths.csv of a material, `shear` or `tensile`."""
    return tables.load("strengths").get(f"{material}:{kind}")


def strength(material: str, kind: str) -> Uncertain:
    """Strength [Pa] of a material when cool: the middle of the printed ends."""
    row = strength_row(material, kind)
    low, high = (row.needed(f"strength_{end}_n_per_mm2") for end in ("low", "high"))
    return between(low, high, "part-strength", least="part-strength")


def _limit(piece: Piece, kind: str, settings: BookSettings) -> tuple[Uncertain, str, tuple[str, ...]]:
    row, safety = strength_row(piece.material, kind), safety_of(settings)
    assumed = (f"{kind} strength of {piece.material}",) if row.assumed else ()
    limit = scaled(strength(piece.material, kind), 1 / safety)
    return limit, f"{row.id}, strengths.csv, safety factor {safety:g}", assumed


def tab_ways(hold: Hold, push: Push, piece: Piece, settings: BookSettings) -> tuple[Way, ...]:
    """Shear of the worst tab, and its tearing at the root as a beam across the cut.

    How wide the cut is nobody says here: a tab counts as long as it is wide.
    """
    count, wide, thick = hold.count or 1, hold.width or 0.0, hold.thickness or 0.0
    side, up = _worst_tab(count, push, piece)
    size = {"tab_width": wide, "tab_thickness": thick}

    def shear(force: float, lift: float) -> object:
        return tabs.tab_shear_stress(force=side(force), lift=up(force, lift), **size)

    def bending(force: float, lift: float) -> object:
        return tabs.tab_bending_stress(force=side(force), lift=up(force, lift), tab_length=wide, **size)

    words = f"{count} tabs {length(wide, settings)} wide and {length(thick, settings)} thick"
    sheared, place, assumed = _limit(piece, "shear", settings)
    torn, root, guessed = _limit(piece, "tensile", settings)
    asked = (push.force, push.lift)
    return (
        judged("shear", through(shear, *asked), sheared, STRENGTH, f"{words}; {place}", assumed=assumed),
        judged(
            "tear",
            through(bending, *asked),
            torn,
            STRENGTH,
            f"{words}, bent across the cut; {root}",
            assumed=(*guessed, "a tab as long as it is wide"),
        ),
    )


def _worst_tab(
    count: int, push: Push, piece: Piece
) -> tuple[Callable[[float], float], Callable[[float, float], float]]:
    beside = min(1.0, (1.0 if push.place == "middle" else 2.0) / count)
    above = min(1.0, LIFT_FACTORS[push.place] / count)
    turning = min(1.0, 2.0 / count)

    def side(force: float) -> float:
        return beside * force

    def up(force: float, lift: float) -> float:
        turned = tabs.edge_pull(force=force, force_height=push.height, base=piece.short_side)
        return above * lift + turning * float(turned)

    return side, up


def floor_ways(hold: Hold, push: Push, piece: Piece, settings: BookSettings) -> tuple[Way, ...]:
    """Shear of the floor along the outline of the part."""
    thick = hold.thickness or 0.0

    def shear(force: float, lift: float) -> object:
        return tabs.floor_shear_stress(
            force=force,
            lift=lift,
            lift_factor=LIFT_FACTORS[push.place],
            force_height=push.height,
            short_side=piece.short_side,
            long_side=max(piece.length, piece.width),
            floor_thickness=thick,
        )

    limit, place, assumed = _limit(piece, "shear", settings)
    words = f"a floor of {length(thick, settings)} round the part; {place}"
    return (judged("shear", through(shear, push.force, push.lift), limit, STRENGTH, words, assumed=assumed),)


def softening_remarks(piece: Piece, settings: BookSettings) -> tuple[str, ...]:
    """Say that a plastic near the point it softens at holds less than its cool strength."""
    row = tables.load("softening").find(piece.material)
    if row is None:
        return ()
    point, warm = row.needed("temperature_low_degc"), piece.temperature.value
    if warm < point - NEAR_SOFTENING:
        return ()
    system = settings.units or "metric"
    shown = [show(value, "temperature", system=system) for value in (warm, point)]
    return (
        f"at {shown[0]} the material is close to its {row.text('what')} at {shown[1]}: its tabs and floor "
        "hold less than worked out here; let it cool",
    )
