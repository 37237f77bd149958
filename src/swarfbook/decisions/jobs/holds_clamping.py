"""Strap clamps, side clamps and vise: friction on two faces, and what it takes to tip the work.

Friction counts at the low end of what the tables print. The safety factor stands in the limit.
"""

from __future__ import annotations

import math

from swarfbook import tables
from swarfbook.decisions.chance import Z95, Uncertain
from swarfbook.decisions.inputs import spread
from swarfbook.decisions.jobs.holds_ways import (
    FORCE,
    MOMENT,
    WOODS,
    Piece,
    Push,
    Way,
    judged,
    lift_arm,
    newtons,
    safety_of,
    scaled,
    through,
)
from swarfbook.physics import clamping
from swarfbook.records import BookSettings
from swarfbook.records.job import Hold
from swarfbook.tables import Row

FACES = 2  # bed and clamp, or both jaws
BOLT_CLASS = "8.8"  # what clamping bolts and studs are sold in; a weaker one is not to be told from outside
BOLT_FRICTION = "bolt-class-b"
UTILISATION = 0.9  # of the proof stress, as in the tables of VDI 2230
JAW_ROWS = {
    "steel": "steel",
    "alloy-steel": "steel",
    "stainless-steel": "steel",
    "wrought-aluminium": "aluminium",
    "cast-aluminium": "aluminium",
    "brass": "brass",
    "cast-iron": "grey-iron",
}


def is_plastic(family: str) -> bool:
    """Whether a family slides like a plastic: the plastics and the laminates."""
    return family.startswith("plastic") or family.endswith("laminate")


def face_friction(piece: Piece) -> Row:
    """The row of friction.csv for work under clamps, on the bed."""
    kind = "wood" if piece.family in WOODS else "plastic" if is_plastic(piece.family) else "oily"
    return tables.load("friction").get(f"clamps:{kind}")


def jaw_friction(hold: Hold, piece: Piece) -> tuple[float, str, tuple[str, ...]]:
    """Friction between jaws and work [1], where it is from, and what of it has no source.

    The first side is gripped raw, as bar and plate come; the second has been machined by then.
    """
    surface = "raw" if hold.side == "first" else "machined"
    row = tables.load("friction").get(f"jaws:{surface}:{hold.jaws or 'smooth'}")
    factor = tables.load("jaw_factors").get(_jaw_row(piece.family))
    value = row.needed("friction_low") * factor.needed("friction_factor")
    assumed = (f"friction of {factor.id} work in jaws",) if factor.assumed else ()
    return value, f"{row.id}, friction.csv, for {factor.id} work", assumed


def _jaw_row(family: str) -> str:
    other = "wood" if family in WOODS else "plastic" if is_plastic(family) else "other-metal"
    return JAW_ROWS.get(family, other)


def squeeze(hold: Hold) -> Uncertain:
    """Force of one clamp or of the jaws on the work [N]: as given, or by its bolt, torque and lever.

    A bolt bears no more than its class and what it stands in; its preload lies between those of the two ends
    of the friction of an oiled thread.
    """
    if hold.force is not None:
        return Uncertain(hold.force, {"clamp-force": spread("clamp-force-given")})
    friction = tables.load("friction").get(BOLT_FRICTION)
    weak, strong = (bolt_force(hold, friction.needed(f"friction_{end}")) for end in ("high", "low"))
    scatter = max(math.log(strong / weak) / (2 * Z95), 0.0)
    preload = Uncertain(math.sqrt(weak * strong), {"clamp-force": scatter})
    if hold.work_arm is None or hold.heel_arm is None:
        return preload
    lever = clamping.strap_clamp_force(bolt_force=1.0, work_arm=hold.work_arm, heel_arm=hold.heel_arm)
    return scaled(preload, float(lever))


def bolt_force(hold: Hold, friction: float) -> float:
    """Preload [N] of a clamp's bolt at its torque, with one friction [1] in the thread and under the head."""
    thread = tables.load("threads").get(hold.bolt or "")
    size = {
        "nominal_diameter": thread.needed("diameter_mm"),
        "thread_pitch": thread.needed("thread_pitch_mm"),
        "friction": friction,
    }
    ring = (thread.needed("head_bearing_diameter_mm") + thread.needed("hole_diameter_mm")) / 2
    reached = clamping.preload_of_torque(
        torque=hold.torque or 0.0, bearing_friction=friction, bearing_diameter=ring, **size
    )
    proof = tables.load("property_classes").get(BOLT_CLASS).needed("proof_stress_n_per_mm2")
    most = clamping.bolt_preload(proof_stress=proof, utilisation=UTILISATION, **size)
    return min(float(reached), float(most), anchor_load(hold))


def anchor_load(hold: Hold) -> float:
    """What one bolt or screw can pull on what it stands in [N]; unlimited where that is not said."""
    if hold.anchor is None:
        return math.inf
    return tables.load("anchors").get(hold.anchor).needed("load_low_n")


def _squeeze_words(hold: Hold, each: Uncertain, settings: BookSettings) -> str:
    many = hold.count or 1
    what = {"clamps": "clamp", "side-clamps": "side clamp"}.get(hold.method, hold.method)
    return f"{many} {what}{'s' if many > 1 else ''} at {newtons(each.value, settings)}"


def clamp_ways(hold: Hold, push: Push, piece: Piece, settings: BookSettings) -> tuple[Way, ...]:
    """Clamps that press the work on the bed: slip, lift and tip.

    Slip: S (F + 2 mu Fz) <= 2 mu C, which is friction on two faces under what the lift leaves of the clamps'
    force C, both F and Fz times the safety factor S; written so that the use grows with the force alone.
    """
    row, each = face_friction(piece), squeeze(hold)
    friction, safety = row.needed("friction_low"), safety_of(settings)
    pressed = scaled(each, hold.count or 1)
    words = f"{_squeeze_words(hold, each, settings)}, safety factor {safety:g}"
    assumed = (f"friction of {row.id}",) if row.assumed else ()
    asked = through(lambda force, lift: force + FACES * friction * lift, push.force, push.lift)
    slip = judged(
        "slip",
        asked,
        scaled(pressed, FACES * friction / safety),
        FORCE,
        f"{words}, friction {friction:g} on two faces",
        assumed=assumed,
    )
    return slip, *pressed_ways(pressed, push, piece, safety, words)


def jaw_ways(hold: Hold, push: Push, piece: Piece, settings: BookSettings) -> tuple[Way, ...]:
    """Vise and side clamps: friction on two faces against the force along the jaws and the lift together.

    Tipping: the friction of the jaws holds the work down on what it rests on, evenly along them; how long
    they are is the hold's length, else the shorter side of the work.
    """
    friction, row, assumed = jaw_friction(hold, piece)
    each, safety = squeeze(hold), safety_of(settings)
    borne = scaled(each, FACES * friction * (hold.count or 1) / safety)
    words = f"{_squeeze_words(hold, each, settings)}, friction {friction:.3g} on two faces ({row}), "
    words += f"safety factor {safety:g}"
    asked = through(math.hypot, push.force, push.lift)
    base = hold.length or piece.short_side
    slip = judged("slip", asked, borne, FORCE, words, assumed=assumed)
    return slip, tip(scaled(borne, safety), push, base, safety, words, assumed=assumed)


def pressed_ways(
    pressed: Uncertain,
    push: Push,
    piece: Piece,
    safety: float,
    words: str,
    *,
    lifted: str = "lift",
    assumed: tuple[str, ...] = (),
) -> tuple[Way, ...]:
    """Lift and tip of work that is held down by a force spread evenly over it [N]."""
    lift = judged(lifted, push.lift, scaled(pressed, 1 / safety), FORCE, words, assumed=assumed)
    return lift, tip(pressed, push, piece.short_side, safety, words, assumed=assumed)


def tip(
    pressed: Uncertain,
    push: Push,
    base: float,
    safety: float,
    words: str,
    *,
    assumed: tuple[str, ...] = (),
) -> Way:
    """Turning over an edge of a base [m]: F h + Fz a against the middle of the force that holds down."""
    arm = lift_arm(push, base)

    def turned(force: float, lift: float) -> object:
        return clamping.tipping_moment(force=force, force_height=push.height, lift=lift, lift_arm=arm)

    most = float(clamping.holding_moment(clamp_force=1.0, base=base))
    limit = scaled(pressed, most / safety)
    return judged("tip", through(turned, push.force, push.lift), limit, MOMENT, words, assumed=assumed)
