"""Knobs as they will be written: in the unit the person typed, rounded so that the promise still holds."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from swarfbook import quantities, records
from swarfbook.frozen import frozen

FIGURES = 3
# The coarsest step a knob is written in, by its unit; finer where three figures ask for it.
COARSEST_STEP = {"mm": 0.01, "in": 0.0005, "rpm": 10.0, "mm/min": 1.0, "in/min": 0.1}


@frozen
class Written:
    """A knob as it stands in the file.

    Attributes:
        text: number and unit.
        si: what that text reads as, in SI.
    """

    text: str
    si: float


def as_typed(values: Mapping[str, Any], key: str) -> Written:
    """Give a knob as the parent has it, untouched."""
    text = str(values[key])
    return Written(text, quantities.parse(text, _dimension(key)))


def rounded_down(si: float, values: Mapping[str, Any], key: str, *, steps_lower: int = 0) -> Written:
    """Round a knob down to a number a person would type, `steps_lower` steps further if asked."""
    unit = _unit(values, key)
    number = quantities.convert(si, _dimension(key), unit)
    step = _step(number, unit)
    count = math.floor(number / step * (1 + 1e-12)) - steps_lower
    return _written(count * step, step, unit, key)


def rounded_up(si: float, values: Mapping[str, Any], key: str) -> Written:
    """Round a knob up: the feed that must not fall under the rubbing floor."""
    unit = _unit(values, key)
    number = quantities.convert(si, _dimension(key), unit)
    step = _step(number, unit)
    return _written(math.ceil(number / step * (1 - 1e-12)) * step, step, unit, key)


def _written(number: float, step: float, unit: str, key: str) -> Written:
    number = round(number, max(0, -math.floor(math.log10(step) + 1e-9)) + 1)
    text = quantities.write(number, unit)
    return Written(text, quantities.parse(text, _dimension(key)))


def _step(number: float, unit: str) -> float:
    figures = 10.0 ** (math.floor(math.log10(number)) - FIGURES + 1)
    return min(figures, COARSEST_STEP.get(unit, figures))


def _unit(values: Mapping[str, Any], key: str) -> str:
    return quantities.read(values[key], _dimension(key)).unit


def _dimension(key: str) -> str:
    dimension = records.dimension("recipe", key)
    if dimension is None:
        raise KeyError(key)
    return dimension
