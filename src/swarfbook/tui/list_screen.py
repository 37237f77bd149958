"""The list of recipes, over the page: find as you type, choose, open."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from textual import on, work
from textual.app import ComposeResult
from textual.message import Message
from textual.worker import get_current_worker

from swarfbook.reports.words import counted
from swarfbook.tui.commands import footer
from swarfbook.tui.desk import Desk
from swarfbook.tui.keyed import Over
from swarfbook.tui.lines import Line, Lines
from swarfbook.tui.shelf import Row, Shelf, judged, read_rows

BATCH = 24  # recipes judged between two messages
STANDING, VERDICT = 11, 29  # columns
SHORT_VERDICT = 15  # columns of the use and the word alone
USE, WORD = 6, 7  # columns of the use and of the longest verdict
ROOMY = 72  # columns from which the standing and what is tightest have room beside the name


class Read(Message):
    """The recipes were read."""

    def __init__(self, rows: list[Row]) -> None:
        super().__init__()
        self.rows = rows


class Judged(Message):
    """Some recipes were judged, by id."""

    def __init__(self, verdicts: dict[str, str]) -> None:
        super().__init__()
        self.verdicts = verdicts


class ListScreen(Over[str | None]):
    """Gives the id of the recipe to open, or None for going back."""

    MODE = "list"
    DEFAULT_CSS = """
    ListScreen > #rows { height: 1fr; }
    """

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.shelf = Shelf()

    def compose(self) -> ComposeResult:
        """Lay out the find line, the rows and the footer."""
        yield Lines(id="find", classes="top")
        yield Lines(id="rows")
        yield Lines(id="foot")

    def on_mount(self) -> None:
        """Begin to read."""
        self.read()

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw()

    # Reading and judging happen beside the keys: the worker posts messages, the handlers own the shelf.

    @work(thread=True, exclusive=True)
    def read(self) -> None:
        """Read the recipes, then judge them a few at a time."""
        worker = get_current_worker()
        rows = read_rows(self.desk)
        self.post_message(Read(rows))
        ids = iter([row.id for row in rows if not row.judged])
        while not worker.is_cancelled and (batch := list(islice(ids, BATCH))):
            self.post_message(Judged(dict(self._judge(batch))))

    def _judge(self, recipes: list[str]) -> Iterator[tuple[str, str]]:
        for recipe in recipes:
            yield recipe, judged(self.desk.book, self.desk, recipe)

    @on(Read)
    def take_rows(self, message: Read) -> None:
        """Show the recipes, the one on the page chosen."""
        draft = self.desk.draft
        self.shelf.fill(message.rows, draft.recipe_id if draft else None)
        self.draw()

    @on(Judged)
    def take_verdicts(self, message: Judged) -> None:
        """Show what was judged."""
        self.shelf.judge(message.verdicts)
        self.draw()

    # Drawing

    def draw(self) -> None:
        """Draw the find line, the rows around the chosen one and the footer."""
        width, height = self.size.width, self.size.height - 6
        self.query_one("#find", Lines).show([self._find_line(width), []])
        self.query_one("#rows", Lines).show([self._line(item, width) for item in self.shelf.lines(height)])
        self.query_one("#foot", Lines).show([[(footer("list", width), "faint")]])

    def _find_line(self, width: int) -> Line:
        find, total = self.shelf.find, len(self.shelf.rows)
        count = f"{len(self.shelf.hits)} of {counted(total, 'recipe')} "
        text = find.text + " "
        room = width - len(" find: ") - len(text) - len(count)
        return [
            (" find: ", "faint"), (text[: find.caret], "value"), (text[find.caret], "caret"),
            (text[find.caret + 1 :], "value"), (" " * room + count, "faint"),
        ]  # fmt: skip

    def _line(self, item: str | int, width: int) -> Line:
        if isinstance(item, str):
            return [(f" {item}"[:width], "faint")]
        row = self.shelf.hits[item]
        chosen = item == self.shelf.place
        roomy = width >= ROOMY
        name = width - 6 - (STANDING + VERDICT if roomy else SHORT_VERDICT)
        mark = "* " if row.dirty else "  "
        pointer = " ▸ " if chosen else "   "
        text = f"{pointer}{mark}{_cut(row.name, name):<{name}} "
        if not row.standing:
            return [(f"{pointer}{mark}{_cut(f'{row.name}: {row.judged}', width - 6)}", "strong")]
        style = "strong" if chosen else "plain"
        if not roomy:
            return [(text, style), *_verdict(row, style, SHORT_VERDICT)]
        return [(f"{text}{row.standing:<{STANDING}}", style), *_verdict(row, style, VERDICT)]

    @on(Lines.Pressed, "#rows")
    def press_row(self, event: Lines.Pressed) -> None:
        """Open the recipe under the mouse."""
        items = list(self.shelf.lines(event.lines.size.height))
        if event.row < len(items) and isinstance(items[event.row], int):
            self.dismiss(self.shelf.hits[int(items[event.row])].id)

    # Keys

    def typed(self, key: str, character: str | None) -> None:
        """Type into the find line."""
        if self.shelf.press(key, character):
            self.draw()

    def action_down(self) -> None:
        """Go down the list."""
        self._move(1)

    def action_up(self) -> None:
        """Go up the list."""
        self._move(-1)

    def action_page_down(self) -> None:
        """Go down a screenful."""
        self._move(self.size.height - 4)

    def action_page_up(self) -> None:
        """Go up a screenful."""
        self._move(4 - self.size.height)

    def _move(self, step: int) -> None:
        self.shelf.move(step)
        self.draw()

    def action_open(self) -> None:
        """Open the chosen recipe."""
        if self.shelf.chosen is not None:
            self.dismiss(self.shelf.chosen)

    def action_close(self) -> None:
        """Go back to the page."""
        self.dismiss(None)


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else f"{text[: max(width - 1, 0)]}…"


def _verdict(row: Row, style: str, width: int) -> Line:
    if not row.judged:
        return [("…", "faint")]
    before, _, word = row.judged.rpartition("  ")
    if not before:
        return [(_cut(row.judged, width), style)]
    use = before if width == VERDICT else before[-USE:]
    return [(f"{use:<{width - WORD}}", style), (word, {"over": "over", "tight": "strong"}.get(word, style))]
