"""Screws, vacuum and a nest the part is pushed into: what holds down or round about without clamps."""

from __future__ import annotations

from swarfbook import tables
from swarfbook.decisions.chance import Uncertain
from swarfbook.decisions.inputs import spread
from swarfbook.decisions.jobs.holds_adhesive import footprint
from swarfbook.decisions.jobs.holds_clamping import anchor_load, face_friction, pressed_ways
from swarfbook.decisions.jobs.holds_ways import (
    FORCE,
    STRESS,
    WET,
    WOODS,
    Piece,
    Push,
    Way,
    judged,
    length,
    newtons,
    safety_of,
    scaled,
    through,
    walled,
)
from swarfbook.quantities import show
from swarfbook.records import BookSettings
from swarfbook.records.job import Hold

CLAMPED_SHARE = 0.5  # of a screw's withdrawal load that it presses the work on the bed with
ONE_FACE = 1  # a screw's head and a table's seal move along with the work
SMALL = 0.1 * 0.1  # area [m^2] under which a cut round about lets in more air than the pump draws


def screw_ways(hold: Hold, push: Push, piece: Piece, settings: BookSettings) -> tuple[Way, ...]:
    """Screws through the work into the bed: side by friction of what they clamp with, lift by withdrawal."""
    row, safety = face_friction(piece), safety_of(settings)
    friction, count = row.needed("friction_low"), hold.count or 1
    each = Uncertain(anchor_load(hold), {"anchor-load": spread("part-strength")})
    drawn = scaled(each, count)
    words = f"{count} screws of {newtons(each.value, settings)} ({hold.anchor}, anchors.csv)"
    words += f", safety factor {safety:g}"
    assumed = ("half of the withdrawal load clamps the work",)
    slip = judged(
        "slip",
        _with_lift(push, friction),
        scaled(drawn, CLAMPED_SHARE * friction * ONE_FACE / safety),
        FORCE,
        f"{words}, friction {friction:g}; the shanks bear more once the work has slipped on to them",
        assumed=assumed,
    )
    return slip, *pressed_ways(drawn, push, piece, safety, words, lifted="pull-out")


def vacuum_ways(hold: Hold, push: Push, piece: Piece, settings: BookSettings) -> tuple[Way, ...]:
    """Area times pressure: friction on the table, lift and tip."""
    row = tables.load("vacuum").get("porous" if piece.family in WOODS else "airtight")
    rubbing = tables.load("friction").get("vacuum:wet" if push.cooling in WET else "vacuum:dry")
    friction, pressure = rubbing.needed("friction_low"), row.needed("pressure_low_kpa")
    safety = safety_of(settings, row.needed("safety_factor"))
    long, wide = footprint(hold, piece)
    pressed = Uncertain(long * wide * pressure)
    words = f"{show(pressure, 'stress', unit=STRESS[1])} below ambient ({row.id}, vacuum.csv) on "
    words += f"{_sides(long, wide, settings)}, safety factor {safety:g}"
    slip = judged(
        "slip",
        _with_lift(push, friction),
        scaled(pressed, friction / safety),
        FORCE,
        f"{words}, friction {friction:g}",
    )
    return slip, *pressed_ways(pressed, push, piece, safety, words)


def _sides(long: float, wide: float, settings: BookSettings) -> str:
    return f"{length(long, settings)} x {length(wide, settings)}"


def vacuum_remarks(hold: Hold, piece: Piece, settings: BookSettings) -> tuple[str, ...]:
    """Say that the cut round a small part takes its vacuum."""
    long, wide = footprint(hold, piece)
    if not piece.free or long * wide >= SMALL:
        return ()
    return (
        f"a free part of {_sides(long, wide, settings)} is small for vacuum: air comes in at the cut "
        "round it, and the vacuum goes",
    )


def nest_ways(hold: Hold, push: Push, piece: Piece, settings: BookSettings) -> tuple[Way, ...]:
    """A part pushed into a nest: its walls bear the side force, friction on two of them the lift."""
    row, safety = face_friction(piece), safety_of(settings)
    fit = Uncertain(hold.force or 0.0, {"clamp-force": spread("clamp-force-given")})
    borne = scaled(fit, 2 * row.needed("friction_low") * (hold.count or 1))
    words = f"fit of {newtons(fit.value, settings)}, friction {row.needed('friction_low'):g} on two walls, "
    words += f"safety factor {safety:g}"
    slip = walled("slip", push.force, FORCE, "the walls of the nest bear it")
    return slip, *pressed_ways(borne, push, piece, safety, words)


def _with_lift(push: Push, friction: float) -> Uncertain:
    # Lift takes friction away: S (F + mu Fz) <= mu N is the same as S F <= mu (N - S Fz).
    return through(lambda force, lift: force + friction * lift, push.force, push.lift)
