"""The recipes of a book as rows of a list: grouped, ordered, found by words, marked. No widget."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from swarfbook import records
from swarfbook.decisions.check import Check
from swarfbook.decisions.titles import title
from swarfbook.frozen import frozen
from swarfbook.reports.evidence_page import word
from swarfbook.reports.listing import telling
from swarfbook.tui.finding import Finder

NOT_READ = "cannot be read"


@frozen
class Row:
    """One recipe in the list.

    Attributes:
        id: its id.
        name: its name.
        machine, tool, material: what it is cut with, by name.
        standing: its standing.
        words: everything the find line looks in, as `findable` gives it.
        trouble: why it cannot be read; empty where it can.
        dirty: it has changes that are not saved.
    """

    id: str
    name: str
    machine: str = ""
    tool: str = ""
    material: str = ""
    standing: str = ""
    words: str = ""
    trouble: str = ""
    dirty: bool = False

    @property
    def group(self) -> str:
        """Machine and material, by name."""
        return f"{self.machine} · {self.material}"


@frozen
class Told:
    """What a list says of a recipe that was judged.

    Attributes:
        title: the limit that tells most, as it is said.
        use: its use.
        verdict: the recipe's verdict, or `covered` where it holds and all of it has run clean.
        trouble: why it cannot be judged; empty where it was.
    """

    title: str = ""
    use: float = 0.0
    verdict: str = ""
    trouble: str = ""

    @classmethod
    def of(cls, one: Check) -> Told:
        """Tell of a checked recipe."""
        limit = telling(one)
        return cls(title(limit.name), limit.use or 0.0, word(one))


GROUPS: dict[str, Callable[[Row], str]] = {
    "machine and material": lambda row: row.group,
    "machine": lambda row: row.machine,
    "cutter": lambda row: row.tool,
    "material": lambda row: row.material,
    "nothing": lambda _row: "",
}
"""What rows can be grouped by, and the heading of each."""

ORDERS = ("name", "tightest first", "standing")
_STANDINGS = {word: at for at, word in enumerate(records.choices("recipe", "standing") or ())}


@dataclass(slots=True)
class Shelf(Finder[Row]):
    """The list of recipes as it stands.

    Attributes:
        known: the rows by id.
        told: what was judged, by id.
        marks: ids of the marked rows.
        grouped: what the rows are grouped by, one of `GROUPS`.
        order: their order within a group, one of `ORDERS`.
        wish: the one to choose as soon as it is there, unless another is chosen before; empty for none.
    """

    known: dict[str, Row] = field(default_factory=dict)
    told: dict[str, Told] = field(default_factory=dict)
    marks: set[str] = field(default_factory=set)
    grouped: str = "machine and material"
    order: str = "name"
    wish: str = ""

    def open(self, chosen: str | None) -> None:
        """Begin anew with what is known: nothing looked for, nothing marked, one row chosen."""
        self.find.text, self.find.caret = "", 0
        self.marks.clear()
        self.wish = chosen or ""
        self.arrange(chosen)

    def move(self, step: int) -> None:
        """Choose another row, as far as there are any."""
        self.wish = ""
        Finder.move(self, step)

    def take(self, rows: Iterable[Row]) -> None:
        """Put rows in, new ones and ones that changed."""
        self.known.update((row.id, row) for row in rows)
        self.arrange(self.wish if self.wish in self.known else self.chosen)

    def keep(self, ids: Iterable[str]) -> None:
        """Drop all rows but those of some ids."""
        kept = set(ids)
        if len(kept) < len(self.known):
            self.known = {key: row for key, row in self.known.items() if key in kept}
            self.marks &= kept
            self.arrange(self.chosen)

    def judge(self, told: Mapping[str, Told]) -> None:
        """Put in what was worked out, by id; what is chosen stays chosen."""
        self.told.update(told)
        if self.order == "tightest first" or self.find.text:
            self.arrange(self.chosen)

    def found_by(self, row: Row) -> str:
        """Give the words a row is found by, its verdict among them."""
        told = self.told.get(row.id)
        return row.words if told is None else f"{row.words} {told.verdict}"

    # Grouping and order

    def arrange(self, chosen: str | None) -> None:
        """Sort the rows: by heading, then as ordered, then by name; unreadable ones come last."""
        rows = sorted(self.known.values(), key=lambda row: (row.name.lower(), row.id))
        if self.order != "name":
            rows.sort(key=self._tightness if self.order == "tightest first" else _by_standing)
        rows.sort(key=lambda row: (bool(row.trouble), self.heading(row).lower()))
        self.fill(rows, chosen)

    def _tightness(self, row: Row) -> float:
        told = self.told.get(row.id)
        return 1.0 if told is None or told.trouble else -told.use

    def heading(self, row: Row) -> str:
        """Give the heading a row stands under; empty for none."""
        return NOT_READ if row.trouble else GROUPS[self.grouped](row)

    def next_group(self) -> None:
        """Group by the next thing."""
        self.grouped = _after(self.grouped, tuple(GROUPS))
        self.arrange(self.chosen)

    def next_order(self) -> None:
        """Take the next order."""
        self.order = _after(self.order, ORDERS)
        self.arrange(self.chosen)

    @property
    def arrangement(self) -> str:
        """Say what the rows are grouped by and how they are ordered."""
        by = "not grouped" if self.grouped == "nothing" else f"by {self.grouped}"
        return f"{by} · {self.order if self.order == 'tightest first' else f'in order of {self.order}'}"

    # Marks

    def mark(self) -> None:
        """Mark the chosen row, or take its mark away, and go to the next."""
        if self.chosen is not None:
            self.marks ^= {self.chosen}
            self.move(1)

    def mark_found(self) -> None:
        """Mark all that was found."""
        self.marks |= {row.id for row in self.hits}

    def marked(self) -> list[str]:
        """Give the marked ids in the order they stand."""
        return [row.id for row in self.rows if row.id in self.marks]


def _by_standing(row: Row) -> int:
    return _STANDINGS.get(row.standing, len(_STANDINGS))


def _after(word: str, words: tuple[str, ...]) -> str:
    return words[(words.index(word) + 1) % len(words)]
