"""What bolts, straps and jaws hold with: preload by the VDI 2230 closed form, friction, leverage."""

from __future__ import annotations

import math

import numpy as np

from swarfbook.physics.arrays import Array, not_negative, only_where, positive

THREAD_HEIGHT = math.sqrt(3) / 2
"""Of the sharp triangle of an ISO metric thread, over its pitch."""
PITCH_DIAMETER_LOSS = 3 / 4 * THREAD_HEIGHT
"""d - d2 over the pitch: 0.6495."""
CORE_DIAMETER_LOSS = 17 / 12 * THREAD_HEIGHT
"""d - d3 over the pitch: 1.2269."""
FLANK = math.sqrt(3) / 2
"""Of the 60 degree thread: friction acts with 1 / cos 30 of it."""


def thread_pitch_diameter(*, nominal_diameter: Array, thread_pitch: Array) -> Array:
    """Mean diameter of an ISO metric thread, d2 = d - 0.6495 P.

    Args:
        nominal_diameter: d [m], any shape.
        thread_pitch: P [m], broadcasts.

    Returns:
        d2 [m].

    References:
        ISO 724.
    """
    return positive(positive(nominal_diameter) - PITCH_DIAMETER_LOSS * positive(thread_pitch))


def stress_diameter(*, nominal_diameter: Array, thread_pitch: Array) -> Array:
    """Diameter of the rod that bears tension like an ISO metric thread.

    Args:
        nominal_diameter: d [m], any shape.
        thread_pitch: P [m], broadcasts.

    Returns:
        d0 = (d2 + d3) / 2 = d - 0.9382 P [m].

    References:
        ISO 898-1: nominal stress area.
    """
    lost = (PITCH_DIAMETER_LOSS + CORE_DIAMETER_LOSS) / 2
    return positive(positive(nominal_diameter) - lost * positive(thread_pitch))


def stress_area(*, nominal_diameter: Array, thread_pitch: Array) -> Array:
    """Stress area of an ISO metric thread, pi/4 d0^2.

    Args:
        nominal_diameter: d [m], any shape.
        thread_pitch: P [m], broadcasts.

    Returns:
        As [m^2]: 20.1 mm^2 for M6.

    References:
        ISO 898-1.
    """
    across = stress_diameter(nominal_diameter=nominal_diameter, thread_pitch=thread_pitch)
    return np.pi / 4 * across * across


def bolt_preload(
    *, nominal_diameter: Array, thread_pitch: Array, proof_stress: Array, friction: Array, utilisation: Array
) -> Array:
    """Preload at which tightening uses a share of a bolt's proof stress, tension and torsion together.

    Args:
        nominal_diameter: d [m], any shape.
        thread_pitch: P [m], broadcasts.
        proof_stress: Rp0.2, least [Pa], broadcasts: 640 MPa for class 8.8 up to M16.
        friction: mu in the thread [1], broadcasts.
        utilisation: share of the proof stress [1], broadcasts: 0.9 in the tables.

    Returns:
        u Rp As / sqrt(1 + 3 (1.5 d2/d0 (P / (pi d2) + 1.155 mu))^2) [N].

    Validity:
        a bolt that is the weakest part: T-nuts in extrusions, inserts in MDF and thin threads fail first.
        Tightened by torque the preload scatters by 25 to 30 %.

    References:
        VDI 2230-1 (2015), tables A1 to A4.
    """
    mean = thread_pitch_diameter(nominal_diameter=nominal_diameter, thread_pitch=thread_pitch)
    rod = stress_diameter(nominal_diameter=nominal_diameter, thread_pitch=thread_pitch)
    turning = 1.5 * mean / rod * (thread_pitch / (np.pi * mean) + not_negative(friction) / FLANK)
    pulled = not_negative(utilisation) * positive(proof_stress) * np.pi / 4 * rod * rod
    preload: Array = pulled / np.sqrt(1 + 3 * turning * turning)
    return preload


def tightening_torque(
    *,
    preload: Array,
    nominal_diameter: Array,
    thread_pitch: Array,
    friction: Array,
    bearing_friction: Array,
    bearing_diameter: Array,
) -> Array:
    """Torque that tightens a bolt to a preload.

    Args:
        preload: F [N], any shape.
        nominal_diameter: d [m], broadcasts.
        thread_pitch: P [m], broadcasts.
        friction: mu_G in the thread [1], broadcasts.
        bearing_friction: mu_K under the head or nut [1], broadcasts.
        bearing_diameter: D_km, mean of the rubbing ring there [m], about 1.35 d for hexagon heads,
            broadcasts.

    Returns:
        F (P / (2 pi) + 0.577 d2 mu_G + D_km mu_K / 2) [N m].

    References:
        VDI 2230-1 (2015).
    """
    mean = thread_pitch_diameter(nominal_diameter=nominal_diameter, thread_pitch=thread_pitch)
    thread = thread_pitch / (2 * np.pi) + mean * not_negative(friction) / (2 * FLANK)
    head = positive(bearing_diameter) * not_negative(bearing_friction) / 2
    return not_negative(preload) * (thread + head)


def preload_of_torque(
    *,
    torque: Array,
    nominal_diameter: Array,
    thread_pitch: Array,
    friction: Array,
    bearing_friction: Array,
    bearing_diameter: Array,
) -> Array:
    """Preload a bolt reaches when it is tightened with a torque; `tightening_torque` the other way round.

    Args:
        torque: M [N m], any shape.
        nominal_diameter: d [m], broadcasts.
        thread_pitch: P [m], broadcasts.
        friction: mu_G in the thread [1], broadcasts.
        bearing_friction: mu_K under the head or nut [1], broadcasts.
        bearing_diameter: D_km, mean of the rubbing ring there [m], broadcasts.

    Returns:
        M / (P / (2 pi) + 0.577 d2 mu_G + D_km mu_K / 2) [N].

    References:
        VDI 2230-1 (2015).
    """
    for_one_newton = tightening_torque(
        preload=1.0,
        nominal_diameter=nominal_diameter,
        thread_pitch=thread_pitch,
        friction=friction,
        bearing_friction=bearing_friction,
        bearing_diameter=bearing_diameter,
    )
    return not_negative(torque) / for_one_newton


def nut_factor_torque(*, preload: Array, nominal_diameter: Array, nut_factor: Array) -> Array:
    """Torque that tightens a bolt to a preload, by one factor for all friction.

    Args:
        preload: F [N], any shape.
        nominal_diameter: d [m], broadcasts.
        nut_factor: K [1], broadcasts: 0.2, from 0.15 oiled to 0.27 dry.

    Returns:
        K d F [N m].

    References:
        Wentzell, Machine Design, Ex. 6.1 p. 120.
    """
    return positive(nut_factor) * positive(nominal_diameter) * not_negative(preload)


def proof_preload(*, tensile_area: Array, proof_stress: Array, utilisation: Array) -> Array:
    """Preload at a share of the proof load, u Sp As.

    Args:
        tensile_area: As [m^2], any shape.
        proof_stress: Sp, proof load per area [Pa], broadcasts: 580 MPa for class 8.8 up to M16.
        utilisation: share of it [1], broadcasts: 0.75 for joints that are undone again.

    Returns:
        F [N].

    References:
        ISO 898-1; Wentzell, Machine Design, Ex. 6.1 p. 120.
    """
    return not_negative(utilisation) * positive(proof_stress) * positive(tensile_area)


def strap_clamp_force(*, bolt_force: Array, work_arm: Array, heel_arm: Array) -> Array:
    """Force of a strap clamp on the work.

    Args:
        bolt_force: [N], any shape.
        work_arm: l1, from the bolt to the work [m], broadcasts.
        heel_arm: l2, from the bolt to the packing behind it [m], broadcasts.

    Returns:
        F l2 / (l1 + l2) [N]: the bolt close to the work holds best.

    References:
        Statics of a lever.
    """
    heel = not_negative(heel_arm)
    return not_negative(bolt_force) * heel / positive(not_negative(work_arm) + heel)


def friction_hold(*, clamp_force: Array, lift: Array, friction: Array, rubbing_faces: Array) -> Array:
    """Side force that friction under a clamp or between jaws holds.

    Args:
        clamp_force: normal to the faces [N], any shape.
        lift: of the cut against a clamp that presses down [N], 0 for jaws, broadcasts.
        friction: mu [1], the low end of what is known for the faces, broadcasts.
        rubbing_faces: 2 where clamp and bed, or both jaws, hold; 1 where one slides with the work [1],
            broadcasts.

    Returns:
        faces mu (F - lift) [N]; 0 where the lift is larger.

    Validity:
        vibration lowers mu: hold it against peak forces with a factor of 2 to 3.
    """
    pressed: Array = np.maximum(not_negative(clamp_force) - not_negative(lift), 0)
    faces = only_where(np.greater_equal(rubbing_faces, 1), rubbing_faces)
    return faces * not_negative(friction) * pressed


def tipping_moment(*, force: Array, force_height: Array, lift: Array, lift_arm: Array) -> Array:
    """Moment that turns work over an edge it stands on.

    Args:
        force: side force of the cut, square to that edge [N], any shape.
        force_height: of that force above the edge [m], broadcasts.
        lift: of the cut, away from the bed [N], broadcasts.
        lift_arm: from the edge to where the lift acts [m], broadcasts.

    Returns:
        F h + Fz a [N m].

    References:
        Statics.
    """
    turned = not_negative(force) * not_negative(force_height)
    return turned + not_negative(lift) * not_negative(lift_arm)


def holding_moment(*, clamp_force: Array, base: Array) -> Array:
    """Moment of clamps spread evenly over work against its turning over an edge.

    Args:
        clamp_force: of all clamps together, towards the bed [N], any shape.
        base: of the work, from that edge to the opposite one [m], broadcasts.

    Returns:
        F w / 2 [N m].

    References:
        Statics.
    """
    return not_negative(clamp_force) * positive(base) / 2
