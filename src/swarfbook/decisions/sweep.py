"""A recipe at many values of its knobs at once, by the one kernel that serves a single check."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from swarfbook.decisions.borders import Floats
from swarfbook.decisions.case import Case
from swarfbook.decisions.check import tight_threshold
from swarfbook.decisions.cutmap import uses_of
from swarfbook.decisions.figures import SPECS
from swarfbook.decisions.limits import rules
from swarfbook.decisions.numbers import Knobs, Numbers, evaluate, nominal_knobs
from swarfbook.frozen import frozen

KNOBS = tuple(field.name for field in fields(Knobs))


@frozen
class Sweep:
    """What a recipe asks at N sets of knobs.

    Attributes:
        knobs: axial depth, radial width, feed per tooth [m] and spindle speed [rev/s], each of shape (N,).
        quantities: everything that a check works out [SI], by name, each of shape (N,).
        uses: share of each limit that is used, by the limit's name, each of shape (N,); nan where it is not
            judged. Limits that are judged nowhere are left out.
        tightest: name of the hard limit of highest use, texts of shape (N,); empty where one is not judged.
        verdict: verdict of that limit, texts of shape (N,).
    """

    knobs: Mapping[str, Floats]
    quantities: Mapping[str, Floats]
    uses: Mapping[str, Floats]
    tightest: NDArray[Any]
    verdict: NDArray[Any]


def sweep(case: Case, turned: Mapping[str, Floats]) -> Sweep:
    """Work a recipe out at many values of its knobs.

    Args:
        case: the recipe, resolved.
        turned: values of some knobs by name [SI]; they broadcast against each other.

    Returns:
        All numbers in the order of the broadcast array's elements (the last axis fastest).

    Raises:
        ValueError: arrays that do not broadcast.
    """
    shape = np.broadcast_shapes(*(np.shape(values) for values in turned.values()))
    nominal = nominal_knobs(case)
    knobs = {
        name: np.ravel(
            np.broadcast_to(np.asarray(turned.get(name, getattr(nominal, name)), dtype=float), shape)
        )
        for name in KNOBS
    }
    size = knobs["axial_depth"].shape
    numbers = evaluate(case, Knobs(**knobs))
    uses = {name: use for name, use in uses_of(case, numbers, size).items() if np.isfinite(use).any()}
    tightest, verdict = _judged(case, uses, size)
    return Sweep(knobs, _quantities(numbers, size), uses, tightest, verdict)


def _quantities(numbers: Numbers, shape: tuple[int, ...]) -> dict[str, Floats]:
    return {
        spec.name: np.broadcast_to(np.asarray(getattr(numbers, spec.name), dtype=float), shape)
        for spec in SPECS
    }


def _judged(
    case: Case, uses: Mapping[str, Floats], shape: tuple[int, ...]
) -> tuple[NDArray[Any], NDArray[Any]]:
    hard = [rule.name for rule in rules(case) if rule.severity == "hard" and rule.name in uses]
    table = np.stack([uses[name] for name in hard])
    # What no formula reaches is never taken to hold.
    known = np.isfinite(table).all(axis=0)
    most = np.where(known, table.max(axis=0), np.nan)
    words = np.full(shape, "not judged", dtype="U10")
    words[known] = "holds"
    words[most > tight_threshold(case)] = "tight"
    words[most > 1] = "over"
    names = np.array(hard)[np.argmax(np.where(known, table, 0.0), axis=0)]
    return np.where(known, names, ""), words
