"""Knobs of a solved recipe as numbers that a person would type: four figures in mm, plain steps in inches."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from swarfbook import quantities, records

FIGURES = 4
HAIR = 1e-9
METRIC = {"axial_depth": "mm", "radial_width": "mm", "spindle_speed": "rpm", "feed_per_tooth": "mm"}
INCH = {"axial_depth": "in", "radial_width": "in", "spindle_speed": "rpm", "feed_per_tooth": "in"}
STEPS = dict.fromkeys(("axial_depth", "radial_width", "stickout", "allowance"), 1e-3)
STEPS["feed_per_tooth"] = 1e-4
"""Steps that are usual in inches [in]; a number of fewer than two figures in them gets finer ones."""
EXACT = 1e-4  # in, the step on which a length that is not to be chosen may be told in inches
IMPERIAL = ("in", "thou", "ft")


def is_imperial(system: str | None, diameter: object) -> bool:
    """Say whether people here write inches: the book does, or the cutter's diameter was typed so."""
    return system == "imperial" or quantities.read(diameter, "length").unit in IMPERIAL


def rounded(si: float, key: str, unit: str, *, lower: int = 0, plain: bool = True) -> float:
    """Round a knob down to what would be typed in a unit; `lower` steps further.

    Args:
        si: the knob [SI].
        key: its key.
        unit: to be typed in.
        lower: steps further down.
        plain: take the usual steps of inches; else four figures as of any unit.
    """
    dimension = records.dimension("recipe", key) or ""
    number = quantities.convert(si, dimension, unit)
    step = 10.0 ** (math.floor(math.log10(number)) - FIGURES + 1)
    step = max(step, 10.0) if key == "spindle_speed" and number > 1000 else step
    if unit == "in" and plain:
        step = max(step, min(STEPS[key], step * 100))
    count = math.floor(number / step * (1 + HAIR)) - lower
    return quantities.to_si(float(f"{count * step:.10g}"), dimension, unit)


def text_of(si: float, key: str, unit: str) -> str:
    """Write a knob in a unit."""
    number = quantities.convert(si, records.dimension("recipe", key) or "", unit)
    return quantities.write(float(f"{number:.10g}"), unit)


def is_exact(si: float) -> bool:
    """Say whether a length is a whole number of tenths of a thou."""
    steps = quantities.convert(si, "length", "in") / EXACT
    return abs(steps - round(steps)) < 1e-6


def in_inches(values: Mapping[str, Any], chosen: frozenset[str]) -> dict[str, Any]:
    """Write the lengths of a recipe in inches.

    Args:
        values: the recipe as typed.
        chosen: keys that nobody asked for: they are rounded to a plain step; others change only exactly.
    """
    return {key: _in_inches(key, value, key in chosen) for key, value in values.items()}


def _in_inches(key: str, value: Any, chosen: bool) -> Any:  # noqa: ANN401 - as typed
    if records.dimension("recipe", key) not in ("length", "feed_per_tooth"):
        return value
    si = quantities.parse(value, records.dimension("recipe", key) or "")
    if chosen:
        step = quantities.to_si(STEPS[key], "length", "in")
        return text_of(round(si / step) * step, key, "in")
    return text_of(si, key, "in") if is_exact(si) else value
