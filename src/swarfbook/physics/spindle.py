"""What a spindle motor can give at a speed, and what it draws for it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from swarfbook.physics.arrays import Array, Flags, chosen, not_negative, only_where, positive

TURN = 2 * np.pi
DIAL_ROUNDING = 1e-9
"""Share by which a wanted speed may miss a fixed one and still be it."""
DUTY_CYCLE = 600.0
"""Length of a duty cycle where a rating does not say otherwise [s] (IEC 60034-1)."""
DUTY_TYPES: Mapping[str, str] = {
    "S1": "continuous",
    "S2": "short-time, cools to ambient",
    "S3": "intermittent periodic, de-energised rest",
    "S6": "continuous-operation periodic, runs unloaded between loads",
}
"""What the duty types of IEC 60034-1 that spindles are rated in mean."""


def rated_torque(*, rated_power: Array, rated_speed: Array) -> Array:
    """Torque at the rated point, P / (2 pi n) [N m], of `rated_power` [W] and `rated_speed` [rev/s]."""
    return not_negative(rated_power) / (TURN * positive(rated_speed))


def shaft_rating(*, rated_power: Array, efficiency: Array, is_input: Flags) -> Array:
    """Rated power at the shaft.

    Args:
        rated_power: as the plate gives it [W], any shape.
        efficiency: shaft over electrical input at rated load [1], broadcasts.
        is_input: True where the plate gives the electrical input, broadcasts.

    Returns:
        efficiency x rating for an input rating, else the rating [W].
    """
    return chosen(is_input, rated_power * positive(efficiency), rated_power + 0 * efficiency)


def torque_available(*, spindle_speed: Array, rated_power: Array, rated_speed: Array) -> Array:
    """Torque a motor can give all day at a speed.

    Args:
        spindle_speed: n [rev/s], any shape.
        rated_power: at the shaft [W], broadcasts.
        rated_speed: n_r [rev/s], broadcasts.

    Returns:
        P_r / (2 pi n_r) up to the rated speed, P_r / (2 pi n) above it [N m].

    Validity:
        an induction or servo motor on a drive; for a universal motor an assumption. A fan on the shaft
        cools less at low speed.

    References:
        IEC 60034-1 (2022), duty type S1.
    """
    speed = not_negative(spindle_speed)
    torque: Array = not_negative(rated_power) / (TURN * np.maximum(speed, positive(rated_speed)))
    return torque


def torque_from_curve(
    *, spindle_speed: Array, curve_speeds: NDArray[np.float64], curve_torques: NDArray[np.float64]
) -> Array:
    """Torque read off a measured or published curve.

    Args:
        spindle_speed: n [rev/s], any shape.
        curve_speeds: speeds of the curve's points [rev/s], rising, shape (k,).
        curve_torques: torques there [N m], shape (k,).

    Returns:
        Straight lines between the points; below the first its torque is held, above the last its power
        is held, so that the torque falls as 1/n [N m].
    """
    speed = not_negative(spindle_speed)
    inside: Array = np.interp(speed, curve_speeds, curve_torques)
    last = curve_speeds[-1]
    torque: Array = inside * last / np.maximum(speed, last)
    return torque


def power_available(*, torque_available: Array, spindle_speed: Array) -> Array:
    """Power at the shaft, 2 pi n M [W], of `torque_available` [N m] at `spindle_speed` [rev/s]."""
    return TURN * not_negative(spindle_speed) * torque_available


def input_power(
    *,
    cutting_power: Array,
    torque: Array,
    rated_shaft_power: Array,
    rated_torque: Array,
    efficiency: Array,
    idle_power: Array | None = None,
) -> Array:
    """Electrical power a spindle draws while it cuts.

    Args:
        cutting_power: P at the shaft [W], any shape.
        torque: T at the shaft [N m], broadcasts.
        rated_shaft_power: P_r [W], broadcasts.
        rated_torque: T_r [N m], broadcasts.
        efficiency: overall, shaft over input at the rated point [1], broadcasts.
        idle_power: drawn at this speed without a cut [W], broadcasts; None where nobody measured it.

    Returns:
        P + P_idle + max(P_r/eff - P_r - P_idle, 0) (T/T_r)^2 [W]: losses are the idle ones plus copper.
        Without an idle figure P / eff. (Idle on top of P / eff would count the losses twice.)

    References:
        Form and size held against a spindle on a dynamometer: Spale et al., DEXPAND data (2024).
    """
    if idle_power is None:
        return cutting_power / positive(efficiency)
    copper = np.maximum(rated_shaft_power / positive(efficiency) - rated_shaft_power - idle_power, 0)
    drawn: Array = cutting_power + idle_power + copper * np.square(torque / positive(rated_torque))
    return drawn


def cutting_power_of_input(
    *,
    input_power: Array,
    spindle_speed: Array,
    rated_shaft_power: Array,
    rated_torque: Array,
    efficiency: Array,
    idle_power: Array | None = None,
) -> Array:
    """Cutting power at the shaft behind a reading of the electrical power: `input_power` turned round.

    Args:
        input_power: drawn while cutting [W], any shape.
        spindle_speed: n [rev/s], broadcasts.
        rated_shaft_power: P_r [W], broadcasts.
        rated_torque: T_r [N m], broadcasts.
        efficiency: overall, shaft over input at the rated point [1], broadcasts.
        idle_power: drawn at this speed without a cut [W], broadcasts; None where nobody measured it.

    Returns:
        the P that draws it [W], negative below the idle power; without an idle figure eff x input.
    """
    if idle_power is None:
        return input_power * positive(efficiency)
    copper = np.maximum(rated_shaft_power / positive(efficiency) - rated_shaft_power - idle_power, 0)
    rated = TURN * positive(spindle_speed) * positive(rated_torque)
    net = input_power - idle_power
    # P + c P^2 = net, solved so that c = 0 needs no case of its own; a net below 0 draws no copper loss.
    root: Array = 2 * net / (1 + np.sqrt(1 + 4 * copper / np.square(rated) * np.maximum(net, 0)))
    return root


def short_time_overload(*, duration: Array, thermal_time: Array) -> Array:
    """Power a cold motor bears for a short while, over its continuous rating.

    Args:
        duration: t of the load [s], any shape.
        thermal_time: tau of heating [s], broadcasts.

    Returns:
        1 / sqrt(1 - exp(-t/tau)) [1], losses taken as the square of the power.

    References:
        IEC 60034-1 (2022), duty type S2; Dubey, Fundamentals of Electrical Drives, Ex. 4.4.
    """
    return 1 / np.sqrt(-np.expm1(-positive(duration) / positive(thermal_time)))


def intermittent_overload(
    *, loaded: Array, resting: Array, heating_constant: Array, cooling_constant: Array
) -> Array:
    """Power a motor bears in a repeated load and rest, over its continuous rating.

    Args:
        loaded: time under load in a cycle [s], any shape.
        resting: time at rest in a cycle [s], broadcasts.
        heating_constant: tau while loaded [s], broadcasts.
        cooling_constant: tau while resting [s], broadcasts.

    Returns:
        sqrt((1 - exp(-t_l/tau_h - t_r/tau_c)) / (1 - exp(-t_l/tau_h))) [1].

    References:
        IEC 60034-1 (2022), duty type S3; Dubey, Fundamentals of Electrical Drives, Ex. 4.4.
    """
    heating = positive(loaded) / positive(heating_constant)
    cycle = heating + not_negative(resting) / positive(cooling_constant)
    ratio: Array = np.sqrt(np.expm1(-cycle) / np.expm1(-heating))
    return ratio


def duty_rms(*, powers: NDArray[np.float64], durations: NDArray[np.float64]) -> Array:
    """Steady power that heats a motor as much as a cycle does.

    Args:
        powers: of the cycle's stretches [W], along the last axis.
        durations: of the stretches [s], broadcasts.

    Returns:
        sqrt(sum P^2 t / sum t) [W], one axis less.

    References:
        IEC 60034-1 (2022), duty types S3 and S6.
    """
    total = np.sum(durations + 0 * powers, axis=-1)
    rms: Array = np.sqrt(np.sum(np.square(powers) * durations, axis=-1) / positive(total))
    return rms


def synchronous_speed(*, frequency: Array, poles: Array) -> Array:
    """Speed of a motor's field, 2 f / p [rev/s], of `frequency` [Hz] and number of `poles` [1]."""
    return 2 * not_negative(frequency) / positive(poles)


def unloaded_overload(*, loaded: Array, resting: Array, thermal_time: Array, idle_loss_share: Array) -> Array:
    """Power a motor bears in a repeated load, running idle between, over its continuous rating.

    Args:
        loaded: time under load in a cycle [s], any shape.
        resting: time running idle in a cycle [s], broadcasts.
        thermal_time: tau, one for both as the fan keeps running [s], broadcasts.
        idle_loss_share: loss at idle over the loss at the continuous rating [1], from 0 to 1, broadcasts.

    Returns:
        sqrt(x) [1], x the loss ratio under load that brings the end of each loaded stretch back to the
        continuous temperature: 1 - e^-(l+r) = x (1 - e^-l) + i e^-l (1 - e^-r), l and r in time constants.
        As in `short_time_overload` losses are taken as the square of the power.

    References:
        IEC 60034-1 (2022), duty type S6.
    """
    tau = positive(thermal_time)
    heating, idling = np.expm1(-positive(loaded) / tau), np.expm1(-not_negative(resting) / tau)
    share = _part(idle_loss_share)
    whole = heating + idling + heating * idling
    loss = (whole - share * (1 + heating) * idling) / heating
    power: Array = np.sqrt(loss)
    return power


def duty_overload(*, duty_share: Array) -> Array:
    """Power in a duty that is short against the motor's heating, over its continuous rating.

    Args:
        duty_share: loaded share of the cycle [1], above 0 and up to 1, any shape: 0.4 for S6-40 %.

    Returns:
        1 / sqrt(share) [1], losses at idle left out: `unloaded_overload` of a cycle much shorter than the
        time constant. The standard cycle is `DUTY_CYCLE`.

    References:
        IEC 60034-1 (2022), duty types S3 and S6.
    """
    return 1 / np.sqrt(only_where(np.less_equal(duty_share, 1), positive(duty_share)))


def overload_duration(*, overload: Array, thermal_time: Array) -> Array:
    """How long a cold motor bears a power above its continuous rating.

    Args:
        overload: power over the continuous rating [1], any shape.
        thermal_time: tau of heating [s], broadcasts.

    Returns:
        -tau ln(1 - 1/x^2) [s]: `short_time_overload` turned round; infinite up to the rating.
    """
    cool = -np.expm1(-2 * np.log(np.maximum(positive(overload), 1)))
    with np.errstate(divide="ignore"):
        duration: Array = -np.log(cool) * positive(thermal_time)
    return duration


def heat_between_ratings(
    *, power_ratio: Array, overload_ratio: Array, overload_heat: Array, idle_loss_share: Array
) -> Array:
    """Heat a motor makes at a power up to its overload rating, over what it makes at the continuous one.

    Args:
        power_ratio: power over the continuous rating [1], any shape.
        overload_ratio: overload rating over the continuous one [1], above 1, broadcasts.
        overload_heat: heat at the overload rating that its duty stands for [1], at least 1, broadcasts.
        idle_loss_share: loss at idle over the loss at the continuous rating [1], from 0 to 1, broadcasts.

    Returns:
        idle and copper losses, i + (1 - i)(P/P_r)^2 [1]; above the continuous rating at least a straight
        line in the square of the power through both ratings, so that at the overload rating no more than
        its duty comes out; nan beyond that rating.

    References:
        IEC 60034-1 (2022): both ratings of a machine end at the same temperature.
    """
    square = np.square(not_negative(power_ratio))
    share = _part(idle_loss_share)
    span = positive(np.square(overload_ratio) - 1)
    line = 1 + (overload_heat - 1) * (square - 1) / span
    losses = share + (1 - share) * square + 0 * line
    heat = chosen(np.less_equal(square, 1), losses, np.maximum(line, losses))
    return only_where(np.less_equal(power_ratio, np.maximum(overload_ratio, 1)), heat)


def loaded_share(*, overload: Array, cycle: Array, thermal_time: Array, idle_loss_share: Array) -> Array:
    """Share of a cycle that a power may be asked for, idling the rest: `unloaded_overload` turned round.

    Args:
        overload: power over the continuous rating, or the root of the heat over its heat [1], any shape.
        cycle: length of the cycle [s], broadcasts.
        thermal_time: tau [s], broadcasts.
        idle_loss_share: loss at idle over the loss at the continuous rating [1], from 0 to 1, broadcasts.

    Returns:
        -tau/c ln(1 - (1 - i)(1 - e^-c)/(x^2 - i)) [1], c the cycle in time constants; 1 up to the rating.

    References:
        IEC 60034-1 (2022), duty types S3 (no idle loss) and S6.
    """
    tau, share = (
        positive(thermal_time),
        only_where(np.less_equal(idle_loss_share, 1), not_negative(idle_loss_share)),
    )
    whole = positive(cycle) / tau
    heat = np.square(np.maximum(positive(overload), 1))
    with np.errstate(divide="ignore", invalid="ignore"):
        part: Array = -np.log1p((1 - share) * np.expm1(-whole) / (heat - share)) / whole
    return chosen(np.less_equal(heat, 1), 1 + 0 * (whole + share), part)


def temperature_share(*, power_ratio: Array, duration: Array, thermal_time: Array) -> Array:
    """Rise of a cold motor's temperature over the one its continuous rating ends at.

    Args:
        power_ratio: power over the continuous rating [1], any shape.
        duration: t of the load [s], broadcasts.
        thermal_time: tau of heating [s], broadcasts.

    Returns:
        (P/P_r)^2 (1 - exp(-t/tau)) [1]: 1 is the limit.

    References:
        IEC 60034-1 (2022), duty type S2.
    """
    loss = np.square(not_negative(power_ratio))
    rise: Array = -loss * np.expm1(-not_negative(duration) / positive(thermal_time))
    return rise


def speed_not_above(*, spindle_speed: Array, speeds: NDArray[np.float64]) -> Array:
    """Fastest fixed speed that is not above a wanted one.

    Args:
        spindle_speed: n wanted [rev/s], any shape.
        speeds: those the spindle has [rev/s], rising, shape (k,).

    Returns:
        n of the dial [rev/s]; nan where all of them are faster.
    """
    place = np.searchsorted(speeds, _nearly(spindle_speed, 1), side="right") - 1
    picked = np.asarray(speeds)[np.clip(place, 0, len(speeds) - 1)]
    return only_where(np.greater_equal(place, 0), picked + 0 * spindle_speed)


def speed_not_below(*, spindle_speed: Array, speeds: NDArray[np.float64]) -> Array:
    """Slowest fixed speed that is not below a wanted one.

    Args:
        spindle_speed: n wanted [rev/s], any shape.
        speeds: those the spindle has [rev/s], rising, shape (k,).

    Returns:
        n of the dial [rev/s]; nan where all of them are slower.
    """
    place = np.searchsorted(speeds, _nearly(spindle_speed, -1), side="left")
    picked = np.asarray(speeds)[np.clip(place, 0, len(speeds) - 1)]
    return only_where(np.less(place, len(speeds)), picked + 0 * spindle_speed)


def _part(share: Array) -> Array:
    """A share from 0 to 1, both included; nan elsewhere."""
    return only_where(np.less_equal(share, 1), not_negative(share))


def _nearly(speed: Array, sense: int) -> Array:
    """A speed widened by rounding, so that 1/60 of a whole number of rpm is met."""
    return speed * (1 + sense * DIAL_ROUNDING)
