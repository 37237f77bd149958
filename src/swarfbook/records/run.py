"""A run: what happened when a recipe was cut. One line of `runs/*.jsonl`."""

from collections.abc import Mapping
from datetime import datetime
from typing import Annotated, Any, Literal, get_args

from swarfbook import quantities
from swarfbook.records.base import Record, stated
from swarfbook.records.fields import (
    Digest,
    Flag,
    Free,
    Leaf,
    Moment,
    Name,
    Notes,
    Plain,
    Ratio,
    RecordId,
    Word,
)

Outcome = Literal[
    "clean", "chatter", "rubbing", "chip-welding", "recutting", "chips-packed", "melted", "scorched",
    "tear-out", "burr", "poor-finish", "off-size", "stalled", "lost-steps", "cutter-worn",
    "cutter-broke", "work-moved", "stopped",
]  # fmt: skip
CLEAN: Outcome = "clean"
"""The outcome that raises a high-water mark; any other one speaks against it."""
OUTCOMES: tuple[Outcome, ...] = get_args(Outcome)
Side = Literal["shaft", "input"]


class Reading(Record):
    """What a meter showed.

    Attributes:
        si: the reading [W, or K for a temperature].
        number: the reading in the unit of the meter.
        unit: that unit.
        side: side of the motor that power was read on; None for other readings and where nobody said.
    """

    si: float
    number: float
    unit: str
    side: Side | None = None


class Meter(Leaf):
    """Reads what a meter showed: `{"value": 410, "unit": "W", "side": "input"}` or "410 W"."""

    def __init__(self, dimension: str) -> None:
        """Set the dimension as `quantities` names it."""
        self.dimension = dimension
        self._of = dimension

    def read(self, raw: object) -> Reading:
        """Give the reading; raises `ValueError` for another unit, another side or no number."""
        side: Any = None
        if isinstance(raw, Mapping):
            side = None if raw.get("side") is None else SIDE.read(raw["side"])
            raw = f"{NUMBER.read(raw.get('value'))!r} {raw.get('unit')}"
        shown = quantities.read(raw, self._of)
        return Reading(si=shown.si, number=shown.number, unit=shown.unit, side=side)


SIDE = Word(get_args(Side))
NUMBER = Plain()
PowerReading = Annotated[Reading, Meter("power")]
TemperatureReading = Annotated[Reading, Meter("temperature")]


class Run(Record):
    """A run as its line in the log describes it; keys this version does not know are passed over.

    Attributes:
        id, at: its name in the log, and when it ended.
        recipe, digest: the recipe and the digest of its numbers then.
        snapshot: `recipe` with the overrides in its numbers, `tool`, `machine` and `material` as typed then.
        feed_override, speed_override: what the controls stood at, 1 for as programmed.
        cutter: which cutter of its kind.
        minutes: time in the cut [min].
        power, power_peak, idle_power: mean and peak while cutting, and without a cut.
        meter: where a meter's file is kept and what was used of it.
        model: what was worked out of the cut when it was logged; its place is `decisions.past`.
        replaces: id of the run this line corrects.
        withdrawn: that run never was.
    """

    passes_over_unknown = True

    id: Name
    at: Annotated[datetime, Moment()]
    recipe: RecordId
    digest: Digest | None = None
    snapshot: Annotated[dict[str, Any], Free()] = stated(default_factory=dict)
    feed_override: Ratio = 1.0
    speed_override: Ratio = 1.0
    cutter: Name | None = None
    minutes: Annotated[float, Plain(low=0.0)]
    outcome: Annotated[Outcome, Word(OUTCOMES)]
    power: PowerReading | None = None
    power_peak: PowerReading | None = None
    idle_power: PowerReading | None = None
    meter: Annotated[dict[str, Any], Free()] = stated(default_factory=dict)
    stock_temperature: TemperatureReading | None = None
    ambient: TemperatureReading | None = None
    note: Notes = ""
    model: Annotated[dict[str, Any], Free()] = stated(default_factory=dict)
    replaces: Name | None = None
    withdrawn: Annotated[bool, Flag()] = False

    @property
    def clean(self) -> bool:
        """Whether it ran clean."""
        return self.outcome == CLEAN
