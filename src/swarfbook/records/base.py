"""What every record has in common.

A record's class only declares its keys: an annotation with the reader of the value, and a default where
the key may be left out. `records.keys` gives those declarations as data, `records.reader` reads files by
them, and `records.schema` builds pydantic's validators and JSON Schema from them where somebody asks;
importing pydantic for every command would cost as much as importing numpy.
"""

from collections.abc import Callable, Iterator, Mapping, Set
from typing import Any, ClassVar, NamedTuple, Self, dataclass_transform

Values = Mapping[str, Any]
"""Parsed values of one record by dotted key; what is left out or will not do is not in it."""

Fault = tuple[str, str]
"""A dotted key and what would do, for a value that is fine by itself but not beside the others."""

MISSING = "missing"
"""In place of what would do: the key has to stand and does not."""


class Declared(NamedTuple):
    """One key as a record's class declares it.

    Attributes:
        annotation: its type, `Annotated` with the reader of its value.
        name: the key as it stands in the file.
        default: what gives the value where the key is left out; None where it has to stand.
    """

    annotation: Any
    name: str
    default: Callable[[], object] | None


class Stated(NamedTuple):
    """What a declaration says besides the annotation; see `stated`."""

    name: str | None
    default_factory: Callable[[], object] | None


def stated(*, name: str | None = None, default_factory: Callable[[], object] | None = None) -> Any:  # noqa: ANN401
    """Declare a key whose name is no Python name, or whose default is made anew for each record."""
    return Stated(name, default_factory)


@dataclass_transform(kw_only_default=True, frozen_default=True, field_specifiers=(stated,))
class Record:
    """A table of a record file: SI floats, words and texts; never changed in place.

    Attributes:
        declared: its keys by attribute, in the order in which they are written.
        passes_over_unknown: whether keys that are not declared are let be, not refused.
    """

    declared: ClassVar[Mapping[str, Declared]] = {}
    passes_over_unknown: ClassVar[bool] = False

    def __init_subclass__(cls) -> None:
        cls.declared = {
            attribute: _declared(attribute, annotation, cls.__dict__)
            for attribute, annotation in cls.__annotations__.items()
        }

    def __init__(self, **values: object) -> None:
        """Take values as `records.parse` read them; what is left out gets its default."""
        if unknown := values.keys() - self.declared.keys():
            raise TypeError(f"{type(self).__name__} has no {', '.join(sorted(unknown))}")
        held = self.__dict__
        for attribute, key in self.declared.items():
            if attribute in values:
                held[attribute] = values[attribute]
            elif key.default is not None:
                held[attribute] = key.default()

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"a record is never changed in place: {name}")

    def __delattr__(self, name: str) -> None:
        raise AttributeError(f"a record is never changed in place: {name}")

    def __iter__(self) -> Iterator[tuple[str, Any]]:
        """Yield attributes with their values."""
        return iter(self.__dict__.items())

    def __eq__(self, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented
        return self.__dict__ == other.__dict__

    def __hash__(self) -> int:
        return hash((type(self), *self.__dict__.values()))

    def __repr__(self) -> str:
        return f"{type(self).__name__}({', '.join(f'{name}={value!r}' for name, value in self)})"

    def replaced(self, **changes: object) -> Self:
        """Give the record with other values of some attributes."""
        return type(self)(**(self.__dict__ | changes))

    @classmethod
    def relations(cls, values: Values, present: Set[str]) -> Iterator[Fault]:
        """Yield what does not fit together among `values`; `present` also has the keys that failed."""
        del values, present
        return iter(())


def _declared(attribute: str, annotation: object, body: Mapping[str, Any]) -> Declared:
    if isinstance(annotation, str):
        raise TypeError(f"{attribute}: a record's module does without `from __future__ import annotations`")
    if attribute not in body:
        return Declared(annotation, attribute, None)
    default = body[attribute]
    if isinstance(default, Stated):
        return Declared(annotation, default.name or attribute, default.default_factory)
    return Declared(annotation, attribute, lambda: default)


def above(values: Values, small: str, large: str) -> bool:
    """Say whether both values are there and the one meant to be smaller is the larger."""
    return small in values and large in values and bool(values[small] > values[large])
