"""A recipe: cutting numbers for one machine, one tool and one material."""

from collections.abc import Iterator, Set
from typing import Annotated, Literal, get_args

from swarfbook.records.base import MISSING, Fault, Record, Values, stated
from swarfbook.records.fields import (
    Digest,
    FeedPerTooth,
    FeedRate,
    Length,
    LengthFromZero,
    Margin,
    Name,
    Notes,
    Ratio,
    RecordId,
    SpindleSpeed,
    Word,
    degrees,
)

Operation = Literal[
    "face-rough", "face-finish", "rough", "slot", "semi-finish", "finish", "through-cut",
    "chamfer", "bore", "ramp", "plunge",
]  # fmt: skip
Standing = Literal["trial", "proven", "max-effort", "retired"]
Direction = Literal["climb", "conventional"]
Cooling = Literal["dry", "air-blast", "mist", "flood"]
Knob = Literal["axial_depth", "radial_width", "feed_per_tooth", "spindle_speed"]
Method = Literal["least-time", "engagement", "depth", "speed", "feed"]


OPERATION_KEYS = {
    "hole_diameter": ("bore",),
    "ramp_angle": ("ramp",),
    "stock_offset": ("face-rough", "face-finish"),
}
"""Keys that only some operations have: the stock's middle off the cutter's axis is a face's."""


class Derived(Record):
    """Where a recipe came from: its parent, the parent's digest then, the method and the margin."""

    from_: RecordId = stated(name="from")
    parent_digest: Digest
    method: Annotated[Method, Word(get_args(Method))]
    margin: Margin


class Recipe(Record):
    """A recipe as its file describes it: lengths [m], speed [rev/s], exactly one feed [m, m/s]."""

    name: Name
    machine: RecordId
    tool: RecordId
    material: RecordId
    operation: Annotated[Operation, Word(get_args(Operation))]
    standing: Annotated[Standing, Word(get_args(Standing))]
    spindle_speed: SpindleSpeed
    feed_per_tooth: FeedPerTooth | None = None
    feed_rate: FeedRate | None = None
    axial_depth: Length
    radial_width: Length
    direction: Annotated[Direction, Word(get_args(Direction))]
    stickout: Length
    cooling: Annotated[Cooling, Word(get_args(Cooling))]
    allowance: LengthFromZero | None = None
    tolerance: Length | None = None
    hole_diameter: Length | None = None
    stock_offset: LengthFromZero | None = None
    ramp_angle: Annotated[float, degrees(0, 60)] | None = None
    wear: Ratio | None = None
    keep: tuple[Annotated[Knob, Word(get_args(Knob))], ...] = ()
    notes: Notes = ""
    derived: Derived | None = None

    @classmethod
    def relations(cls, values: Values, present: Set[str]) -> Iterator[Fault]:
        """Yield a feed that is missing or one too many, and keys of another operation."""
        for key, operations in OPERATION_KEYS.items():
            if key in present and values.get("operation") not in (None, *operations):
                yield key, f"only for the operation {' or '.join(operations)}"
        feeds = {"feed_per_tooth", "feed_rate"} & present
        if not feeds:
            yield "feed_per_tooth", MISSING
        if len(feeds) > 1:
            yield "feed_rate", "keep feed_per_tooth or feed_rate, not both"
