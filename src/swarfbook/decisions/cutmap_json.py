"""A map as one object, and the depth that is stable over speed."""

from __future__ import annotations

from typing import Any

import numpy as np

from swarfbook import quantities, records
from swarfbook.decisions.borders import Floats, crossings, outline
from swarfbook.decisions.cutmap import Axis, CutMap
from swarfbook.decisions.lobe_map import LobeMap
from swarfbook.decisions.numbers import Array


def knob_unit(knob: str, system: str = "metric") -> tuple[str, str]:
    """Give the dimension of a knob, and the unit it is written in."""
    dimension = records.dimension("recipe", knob) or ""
    return dimension, quantities.preferred_unit(dimension, system)


def scale(dimension: str, unit: str) -> float:
    """Give by what an SI number is multiplied to be in a unit that has no offset."""
    return 1 / quantities.to_si(1.0, dimension, unit)


def cut_map_json(found: CutMap) -> dict[str, Any]:
    """Give a map as one object: rows by y, columns by x; null where a limit is not judged."""
    rate = quantities.preferred_unit("volume_rate")
    standing = _standing(found)
    x, y = (scale(*knob_unit(axis.knob)) for axis in (found.x, found.y))
    return {
        "recipe": found.case.recipe_id,
        "x": _axis(found.x),
        "y": _axis(found.y),
        "removal_rate": _listed(found.removal_rate * scale("volume_rate", rate)),
        "removal_rate_unit": rate,
        "holds": found.holds.tolist(),
        "limits": {
            name: {
                "severity": found.severity[name],
                "standing": standing[name],
                "boundary": (crossings(found.x.values, found.y.values, use) * (x, y)).tolist(),
                "use": _listed(use),
            }
            for name, use in found.uses.items()
        },
        "over": list(found.over),
        "reaches": [
            {
                "knob": one.knob,
                "more": one.more,
                "limit": one.limit,
                "at": one.at * scale(*knob_unit(one.knob)),
            }
            for one in found.reaches
        ],
        "runs": [
            {
                "run": one.run,
                "went": one.went,
                "x": _in_unit(found.x, getattr(one.knobs, found.x.knob)),
                "y": _in_unit(found.y, getattr(one.knobs, found.y.knob)),
            }
            for one in found.ran
        ],
    }


def _standing(found: CutMap) -> dict[str, str]:
    sorted_out = outline(found.uses, found.severity)
    return {
        **dict.fromkeys(sorted_out.bounding, "bounds"),
        **dict.fromkeys(sorted_out.behind, "behind"),
        **dict.fromkeys(sorted_out.everywhere, "over everywhere"),
        **dict.fromkeys(sorted_out.nowhere, "not reached"),
    }


def _axis(axis: Axis) -> dict[str, Any]:
    unit = knob_unit(axis.knob)[1]
    values = [_in_unit(axis, value) for value in axis.values.tolist()]
    return {"knob": axis.knob, "unit": unit, "values": values, "recipe": _in_unit(axis, axis.now)}


def _in_unit(axis: Axis, si: float) -> float:
    return quantities.convert(float(si), *knob_unit(axis.knob))


def _listed(values: Floats) -> list[Any]:
    """Give numbers as lists; what is no number is null, which JSON has a word for."""
    numbers = np.asarray(values).astype(object)
    numbers[~np.isfinite(values)] = None
    listed: list[Any] = numbers.tolist()
    return listed


def lobe_map_json(found: LobeMap) -> dict[str, Any]:
    """Give stable depth over speed as one object; null where no lobe reaches a speed."""

    def depth(si: Array) -> Any:  # noqa: ANN401 - a number, a list of them, or null
        return _listed(np.asarray(si, dtype=float) * scale("length", "mm"))

    speed = scale("spindle_speed", "rpm")
    return {
        "recipe": found.case.recipe_id,
        "spindle_speed": (found.speeds * speed).tolist(),
        "spindle_speed_unit": "rpm",
        "stable_depth": depth(found.depths),
        "lowest_stable_depth": depth(found.lowest),
        "depth_unit": "mm",
        "at": {"spindle_speed": found.speed * speed, "axial_depth": depth(found.depth)},
    }
