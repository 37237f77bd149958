"""Frozen dataclasses that cost little at start.

The standard library writes and compiles six methods for every frozen dataclass, a third of a millisecond
in all; for the hundred classes of a command that is more than the command itself takes. Here the classes
share their methods. `fields`, `replace` and `asdict` of the standard library work on them as on any other.
To make one takes some microseconds instead of one: what is made by the hundred stays a `dataclass`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import MISSING, FrozenInstanceError, dataclass, fields
from functools import cache, partial
from typing import Any, NoReturn, TypeVar, dataclass_transform

T = TypeVar("T")


@dataclass_transform(frozen_default=True)
def frozen(cls: type[T]) -> type[T]:
    """Make a frozen, slotted dataclass; fields with a default of their own making have `default_factory`."""
    if hasattr(cls, "__post_init__"):
        raise TypeError(f"{cls.__name__}: __post_init__ would not be called; make it a dataclass")
    for name, method in _METHODS.items():
        if name not in cls.__dict__:
            setattr(cls, name, method)
    return dataclass(init=False, repr=False, eq=False, slots=True)(cls)


def _init(self: Any, *given: object, **named: object) -> None:  # noqa: ANN401 - of any frozen class
    names, count = self.__match_args__, len(given) + len(named)
    named.update(zip(names, given, strict=False))
    if not len(names) == count == len(named):
        named = _completed(type(self), named, count)
    for name, value in named.items():
        _set(self, name, value)


_set = object.__setattr__


def _completed(cls: Any, values: dict[str, object], count: int) -> dict[str, object]:  # noqa: ANN401 - as above
    """Add the defaults; raises TypeError where a value is given twice, or one too many, or one is missing."""
    names = cls.__match_args__
    if len(values) != count:
        raise TypeError(f"{cls.__name__} takes {', '.join(names)}, each once")
    values = {name: make() for name, make in _defaults(cls).items() if name not in values} | values
    if len(values) < len(names):
        raise TypeError(f"{cls.__name__} lacks {', '.join(name for name in names if name not in values)}")
    return values


@cache
def _defaults(cls: Any) -> dict[str, Callable[[], object]]:  # noqa: ANN401 - as above
    plain = {one.name: partial(_same, one.default) for one in fields(cls) if one.default is not MISSING}
    return plain | {
        one.name: one.default_factory for one in fields(cls) if one.default_factory is not MISSING
    }


def _same(value: object) -> object:
    return value


def _values(one: Any) -> tuple[object, ...]:  # noqa: ANN401 - of any frozen class
    return tuple([getattr(one, name) for name in one.__match_args__])


def _eq(self: object, other: object) -> bool:
    return _values(self) == _values(other) if type(other) is type(self) else NotImplemented


def _hash(self: object) -> int:
    return hash(_values(self))


def _repr(self: Any) -> str:  # noqa: ANN401 - of any frozen class
    shown = (f"{name}={value!r}" for name, value in zip(self.__match_args__, _values(self), strict=True))
    return f"{type(self).__qualname__}({', '.join(shown)})"


def _refuse(self: object, name: str, value: object = None) -> NoReturn:
    del self, value
    raise FrozenInstanceError(f"cannot change field {name!r}")


def _reduce(self: object) -> tuple[object, ...]:
    return type(self), _values(self)


_METHODS: dict[str, Callable[..., Any]] = {
    "__init__": _init,
    "__eq__": _eq,
    "__hash__": _hash,
    "__repr__": _repr,
    "__setattr__": _refuse,
    "__delattr__": _refuse,
    "__reduce__": _reduce,
}
