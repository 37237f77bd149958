"""Units and their factors to SI, by dimension, preferred spelling first.

Generated from pint by tests/quantities/generate_units.py; change that script, not this file.
A value in SI is `number * up / down + offset`. Revolutions and teeth count as themselves.
"""

from typing import Final

UNITS: Final[dict[str, dict[str, tuple[float, float, float]]]] = {
    "length": {
        "mm": (1.0, 1000.0, 0.0),
        "in": (127.0, 5000.0, 0.0),
        "um": (1.0, 1000000.0, 0.0),
        "cm": (1.0, 100.0, 0.0),
        "m": (1.0, 1.0, 0.0),
        "thou": (127.0, 5000000.0, 0.0),
        "ft": (381.0, 1250.0, 0.0),
    },
    "feed_per_tooth": {
        "mm": (1.0, 1000.0, 0.0),
        "in": (127.0, 5000.0, 0.0),
        "um": (1.0, 1000000.0, 0.0),
        "thou": (127.0, 5000000.0, 0.0),
        "mm/tooth": (1.0, 1000.0, 0.0),
        "in/tooth": (127.0, 5000.0, 0.0),
        "um/tooth": (1.0, 1000000.0, 0.0),
        "thou/tooth": (127.0, 5000000.0, 0.0),
    },
    "feed_rate": {
        "mm/min": (1.0, 60000.0, 0.0),
        "in/min": (127.0, 300000.0, 0.0),
        "m/min": (1.0, 60.0, 0.0),
        "mm/s": (1.0, 1000.0, 0.0),
        "in/s": (127.0, 5000.0, 0.0),
        "ft/min": (127.0, 25000.0, 0.0),
        "m/s": (1.0, 1.0, 0.0),
    },
    "surface_speed": {
        "m/min": (1.0, 60.0, 0.0),
        "ft/min": (127.0, 25000.0, 0.0),
        "m/s": (1.0, 1.0, 0.0),
    },
    "spindle_speed": {
        "rpm": (1.0, 60.0, 0.0),
        "rev/min": (1.0, 60.0, 0.0),
        "rev/s": (1.0, 1.0, 0.0),
    },
    "power": {
        "W": (1.0, 1.0, 0.0),
        "kW": (1000.0, 1.0, 0.0),
        "hp": (745.6998715822702, 1.0, 0.0),
    },
    "torque": {
        "N*m": (1.0, 1.0, 0.0),
        "lbf*in": (0.1129848290276167, 1.0, 0.0),
        "lbf*ft": (3389544870828501.0, 2500000000000000.0, 0.0),
        "N*mm": (1.0, 1000.0, 0.0),
        "N*cm": (1.0, 100.0, 0.0),
    },
    "force": {
        "N": (1.0, 1.0, 0.0),
        "lbf": (8896443230521.0, 2000000000000.0, 0.0),
        "kN": (1000.0, 1.0, 0.0),
    },
    "stress": {
        "N/mm^2": (1000000.0, 1.0, 0.0),
        "ksi": (8896443230521.0, 1290320.0, 0.0),
        "MPa": (1000000.0, 1.0, 0.0),
        "GPa": (1000000000.0, 1.0, 0.0),
        "psi": (8896443230521.0, 1290320000.0, 0.0),
        "kPa": (1000.0, 1.0, 0.0),
        "Pa": (1.0, 1.0, 0.0),
    },
    "edge_force": {
        "N/mm": (1000.0, 1.0, 0.0),
        "lbf/in": (8896443230521.0, 50800000000.0, 0.0),
        "N/m": (1.0, 1.0, 0.0),
    },
    "stiffness": {
        "N/um": (1000000.0, 1.0, 0.0),
        "lbf/in": (8896443230521.0, 50800000000.0, 0.0),
        "N/mm": (1000.0, 1.0, 0.0),
        "N/m": (1.0, 1.0, 0.0),
    },
    "angle": {
        "deg": (0.017453292519943295, 1.0, 0.0),
        "rad": (1.0, 1.0, 0.0),
    },
    "ratio": {
        "": (1.0, 1.0, 0.0),
        "%": (1.0, 100.0, 0.0),
    },
    "frequency": {
        "Hz": (1.0, 1.0, 0.0),
        "kHz": (1000.0, 1.0, 0.0),
    },
    "acceleration": {
        "mm/s^2": (1.0, 1000.0, 0.0),
        "in/s^2": (127.0, 5000.0, 0.0),
        "m/s^2": (1.0, 1.0, 0.0),
        "ft/s^2": (381.0, 1250.0, 0.0),
    },
    "volume": {
        "cm^3": (1.0, 1000000.0, 0.0),
        "in^3": (2048383.0, 125000000000.0, 0.0),
        "mm^3": (1.0, 1000000000.0, 0.0),
        "m^3": (1.0, 1.0, 0.0),
    },
    "volume_rate": {
        "cm^3/min": (1.0, 60000000.0, 0.0),
        "in^3/min": (2048383.0, 7500000000000.0, 0.0),
        "mm^3/min": (1.0, 60000000000.0, 0.0),
        "cm^3/s": (1.0, 1000000.0, 0.0),
        "mm^3/s": (1.0, 1000000000.0, 0.0),
        "m^3/s": (1.0, 1.0, 0.0),
    },
    "density": {
        "kg/m^3": (1.0, 1.0, 0.0),
        "lb/in^3": (56699046250.0, 2048383.0, 0.0),
        "lb/ft^3": (28349523125.0, 1769802912.0, 0.0),
        "g/cm^3": (1000.0, 1.0, 0.0),
    },
    "temperature": {
        "degC": (1.0, 1.0, 273.15),
        "degF": (5.0, 9.0, 255.37222222222223),
        "K": (1.0, 1.0, 0.0),
    },
    "time": {
        "min": (60.0, 1.0, 0.0),
        "s": (1.0, 1.0, 0.0),
        "h": (3600.0, 1.0, 0.0),
    },
    "mass": {
        "kg": (1.0, 1.0, 0.0),
        "lb": (45359237.0, 100000000.0, 0.0),
        "g": (1.0, 1000.0, 0.0),
    },
    "conductivity": {
        "W/(m*K)": (1.0, 1.0, 0.0),
    },
    "specific_heat": {
        "J/(kg*K)": (1.0, 1.0, 0.0),
        "kJ/(kg*K)": (1000.0, 1.0, 0.0),
    },
}

# The SI unit of each dimension, in pint's words.
PINT_SI: Final[dict[str, str]] = {
    "length": "meter",
    "feed_per_tooth": "meter/tooth",
    "feed_rate": "meter/second",
    "surface_speed": "meter/second",
    "spindle_speed": "revolution/second",
    "power": "watt",
    "torque": "newton*meter",
    "force": "newton",
    "stress": "pascal",
    "edge_force": "newton/meter",
    "stiffness": "newton/meter",
    "angle": "radian",
    "ratio": "dimensionless",
    "frequency": "hertz",
    "acceleration": "meter/second**2",
    "volume": "meter**3",
    "volume_rate": "meter**3/second",
    "density": "kilogram/meter**3",
    "temperature": "kelvin",
    "time": "second",
    "mass": "kilogram",
    "conductivity": "watt/meter/kelvin",
    "specific_heat": "joule/kilogram/kelvin",
}
