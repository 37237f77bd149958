"""Backing a recipe off, in a table: what each method leaves of every load, side by side."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from swarfbook import quantities
from swarfbook.decisions.check import Check
from swarfbook.decisions.derate import Derating, percent_text
from swarfbook.decisions.figures import Figure
from swarfbook.decisions.promise import PROMISED
from swarfbook.decisions.risk import Risk
from swarfbook.decisions.titles import said, title
from swarfbook.reports.ladder import FINE, SMALL_LENGTH, percent
from swarfbook.reports.listing import telling
from swarfbook.reports.sentence import NO_BREAK, shown

LABEL, NOW, NARROWEST = 16, 13, 8
NUMBERS = (("spindle_speed", ""), ("feed_per_tooth", " a tooth"), ("feed_rate", ""),
           ("axial_depth", " deep"), ("radial_width", " wide"))  # fmt: skip
SHORT = "short"
TOLD = 0.001  # chances under it are told together
SMALL_RATE = 1e-7 / 60  # m^3/s: smaller ones are shown in the finer unit


@dataclass(frozen=True, slots=True)
class MethodTable:
    """A table of text.

    Attributes:
        methods: heading of each method's column.
        labels: heading of each row.
        now: the parent's column.
        cells: a column for each method, row by row.
    """

    methods: tuple[str, ...]
    labels: tuple[str, ...]
    now: tuple[str, ...]
    cells: tuple[tuple[str, ...], ...]

    def lines(self, *, width: int, chosen: int) -> list[list[str]]:
        """Lay the table out: each line as its label with the parent's column, then the methods that fit.

        The chosen method is among them, its heading in brackets.
        """
        shown_methods = self._window(width, chosen)
        beside = self._now_width()
        head = [f"[{name}]" if at == chosen else name for at, name in enumerate(self.methods)]
        lines = [[f" {'':<{LABEL}}{'now':>{beside}}", *(self._cell(at, head[at]) for at in shown_methods)]]
        for y, label in enumerate(self.labels):
            cells = (self._cell(at, self.cells[at][y]) for at in shown_methods)
            lines.append([f" {label:<{LABEL}}{self.now[y]:>{beside}}", *cells])
        return lines

    def _now_width(self) -> int:
        return max(NOW, *(len(text) + 1 for text in self.now))

    def _cell(self, method: int, text: str) -> str:
        return f"{text:>{self._width(method)}}"

    def _width(self, method: int) -> int:
        return max(len(self.methods[method]) + 3, NARROWEST)

    def _window(self, width: int, chosen: int) -> range:
        """Give the columns that fit, the chosen one among them and as many before it as can stay."""
        room = width - LABEL - self._now_width() - 1
        first, last = 0, len(self.methods)
        while sum(self._width(at) for at in range(first, last)) > room and last - first > 1:
            first, last = (first + 1, last) if first < chosen and last - 1 == chosen else (first, last - 1)
        return range(first, last)


def method_table(
    parent: Check, deratings: Mapping[str, Derating | None], *, system: str = "metric"
) -> MethodTable:
    """Set methods side by side.

    Args:
        parent: the recipe that is backed off, checked.
        deratings: what each method gives; None while it is being worked out.
        system: `metric` or `imperial`.
    """
    names = ("material_removal_rate", *PROMISED, "chip_thickness_max")
    labels = ("", *map(title, names), "chance over")
    now = ("", *(_shown(parent.figures[name], system) for name in names), percent(_chance(parent)))
    cells = tuple(_column(derating, len(labels), system) for derating in deratings.values())
    return MethodTable(tuple(map(said, deratings)), labels, now, cells)


def load_text(si: float, dimension: str, unit: str, *, system: str) -> str:
    """Show a load in its usual unit.

    Args:
        si: value [SI].
        dimension: its dimension.
        unit: its metric unit.
        system: `metric` or `imperial`.
    """
    usual = quantities.preferred_unit(dimension, system) if system == "imperial" else unit
    return quantities.show(si, dimension, unit=usual)


def _shown(figure: Figure, system: str) -> str:
    unit = figure.unit
    if figure.dimension == "length" and figure.value < SMALL_LENGTH:
        return quantities.show(figure.value, figure.dimension, unit=FINE[system])
    if figure.dimension == "volume_rate" and figure.value < SMALL_RATE:
        unit = "mm^3/min"
    return load_text(figure.value, figure.dimension, unit, system=system)


def _chance(check: Check) -> float:
    known = [limit.chance_over for limit in check.limits if limit.severity == "hard"]
    return max((chance for chance in known if chance is not None), default=0.0)


def _column(derating: Derating | None, rows: int, system: str) -> tuple[str, ...]:
    if derating is None:
        return ("working", *("…" for _ in range(rows - 1)))
    most = 1 - derating.margin
    ratios = {demand.name: demand.ratio for demand in derating.demands}
    loads = (_ratio(ratios[name], most) for name in PROMISED)
    chip = _shown(derating.check.figures["chip_thickness_max"], system)
    outcome = "ready" if derating.reached else SHORT
    return (outcome, f"{derating.removal_rate_ratio:.2f}", *loads, chip, percent(derating.chance_over))


def _ratio(ratio: float, most: float) -> str:
    """Write what is left of a load, in brackets where that is more than was promised."""
    return f"{ratio:.2f}" if ratio <= most * (1 + 1e-9) else f"({ratio:.2f})"


def numbers(values: Mapping[str, object]) -> str:
    """Say a recipe's numbers and nothing else."""
    given = [(key, word) for key, word in NUMBERS if values.get(key) is not None]
    return ", ".join(f"{shown(values[key], key)}{word}" for key, word in given)


def risk_text(found: Risk) -> str:
    """Say what a derating to a chance came to: the margin, and the chance of each load's limit."""
    likely = {name: chance for name, chance in found.chances.items() if chance >= TOLD}
    chances = [f"{title(name)} {percent(chance)}" for name, chance in likely.items()]
    if len(likely) < len(found.chances):
        chances.append(f"{'the others' if likely else 'all'} {percent(TOLD / 2)}")
    thin = f"{title('chip-thin')} {percent(found.chip_thin)}, which backing off does not lower"
    margin = percent_text(found.derating.margin)
    least = f"A margin of {margin} is the least that does it"
    begins = least if found.reached else f"Not reached, {found.note}; at a margin of {margin}"
    return f"{begins}. Chances: {', '.join(chances)}; {thin}.".replace(" %", f"{NO_BREAK}%")


def tells(check: Check) -> str:
    """Say the limit that tells most of a recipe, as in a list."""
    limit = telling(check)
    return f"{title(limit.name)} {limit.use or 0.0:.2f} {check.verdict}"


def beside(parent: Check, derating: Derating, *, label: str) -> Sequence[tuple[str, str, str]]:
    """Set the child beside its parent: heading, numbers and the limit that tells most of each."""
    return (
        ("now", numbers(parent.case.values), tells(parent)),
        (label, numbers(derating.values), tells(derating.check)),
    )
