"""The numbers of a check, one at a time: what it asks, and each limit it is held against."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from swarfbook import quantities

if TYPE_CHECKING:
    import pint

    from swarfbook.decisions.check import Check, Limit
    from swarfbook.decisions.figures import Figure


class Value:
    """One number that a check reports.

    `value`, `low` and `high` are in `unit`, as in JSON; `si` is the value in the SI unit, for the
    functions of `swarfbook.physics` (a spindle speed in revolutions per second).
    """

    __slots__ = ("_figure",)

    def __init__(self, figure: Figure) -> None:
        self._figure = figure

    @property
    def name(self) -> str:
        """Its name, as in JSON."""
        return self._figure.name

    @property
    def unit(self) -> str:
        """Unit of `value`, `low` and `high`; empty for a ratio."""
        return self._figure.unit

    @property
    def value(self) -> float:
        """The value from the nominal inputs, which is the median."""
        return self._figure.in_unit(self._figure.value)

    @property
    def low(self) -> float:
        """5 % point: one cut in twenty lies under it."""
        return self._figure.in_unit(self._figure.number.band()[0])

    @property
    def high(self) -> float:
        """95 % point: one cut in twenty lies above it."""
        return self._figure.in_unit(self._figure.number.band()[1])

    @property
    def si(self) -> float:
        """The value in the SI unit of its dimension."""
        return self._figure.value

    @property
    def quantity(self) -> pint.Quantity[float]:
        """The value as a pint quantity in `unit`; revolutions and teeth are dimensions there."""
        return quantities.to_pint(self._figure.value, self._figure.dimension, self._figure.unit)

    @property
    def origin(self) -> str:
        """Where it comes from, in words: `from` in JSON."""
        return self._figure.origin

    @property
    def formula(self) -> str:
        """How it is worked out."""
        return self._figure.formula

    @property
    def assumed(self) -> bool:
        """Whether a default stands in for something that it rests on."""
        return bool(self._figure.assumed_inputs)

    @property
    def assumed_inputs(self) -> tuple[str, ...]:
        """The inputs that a default stands in for."""
        return self._figure.assumed_inputs

    def columns(self) -> dict[str, Any]:
        """Give what a table holds of it, by column."""
        names = ("value", "unit", "low", "high", "assumed", "origin")
        return {name: getattr(self, name) for name in names}

    def __float__(self) -> float:
        return self.value

    def __repr__(self) -> str:
        shown = quantities.show(self.si, self._figure.dimension, unit=self.unit)
        return f"{self.name}: {shown}"


class JudgedLimit:
    """One limit that a check was held against; `demand`, `limit` and `mark` are in `unit`, as in JSON."""

    __slots__ = ("_check", "_limit")

    def __init__(self, check: Check, limit: Limit) -> None:
        self._check, self._limit = check, limit

    @property
    def name(self) -> str:
        """Its name, as in JSON."""
        return self._limit.name

    @property
    def severity(self) -> str:
        """`hard`, or `advice`."""
        return self._limit.severity

    @property
    def sense(self) -> str:
        """`maximum`, or `minimum` where the demand has to be at least the limit."""
        return self._limit.sense

    @property
    def demand(self) -> float:
        """What the recipe asks."""
        return self._limit.in_unit(self._limit.demand)

    @property
    def limit(self) -> float | None:
        """What can be given; None where that is not known."""
        return None if self._limit.limit is None else self._limit.in_unit(self._limit.limit)

    @property
    def unit(self) -> str:
        """Unit of demand, limit and mark; empty for a ratio."""
        return self._limit.unit

    @property
    def use(self) -> float | None:
        """Share of the limit that is used; None where not judged."""
        return self._limit.use

    @property
    def verdict(self) -> str:
        """`holds`, `tight`, `over` or `not judged`."""
        return self._limit.verdict

    @property
    def mark(self) -> float | None:
        """High-water mark, the highest demand that ran clean (of a minimum the lowest); None without one."""
        return None if self._limit.mark is None else self._limit.in_unit(self._limit.mark.value)

    @property
    def chance_over(self) -> float | None:
        """Chance that the limit is not kept; None where not judged."""
        return self._limit.chance_over

    @property
    def origin(self) -> str:
        """Where the limit comes from, in words: `from` in JSON; of an unjudged one what to give."""
        return self._limit.origin

    @property
    def remedy(self) -> str:
        """The smallest single change that eases a strained one; empty where there is none, or no need."""
        from swarfbook.decisions.relief import relief  # noqa: PLC0415 - a search, made where it is asked for

        return str(relief(self._check, self._limit) or "")

    @property
    def assumed(self) -> bool:
        """Whether a default stands in for something behind it."""
        return bool(self._limit.assumed_inputs)

    def columns(self) -> dict[str, Any]:
        """Give what a table holds of it, by column."""
        names = (
            "verdict",
            "use",
            "demand",
            "limit",
            "unit",
            "sense",
            "severity",
            "mark",
            "chance_over",
            "assumed",
        )
        return {name: getattr(self, name) for name in names}

    def __repr__(self) -> str:
        use = "" if self.use is None else f", use {self.use:.2f}"
        return f"{self.name}: {self.verdict}{use}"
