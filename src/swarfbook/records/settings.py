"""What `book.toml` says: the book's title, the units shown, thresholds and safety factors."""

from typing import Annotated, Literal, get_args

from swarfbook.records.base import Record
from swarfbook.records.fields import Duration, Name, Ratio, Share, Whole, Word

UnitSystem = Literal["metric", "imperial"]


class Thresholds(Record):
    """When a use counts as tight, and how long [s] and how often a run must be clean to count."""

    tight: Share = 0.8
    clean_time: Duration = 300.0
    clean_runs: Annotated[int, Whole(1, 1000)] = 3


class SafetyFactors(Record):
    """Safety factors that replace those of the reference tables; None leaves the table's."""

    bending: Ratio | None = None
    thrust: Ratio | None = None
    hold: Ratio | None = None


class BookSettings(Record):
    """The settings of one book."""

    title: Name
    units: Annotated[UnitSystem, Word(get_args(UnitSystem))] | None = None
    thresholds: Thresholds = Thresholds()
    safety_factors: SafetyFactors = SafetyFactors()
