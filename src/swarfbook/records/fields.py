"""Readers of single values: each takes what stands in a file and gives what a record holds.

A reader raises `RefusedError` (a `ValueError`) whose message says what would do, in one line; where the value
stands and what was found is added by `records.parsing`.
"""

import math
import re
import unicodedata
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Annotated, Any

from pydantic import BaseModel, GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from swarfbook import quantities
from swarfbook.errors import did_you_mean

ID_LENGTH = 80
ID_PATTERN = re.compile(r"[a-z0-9][a-z0-9-]*\Z", re.ASCII)
DIGEST_PATTERN = re.compile(r"sha256:[0-9a-f]{64}\Z", re.ASCII)
DUTY_PATTERN = re.compile(r"S(?:1|2 ?[0-9]{1,3} ?min|[3-9] ?-?[0-9]{1,2} ?%|10)\Z", re.ASCII)
NAME_LENGTH = 200
SMALLEST, LARGEST = 1e-12, 1e15
BIDI = frozenset("\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class RefusedError(ValueError):
    """A value that will not do; the message says what would."""


@dataclass(frozen=True, slots=True)
class Leaf:
    """A reader of one value, as pydantic metadata: `Annotated[float, SomeLeaf()]`."""

    @property
    def dimension(self) -> str | None:
        """Dimension of the value as `quantities` names it; None for words, texts and whole numbers."""
        return None

    @property
    def choices(self) -> tuple[str, ...] | None:
        """The closed list the value is chosen from; None where there is none."""
        return None

    def read(self, raw: object) -> object:
        """Give the value a record holds; raises `ValueError` with what would do."""
        raise NotImplementedError

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Let pydantic call the reader and nothing else."""
        del source, handler
        return core_schema.no_info_plain_validator_function(self.read)


@dataclass(frozen=True, slots=True)
class Measure(Leaf):
    """A value with a dimension, read to SI and held to a range.

    Attributes:
        of: dimension as `quantities` names it.
        low, high: bounds [SI unit of the dimension].
        closed: which bounds may stand themselves: any of "low" and "high".
        span: the range in words, for the message.
    """

    of: str
    low: float = 0.0
    high: float = math.inf
    closed: tuple[str, ...] = ()
    span: str = "a value above 0"

    @property
    def dimension(self) -> str:
        """Dimension of the value as `quantities` names it."""
        return self.of

    def read(self, raw: object) -> float:
        """Give the SI value; raises `ValueError` for a wrong unit, a value out of range or not finite."""
        if isinstance(raw, bool):
            raise RefusedError("write a number, not true or false")
        value = quantities.parse(raw, self.of)
        if not math.isfinite(value):
            raise RefusedError("write a finite number")
        if not self._holds(value):
            raise RefusedError(f"write {self.span}")
        if value and not SMALLEST <= abs(value) <= LARGEST:
            raise RefusedError("no workshop has a value of that size; check the unit")
        return value + 0.0

    def _holds(self, value: float) -> bool:
        low = value >= self.low if "low" in self.closed else value > self.low
        high = value <= self.high if "high" in self.closed else value < self.high
        return low and high


@dataclass(frozen=True, slots=True)
class Plain(Leaf):
    """A bare number whose key carries the unit, 0 or above; only the run log has them."""

    def read(self, raw: object) -> float:
        """Give the number; raises `RefusedError` for anything else."""
        if isinstance(raw, bool) or not isinstance(raw, int | float) or not 0 <= raw <= LARGEST:
            raise RefusedError("write a number of 0 or above")
        return float(raw)


@dataclass(frozen=True, slots=True)
class Whole(Leaf):
    """A whole number between two bounds, both included."""

    low: int
    high: int

    def read(self, raw: object) -> int:
        """Give the number; raises `RefusedError` for anything else, `true` and `2.0` among it."""
        if isinstance(raw, bool) or not isinstance(raw, int) or not self.low <= raw <= self.high:
            raise RefusedError(f"write a whole number from {self.low} to {self.high}, without quotes")
        return raw


@dataclass(frozen=True, slots=True)
class Word(Leaf):
    """A word from a closed list."""

    words: tuple[str, ...]

    @property
    def choices(self) -> tuple[str, ...]:
        """The words that may stand."""
        return self.words

    def read(self, raw: object) -> str:
        """Give the word; raises `RefusedError` with the nearest ones."""
        if not isinstance(raw, str):
            raise RefusedError(f"write one of {', '.join(self.words)}, in quotes")
        if raw not in self.words:
            raise RefusedError(did_you_mean(raw, self.words))
        return raw


@dataclass(frozen=True, slots=True)
class Text(Leaf):
    """A text of a person: one line, or several for notes."""

    lines: bool = False

    def read(self, raw: object) -> str:
        """Give the text; raises `RefusedError` for an empty name and for control characters."""
        if not isinstance(raw, str):
            raise RefusedError("write a text in quotes")
        if any(_drives_a_terminal(char) and not (self.lines and char in "\n\r\t") for char in raw):
            raise RefusedError("take out the control characters")
        if not self.lines and not 0 < len(raw.strip()) <= NAME_LENGTH:
            raise RefusedError(f"write a text of 1 to {NAME_LENGTH} characters")
        return raw


def _drives_a_terminal(char: str) -> bool:
    return unicodedata.category(char) in {"Cc", "Cs", "Zl", "Zp"} or char in BIDI


@dataclass(frozen=True, slots=True)
class Pattern(Leaf):
    """A text of one fixed form."""

    form: re.Pattern[str]
    remedy: str

    def read(self, raw: object) -> str:
        """Give the text; raises `RefusedError` where it has another form."""
        if not isinstance(raw, str) or not self.form.match(raw):
            raise RefusedError(self.remedy)
        return raw


@dataclass(frozen=True, slots=True)
class Id(Leaf):
    """The id of a record: the stem of its file."""

    def read(self, raw: object) -> str:
        """Give the id; raises `RefusedError` for a path or anything else that is not one."""
        if not isinstance(raw, str):
            raise RefusedError("write an id in quotes")
        if len(raw) > ID_LENGTH:
            raise RefusedError(f"an id has at most {ID_LENGTH} characters")
        if not ID_PATTERN.match(raw):
            raise RefusedError("an id is lower-case letters, digits and hyphens, not a path")
        return raw


def check_id(text: str) -> str:
    """Give an id back; raises `RefusedError` where it is none."""
    return Id().read(text)


@dataclass(frozen=True, slots=True)
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


@dataclass(frozen=True, slots=True)
class Keyed:
    """Read a table by a model, keep it as a plain dict of what is there."""

    model: type[BaseModel]

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Validate with the model, then drop what is left out."""
        del source
        return core_schema.no_info_after_validator_function(_present, handler.generate_schema(self.model))


def _present(record: BaseModel) -> dict[str, Any]:
    return {key: value for key, value in record if value is not None}


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
Torque = Annotated[float, Measure("torque")]
Force = Annotated[float, Measure("force")]
Stress = Annotated[float, Measure("stress")]
StressFromZero = Annotated[float, from_zero("stress")]
EdgeForceFromZero = Annotated[float, from_zero("edge_force")]
Stiffness = Annotated[float, Measure("stiffness")]
Frequency = Annotated[float, Measure("frequency")]
Acceleration = Annotated[float, Measure("acceleration")]
Duration = Annotated[float, Measure("time")]
Ratio = Annotated[float, Measure("ratio")]
RatioFromZero = Annotated[float, from_zero("ratio")]
Share = Annotated[float, fraction(low=0.0, high=1.0, closed=("high",), span="a value above 0, at most 1")]
Damping = Annotated[float, fraction(low=0.0, high=1.0, closed=(), span="a value above 0 and below 1")]
Exponent = Annotated[float, fraction(low=0.0, high=1.0, closed=("low",), span="a value from 0 to below 1")]
Margin = Annotated[float, fraction(low=0.0, high=0.95, closed=("low", "high"), span="0 to 95 %")]
Name = Annotated[str, Text()]
Notes = Annotated[str, Text(lines=True)]
RecordId = Annotated[str, Id()]
Digest = Annotated[str, Pattern(DIGEST_PATTERN, 'write "sha256:" and 64 hex digits, as check prints it')]
Duty = Annotated[str, Pattern(DUTY_PATTERN, 'write the duty as in IEC 60034-1, for example "S6 40%"')]
