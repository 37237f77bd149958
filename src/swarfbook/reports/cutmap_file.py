"""A map, or stable depth over speed, as a CSV file."""

from __future__ import annotations

import csv
from io import StringIO

import numpy as np

from swarfbook.decisions.cutmap import CutMap
from swarfbook.decisions.cutmap_json import knob_unit, scale
from swarfbook.decisions.lobe_map import LobeMap
from swarfbook.reports.cutmap_page import in_units, rate_unit


def cut_map_csv(found: CutMap, *, system: str) -> str:
    """Write a point a line: both knobs, removal rate, use of every limit, and whether the hard ones hold.

    Args:
        found: the map.
        system: units of the numbers, `metric` or `imperial`; the header's names end in them.
    """
    x, y = np.meshgrid(in_units(found.x, system), in_units(found.y, system))
    rate = rate_unit(system)
    columns = {
        _named(found.x.knob, knob_unit(found.x.knob, system)[1]): x,
        _named(found.y.knob, knob_unit(found.y.knob, system)[1]): y,
        _named("removal_rate", rate): found.removal_rate * scale("volume_rate", rate),
        **{f"use_{name.replace('-', '_')}": use for name, use in found.uses.items()},
    }
    holds = ["yes" if one else "no" for one in found.holds.ravel().tolist()]
    return _table(columns, {"holds": holds})


def lobe_map_csv(found: LobeMap, *, system: str) -> str:
    """Write a speed a line with its stable depth, empty where no lobe reaches it; arguments as above."""
    (_, speed), (length, depth) = knob_unit("spindle_speed", system), knob_unit("axial_depth", system)
    columns = {
        _named("spindle_speed", speed): found.speeds * scale("spindle_speed", speed),
        _named("stable_depth", depth): found.depths * scale(length, depth),
    }
    return _table(columns, {})


def _named(name: str, unit: str) -> str:
    return f"{name}_{unit.replace('^', '').replace('/', '_per_').replace('*', '_')}"


def _table(columns: dict[str, np.ndarray], words: dict[str, list[str]]) -> str:
    text = StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow([*columns, *words])
    numbers = (_written(column) for column in columns.values())
    writer.writerows(zip(*numbers, *words.values(), strict=True))
    return text.getvalue()


def _written(column: np.ndarray) -> list[str]:
    return [repr(value) if np.isfinite(value) else "" for value in np.ravel(column).tolist()]
