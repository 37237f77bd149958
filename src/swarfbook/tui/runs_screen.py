"""The log of runs, over the page: the latest first, found by words; one of them opens in full."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from textwrap import shorten, wrap

from textual import on, work
from textual.message import Message
from textual.worker import get_current_worker

from swarfbook.records import Run
from swarfbook.reports.listing import findable
from swarfbook.reports.run_page import cutter_lines, log_line, run_lines, said_outcome, summed
from swarfbook.reports.words import counted
from swarfbook.tui.beside import READS, Pace, Pieces, grouped
from swarfbook.tui.choose_screen import find_line
from swarfbook.tui.commands import footer, shown
from swarfbook.tui.desk import Desk
from swarfbook.tui.finding import Finder
from swarfbook.tui.lines import Line
from swarfbook.tui.rows_screen import RowsScreen
from swarfbook.tui.text_screen import TextScreen

TELL_EVERY = 0.5  # s between two words on how far the reading is


@dataclass(frozen=True, slots=True)
class RunRow:
    """One run as a row.

    Attributes:
        run: the run.
        words: everything the find line looks in.
        minutes, clean: the run's own, quicker at hand for thousands.
    """

    run: Run
    words: str
    minutes: float
    clean: bool
    group: str = ""

    @property
    def id(self) -> str:
        """What tells it from the others."""
        return self.run.id

    @classmethod
    def of(cls, run: Run) -> RunRow:
        """Make the row of a run."""
        said = (run.recipe, said_outcome(run.outcome), run.cutter or "", run.note)
        words = findable(" ".join((*said, f"{run.at:%Y-%m-%d %d %b %Y}")))
        return cls(run, words, run.minutes, run.clean)


class Listed(Message):
    """Rows of the log were made, or some of them.

    Attributes:
        rows: those that are new, in order.
        first, last: they are the first ones, the last ones.
    """

    def __init__(self, rows: Sequence[RunRow], *, first: bool, last: bool = False) -> None:
        super().__init__()
        self.rows = rows
        self.first = first
        self.last = last


class RunsScreen(RowsScreen[None]):
    """Lists the runs of the recipe on the page, or of all."""

    MODE = "runs"

    def __init__(self, desk: Desk, recipe: str | None, read: Callable[[], None]) -> None:
        """List the runs of a book.

        Args:
            desk: the book and what is open.
            recipe: id of the recipe on the page; None lists those of all.
            read: has the log read again beside the keys.
        """
        super().__init__()
        self.desk = desk
        self.recipe = recipe
        self.message = ""
        self._read = read
        self._every: list[RunRow] = []
        self._finder: Finder[RunRow] = Finder()
        self._own = recipe is not None
        self._listed = False
        self._summed: tuple[list[RunRow], str] | None = None

    def on_mount(self) -> None:
        """Begin to make rows; say how far it is while the log itself is not read yet."""
        self.set_interval(TELL_EVERY, self._tell)
        self.list_runs()

    def _tell(self) -> None:
        if self.desk.logbook.known is None:
            self.draw()

    def log_read(self) -> None:
        """Make the rows of what was read."""
        self.list_runs()

    @work(thread=True, exclusive=True)
    def list_runs(self) -> None:
        """Make the rows beside the keys, the latest run first."""
        known = self.desk.logbook.known
        if known is None:
            return
        pace, pieces = Pace(get_current_worker(), every=READS), Pieces()
        rows: list[RunRow] = []
        sent = 0
        for run in sorted(known.log.in_force, key=lambda run: run.at, reverse=True):
            if pace.stops():
                return
            rows.append(RunRow.of(run))
            if pieces.full(len(rows) - sent):
                self.post_message(Listed(rows[sent:], first=sent == 0))
                sent = len(rows)
        self.post_message(Listed(rows[sent:], first=sent == 0, last=True))

    @on(Listed)
    def take_rows(self, message: Listed) -> None:
        """Show what was made; the chosen run stays chosen."""
        self._every = [*([] if message.first else self._every), *message.rows]
        self._listed = message.last
        if message.last and not any(row.run.recipe == self.recipe for row in self._every):
            self._own = False
        self._arrange()

    def _arrange(self) -> None:
        rows = [row for row in self._every if not self._own or row.run.recipe == self.recipe]
        self._finder.fill(rows, self._finder.chosen)
        self.draw()

    @property
    def run_at_hand(self) -> Run | None:
        """The chosen run."""
        return self._finder.hits[self._finder.place].run if self._finder.hits else None

    # What is drawn

    def rows(self) -> Finder[RunRow]:
        """Give the runs."""
        return self._finder

    def head(self, width: int) -> list[Line]:
        """Say whose runs these are, what they come to, and what is looked for."""
        whose = "Runs of this recipe" if self._own else "Runs of all recipes"
        title = shorten(f"{whose} · {self._summary()}", width - 2, placeholder=" …")
        return [[(f" {title}", "strong")], find_line(self._finder, width), []]

    def _summary(self) -> str:
        if self.desk.logbook.known is None:
            return f"reading the log … {grouped(self.desk.logbook.lines)}"
        if self._summed is None or self._summed[0] is not self._finder.hits:
            # Once for what is found and not at every key: there may be a hundred thousand.
            hits = self._finder.hits
            minutes, clean = sum(row.minutes for row in hits), sum(row.clean for row in hits)
            self._summed = hits, summed(len(hits), minutes, clean)
        return self._summed[1]

    def row(self, at: int, width: int) -> Line:
        """Write one run."""
        chosen = at == self._finder.place
        line = log_line(self._finder.hits[at].run, width=width - 4)
        return [(f" {'▸' if chosen else ' '} {line}"[:width], "strong" if chosen else "plain")]

    def detail(self, width: int, height: int) -> list[Line]:
        """Say what the last command has to say, else what has no room in the chosen run's line."""
        if self.message:
            return [[(f" {shorten(self.message, width - 2, placeholder=' …')}", "strong")]]
        if self.run_at_hand is None:
            said = f" no runs yet; {shown('page.log')} on the page writes one down"
            return [[(said, "plain")]] if self._listed and not self._every else []
        _, *parts = run_lines(self.run_at_hand, system=self.desk.system)
        told = [f" {part}" for part in wrap(" · ".join(parts), width - 2)]
        lines: list[Line] = [[], *([(part, "plain")] for part in told)]
        return lines[:height]

    def foot(self, width: int) -> str:
        """Give the hints for the keys."""
        return footer(self.MODE, width, self.usable, {} if self._own else {"scope": "this recipe"})

    # Keys

    def usable(self, action: str) -> bool:
        """Say whether a command can do anything now."""
        if action == "scope":
            return self.recipe is not None
        return action not in ("open", "cutters") or bool(self._finder.hits)

    def before_key(self) -> None:
        """Forget what the last command had to say."""
        self.message = ""

    def typed(self, key: str, character: str | None) -> None:
        """Type into the find line."""
        if self._finder.press(key, character):
            self.draw()

    def action_open(self) -> None:
        """Read the chosen run in full."""
        from swarfbook.tui.run_screen import RunScreen

        if self.run_at_hand is not None:
            self.app.push_screen(RunScreen(self.desk, self.run_at_hand), self._close_run)

    def _close_run(self, done: str | None) -> None:
        if done:
            self.message = done
            self._read()
            self.draw()

    def action_scope(self) -> None:
        """List the runs of all recipes, or of the page's again."""
        self._own = not self._own
        self._arrange()

    def action_cutters(self) -> None:
        """Read the minutes of each cutter, in the runs that are listed."""
        runs = [row.run for row in self._finder.hits]
        lines = [f"   {line}" for line in cutter_lines(runs)]
        self.app.push_screen(TextScreen(f"Minutes of each cutter in {counted(len(runs), 'run')}", lines))

    def action_close(self) -> None:
        """Go back."""
        self.dismiss(None)
