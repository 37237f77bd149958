"""One example of each kind of record, with every key: what a message offers for a key that is missing."""

from __future__ import annotations

from typing import Any

from swarfbook.records.base import Record
from swarfbook.records.keys import MODELS, Key, keys_of

EXAMPLES: dict[str, dict[str, Any]] = {
    "machine": {
        "schema": "machine/1",
        "name": "Long-bed router",
        "spindle": {
            "motor": "induction",
            "rated_power": "1.5 kW",
            "rated_speed": "18000 rpm",
            "min_speed": "6000 rpm",
            "max_speed": "24000 rpm",
            "speeds": ["10000 rpm", "18000 rpm"],
            "rating": "shaft",
            "efficiency": 0.8,
            "idle_power": "90 W",
            "overload": {"power": "1.8 kW", "duty": "S6 40%"},
            "thermal_time": "30 min",
            "torque_curve": [["6000 rpm", "0.80 N*m"], ["18000 rpm", "0.80 N*m"]],
            "runout": "0.01 mm",
        },
        "axes": {
            "max_feed": "5000 mm/min",
            "max_plunge": "1000 mm/min",
            "acceleration": "500 mm/s^2",
            "thrust": "250 N",
        },
        "tool_tip": {
            "stiffness": "3 N/um",
            "modes": [{"axis": "x", "frequency": "310 Hz", "damping": 0.03, "stiffness": "6 N/um"}],
        },
    },
    "tool": {
        "schema": "tool/1",
        "name": "6 mm one-flute end mill",
        "shape": "square",
        "diameter": "6 mm",
        "flutes": 1,
        "helix": "30 deg",
        "upcut_length": "5 mm",
        "flute_length": "16 mm",
        "reach": "16 mm",
        "neck_diameter": "5.6 mm",
        "shank_diameter": "6 mm",
        "overall_length": "50 mm",
        "corner_radius": "0.5 mm",
        "point_angle": "90 deg",
        "tip_diameter": "0 mm",
        "taper": "2 deg",
        "substrate": "carbide",
        "edge_radius": "5 um",
        "rake": "10 deg",
        "youngs_modulus": "600 GPa",
        "max_speed": "30000 rpm",
    },
    "material": {
        "schema": "material/1",
        "name": "6082-T6 flat bar",
        "table": "aluminium-wrought-6082-t6",
        "cutting_law": "linear-edge",
        "overrides": {
            "kc11": "700 N/mm^2",
            "mc": 0.25,
            "force_ratio_radial": 0.3,
            "force_ratio_axial": 0.1,
            "ktc": "800 N/mm^2",
            "krc": "200 N/mm^2",
            "kac": "100 N/mm^2",
            "kte": "10 N/mm",
            "kre": "10 N/mm",
            "kae": "1 N/mm",
            "min_chip_ratio": 0.3,
        },
    },
    "recipe": {
        "schema": "recipe/1",
        "name": "6 mm one-flute, 6082, bulk roughing",
        "machine": "long-bed-router",
        "tool": "em-6mm-1f",
        "material": "6082-t6",
        "operation": "rough",
        "standing": "max-effort",
        "spindle_speed": "18000 rpm",
        "feed_per_tooth": "0.05 mm",
        "feed_rate": "900 mm/min",
        "axial_depth": "3 mm",
        "radial_width": "1.5 mm",
        "direction": "climb",
        "stickout": "24 mm",
        "cooling": "air-blast",
        "allowance": "0.5 mm",
        "tolerance": "0.1 mm",
        "hole_diameter": "10 mm",
        "stock_offset": "0 mm",
        "ramp_angle": "3 deg",
        "wear": 1.0,
        "keep": ["radial_width"],
        "notes": "Second side: new tape.",
        "derived": {
            "from": "long-bed-6mm-6082-max",
            "parent_digest": "sha256:" + "0" * 64,
            "method": "least-time",
            "margin": 0.25,
        },
    },
    "job": {
        "schema": "job/1",
        "name": "Mast clamp plates",
        "machine": "long-bed-router",
        "material": "6082-t6",
        "quantity": 12,
        "pieces": 1,
        "ambient": "19 degC",
        "hands_off": True,
        "setup_time": "10 min",
        "tool_change_time": "2 min",
        "hourly_rate": 40.0,
        "material_price": 60.0,
        "currency": "EUR",
        "notes": "",
        "stock": {
            "form": "flat-bar",
            "thickness": "25.4 mm",
            "width": "101.6 mm",
            "length": "305 mm",
            "skim": "0.2 mm",
            "sold_length": "3 m",
            "sold_width": "101.6 mm",
            "saw": "3 mm",
            "clamp_loss": "20 mm",
            "gap": "2 mm",
        },
        "part": {"thickness": "25 mm", "width": "90 mm", "length": "280 mm"},
        "bed": {"material": "mdf", "thickness": "18 mm", "cut_in": "0.3 mm"},
        "flip": {"locate": "pins", "error": "0.05 mm"},
        "features": [
            {
                "id": "outline",
                "kind": "outside",
                "depth": "12 mm",
                "inside_corner": "4 mm",
                "width": "8 mm",
                "count": 1,
                "tolerance": "0.1 mm",
                "finish": "3 um",
                "place": "corner",
            }
        ],
        "holds": [
            {
                "side": "first",
                "method": "tape",
                "length": "300 mm",
                "width": "100 mm",
                "thickness": "0.5 mm",
                "count": 4,
                "force": "2 kN",
                "bolt": "m6",
                "torque": "8 N*m",
                "work_arm": "30 mm",
                "heel_arm": "45 mm",
                "anchor": "slot-nut-6",
                "jaws": "smooth",
            }
        ],
        "steps": [
            {
                "recipe": "long-bed-6mm-6082-rough",
                "feature": "outline",
                "side": "first",
                "path": "12 m",
                "volume": "80 cm^3",
                "move": "60 mm",
                "pattern": "both-ways",
                "allowance": "0.3 mm",
                "floor": "0.2 mm",
                "air": 0.2,
                "pause": "5 min",
            }
        ],
    },
    "book": {
        "schema": "book/1",
        "title": "Saltmarsh workshop",
        "units": "metric",
        "thresholds": {"tight": 0.8, "clean_time": "5 min", "clean_runs": 3},
        "safety_factors": {"bending": 2.0, "thrust": 2.0, "hold": 2.0},
    },
    "rename": {
        "schema": "rename/1",
        "at": "2026-11-02T14:30:00+00:00",
        "kind": "machine",
        "from": "router",
        "to": "long-bed-router",
    },
    "run": {
        "schema": "run/1",
        "id": "2026-11-02-1",
        "at": "2026-11-02T14:30:00+00:00",
        "recipe": "long-bed-6mm-6082-rough",
        "digest": "sha256:" + "0" * 64,
        "snapshot": {},
        "feed_override": 1.0,
        "speed_override": 1.0,
        "cutter": "em-6mm-1f no. 2",
        "minutes": 12.5,
        "outcome": "clean",
        "power": {"value": 410.0, "unit": "W", "side": "input"},
        "power_peak": {"value": 480.0, "unit": "W", "side": "input"},
        "idle_power": {"value": 90.0, "unit": "W", "side": "input"},
        "meter": {},
        "stock_temperature": {"value": 31.0, "unit": "degC"},
        "ambient": {"value": 19.0, "unit": "degC"},
        "note": "",
        "model": {},
        "replaces": "2026-11-02-0",
        "withdrawn": False,
    },
}


def example(kind: str, dotted: str) -> object:
    """Give an example value for a key, as the TOML reader gives it; raises KeyError for an unknown key."""
    value: Any = EXAMPLES[kind]
    for part in dotted.split("."):
        value = (value[0] if isinstance(value, list) else value)[part]
    return value


def starter(kind: str) -> dict[str, Any]:
    """Give the values of a new record to begin from: the example's, those alone that must stand."""
    begun = _needed(MODELS[kind], EXAMPLES[kind])
    if kind == "job":
        # What tape cannot be judged without is no matter of a key alone.
        begun["holds"][0] |= {key: EXAMPLES[kind]["holds"][0][key] for key in ("length", "width")}
        begun["stock"]["width"] = EXAMPLES[kind]["stock"]["width"]
    return begun


def _needed(model: type[Record], values: dict[str, Any]) -> dict[str, Any]:
    keys = [key for key in keys_of(model).values() if key.required]
    return {key.name: _starting(key, values[key.name]) for key in keys}


def _starting(key: Key, value: Any) -> Any:  # noqa: ANN401 - as the TOML reader gives it
    if key.table is None:
        return value
    return [_needed(key.table, one) for one in value] if key.many else _needed(key.table, value)


def as_toml(value: object) -> str:
    """Write an example or a found value as TOML, on one line."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, list):
        return f"[{', '.join(map(as_toml, value))}]"
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{key} = {as_toml(item)}' for key, item in value.items())} }}"
    return str(value)
