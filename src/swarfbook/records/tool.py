"""A cutter, in the words of ISO 13399."""

import math
from collections.abc import Iterator, Set
from typing import Annotated, Literal, get_args

from swarfbook.records.base import MISSING, Fault, Record, Values, above
from swarfbook.records.fields import (
    Length,
    LengthFromZero,
    Name,
    SpindleSpeed,
    Stress,
    Whole,
    Word,
    degrees,
)

Shape = Literal["square", "ball", "corner-radius", "chamfer", "tapered"]
Substrate = Literal["carbide", "hss", "cobalt-hss"]

SHAPE_KEYS = {
    "corner_radius": ("corner-radius", True),
    "point_angle": ("chamfer", True),
    "tip_diameter": ("chamfer", False),
    "taper": ("tapered", True),
}
"""Keys that belong to one shape only, and whether that shape needs them."""

ORDERED = (
    ("upcut_length", "flute_length", "upcut_length", "a length not above flute_length"),
    ("flute_length", "overall_length", "flute_length", "a length not above overall_length"),
    ("reach", "overall_length", "reach", "a length not above overall_length"),
    ("flute_length", "reach", "reach", "a length not below flute_length, or leave it out"),
    ("neck_diameter", "diameter", "neck_diameter", "a diameter not above the cutting diameter"),
)
"""Smaller, larger, the key to complain about and what would do."""


class Tool(Record):
    """A cutter as its file describes it: lengths [m], angles [rad], stress [Pa], speed [rev/s]."""

    name: Name
    shape: Annotated[Shape, Word(get_args(Shape))]
    diameter: Length
    flutes: Annotated[int, Whole(1, 24)]
    helix: Annotated[float, degrees(-80, 80)]
    upcut_length: Length | None = None
    flute_length: Length
    reach: Length | None = None
    neck_diameter: Length | None = None
    shank_diameter: Length
    overall_length: Length
    corner_radius: LengthFromZero | None = None
    point_angle: Annotated[float, degrees(0, 180)] | None = None
    tip_diameter: LengthFromZero | None = None
    taper: Annotated[float, degrees(0, 90)] | None = None
    substrate: Annotated[Substrate, Word(get_args(Substrate))]
    edge_radius: Length | None = None
    rake: Annotated[float, degrees(-60, 60)] | None = None
    youngs_modulus: Stress | None = None
    max_speed: SpindleSpeed | None = None

    @classmethod
    def relations(cls, values: Values, present: Set[str]) -> Iterator[Fault]:
        """Yield lengths that cannot stand beside each other and keys of another shape."""
        for small, large, key, remedy in ORDERED:
            if above(values, small, large):
                yield key, f"write {remedy}"
        yield from _small_ends(values)
        if "shape" in values:
            yield from _shape_keys(present, values["shape"])


def _small_ends(values: Values) -> Iterator[Fault]:
    diameter = values.get("diameter", math.inf)
    if values.get("corner_radius", 0.0) > diameter / 2:
        yield "corner_radius", "write a radius not above half the diameter"
    if values.get("edge_radius", 0.0) > diameter / 2:
        yield "edge_radius", "write a radius not above half the diameter"
    if values.get("tip_diameter", 0.0) >= diameter:
        yield "tip_diameter", "write a diameter below the cutting diameter"


def _shape_keys(present: Set[str], shape: str) -> Iterator[Fault]:
    for key, (owner, needed) in SHAPE_KEYS.items():
        if key in present and shape != owner:
            yield key, f"leave it out: only a {owner} cutter has it and this one is {shape}"
        if key not in present and shape == owner and needed:
            yield key, MISSING
