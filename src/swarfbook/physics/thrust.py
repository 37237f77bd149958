"""What pushes an axis, and what it has to push against."""

from __future__ import annotations

import numpy as np

from swarfbook.physics.arrays import Array, not_negative, positive
from swarfbook.physics.validity import Range

TURN = 2 * np.pi
BALL_SCREW = Range("efficiency", 0.85, 0.95, "workshop practice: ball screws")
SLIDING_SCREW = Range("efficiency", 0.2, 0.5, "workshop practice: trapezoidal screws")
USABLE_TORQUE = Range("share of a stepper's pull-out torque", 0.0, 0.6, "workshop practice: open loop")


def screw_thrust(*, torque: Array, lead: Array, efficiency: Array) -> Array:
    """Push of a screw.

    Args:
        torque: M at the screw [N m], any shape.
        lead: L per turn [m], broadcasts.
        efficiency: eta [1], broadcasts: `BALL_SCREW`, `SLIDING_SCREW`, or `sliding_screw_efficiency`.

    Returns:
        F = 2 pi eta M / L [N].
    """
    return TURN * not_negative(efficiency) * not_negative(torque) / positive(lead)


def lead_angle(*, lead: Array, pitch_diameter: Array) -> Array:
    """Slope of a screw's thread, arctan(L / (pi d)).

    Args:
        lead: L per turn [m], any shape.
        pitch_diameter: d, mean of the thread [m], broadcasts.

    Returns:
        lambda [rad].
    """
    angle: Array = np.arctan(positive(lead) / (np.pi * positive(pitch_diameter)))
    return angle


def sliding_screw_efficiency(*, lead: Array, pitch_diameter: Array, friction: Array) -> Array:
    """Efficiency of a power screw with a square thread.

    Args:
        lead: L per turn [m], any shape.
        pitch_diameter: d, mean of the thread [m], broadcasts.
        friction: mu in the thread [1], broadcasts; without that of a collar.

    Returns:
        tan lambda (1 - mu tan lambda) / (tan lambda + mu) [1]. Below 0.5 the screw may hold its load by
        itself (`lowering_torque`); nan where the thread jams, mu tan lambda above 1.

    Validity:
        a square thread; a trapezoidal one of 30 degrees rubs 3.5 % more.

    References:
        Wentzell, Machine Design, Ex. 18.1 p. 399.
    """
    slope = np.tan(lead_angle(lead=lead, pitch_diameter=pitch_diameter))
    rub = not_negative(friction)
    return slope * positive(1 - rub * slope) / (slope + rub)


def screw_torque(*, force: Array, lead: Array, pitch_diameter: Array, friction: Array) -> Array:
    """Torque that raises a load on a power screw with a square thread.

    Args:
        force: F along the screw [N], any shape.
        lead: L per turn [m], broadcasts.
        pitch_diameter: d, mean of the thread [m], broadcasts.
        friction: mu in the thread [1], broadcasts.

    Returns:
        F d/2 (tan lambda + mu) / (1 - mu tan lambda) [N m].

    References:
        Wentzell, Machine Design, Ex. 18.1 p. 399.
    """
    efficiency = sliding_screw_efficiency(lead=lead, pitch_diameter=pitch_diameter, friction=friction)
    return force * lead / (TURN * efficiency)


def lowering_torque(*, force: Array, lead: Array, pitch_diameter: Array, friction: Array) -> Array:
    """Torque that lowers a load on a power screw with a square thread.

    Args:
        force: F along the screw [N], any shape.
        lead: L per turn [m], broadcasts.
        pitch_diameter: d, mean of the thread [m], broadcasts.
        friction: mu in the thread [1], broadcasts.

    Returns:
        F d/2 (mu - tan lambda) / (1 + mu tan lambda) [N m]: above 0 the screw holds the load by itself,
        below 0 the load drives it.

    References:
        Wentzell, Machine Design, ch. 18.
    """
    slope = np.tan(lead_angle(lead=lead, pitch_diameter=pitch_diameter))
    rub = not_negative(friction)
    return force * pitch_diameter / 2 * (rub - slope) / (1 + rub * slope)


def belt_thrust(*, torque: Array, pulley_radius: Array, efficiency: Array) -> Array:
    """Pull of a toothed belt.

    Args:
        torque: M at the pulley [N m], any shape.
        pulley_radius: r to the belt's pitch line [m], broadcasts.
        efficiency: eta [1], broadcasts.

    Returns:
        F = eta M / r [N].
    """
    return not_negative(efficiency) * not_negative(torque) / positive(pulley_radius)


def belt_stiffness(*, belt_rigidity: Array, short_run: Array, long_run: Array) -> Array:
    """Stiffness that a belt gives an axis where it stands.

    Args:
        belt_rigidity: E A of the belt [N], any shape.
        short_run: of the belt, from carriage to motor [m], broadcasts.
        long_run: of the belt, the other way round to the motor [m], broadcasts.

    Returns:
        E A (1 / short + 1 / long) [N/m], both sides under tension.
    """
    both = 1 / positive(short_run) + 1 / positive(long_run)
    return not_negative(belt_rigidity) * both


def steps_per_turn(*, step_angle: Array) -> Array:
    """Steps of a stepper in a turn, 2 pi / step, of `step_angle` [rad] [1]."""
    return TURN / positive(step_angle)


def stepper_speed(*, step_rate: Array, step_angle: Array) -> Array:
    """Speed of a stepper.

    Args:
        step_rate: steps a second [Hz], any shape.
        step_angle: of one step [rad], broadcasts.

    Returns:
        step rate x step / (2 pi) [rev/s].
    """
    return not_negative(step_rate) / steps_per_turn(step_angle=step_angle)


def stepper_torque(*, holding_torque: Array, corner_speed: Array, motor_speed: Array) -> Array:
    """Pull-out torque of a stepper at a speed.

    Args:
        holding_torque: at rest [N m], any shape.
        corner_speed: up to which the drive's voltage still fills the windings [rev/s], broadcasts.
        motor_speed: [rev/s], broadcasts.

    Returns:
        the holding torque up to the corner speed, falling as 1/n above it [N m].

    Validity:
        a first estimate: pull-out curves are measured for one voltage and drive. Open loop no more than
        `USABLE_TORQUE` of it is to be relied on.
    """
    corner = positive(corner_speed)
    torque: Array = not_negative(holding_torque) * corner / np.maximum(corner, not_negative(motor_speed))
    return torque


def thrust_needed(
    *, cutting_force: Array, moving_mass: Array, acceleration: Array, friction_force: Array
) -> Array:
    """Push an axis needs while it cuts and speeds up.

    Args:
        cutting_force: peak along the axis [N], any shape.
        moving_mass: m [kg], broadcasts.
        acceleration: a [m/s^2], broadcasts.
        friction_force: of slides, seals and screw [N], broadcasts.

    Returns:
        F_cut + m a + F_friction [N]; a vertical axis adds its weight to the friction.
    """
    inertia = not_negative(moving_mass) * not_negative(acceleration)
    return not_negative(cutting_force) + inertia + not_negative(friction_force)
