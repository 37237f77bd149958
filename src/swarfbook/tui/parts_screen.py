"""The machines, cutters or materials of the book, over the page; the chosen one's page opens over them."""

from __future__ import annotations

from collections import Counter

from textual import on, work
from textual.message import Message
from textual.worker import get_current_worker

from swarfbook.book.ids import file_name
from swarfbook.book.mentions import NAMED_BY
from swarfbook.errors import SwarfbookError
from swarfbook.reports.part_list import Part, Use, naming, parts, with_uses
from swarfbook.reports.part_words import KINDS, PLURALS
from swarfbook.tui.beginning import Beginning
from swarfbook.tui.beside import READS, Pace, Progress
from swarfbook.tui.choose_screen import Choice, ChooseScreen
from swarfbook.tui.desk import Desk

WIDE = 100  # columns from which ids have room


class Counted(Message):
    """The recipes and jobs that use each of them were counted, or some of them.

    Attributes:
        counts: how many of a kind of file use each, by that kind and id; None while not all were looked at.
        progress: how far it is; empty for what is done soon.
    """

    def __init__(self, counts: Counter[Use] | None = None, progress: str = "") -> None:
        super().__init__()
        self.counts = counts
        self.progress = progress


class PartsScreen(ChooseScreen, Beginning[str | None]):
    """Lists the records of a kind: name and id, what tells most, how many recipes and jobs use it."""

    def __init__(self, desk: Desk, kind: str) -> None:
        super().__init__("", (), opens=self.open_part)
        self.desk = desk
        self.kind = kind
        self.counts: Counter[Use] | None = None
        self._entitle("")
        self._first = str(desk.draft.values.get(kind)) if desk.draft else None
        # Before there is a size: a key typed ahead finds something to open.
        self.finder.fill(self._choices(), self._first)

    def _entitle(self, progress: str) -> None:
        self.heading = " · ".join(filter(None, (f"The {PLURALS[self.kind]} of this book", progress)))

    def _choices(self) -> list[Choice]:
        listed = parts(self.desk.book, self.kind)
        if self.counts is not None:
            listed = with_uses(listed, self.counts)
        if not listed:
            return [Choice("", f"none yet; Enter begins a {KINDS[self.kind]} from an example")]
        return [Choice(one.id, f"{one.name or one.id} · {one.tells}", self._aside(one)) for one in listed]

    def _aside(self, one: Part) -> str:
        # On a narrow screen the id gives way to what tells most; the find line still finds it.
        return " · ".join(filter(None, (one.used, one.id if self.size.width >= WIDE else "")))

    def verb(self) -> str:
        """Say what taking the chosen one does: where there is none yet, it begins the first."""
        return "open" if self.finder.chosen else "begin"

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.refill()

    def on_mount(self) -> None:
        """Begin to count the recipes and jobs, which takes a while where there are thousands."""
        self.count()

    @work(thread=True, exclusive=True)
    def count(self) -> None:
        """Count beside the keys; going back ends it."""
        book, counts = self.desk.book, Counter[Use]()
        pace = Pace(get_current_worker(), every=READS)
        progress = Progress("uses counted in", sum(len(book.ids(user)) for user in NAMED_BY[self.kind]))
        for use in naming(book, self.kind):
            if pace.stops():
                return
            counts[use] += 1
            progress.done += 1
            if progress.due():
                self.post_message(Counted(progress=progress.text()))
        self.post_message(Counted(counts))

    @on(Counted)
    def take_counts(self, message: Counted) -> None:
        """Show the counts, or how far the counting is."""
        self._entitle(message.progress)
        if message.counts is None:
            self.draw()
        else:
            self.counts = message.counts
            self.refill()

    def refill(self, chosen: str | None = None) -> None:
        """Read the records again; what is chosen stays chosen unless another is named."""
        self.finder.fill(self._choices(), chosen or self.finder.chosen or self._first)
        self.draw()

    def open_part(self, record_id: str) -> None:
        """Open a record's page; one that does not read leads to its problems."""
        from swarfbook.tui.problems_screen import ProblemsScreen
        from swarfbook.tui.record_screen import RecordScreen

        if not record_id:
            self.ask_to_begin()
            return
        try:
            self.app.push_screen(RecordScreen(self.desk, self.kind, record_id), self.refill)
        except SwarfbookError:
            first = file_name(self.kind, record_id)
            self.app.push_screen(ProblemsScreen(self.desk.book, first=first), lambda _: self.refill())
