"""A frozen class does what the standard library's frozen dataclass of the same fields does."""

from __future__ import annotations

import pickle
from abc import ABC, abstractmethod
from copy import copy, deepcopy
from dataclasses import FrozenInstanceError, asdict, dataclass, field, fields, is_dataclass, replace

import pytest

from swarfbook.frozen import frozen


@frozen
class Hole:
    """A hole."""

    depth: float
    name: str = "bore"
    marks: dict[str, int] = field(default_factory=dict)

    @property
    def deep(self) -> bool:
        return self.depth > 1.0


@frozen
class Thread(Hole):
    """A hole with a thread."""

    pitch: float = 1.25


@dataclass(frozen=True, slots=True)
class Plain:
    """The standard library's, of the same fields."""

    depth: float
    name: str = "bore"
    marks: dict[str, int] = field(default_factory=dict)


BOTH = pytest.mark.parametrize("made", [Hole, Plain])


@BOTH
def test_values_are_given_in_order_or_by_name_and_the_rest_are_defaults(made):
    one = made(2.0, marks={"a": 1})
    assert (one.depth, one.name, one.marks) == (2.0, "bore", {"a": 1})
    assert made(depth=2.0, name="x", marks={}) == made(2.0, "x", {}) == made(2.0, "x")


@BOTH
def test_each_has_a_default_of_its_own(made):
    assert made(2.0).marks is not made(2.0).marks


@BOTH
@pytest.mark.parametrize(
    ("given", "named"),
    [
        ((), {}),
        ((), {"name": "x"}),
        ((1.0, "x", {}, 4), {}),
        ((1.0,), {"depth": 2.0}),
        ((1.0, "x", {}), {"depth": 2.0}),
        ((1.0, "x"), {"depth": 2.0}),
    ],
)
def test_a_value_missing_twice_or_too_many_is_refused(made, given, named):
    with pytest.raises(TypeError):
        made(*given, **named)


@pytest.mark.parametrize("named", [{"width": 1.0}, {"name": "x", "width": 1.0}])
def test_a_value_of_no_field_is_refused(named):
    with pytest.raises((TypeError, AttributeError)):
        Hole(1.0, **named)


@BOTH
def test_nothing_is_changed_in_place_or_added(made):
    one = made(2.0)
    with pytest.raises(FrozenInstanceError):
        one.depth = 3.0
    with pytest.raises(FrozenInstanceError):
        del one.depth
    with pytest.raises((FrozenInstanceError, TypeError)):
        one.width = 3.0
    assert not hasattr(one, "__dict__")
    assert one == made(2.0)


@BOTH
def test_values_count_and_the_class_does_too(made):
    assert made(2.0) == made(2.0)
    assert made(2.0) != made(3.0)
    assert made(2.0, marks=()) != (2.0, "bore", ())
    assert hash(made(2.0, marks=())) == hash(made(2.0, marks=())) != hash(made(3.0, marks=()))


def test_one_class_is_not_another():
    assert Hole(2.0) != Plain(2.0)
    assert Hole(2.0) != Thread(2.0)


def test_it_reads_like_the_call_that_makes_it():
    assert (
        repr(Hole(2.0))
        == repr(Plain(2.0)).replace("Plain", "Hole")
        == "Hole(depth=2.0, name='bore', marks={})"
    )


@BOTH
def test_the_standard_library_works_on_it(made):
    one = made(2.0, marks={"a": 1})
    assert is_dataclass(one)
    assert [each.name for each in fields(one)] == ["depth", "name", "marks"]
    assert asdict(one) == {"depth": 2.0, "name": "bore", "marks": {"a": 1}}
    assert replace(one, depth=3.0) == made(3.0, marks={"a": 1})


@BOTH
@pytest.mark.parametrize("copied", [copy, deepcopy, lambda one: pickle.loads(pickle.dumps(one))])  # noqa: S301 - its own bytes
def test_copies_are_equal(made, copied):
    one = made(2.0, marks={"a": 1})
    assert copied(one) == one


def test_one_that_extends_another_has_its_fields_and_methods():
    thread = Thread(2.0, pitch=1.5)
    assert (thread.depth, thread.pitch, thread.deep) == (2.0, 1.5, True)
    assert [each.name for each in fields(thread)] == ["depth", "name", "marks", "pitch"]
    assert replace(thread, pitch=2.0) == Thread(2.0, "bore", {}, 2.0)


def test_an_abstract_one_is_not_made():
    @frozen
    class Shape(ABC):
        """A shape."""

        size: float

        @abstractmethod
        def area(self) -> float: ...

    @frozen
    class Square(Shape):
        """A square."""

        def area(self) -> float:
            return self.size**2

    assert Square(3.0).area() == 9.0
    with pytest.raises(TypeError):
        Shape(3.0)


def test_a_method_of_its_own_is_kept():
    @frozen
    class Named:
        """Known by its name."""

        name: str
        note: str = ""

        def __eq__(self, other: object) -> bool:
            return isinstance(other, Named) and other.name == self.name

        def __hash__(self) -> int:
            return hash(self.name)

    assert Named("a", "x") == Named("a", "y")
    assert len({Named("a", "x"), Named("a", "y")}) == 1


def test_a_class_with_work_to_do_after_it_is_made_is_refused():
    class Busy:
        one: int

        def __post_init__(self):
            raise AssertionError

    with pytest.raises(TypeError, match="Busy: __post_init__ would not be called"):
        frozen(Busy)
