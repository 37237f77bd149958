"""A small valid book on disk: one machine, one tool, one material, one recipe."""

from __future__ import annotations

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

from swarfbook.records.examples import EXAMPLES

MACHINE, TOOL, MATERIAL, RECIPE = "long-bed-router", "em-6mm-1f", "6082-t6", "long-bed-6mm-6082-rough"
JOB = "clamp-plates"

FILES = {
    "book": "book.toml",
    "machine": f"machines/{MACHINE}.toml",
    "tool": f"tools/{TOOL}.toml",
    "material": f"materials/{MATERIAL}.toml",
    "recipe": f"recipes/{RECIPE}.toml",
}

QUANTITIES = {
    "cutting_speed": "m/min", "spindle_speed": "rpm", "feed_per_tooth": "mm", "feed_rate": "mm/min",
    "engagement_angle": "deg", "chip_thickness_max": "mm", "chip_thickness_mean": "mm",
    "material_removal_rate": "cm^3/min", "specific_cutting_force": "N/mm^2", "cutting_torque_mean": "N*m",
    "cutting_torque_peak": "N*m", "cutting_power": "W", "spindle_input_power": "W", "force_peak": "N",
    "force_x_peak": "N", "force_y_peak": "N", "force_z_peak": "N", "deflection_tool": "mm",
    "deflection_total": "mm", "bending_stress_peak": "N/mm^2", "chip_thickness_runout": "mm",
    "force_peak_runout": "N",
}  # fmt: skip
"""Every quantity that a check of any cut has, with its unit."""

MODES = (
    'stiffness = "3 N/um"\nmodes = ['
    '{ axis = "x", frequency = "420 Hz", damping = 0.05, stiffness = "9 N/um" }, '
    '{ axis = "y", frequency = "380 Hz", damping = 0.05, stiffness = "8 N/um" }]'
)
"""What stands in a machine's table of the tool tip where its modes are measured."""

RUN: dict[str, Any] = EXAMPLES["run"] | {"replaces": None}
"""A run that corrects no other."""

VALUES: dict[str, dict[str, Any]] = {
    "book": {"schema": "book/1", "title": "Test workshop"},
    "machine": {
        "schema": "machine/1",
        "name": "Long-bed router",
        "spindle": {
            "motor": "induction",
            "rated_power": "1.5 kW",
            "rated_speed": "18000 rpm",
            "min_speed": "6000 rpm",
            "max_speed": "24000 rpm",
            "rating": "shaft",
            "efficiency": 0.8,
            "idle_power": "90 W",
            "runout": "0.01 mm",
        },
        "axes": {
            "max_feed": "5000 mm/min",
            "max_plunge": "1000 mm/min",
            "acceleration": "500 mm/s^2",
            "thrust": "250 N",
        },
        "tool_tip": {"stiffness": "3 N/um"},
    },
    "tool": {
        "schema": "tool/1",
        "name": "6 mm one-flute end mill",
        "shape": "square",
        "diameter": "6 mm",
        "flutes": 1,
        "helix": "30 deg",
        "flute_length": "16 mm",
        "shank_diameter": "6 mm",
        "overall_length": "50 mm",
        "substrate": "carbide",
        "edge_radius": "5 um",
        "max_speed": "30000 rpm",
    },
    "material": {
        "schema": "material/1",
        "name": "6082-T6 flat bar",
        "table": "aluminium-wrought-6082-t6",
        "cutting_law": "kienzle",
        "overrides": {"kc11": "700 N/mm^2", "mc": 0.25},
    },
    "recipe": {
        "schema": "recipe/1",
        "name": "6 mm one-flute, 6082, bulk roughing",
        "machine": MACHINE,
        "tool": TOOL,
        "material": MATERIAL,
        "operation": "rough",
        "standing": "max-effort",
        "spindle_speed": "18000 rpm",
        "feed_per_tooth": "0.05 mm",
        "axial_depth": "3 mm",
        "radial_width": "1.5 mm",
        "direction": "climb",
        "stickout": "24 mm",
        "cooling": "air-blast",
        "allowance": "0.5 mm",
    },
    "job": {
        "schema": "job/1",
        "name": "Clamp plates",
        "machine": MACHINE,
        "material": MATERIAL,
        "quantity": 12,
        "stock": {"form": "flat-bar", "thickness": "12 mm", "width": "100 mm", "length": "305 mm"},
        "part": {"thickness": "12 mm", "width": "90 mm", "length": "280 mm"},
        "features": [
            {"id": "outline", "kind": "outside", "depth": "12 mm"},
            {"id": "pocket", "kind": "pocket", "depth": "6 mm", "inside_corner": "4 mm"},
        ],
        "holds": [{"method": "vise", "force": "4 kN"}],
        "steps": [
            {"recipe": RECIPE, "feature": "pocket", "path": "3 m"},
            {"recipe": RECIPE, "feature": "outline", "path": "1.6 m"},
        ],
    },
}
"""A job is no part of the small book; a test that wants one saves it."""


def values(kind: str, changes: dict[str, Any] | None = None) -> dict[str, Any]:
    """Give the keys of a kind's record as typed; `changes` by dotted key, None takes a key out."""
    record = deepcopy(VALUES[kind])
    for dotted, value in (changes or {}).items():
        *tables, key = dotted.split(".")
        table = record
        for name in tables:
            table = table.setdefault(name, {})
        if value is None:
            table.pop(key, None)
        else:
            table[key] = value
    return record


def to_toml(record: dict[str, Any]) -> str:
    """Write a record as TOML: single values first, one level of tables and lists of tables below."""
    lines = [f"{key} = {_literal(value)}" for key, value in record.items() if not _tables("", value)]
    for name, value in record.items():
        for header, table in _tables(name, value):
            lines += ["", header, *(f"{key} = {_literal(value)}" for key, value in table.items())]
    return "\n".join(lines) + "\n"


def _tables(name: str, value: object) -> list[tuple[str, dict[str, Any]]]:
    if isinstance(value, dict):
        return [(f"[{name}]", value)]
    return [(f"[[{name}]]", one) for one in value if isinstance(one, dict)] if isinstance(value, list) else []


def _literal(value: object) -> str:
    if isinstance(value, list):
        return f"[{', '.join(map(_literal, value))}]"
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{key} = {_literal(item)}' for key, item in value.items())} }}"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str | bool) else repr(value)


def make_book(path: Path, **changes: Any) -> Path:
    """Write the book to a folder and give the folder.

    `changes` are by dotted key, the kind in front: `make_book(path, **{"recipe.axial_depth": "2 mm"})`;
    None takes a key out.
    """
    for folder in ("machines", "tools", "materials", "recipes", "jobs", "runs"):
        (path / folder).mkdir(parents=True, exist_ok=True)
    for kind, name in FILES.items():
        mine = {key.partition(".")[2]: value for key, value in changes.items() if key.startswith(f"{kind}.")}
        (path / name).write_text(to_toml(values(kind, mine)), encoding="utf-8")
    return path
