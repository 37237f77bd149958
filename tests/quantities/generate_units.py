"""Rebuild `src/swarfbook/_units.py` from pint: `python tests/quantities/generate_units.py`.

Pint works in exact fractions here, so a factor such as 127/5000 (an inch in metres) is kept as two whole
numbers and a value is rounded once, not twice. Add a unit to `SPEC`, run this, and the tests hold the
table equal to pint's own floating-point registry.
"""

from fractions import Fraction
from pathlib import Path

import pint

TARGET = Path(__file__).parents[2] / "src" / "swarfbook" / "_units.py"
EXACT_LIMIT = 2**53

# dimension: (SI unit in pint's words, canonical spellings)
SPEC: dict[str, tuple[str, tuple[str, ...]]] = {
    "length": ("meter", ("mm", "in", "um", "cm", "m", "thou", "ft")),
    "feed_per_tooth": (
        "meter/tooth",
        ("mm", "in", "um", "thou", "mm/tooth", "in/tooth", "um/tooth", "thou/tooth"),
    ),
    "feed_rate": ("meter/second", ("mm/min", "in/min", "m/min", "mm/s", "in/s", "ft/min", "m/s")),
    "surface_speed": ("meter/second", ("m/min", "ft/min", "m/s")),
    "spindle_speed": ("revolution/second", ("rpm", "rev/min", "rev/s")),
    "power": ("watt", ("W", "kW", "hp")),
    "torque": ("newton*meter", ("N*m", "lbf*in", "lbf*ft", "N*mm", "N*cm")),
    "force": ("newton", ("N", "lbf", "kN")),
    "stress": ("pascal", ("N/mm^2", "ksi", "MPa", "GPa", "psi", "kPa", "Pa")),
    "edge_force": ("newton/meter", ("N/mm", "lbf/in", "N/m")),
    "stiffness": ("newton/meter", ("N/um", "lbf/in", "N/mm", "N/m")),
    "angle": ("radian", ("deg", "rad")),
    "ratio": ("dimensionless", ("", "%")),
    "frequency": ("hertz", ("Hz", "kHz")),
    "acceleration": ("meter/second**2", ("mm/s^2", "in/s^2", "m/s^2", "ft/s^2")),
    "volume": ("meter**3", ("cm^3", "in^3", "mm^3", "m^3")),
    "volume_rate": ("meter**3/second", ("cm^3/min", "in^3/min", "mm^3/min", "cm^3/s", "mm^3/s", "m^3/s")),
    "density": ("kilogram/meter**3", ("kg/m^3", "lb/in^3", "lb/ft^3", "g/cm^3")),
    "temperature": ("kelvin", ("degC", "degF", "K")),
    "time": ("second", ("min", "s", "h")),
    "mass": ("kilogram", ("kg", "lb", "g")),
    "conductivity": ("watt/meter/kelvin", ("W/(m*K)",)),
    "specific_heat": ("joule/kilogram/kelvin", ("J/(kg*K)", "kJ/(kg*K)")),
}
# A feed per tooth may be written as a plain length.
PER_TOOTH = {"mm", "in", "um", "thou"}

HEADER = '''"""Units and their factors to SI, by dimension, preferred spelling first.

Generated from pint by tests/quantities/generate_units.py; change that script, not this file.
A value in SI is `number * up / down + offset`. Revolutions and teeth count as themselves.
"""

from typing import Final

'''


def pint_name(unit: str, dimension: str) -> str:
    """Say a canonical spelling in pint's words."""
    if dimension == "feed_per_tooth" and unit in PER_TOOTH:
        unit += "/tooth"
    return unit.replace("^", "**").replace("rev", "revolution").replace("%", "percent") or "dimensionless"


def registry(number_type: type = float) -> pint.UnitRegistry:
    """Give pint's own registry, taught what a tooth is."""
    ureg = pint.UnitRegistry(non_int_type=number_type)
    ureg.define("tooth = [tooth]")
    return ureg


def factor(ureg: pint.UnitRegistry, unit: str, dimension: str) -> tuple[float, float, float]:
    """Measure a unit: (up, down, offset) such that SI = number * up / down + offset."""
    si = SPEC[dimension][0]
    name = pint_name(unit, dimension)
    at_zero, at_one = (Fraction(ureg.Quantity(Fraction(number), name).to(si).magnitude) for number in (0, 1))
    scale = at_one - at_zero
    exact = max(scale.numerator, scale.denominator) < EXACT_LIMIT
    up, down = (scale.numerator, scale.denominator) if exact else (float(scale), 1)
    return float(up), float(down), float(at_zero)


def render() -> str:
    """Write the whole module."""
    ureg = registry(Fraction)
    out = [HEADER, "UNITS: Final[dict[str, dict[str, tuple[float, float, float]]]] = {\n"]
    for dimension, (_, units) in SPEC.items():
        out.append(f'    "{dimension}": {{\n')
        out += [f'        "{unit}": {factor(ureg, unit, dimension)!r},\n' for unit in units]
        out.append("    },\n")
    out.append("}\n\n# The SI unit of each dimension, in pint's words.\nPINT_SI: Final[dict[str, str]] = {\n")
    out += [f'    "{dimension}": "{si}",\n' for dimension, (si, _) in SPEC.items()]
    return "".join([*out, "}\n"])


if __name__ == "__main__":
    TARGET.write_text(render(), encoding="utf-8")
