"""A book's run log as evidence: what each run asked, and what that says of a recipe now.

A run is worked out from its own numbers as cut, and with what is known of its machine, cutter and material
today: what is measured or mended later holds for the past as well. What a run asked stands in its line
(`model`), with a basis that tells whether machine, cutter, material and formulas are still those of that
day; if they are, nothing is worked out anew.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict
from typing import Any
from weakref import WeakKeyDictionary

import numpy as np

from swarfbook import quantities, records
from swarfbook.book import Book
from swarfbook.book.columns import METERED
from swarfbook.book.runlog import RunLog
from swarfbook.decisions import case as cases
from swarfbook.decisions.case import Case, Gives
from swarfbook.decisions.cuts import Asked, Cuts, Floats, Whole
from swarfbook.decisions.force_learning import Learning
from swarfbook.decisions.limits import RUNG_ORDER
from swarfbook.decisions.numbers import Numbers, evaluate, nominal_knobs
from swarfbook.decisions.observing import Readings, metered, read_metered
from swarfbook.decisions.past import NOTHING, Past
from swarfbook.decisions.powers import AllMetered, Three, cell_of, log_ratios, only_as_modelled, read_power
from swarfbook.decisions.sums import Observed, Sums
from swarfbook.errors import SwarfbookError
from swarfbook.frozen import frozen
from swarfbook.records import Machine, Material, Reading, Run, Tool

REVISION = 1
"""To be raised whenever the formulas give other numbers, so that no run is read by old ones."""
DEMANDS = tuple(dict.fromkeys(rule.demand for rule in RUNG_ORDER))
KNOWLEDGE = ("schema", "name", "edge_radius", "rake", "youngs_modulus", "max_speed")
"""Keys of a cutter that say what is known of it; the others say which cutter it was."""

MOST = 1e15  # in SI, more than anything asks: a damaged log must not spoil a page

Parts = tuple[Machine, Tool, Material]
PastOf = Callable[[Three, Parts], Past]
"""Gives what is known of the runs of a machine, cutter and material."""


def load_case(book: Book, recipe_id: str, gives: Gives | None = None, past: PastOf | None = None) -> Case:
    """Read a recipe, all it names and what the run log says of it; as `case.load_case` and `judged`."""
    return judged(book, cases.load_case(book, recipe_id, gives), past)


def case_of(book: Book, recipe_id: str, values: Mapping[str, Any], gives: Gives | None = None) -> Case:
    """Resolve a recipe's values, saved or not, with what the run log says; as `case.case_of`."""
    return judged(book, cases.case_of(book, recipe_id, values, gives))


def judged(book: Book, case: Case, past: PastOf | None = None) -> Case:
    """Give a case what the run log of its book says of its machine, cutter and material.

    Args:
        book: the book.
        case: the recipe, resolved.
        past: what tells the past; None asks the log as it is now.
    """
    three = (case.recipe.machine, case.recipe.tool, case.recipe.material)
    parts = (case.machine, case.tool, case.material)
    found = past(three, parts) if past else past_of(book, three, parts)
    return case if found is NOTHING else cases.with_past(case, found)


def past_of(book: Book, three: Three, parts: Parts) -> Past:
    """Give what a book's log says of a machine, cutter and material, by their ids and records."""
    known = evidence(book)
    return known.past(three, parts) if known.rows.size else NOTHING


def past_once(book: Book) -> PastOf:
    """Give what tells the past of any three by the log as it is now: for a list of recipes, not for long."""
    known = evidence(book)
    if not known.rows.size:
        return lambda _three, _parts: NOTHING
    learning, found = known.learning(), dict[Three, Past]()

    def past(three: Three, parts: Parts) -> Past:
        if three not in found:
            found[three] = known.past(three, parts, learning)
        return found[three]

    return past


def evidence(book: Book) -> Evidence:
    """Give a book's evidence, worked out once for as long as its log does not change."""
    log = book.light_log()
    found = _KNOWN.get(book)
    if found is None or found.log is not log:
        found = _KNOWN[book] = Evidence(book, log)
    return found


@frozen
class Told:
    """The runs of a machine, cutter and material, with what was worked out of them.

    Attributes:
        asked: what they asked, N of them in the order of the log.
        measured, predicted: cutting power at the shaft behind each reading, and by the law as it is
            tabulated [W], shape (N,); NaN where the run teaches nothing.
        weight: what each counts for [1], shape (N,).
    """

    asked: Asked
    measured: Floats
    predicted: Floats
    weight: Floats

    def teaching(self) -> Whole:
        """Give the places of those whose power teaches something."""
        return np.flatnonzero(~np.isnan(self.measured))


class Evidence:
    """The runs of a book, by machine, cutter and material.

    Attributes:
        log: the log.
        table: its lines as columns.
        rows: those of the runs that count, in the order of the log.
    """

    def __init__(self, book: Book, log: RunLog, rows: Whole | None = None) -> None:
        self.book, self.log, self.table = book, log, log.table
        self.rows = self.table.counts if rows is None else rows
        self._of = self._by_three()
        self._told: dict[Three, tuple[str, Told]] = {}
        self._learning: tuple[Any, Learning] | None = None
        self._bases = Bases()

    def _by_three(self) -> dict[Three, Whole]:
        """Sort the rows by machine, cutter and material, those that do not say left out."""
        threes = [three_in(snapshot) for snapshot in self.table.snapshots]
        place = {three: number for number, three in enumerate(dict.fromkeys(threes))}
        of_snapshot = np.array([place[three] for three in threes], dtype=np.intp)
        which = of_snapshot[self.table.snapshot[self.rows]] if of_snapshot.size else np.arange(0)
        which = which.astype(np.min_scalar_type(len(place)))  # few bits are sorted faster
        order = np.argsort(which, kind="stable")
        ends = np.searchsorted(which[order], np.arange(len(place) + 1))
        found = {
            three: self.rows[order[ends[number] : ends[number + 1]]]
            for three, number in place.items()
            if three is not None
        }
        return {three: rows for three, rows in found.items() if rows.size}

    def among(self, rows: Whole) -> Evidence:
        """Give the evidence of these rows alone."""
        return Evidence(self.book, self.log, rows)

    def past(self, three: Three, parts: Parts, learning: Learning | None = None) -> Past:
        """Give what the log says of a machine, cutter and material.

        Args:
            three: their ids.
            parts: their records.
            learning: what the measured power teaches; None works it out with what is known now.
        """
        cuts = Cuts(self.table, self.told(three, parts).asked)
        return Past(cuts, (learning or self.learning()).learnt(three, parts))

    def told(self, three: Three, parts: Parts) -> Told:
        """Give every run of a machine, cutter and material with what it asked."""
        now = self._bases.of(parts)
        known = self._told.get(three)
        if known is None or known[0] != now:
            rows = self._of.get(three, self.rows[:0])
            known = self._told[three] = now, _Telling(self.book, self.log, parts, now).told(rows)
        return known[1]

    def metered(self) -> AllMetered:
        """Give every run whose power teaches something, in the order of the log."""
        told = {three: self.told(three, parts) for three, parts in self._known_parts()}
        known = {three: one for three, one in told.items() if one.teaching().size}
        found = [(told, told.teaching()) for told in known.values()]
        rows = np.concatenate([self.rows[:0], *(told.asked.rows[places] for told, places in found)])
        three = np.repeat(np.arange(len(found)), [len(places) for _, places in found])
        order = np.argsort(rows)
        columns = (
            np.concatenate([np.empty(0), *(getattr(told, name)[places] for told, places in found)])[order]
            for name in METERED
        )
        return AllMetered(rows[order], tuple(known), three[order], *columns)

    def _known_parts(self) -> Iterator[tuple[Three, Parts]]:
        for three in self._of:
            if (parts := _parts(self.book, three)) is not None:
                yield three, parts

    def learning(self) -> Learning:
        """Give what the measured power of all runs teaches; records that do not read teach nothing."""
        known = dict(self._known_parts())
        now = {three: self._bases.of(parts) for three, parts in known.items()}
        if self._learning is None or self._learning[0] != now:
            sums = Sums.of_cells(self._observed(three, parts) for three, parts in known.items())
            teaching = {three: known[three] for three in known if cell_of(three) in sums.cells}
            self._learning = now, Learning.of_sums(sums, teaching, self.book.settings)
        return self._learning[1]

    def _observed(self, three: Three, parts: Parts) -> Observed:
        told = self.told(three, parts)
        places = told.teaching()
        ratios = log_ratios(told.measured[places], told.predicted[places])
        return cell_of(three), ratios, told.weight[places].tolist()


_KNOWN: WeakKeyDictionary[Book, Evidence] = WeakKeyDictionary()


def three_of(run: Run) -> Three | None:
    """Give the ids of a run's machine, cutter and material; None where its snapshot does not say."""
    return three_in(run.snapshot)


def three_in(snapshot: Mapping[str, Any]) -> Three | None:
    """Give the ids in a run's snapshot; None where it does not say."""
    recipe = snapshot.get("recipe")
    ids = [recipe.get(kind) for kind in ("machine", "tool", "material")] if isinstance(recipe, dict) else []
    machine, tool, material = ids if len(ids) == 3 else (None, None, None)
    if isinstance(machine, str) and isinstance(tool, str) and isinstance(material, str):
        return machine, tool, material
    return None


def _parts(book: Book, three: Three) -> Parts | None:
    try:
        machine, tool, material = three
        return (
            book.get("machine", machine).record,
            book.get("tool", tool).record,
            book.get("material", material).record,
        )
    except SwarfbookError:
        return None


class Bases:
    """The basis of each machine, cutter and material that is met, worked out once."""

    def __init__(self) -> None:
        # The records stand beside their basis, so that no other record gets their place in memory.
        self._known: dict[tuple[int, ...], tuple[Parts, str]] = {}

    def of(self, parts: Parts) -> str:
        """Give `basis` of records as they were read."""
        key = tuple(map(id, parts))
        if key not in self._known:
            self._known[key] = parts, basis(parts)
        return self._known[key][1]


def basis(parts: Parts) -> str:
    """Tell whether numbers worked out before would be worked out again: formulas, and records behind them."""
    return f"{REVISION}:{records.joint_digest(*parts).removeprefix('sha256:')[:24]}"


def model_of(case: Case, run: Readings, worked: Worked | None = None) -> dict[str, Any]:
    """Work out what a run asked, by the law as it is tabulated, for its line in the log.

    Args:
        case: what was cut.
        run: the run.
        worked: what was worked out of the case before; None works it out.

    Returns:
        `basis`; `demands` by name [SI]; and where its power was read and teaches something `measured` and
        `predicted` cutting power [W] and the `weight` of the run.
    """
    worked = worked or Worked.of(case)
    read = metered(case, worked.power, run)
    return {"basis": worked.basis, "demands": worked.demands} | (asdict(read) if read else {})


@frozen
class Worked:
    """What is the same for all runs of one cut: basis, demands by name [SI], predicted cutting power [W]."""

    basis: str
    demands: Mapping[str, float]
    power: float

    @classmethod
    def of(cls, case: Case) -> Worked:
        """Work a cut out."""
        numbers = evaluate(case, nominal_knobs(case))
        now = basis((case.machine, case.tool, case.material))
        return cls(now, _demands(numbers), float(numbers.cutting_power))


def _demands(numbers: Numbers) -> dict[str, float]:
    return {name: float(getattr(numbers, name)) for name in DEMANDS}


@frozen
class _Row:
    """The readings of a run."""

    power: Reading | None
    idle_power: Reading | None


class _Telling:
    """Works out the runs of a machine, cutter and material, what they have in common once."""

    def __init__(self, book: Book, log: RunLog, parts: Parts, now: str) -> None:
        self._book, self._log, self._table = book, log, log.table
        self._parts, self._now = parts, now
        self._anew: dict[tuple[int, int], tuple[Case, Worked] | None] = {}
        self._digests: dict[str, int] = {}
        self._demands = _Known()

    def told(self, rows: Whole) -> Told:
        """Tell of some rows of the table."""
        table = self._table
        models, pools = table.columns.pools["model"], table.columns.pools
        stickouts = np.array([_length(_recipe(one).get("stickout")) for one in table.snapshots])
        demands = np.full(len(rows), -1, dtype=np.intp)
        metered = read_power(table.columns, rows)
        current = np.array([model.get("basis") == self._now for model in models], dtype=bool)
        of_model = table.rows["model"][rows]
        some, which = np.unique(of_model[current[of_model]], return_inverse=True)
        places = [self._demands.place(model, models[model]) for model in some.tolist()]
        demands[current[of_model]] = np.array(places, dtype=np.intp)[which]
        for place in np.flatnonzero(~current[of_model]).tolist():
            demands[place] = self._work(int(rows[place]), int(of_model[place]), metered[:, place])
        asked = Asked(
            rows=rows,
            numbers=self._numbers(rows, pools["digest"]),
            stickout=stickouts[table.snapshot[rows]] if stickouts.size else np.empty(0),
            demands=demands,
            digests=list(self._digests),
            known=self._demands.values,
        )
        return Told(asked, *only_as_modelled(metered, table.columns, rows))

    def _work(self, row: int, model: int, metered: Floats) -> int:
        """Work a row out with what is known today; what its line says where that cannot be done any more."""
        table = self._table
        key = int(table.recipe[row]), int(table.snapshot[row])
        if key not in self._anew:
            self._anew[key] = self._case(*key)
        found = self._anew[key]
        if found is None:
            return self._demands.place(model, table.columns.pools["model"][model])
        told = model_of(found[0], _Row(table.power(row), table.idle_power(row)), found[1])
        read = read_metered(told)
        metered[:] = [math.nan] * len(METERED) if read is None else [getattr(read, name) for name in METERED]
        return self._demands.place(key, told)

    def _case(self, recipe: int, snapshot: int) -> tuple[Case, Worked] | None:
        machine, tool, material = self._parts
        told = self._table.snapshots[snapshot]
        name = self._table.recipes[recipe]
        try:
            cutter = records.parse("tool", _as_cut(self._book, told), where=name) if "tool" in told else tool
            case = cases.of_parts(name, told["recipe"], (machine, cutter, material), self._book.settings)
        except SwarfbookError:
            return None
        return case, Worked.of(case)

    def _numbers(self, rows: Whole, digests: Sequence[str | None]) -> Whole:
        """Give the place of the digest of each row's numbers under the names of today."""
        table = self._table
        pairs = table.rows["digest"][rows].astype(np.int64) * len(table.snapshots) + table.snapshot[rows]
        some, which = np.unique(pairs, return_inverse=True)
        places = []
        for digest, snapshot in (divmod(pair, len(table.snapshots)) for pair in some.tolist()):
            own = digests[digest]
            numbers = own if own and not self._log.renamed else _digest(_recipe(table.snapshots[snapshot]))
            places.append(self._digests.setdefault(numbers, len(self._digests)))
        return np.array(places, dtype=np.intp)[which]


class _Known:
    """Demands that stand once, however many runs asked them."""

    def __init__(self) -> None:
        self.values: list[Mapping[str, float]] = []
        self._places: dict[object, int] = {}

    def place(self, key: object, model: Mapping[str, Any]) -> int:
        """Give the place of a model's demands."""
        place = self._places.get(key)
        if place is None:
            place = self._places[key] = len(self.values)
            self.values.append(_good_demands(model))
        return place


def _recipe(snapshot: Mapping[str, Any]) -> Mapping[str, Any]:
    recipe = snapshot.get("recipe")
    return recipe if isinstance(recipe, dict) else {}


def _as_cut(book: Book, snapshot: Mapping[str, Any]) -> dict[str, Any]:
    """Give the cutter that cut with what is known of its like today."""
    today = book.get("tool", snapshot["recipe"]["tool"]).raw
    then = snapshot["tool"]
    shape = (
        {key: value for key, value in then.items() if key not in KNOWLEDGE} if isinstance(then, dict) else {}
    )
    return shape | {key: today[key] for key in KNOWLEDGE if key in today}


def _digest(raw: Mapping[str, Any]) -> str:
    try:
        return records.digest(records.parse("recipe", raw, where=""))
    except SwarfbookError:
        return ""


def _length(raw: object) -> float:
    try:
        return quantities.read(raw, "length").si
    except quantities.QuantityError:
        return 0.0


def _good_demands(model: Mapping[str, Any]) -> dict[str, float]:
    demands = model.get("demands")
    numbers = demands if isinstance(demands, dict) else {}
    known = {name: one for name, one in numbers.items() if isinstance(one, int | float) and abs(one) < MOST}
    return {name: float(one) for name, one in known.items()}
