"""What every record has in common."""

from collections.abc import Iterator, Mapping, Set
from typing import Any

from pydantic import BaseModel, ConfigDict

Values = Mapping[str, Any]
"""Parsed values of one record by dotted key; what is left out or will not do is not in it."""

Fault = tuple[str, str]
"""A dotted key and what would do, for a value that is fine by itself but not beside the others."""

MISSING = "missing"
"""In place of what would do: the key has to stand and does not."""


class Record(BaseModel):
    """A table of a record file: SI floats, words and texts; unknown keys refused; never changed in place."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)

    @classmethod
    def relations(cls, values: Values, present: Set[str]) -> Iterator[Fault]:
        """Yield what does not fit together among `values`; `present` also has the keys that failed."""
        del values, present
        return iter(())


def above(values: Values, small: str, large: str) -> bool:
    """Say whether both values are there and the one meant to be smaller is the larger."""
    return small in values and large in values and bool(values[small] > values[large])
