"""Why a number is what it is: formula, inputs, the table rows behind them, and what is assumed."""

from __future__ import annotations

from collections.abc import Sequence

from swarfbook import quantities
from swarfbook.decisions.case import Case
from swarfbook.decisions.check import Check, Limit
from swarfbook.decisions.figures import RUNG_SPECS, Figure, figures
from swarfbook.decisions.leaves import leavings
from swarfbook.decisions.limits import rules
from swarfbook.decisions.titles import title
from swarfbook.errors import Problem, SwarfbookError, did_you_mean, nearest
from swarfbook.frozen import frozen
from swarfbook.tables import Row

DIMENSIONS = {
    **dict.fromkeys(
        ("axial_depth", "radial_width", "stickout", "diameter", "flute_length", "fluted_diameter", "neck_end",
         "neck_diameter", "shank_diameter", "overall_length", "edge_radius", "runout", "deflection_allowed",
         "chip_ceiling", "allowance"), "length"),
    **dict.fromkeys(
        ("spindle_speed", "max_speed", "min_speed", "rated_speed", "tool_max_speed"), "spindle_speed"),
    **dict.fromkeys(("rated_power", "rated_shaft_power", "idle_power"), "power"),
    **dict.fromkeys(("speed_low", "speed_high"), "surface_speed"),
    **dict.fromkeys(("dynamic_low_frequency", "dynamic_high_frequency"), "frequency"),
    **dict.fromkeys(("kc11", "ktc", "krc", "kac", "strength", "youngs_modulus"), "stress"),
    **dict.fromkeys(("kte", "kre", "kae"), "edge_force"),
    "feed_per_tooth": "feed_per_tooth",
    "acceleration": "acceleration",
    "thermal_time": "time",
    "max_feed": "feed_rate",
    "helix": "angle",
    "point_angle": "angle",
    "taper": "angle",
    "corner_radius": "length",
    "tip_diameter": "length",
    "ramp_angle": "angle",
    "hole_diameter": "length",
    "stock_offset": "length",
    "max_plunge": "feed_rate",
    "thrust": "force",
    "rated_torque": "torque",
    "tool_tip_stiffness": "stiffness",
}  # fmt: skip
"""Dimension of each input by name; those left out are plain numbers."""
MOST_NEAR = 4
UNITS = {
    "edge_radius": "um",
    "youngs_modulus": "GPa",
    "tool_tip_stiffness": "N/um",
    "runout": "mm",
    "thermal_time": "min",
}


@frozen
class Rests:
    """One input a number rests on.

    Attributes:
        name: the input.
        value: as shown to people; for the cutting law its name and coefficients.
        origin: record or table row it came from.
        assumed: whether a default stands in for it.
        spread: log standard deviation.
        row: the table row behind it, if one is.
    """

    name: str
    value: str
    origin: str
    assumed: bool
    spread: float
    row: Row | None


@frozen
class Why:
    """What stands behind one number.

    Attributes:
        name: quantity or limit.
        value: as shown to people.
        says: what it is, in words.
        formula: how it is worked out.
        limit: for a limit, what it is held against and where that comes from; empty otherwise.
        rests_on: every input, the recipe's first.
        rows: table rows behind them, each once.
    """

    name: str
    value: str
    says: str
    formula: str
    limit: str
    rests_on: tuple[Rests, ...]
    rows: tuple[Row, ...]


def why(check: Check, name: str, *, system: str = "metric") -> Why:
    """Say what stands behind a quantity or a limit of a checked recipe.

    Args:
        check: the checked recipe.
        name: a quantity (`force_peak`) or a limit (`axis-thrust`), or its title (`peak side force`).
        system: `metric` or `imperial`.

    Raises:
        SwarfbookError: nothing of that name; the nearest names are offered.
    """
    shown = {**check.figures, **figures(check.case, check.numbers, RUNG_SPECS), **leavings(check)}
    limits = {limit.name: limit for limit in check.limits}
    name = _name(name, [*shown, *limits])
    if name in limits:
        rule = next(rule for rule in rules(check.case) if rule.name == name)
        return _of_limit(check.case, limits[name], shown[rule.demand], rule.needs, system)
    return _why(check.case, shown[name], shown[name].needs, system=system)


def _name(asked: str, known: Sequence[str]) -> str:
    """Find a quantity or a limit by its name or its title."""
    if asked in known:
        return asked
    words = " ".join(asked.lower().split())
    titles = {title(name): name for name in known}
    if words in titles:
        return titles[words]
    holding = sorted((one for one in titles if words and words in one), key=len)
    near = holding[:MOST_NEAR] or nearest(words, titles)
    told = ", ".join(f"{titles[one]} ({one})" for one in near)
    raise SwarfbookError(
        Problem("--why", "", asked, f"did you mean {told}?" if near else did_you_mean(asked, known))
    )


def _of_limit(case: Case, limit: Limit, demand: Figure, needs: tuple[str, ...], system: str) -> Why:
    given = "not known" if limit.limit is None else _shown(limit.limit, limit.dimension, limit.unit, system)
    sign = ">=" if limit.sense == "minimum" else "<="
    return _why(
        case,
        demand,
        (*demand.needs, *needs),
        system=system,
        name=limit.name,
        limit=f"{sign} {given}: {limit.origin}",
    )


def _why(
    case: Case, figure: Figure, needs: tuple[str, ...], *, system: str, name: str = "", limit: str = ""
) -> Why:
    rests = tuple(rest for need in dict.fromkeys(needs) if (rest := _rests(case, need, system)) is not None)
    law_rows = case.choice.rows if "law" in needs else ()
    rows = (*law_rows, *(rest.row for rest in rests if rest.row is not None))
    return Why(
        name=name or figure.name,
        value=_shown(figure.value, figure.dimension, figure.unit, system),
        says=figure.origin,
        formula=figure.formula,
        limit=limit,
        rests_on=rests,
        rows=tuple({(row.table, row.id): row for row in rows}.values()),
    )


def _shown(si: float, dimension: str, unit: str | None, system: str) -> str:
    return quantities.show(si, dimension, unit=None if system == "imperial" else unit, system=system)


def _rests(case: Case, name: str, system: str) -> Rests | None:
    item = case.inputs.get(name)
    if item is None or (item.value is None and name not in ("law", "rating")):
        return None
    worded = {"law": _law_text(case, system), "rating": case.machine.spindle.rating or "shaft"}
    value = worded.get(name) or _input_text(name, item.value, system)
    return Rests(name, value, item.origin, item.assumed, item.sd, item.row)


def _law_text(case: Case, system: str) -> str:
    numbers = (f"{key} {_input_text(key, value, system)}" for key, value in case.choice.coefficients.items())
    return f"{case.choice.name}: {', '.join(numbers)}"


def _input_text(name: str, value: float | None, system: str) -> str:
    if value is None:
        return "not known"
    dimension = DIMENSIONS.get(name)
    if dimension is None:
        return f"{value:.4g}"
    return _shown(value, dimension, UNITS.get(name), system)
