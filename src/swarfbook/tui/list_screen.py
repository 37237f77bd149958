"""The list of recipes, over the page: find as you type, group, order, mark, open, compare."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from textual import on, work
from textual.app import ComposeResult
from textual.message import Message
from textual.worker import get_current_worker

from swarfbook.errors import SwarfbookError
from swarfbook.tui import list_view
from swarfbook.tui.beside import READS, Pace, Pieces, Progress
from swarfbook.tui.catalogue import Look
from swarfbook.tui.commands import footer
from swarfbook.tui.desk import Desk
from swarfbook.tui.keyed import Over
from swarfbook.tui.lines import Line, Lines
from swarfbook.tui.shelf import Row, Told
from swarfbook.tui.shelving import Doubling

JUDGED = 4  # recipes judged between two rests; each takes the time of twenty that are read
OTHER_ROWS = 6  # the page above, the find line, how the rows stand, and the footer
FEWEST, MOST = 2, 4  # recipes to compare


class Found(Message):
    """Rows were read, or all that there are; or recipes were judged.

    Attributes:
        rows: rows that are new or changed.
        told: verdicts by id.
        ids: all there are, once all were looked at.
        progress: how far it is; empty for what is done soon.
    """

    def __init__(
        self,
        *,
        rows: Sequence[Row] = (),
        told: dict[str, Told] | None = None,
        ids: Sequence[str] | None = None,
        progress: str = "",
    ) -> None:
        super().__init__()
        self.rows = rows
        self.told = told or {}
        self.ids = ids
        self.progress = progress


class ListScreen(Over[str | None], Doubling[str | None]):
    """Gives the id of the recipe to open, or None for going back."""

    MODE = "list"
    DEFAULT_CSS = """
    ListScreen > #rows { height: 1fr; }
    """

    def __init__(self, desk: Desk, *, comparing: bool = False) -> None:
        """Show the recipes of a desk.

        Args:
            desk: the book and what is open.
            comparing: taking a recipe compares it with the one on the page.
        """
        super().__init__()
        self.desk = desk
        self.shelf = desk.catalogue.shelf
        self.comparing = comparing
        self.among_rows = False
        self.message = self.progress = ""
        self.sight: tuple[str, ...] = ()
        self.shelf.open(self._own())

    @property
    def mode(self) -> str:
        """The keys that serve now: those for finding or those for the rows."""
        return "rows" if self.among_rows else "list"

    def _own(self) -> str | None:
        return self.desk.draft.recipe_id if self.desk.draft else None

    def compose(self) -> ComposeResult:
        """Lay out the find line, the rows and the footer."""
        yield Lines(id="find", classes="top")
        yield Lines(id="rows")
        yield Lines(id="said")
        yield Lines(id="foot")

    def on_mount(self) -> None:
        """Begin to read."""
        self.read()

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw()

    def log_read(self) -> None:
        """Judge anew what the run log says something else of."""
        self.read()

    # Reading and judging happen beside the keys: the worker posts messages, the handlers own the shelf.

    @work(thread=True, exclusive=True)
    def read(self) -> None:
        """Read what changed, then judge what was not judged as it stands, a step at a time."""
        worker = get_current_worker()
        try:
            look = Look(self.desk.catalogue)
        except SwarfbookError as error:
            self.post_message(Found(ids=(), progress=str(error.problems[0])))
            return
        reading, judging = Pace(worker, every=READS), Pace(worker, every=JUDGED)
        for part in (self._read(look, reading), self._judge(look, judging)):
            for found in part:
                self.post_message(found)
            if worker.is_cancelled:
                return

    def _read(self, look: Look, pace: Pace) -> Iterator[Found]:
        rows: list[Row] = []
        pieces, progress = Pieces(), Progress("read", len(look.ids))
        for step in look.read():
            if pace.stops():
                return
            rows += step
            progress.done += len(step)
            if pieces.full(len(rows)):
                yield Found(rows=rows, progress=progress.text())
                rows = []
            elif progress.due():
                yield Found(progress=progress.text())
        yield Found(rows=rows, ids=look.ids)

    def _judge(self, look: Look, pace: Pace) -> Iterator[Found]:
        told: dict[str, Told] = {}
        pieces = Pieces()
        progress = Progress("judged", len(look.ids), sum(map(look.told, look.ids)))
        for recipe, one in look.judge(lambda: self.sight):
            if pace.stops():
                return
            told[recipe] = one
            progress.done += 1
            if _completes(told, self.sight, look) or pieces.full(len(told)):
                yield Found(told=told, progress=progress.text())
                told = {}
            elif progress.due():
                yield Found(progress=progress.text())
        yield Found(told=told)

    @on(Found)
    def take_found(self, message: Found) -> None:
        """Show what was read and judged, the recipe on the page chosen to begin with."""
        shelf = self.shelf
        if message.rows:
            shelf.take(message.rows)
        if message.ids is not None:
            shelf.keep(message.ids)
        if message.told:
            shelf.judge(message.told)
        self.progress = message.progress
        self.draw()

    # Drawing

    def draw(self) -> None:
        """Draw the find line, the rows around the chosen one and the footer."""
        width = self.size.width
        said = self._said()
        items = list(self.shelf.lines(self.size.height - OTHER_ROWS - len(said)))
        self.sight = tuple(self.shelf.hits[item].id for item in items if isinstance(item, int))
        self.query_one("#find", Lines).show(
            list_view.head(self.shelf, width, progress=self.progress, typing=self.mode == "list")
        )
        self.query_one("#rows", Lines).show([list_view.line(self.shelf, item, width) for item in items])
        self.query_one("#said", Lines).show(said)
        now = {"open": "compare"} if self.comparing else {}
        if self.shelf.marks:
            now["back"] = "unmark"
        self.query_one("#foot", Lines).show([[(footer(self.mode, width, self.usable, now), "faint")]])

    def _said(self) -> list[Line]:
        if self.message:
            return [[(f" {self.message}"[: self.size.width], "strong")]]
        return list_view.of_chosen(self.shelf, self.size.width)

    @on(Lines.Pressed, "#rows")
    def press_row(self, event: Lines.Pressed) -> None:
        """Open the recipe under the mouse."""
        items = list(self.shelf.lines(event.lines.size.height))
        if event.row < len(items) and isinstance(items[event.row], int):
            self.shelf.place = int(items[event.row])
            self.action_open()

    # Keys

    def usable(self, action: str) -> bool:
        """Say whether a command can do anything now."""
        if action in ("open", "mark", "mark_all", "compare", "new", "group", "order"):
            return bool(self.shelf.hits)
        return True

    def before_key(self) -> None:
        """Forget what the last command had to say."""
        self.message = ""

    def typed(self, key: str, character: str | None) -> None:
        """Type into the find line."""
        if not self.among_rows and self.shelf.press(key, character):
            self.draw()

    def action_down(self) -> None:
        """Go down the list."""
        self._move(1)

    def action_up(self) -> None:
        """Go up the list."""
        self._move(-1)

    def action_page_down(self) -> None:
        """Go down a screenful."""
        self._move(self.size.height - OTHER_ROWS)

    def action_page_up(self) -> None:
        """Go up a screenful."""
        self._move(OTHER_ROWS - self.size.height)

    def action_first(self) -> None:
        """Go to the first row."""
        self._move(-len(self.shelf.hits))

    def action_last(self) -> None:
        """Go to the last row."""
        self._move(len(self.shelf.hits))

    def _move(self, step: int) -> None:
        self.shelf.move(step)
        self.draw()

    def action_rows(self) -> None:
        """Let letters be commands."""
        self.among_rows = True
        self.draw()

    def action_find(self) -> None:
        """Let letters be typed."""
        self.among_rows = False
        self.draw()

    def action_back(self) -> None:
        """Take the marks away; without any, go back to finding."""
        if self.shelf.marks:
            self.shelf.marks.clear()
            self.draw()
        else:
            self.action_find()

    def action_group(self) -> None:
        """Group by the next thing."""
        self.shelf.next_group()
        self.draw()

    def action_order(self) -> None:
        """Take the next order."""
        self.shelf.next_order()
        self.draw()

    def action_mark(self) -> None:
        """Mark the chosen recipe."""
        self.shelf.mark()
        self.draw()

    def action_mark_all(self) -> None:
        """Mark all that was found."""
        self.shelf.mark_found()
        self.draw()

    def action_open(self) -> None:
        """Open the chosen recipe, or compare it where that is what the list is for."""
        if self.shelf.chosen is None:
            return
        if self.comparing:
            self.action_compare()
        else:
            self.dismiss(self.shelf.chosen)

    def action_compare(self) -> None:
        """Compare the marked recipes, or the chosen one with the page's."""
        ids = self.shelf.marked() or list(dict.fromkeys(filter(None, (self._own(), self.shelf.chosen))))
        if not FEWEST <= len(ids) <= MOST:
            few = "choose a recipe other than the one on the page, or mark two to four"
            self.message = few if len(ids) < FEWEST else f"{len(ids)} are marked: compare four at most"
            self.draw()
            return
        from swarfbook.tui.compare_screen import compare_screen

        try:
            self.app.push_screen(compare_screen(self.desk, ids))
        except SwarfbookError as error:
            self.message = str(error.problems[0])
            self.draw()

    def action_pick(self) -> None:
        """Ask what to cut a job with."""
        from swarfbook.tui.pick_screen import PickScreen

        self.app.push_screen(PickScreen(self.desk), self._open_picked)

    def _open_picked(self, recipe: str | None) -> None:
        if recipe is not None:
            self.dismiss(recipe)

    # A new recipe from the chosen one

    @property
    def at_hand(self) -> str | None:
        """The chosen recipe."""
        return self.shelf.chosen

    def say(self, message: str) -> None:
        """Say something until the next key."""
        self.message = message
        self.draw()

    def turn_to(self, record: str, message: str) -> None:
        """Open a recipe; the page needs no words for it."""
        del message
        self.dismiss(record)

    def action_new(self) -> None:
        """Ask for the id of a new recipe like the chosen one, and open it."""
        self.ask_another()

    def action_close(self) -> None:
        """Go back to the page; what is still being read or judged waits for the next time."""
        self.dismiss(None)


def _completes(told: Mapping[str, Told], sight: Sequence[str], look: Look) -> bool:
    """Say whether verdicts are among those in sight, and the last of them; more would show nothing new."""
    return any(recipe in told for recipe in sight) and all(
        recipe in told or look.told(recipe) for recipe in sight
    )
