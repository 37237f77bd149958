"""A run: what happened when a recipe was cut. One line of `runs/*.jsonl`."""

from datetime import datetime
from typing import Annotated, Any, Literal, get_args

from pydantic import ConfigDict, Field

from swarfbook.records.base import Record
from swarfbook.records.fields import Digest, Free, Moment, Name, Notes, Plain, Ratio, RecordId, Text, Word

Outcome = Literal[
    "clean", "chatter", "rubbing", "chip-welding", "recutting", "chips-packed", "melted", "scorched",
    "tear-out", "burr", "poor-finish", "off-size", "stalled", "lost-steps", "cutter-worn",
    "cutter-broke", "work-moved", "stopped",
]  # fmt: skip
Side = Literal["shaft", "input"]


class Reading(Record):
    """What a meter showed: the number, its unit and the side of the motor it was read on."""

    value: Annotated[float, Plain()]
    unit: Annotated[str, Text()]
    side: Annotated[Side, Word(get_args(Side))] | None = None


class Run(Record):
    """A run as its line in the log describes it; keys this version does not know are passed over."""

    model_config = ConfigDict(extra="ignore")

    id: Name
    at: Annotated[datetime, Moment()]
    recipe: RecordId
    digest: Digest | None = None
    snapshot: Annotated[dict[str, Any], Free()] = Field(default_factory=dict)
    feed_override: Ratio = 1.0
    speed_override: Ratio = 1.0
    cutter: Name | None = None
    minutes: Annotated[float, Plain(low=0.0)]
    outcome: Annotated[Outcome, Word(get_args(Outcome))]
    power: Reading | None = None
    power_peak: Reading | None = None
    stock_temperature: Reading | None = None
    ambient: Reading | None = None
    note: Notes = ""
