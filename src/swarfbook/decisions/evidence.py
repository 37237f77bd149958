"""A book's run log as evidence: what each run asked, and what that says of a recipe now.

A run is worked out from its own numbers as cut, and with what is known of its machine, cutter and material
today: what is measured or mended later holds for the past as well. What a run asked stands in its line
(`model`), with a basis that tells whether machine, cutter, material and formulas are still those of that
day; if they are, nothing is worked out anew.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict
from typing import Any
from weakref import WeakKeyDictionary

from swarfbook import quantities, records
from swarfbook.book import Book
from swarfbook.decisions import case as cases
from swarfbook.decisions.case import Case, Gives
from swarfbook.decisions.force_learning import Learning
from swarfbook.decisions.learning import Observation
from swarfbook.decisions.limits import RUNG_ORDER
from swarfbook.decisions.numbers import Numbers, evaluate, nominal_knobs
from swarfbook.decisions.observing import Metered, metered, read_metered
from swarfbook.decisions.past import NOTHING, Cut, Past
from swarfbook.errors import SwarfbookError
from swarfbook.frozen import frozen
from swarfbook.records import Machine, Material, Run, Tool

REVISION = 1
"""To be raised whenever the formulas give other numbers, so that no run is read by old ones."""
DEMANDS = tuple(dict.fromkeys(rule.demand for rule in RUNG_ORDER))
KNOWLEDGE = ("schema", "name", "edge_radius", "rake", "youngs_modulus", "max_speed")
"""Keys of a cutter that say what is known of it; the others say which cutter it was."""

MOST = 1e15  # in SI, more than anything asks: a damaged log must not spoil a page

Three = tuple[str, str, str]
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
    return evidence(book).past(three, parts) if book.runs() else NOTHING


def past_once(book: Book) -> PastOf:
    """Give what tells the past of any three by the log as it is now: for a list of recipes, not for long."""
    if not book.runs():
        return lambda _three, _parts: NOTHING
    known = evidence(book)
    learning, found = known.learning(), dict[Three, Past]()

    def past(three: Three, parts: Parts) -> Past:
        if three not in found:
            found[three] = known.past(three, parts, learning)
        return found[three]

    return past


def evidence(book: Book) -> Evidence:
    """Give a book's evidence, worked out once for as long as its log does not change."""
    found = _KNOWN.get(book)
    if found is None or found.runs is not book.runs():
        found = _KNOWN[book] = Evidence(book)
    return found


@frozen
class Told:
    """A run with what was worked out of it.

    Attributes:
        run: the run.
        numbers: digest of its recipe's numbers under the names of today.
        stickout: cutter out of the collet [m].
        demands: what it asked [SI]; empty where that cannot be worked out.
        metered: its measured power beside the prediction; None where it teaches nothing.
    """

    run: Run
    numbers: str
    stickout: float
    demands: Mapping[str, float]
    metered: Metered | None


class Evidence:
    """The runs of a book, by machine, cutter and material.

    Attributes:
        runs: those that count, in the order of the log.
    """

    def __init__(self, book: Book) -> None:
        self.book = book
        self.runs = book.runs()
        self._of: dict[Three, list[Run]] = {}
        for run in self.runs:
            if (three := three_of(run)) is not None:
                self._of.setdefault(three, []).append(run)
        self._told: dict[Three, tuple[str, list[Told]]] = {}
        self._learning: tuple[Any, Learning] | None = None
        self._bases = Bases()

    def past(self, three: Three, parts: Parts, learning: Learning | None = None) -> Past:
        """Give what the log says of a machine, cutter and material.

        Args:
            three: their ids.
            parts: their records.
            learning: what the measured power teaches; None works it out with what is known now.
        """
        told = sorted(self.told(three, parts), key=lambda one: one.run.at)
        learning = learning or self.learning()
        return Past(tuple(_cut(one) for one in told if one.demands), learning.learnt(three, parts))

    def told(self, three: Three, parts: Parts) -> list[Told]:
        """Give every run of a machine, cutter and material with what it asked."""
        now = self._bases.of(parts)
        known = self._told.get(three)
        if known is None or known[0] != now:
            renamed = self.book.run_log().renamed
            told = [_tell(self.book, run, parts, now, renamed=renamed) for run in self._of.get(three, ())]
            known = self._told[three] = now, told
        return known[1]

    def metered(self) -> Iterator[tuple[Three, Run, Metered]]:
        """Yield every run whose power teaches something, in the order of the log."""
        found: dict[str, tuple[Three, Metered]] = {}
        for three in self._of:
            if (parts := _parts(self.book, three)) is not None:
                told = self.told(three, parts)
                found |= {one.run.id: (three, one.metered) for one in told if one.metered}
        for run in self.runs:
            if run.id in found:
                three, read = found[run.id]
                yield three, run, read

    def learning(self) -> Learning:
        """Give what the measured power of all runs teaches; records that do not read teach nothing."""
        known = {three: parts for three in self._of if (parts := _parts(self.book, three)) is not None}
        now = {three: self._bases.of(parts) for three, parts in known.items()}
        if self._learning is None or self._learning[0] != now:
            seen = (
                _observed(three, one) for three, parts in known.items() for one in self.told(three, parts)
            )
            learning = Learning.of(filter(None, seen), known, self.book.settings)
            self._learning = now, learning
        return self._learning[1]


_KNOWN: WeakKeyDictionary[Book, Evidence] = WeakKeyDictionary()


def _observed(three: Three, told: Told) -> Observation | None:
    if told.metered is None:
        return None
    machine, tool, material = three
    return Observation(material, tool, machine, told.metered.log_ratio, told.metered.weight)


def three_of(run: Run) -> Three | None:
    """Give the ids of a run's machine, cutter and material; None where its snapshot does not say."""
    recipe = run.snapshot.get("recipe")
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


def model_of(case: Case, run: Run) -> dict[str, Any]:
    """Work out what a run asked, by the law as it is tabulated, for its line in the log.

    Returns:
        `basis`; `demands` by name [SI]; and where its power was read and teaches something `measured` and
        `predicted` cutting power [W] and the `weight` of the run.
    """
    numbers = evaluate(case, nominal_knobs(case))
    model = {"basis": basis((case.machine, case.tool, case.material)), "demands": _demands(numbers)}
    read = metered(case, float(numbers.cutting_power), run)
    return model | (asdict(read) if read else {})


def _demands(numbers: Numbers) -> dict[str, float]:
    return {name: float(getattr(numbers, name)) for name in DEMANDS}


def _tell(book: Book, run: Run, parts: Parts, now: str, *, renamed: bool) -> Told:
    model = run.model if run.model.get("basis") == now else _anew(book, run, parts)
    raw = run.snapshot["recipe"]
    numbers = run.digest if run.digest and not renamed else _digest(raw)
    return Told(run, numbers, _length(raw.get("stickout")), *_of_model(model))


def _anew(book: Book, run: Run, parts: Parts) -> Mapping[str, Any]:
    """Work a run out with what is known today; what its line says where that cannot be done any more."""
    machine, tool, material = parts
    try:
        cutter = records.parse("tool", _as_cut(book, run), where=run.id) if "tool" in run.snapshot else tool
        values = run.snapshot["recipe"]
        case = cases.of_parts(run.recipe, values, (machine, cutter, material), book.settings)
    except SwarfbookError:
        return run.model
    return model_of(case, run)


def _as_cut(book: Book, run: Run) -> dict[str, Any]:
    """Give the cutter that cut with what is known of its like today."""
    today = book.get("tool", run.snapshot["recipe"]["tool"]).raw
    then = run.snapshot["tool"]
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


def _of_model(model: Mapping[str, Any]) -> tuple[Mapping[str, float], Metered | None]:
    demands = model.get("demands")
    numbers = demands if isinstance(demands, dict) else {}
    known = {name: one for name, one in numbers.items() if isinstance(one, int | float) and abs(one) < MOST}
    return {name: float(one) for name, one in known.items()}, read_metered(model)


def _cut(told: Told) -> Cut:
    run = told.run
    return Cut(
        run=run.id,
        recipe=run.recipe,
        numbers=told.numbers,
        as_programmed=run.feed_override == 1.0 and run.speed_override == 1.0,
        at=run.at,
        outcome=run.outcome,
        minutes=run.minutes,
        stickout=told.stickout,
        demands=told.demands,
    )
