"""What the screen knows of the run log: read beside the keys, at hand for every recipe that is judged.

A log of years takes seconds to read. Until it is read recipes are judged without it, and while it is read
again by what was known before.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from swarfbook.book import Book
from swarfbook.book.runlog import RunLog
from swarfbook.decisions import case as cases
from swarfbook.decisions.case import Case
from swarfbook.decisions.evidence import Parts, evidence, three_of
from swarfbook.decisions.force_learning import Learning
from swarfbook.decisions.past import NOTHING, Past
from swarfbook.decisions.powers import Three
from swarfbook.errors import SwarfbookError
from swarfbook.frozen import frozen
from swarfbook.reports.run_page import UsedCutter, used_cutters


class Stopped(Exception):  # noqa: N818 - nothing went wrong
    """There is nothing to go on reading for."""


@frozen
class Known:
    """A run log as it was read.

    Attributes:
        log: the log.
        learning: what measured power teaches; None where there are no runs.
        pasts: the runs of each machine, cutter and material, by their ids.
        cutters: what each cutter has cut, the most used first.
    """

    log: RunLog
    learning: Learning | None
    pasts: dict[Three, Past]
    cutters: list[UsedCutter]

    def past(self, three: Three, parts: Parts) -> Past:
        """Give what the log says of a machine, cutter and material, by their ids and records."""
        if self.learning is None:
            return NOTHING
        known = self.pasts.get(three)
        if known is None:
            known = self.pasts[three] = Past((), self.learning.learnt(three, parts))
        return known


class Logbook:
    """The run log of a book on the desk.

    Attributes:
        book: the book.
        known: the log as it was last read; None until it was.
        lines: how many lines were read of it.
    """

    def __init__(self, book: Book) -> None:
        self.book = book
        self.lines = 0
        self.known: Known | None = None

    @property
    def runs(self) -> int:
        """How many runs count, as far as the log was read."""
        return len(self.known.log.in_force) if self.known else 0

    def cutters(self, tool: str) -> list[UsedCutter]:
        """Give what the cutters of a kind have cut, the most used first, as far as the log was read."""
        return [one for one in self.known.cutters if one.tool == tool] if self.known else []

    def names(self, tool: str) -> list[str]:
        """Name the cutters of a kind that were used before, the latest first."""
        named = [one for one in self.cutters(tool) if one.name]
        return [one.name for one in sorted(named, key=lambda one: one.last.at, reverse=True)]

    def changed(self) -> bool:
        """Say whether the log changed since it was read; nothing is opened for that."""
        return self.known is not None and self.book.log_changed(self.known.log)

    def read(self, step: Callable[[], object]) -> Known:
        """Read the log and what follows from it: work for beside the keys.

        Args:
            step: called again and again; raises Stopped where there is nothing to go on for.
        """
        self.lines = 0

        def counted() -> None:
            self.lines += 1
            step()

        log = self.book.run_log(counted)
        if not log.in_force:
            return Known(log, None, {}, [])
        found, parts = evidence(self.book), dict(self._parts(log))
        for three, records in parts.items():
            step()
            found.told(three, records)
        before = self.known.pasts if self.known else {}
        learning, pasts = found.learning(), dict[Three, Past]()
        for three, records in parts.items():
            step()
            past = found.past(three, records)
            # What stayed as it was is the same object: verdicts of a list that rest on it stay, too.
            pasts[three] = before[three] if before.get(three) == past else past
        return Known(log, learning, pasts, used_cutters(log.in_force))

    def _parts(self, log: RunLog) -> Iterator[tuple[Three, Parts]]:
        for three in dict.fromkeys(filter(None, map(three_of, log.in_force))):
            try:
                yield three, parts_of(self.book, three)
            except SwarfbookError:
                continue

    def past(self, three: Three, parts: Parts) -> Past:
        """Give what the log says of a machine, cutter and material, as far as it was read."""
        return self.known.past(three, parts) if self.known else NOTHING

    def judged(self, case: Case) -> Case:
        """Give a case what the log says of its machine, cutter and material, as far as it was read."""
        if self.known is None or self.known.learning is None:
            return case
        recipe = case.recipe
        three = (recipe.machine, recipe.tool, recipe.material)
        return cases.with_past(case, self.past(three, (case.machine, case.tool, case.material)))


def parts_of(book: Book, three: Three) -> Parts:
    """Read a machine, a cutter and a material; raises SwarfbookError."""
    machine, tool, material = three
    return (
        book.get("machine", machine).record,
        book.get("tool", tool).record,
        book.get("material", material).record,
    )
