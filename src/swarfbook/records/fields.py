"""Readers of single values: each takes what stands in a file and gives what a record holds.

A reader raises `RefusedError` (a `ValueError`) whose message says what would do, in one line; where the
value stands and what was found is added by `records.reader`. They are plain classes: each dataclass would
cost every command a millisecond at start.
"""

import math
import re
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Annotated, Any

from swarfbook import quantities
from swarfbook.errors import did_you_mean, drives
from swarfbook.records.base import Record

ID_LENGTH = 80
ID_PATTERN = re.compile(r"[a-z0-9][a-z0-9-]*\Z", re.ASCII)
DIGEST_PATTERN = re.compile(r"sha256:[0-9a-f]{64}\Z", re.ASCII)
DUTY_PATTERN = re.compile(r"S(?:1|2 ?[0-9]{1,3} ?min|[3-9] ?-?[0-9]{1,2} ?%|10)\Z", re.ASCII)
NAME_LENGTH = 200
SMALLEST, LARGEST = 1e-12, 1e15


class RefusedError(ValueError):
    """A value that will not do; the message says what would."""


class Leaf:
    """A reader of one value, as a record declares it: `Annotated[float, SomeLeaf()]`.

    Attributes:
        dimension: dimension of the value as `quantities` names it; None for words, texts and whole numbers.
        choices: the closed list the value comes from; None where there is none.
        span: what may stand, in words; empty where that goes without saying.
    """

    dimension: str | None = None
    choices: tuple[str, ...] | None = None
    span: str = ""

    def read(self, raw: object) -> object:
        """Give the value a record holds; raises `ValueError` with what would do."""
        raise NotImplementedError


class Measure(Leaf):
    """A value with a dimension, read to SI and held to a range."""

    def __init__(
        self,
        dimension: str,
        *,
        low: float = 0.0,
        high: float = math.inf,
        closed: tuple[str, ...] = (),
        span: str = "a value above 0",
    ) -> None:
        """Set the dimension and the range.

        Args:
            dimension: dimension as `quantities` names it.
            low: lower bound [SI unit of the dimension].
            high: upper bound [SI unit of the dimension].
            closed: the bounds that may stand themselves, "low" and "high".
            span: the range in words, for the message.
        """
        self.dimension = dimension
        self._of = dimension
        self.low, self.high = low, high
        self.closed, self.span = closed, span

    def read(self, raw: object) -> float:
        """Give the SI value; raises `ValueError` for a wrong unit, a value out of range or not finite."""
        if isinstance(raw, bool):
            raise RefusedError("write a number, not true or false")
        value = quantities.parse(raw, self._of)
        if not math.isfinite(value):
            raise RefusedError("write a finite number")
        if not self._holds(value):
            raise RefusedError(f"write {self.span}")
        if value and not SMALLEST <= abs(value) <= LARGEST:
            raise RefusedError("no workshop has a value of that size; check the unit")
        return value

    def _holds(self, value: float) -> bool:
        low = value >= self.low if "low" in self.closed else value > self.low
        high = value <= self.high if "high" in self.closed else value < self.high
        return low and high


class Pair(Leaf):
    """A list of exactly two values, as the points of a torque curve are."""

    def __init__(self, first: Measure, second: Measure) -> None:
        """Set the readers of the two values."""
        self.leaves = (first, second)

    def read(self, raw: object) -> tuple[float, ...]:
        """Give both values; raises `ValueError` for a list of another length and as its readers do."""
        if not isinstance(raw, list) or len(raw) != len(self.leaves):
            raise RefusedError("write a list of two")
        return tuple(leaf.read(value) for leaf, value in zip(self.leaves, raw, strict=True))


class Plain(Leaf):
    """A bare number whose unit is known from its key or stands beside it; only the run log has them."""

    def __init__(self, low: float = -LARGEST) -> None:
        """Set the lowest number that may stand."""
        self.low = low

    def read(self, raw: object) -> float:
        """Give the number; raises `RefusedError` for anything else."""
        if isinstance(raw, bool) or not isinstance(raw, int | float) or not self.low <= raw <= LARGEST:
            raise RefusedError("write a number" + (f" of {self.low:g} or above" if self.low >= 0 else ""))
        return float(raw)


class Whole(Leaf):
    """A whole number between two bounds, both included."""

    def __init__(self, low: int, high: int) -> None:
        """Set the bounds."""
        self.low, self.high = low, high
        self.span = f"a whole number from {low} to {high}"

    def read(self, raw: object) -> int:
        """Give the number; raises `RefusedError` for anything else, `true` and `2.0` among it."""
        if isinstance(raw, bool) or not isinstance(raw, int) or not self.low <= raw <= self.high:
            raise RefusedError(f"write {self.span}, without quotes")
        return raw


class Word(Leaf):
    """A word from a closed list."""

    choices: tuple[str, ...]

    def __init__(self, words: tuple[str, ...]) -> None:
        """Set the words that may stand."""
        self.choices = words

    def read(self, raw: object) -> str:
        """Give the word; raises `RefusedError` with the nearest ones."""
        if not isinstance(raw, str):
            raise RefusedError(f"write one of {', '.join(self.choices)}, in quotes")
        if raw not in self.choices:
            raise RefusedError(did_you_mean(raw, self.choices))
        return raw


class Text(Leaf):
    """A text of a person: one line, or several for notes."""

    def __init__(self, *, lines: bool = False) -> None:
        """Set whether line breaks and an empty text will do."""
        self.lines = lines

    def read(self, raw: object) -> str:
        """Give the text; raises `RefusedError` for an empty name and for control characters."""
        if not isinstance(raw, str):
            raise RefusedError("write a text in quotes")
        if not raw.isprintable() and any(map(self._refused, raw)):  # letter by letter only where it matters
            raise RefusedError("take out the control characters")
        if not self.lines and not 0 < len(raw.strip()) <= NAME_LENGTH:
            raise RefusedError(f"write a text of 1 to {NAME_LENGTH} characters")
        return raw

    def _refused(self, char: str) -> bool:
        return drives(char) and not (self.lines and char in "\n\r\t")


class Pattern(Leaf):
    """A text of one fixed form."""

    def __init__(self, form: re.Pattern[str], remedy: str) -> None:
        """Set the form and what to say of a text of another."""
        self.form, self._remedy = form, remedy
        self.span = remedy.removeprefix("write ")

    def read(self, raw: object) -> str:
        """Give the text; raises `RefusedError` where it has another form."""
        if not isinstance(raw, str) or not self.form.match(raw):
            raise RefusedError(self._remedy)
        return raw


class Id(Leaf):
    """The id of a record: the stem of its file."""

    def read(self, raw: object) -> str:
        """Give the id; raises `RefusedError` for a path or anything else that is not one."""
        if not isinstance(raw, str):
            raise RefusedError("write an id in quotes")
        return check_id(raw)


def check_id(text: str) -> str:
    """Give an id back; raises `RefusedError` where the text is none."""
    if len(text) > ID_LENGTH:
        raise RefusedError(f"an id has at most {ID_LENGTH} characters")
    if not ID_PATTERN.match(text):
        raise RefusedError("an id is lower-case letters, digits and hyphens, not a path")
    return text


class Moment(Leaf):
    """A moment in ISO 8601; without an offset it is taken as UTC."""

    def read(self, raw: object) -> datetime:
        """Give the moment with its offset; raises `RefusedError` where it is not one."""
        remedy = 'write a time like "2026-11-02T14:30:00+00:00"'
        if not isinstance(raw, str):
            raise RefusedError(remedy)
        try:
            moment = datetime.fromisoformat(raw)
        except ValueError as error:
            raise RefusedError(remedy) from error
        return moment if moment.tzinfo else moment.replace(tzinfo=UTC)


class Flag(Leaf):
    """True or false."""

    def read(self, raw: object) -> bool:
        """Give the flag; raises `RefusedError` for anything else."""
        if not isinstance(raw, bool):
            raise RefusedError("write true or false")
        return raw


class Free(Leaf):
    """A table whose keys are not ours to check."""

    def read(self, raw: object) -> dict[str, Any]:
        """Give the table; raises `RefusedError` for anything else."""
        if not isinstance(raw, Mapping):
            raise RefusedError("write an object")
        return dict(raw)


class Keyed:
    """A table read by a model and kept as a plain dict of what is there."""

    def __init__(self, model: type[Record]) -> None:
        """Set the model."""
        self.model = model


def given(record: Record) -> dict[str, Any]:
    """Give the values of a record that are there, by attribute."""
    return {name: value for name, value in record if value is not None}


def from_zero(dimension: str) -> Measure:
    """Read a value of 0 or above."""
    return Measure(dimension, closed=("low",), span="0 or a value above it")


def fraction(*, low: float, high: float, closed: tuple[str, ...], span: str) -> Measure:
    """Read a ratio between two bounds."""
    return Measure("ratio", low=low, high=high, closed=closed, span=span)


def degrees(low: float, high: float) -> Measure:
    """Read an angle strictly between two bounds [deg]."""
    span = f"an angle above {low:g} deg and below {high:g} deg"
    return Measure("angle", low=math.radians(low), high=math.radians(high), span=span)


Length = Annotated[float, Measure("length")]
LengthFromZero = Annotated[float, from_zero("length")]
SpindleSpeed = Annotated[float, Measure("spindle_speed")]
FeedRate = Annotated[float, Measure("feed_rate")]
FeedPerTooth = Annotated[float, Measure("feed_per_tooth")]
Power = Annotated[float, Measure("power")]
PowerFromZero = Annotated[float, from_zero("power")]
CurvePoint = Annotated[tuple[float, float], Pair(Measure("spindle_speed"), Measure("torque"))]
Force = Annotated[float, Measure("force")]
Stress = Annotated[float, Measure("stress")]
StressFromZero = Annotated[float, from_zero("stress")]
EdgeForceFromZero = Annotated[float, from_zero("edge_force")]
Stiffness = Annotated[float, Measure("stiffness")]
Frequency = Annotated[float, Measure("frequency")]
Acceleration = Annotated[float, Measure("acceleration")]
Duration = Annotated[float, Measure("time")]
DurationFromZero = Annotated[float, from_zero("time")]
Volume = Annotated[float, Measure("volume")]
Torque = Annotated[float, Measure("torque")]
RoomTemperature = Annotated[
    float, Measure("temperature", low=233.15, high=333.15, closed=("low", "high"), span="-40 to 60 degC")
]
Ratio = Annotated[float, Measure("ratio")]
RatioFromZero = Annotated[float, from_zero("ratio")]
ShareFromZero = Annotated[float, fraction(low=0.0, high=1.0, closed=("low",), span="0 to below 1")]
Share = Annotated[float, fraction(low=0.0, high=1.0, closed=("high",), span="a value above 0, at most 1")]
Damping = Annotated[float, fraction(low=0.0, high=1.0, closed=(), span="a value above 0 and below 1")]
Exponent = Annotated[float, fraction(low=0.0, high=1.0, closed=("low",), span="a value from 0 to below 1")]
Margin = Annotated[float, fraction(low=0.0, high=0.95, closed=("low", "high"), span="0 to 95 %")]
Name = Annotated[str, Text()]
Notes = Annotated[str, Text(lines=True)]
RecordId = Annotated[str, Id()]
Digest = Annotated[str, Pattern(DIGEST_PATTERN, 'write "sha256:" and 64 hex digits, as check prints it')]
Duty = Annotated[str, Pattern(DUTY_PATTERN, 'write the duty as in IEC 60034-1, for example "S6 40%"')]
