"""A list to choose from, over the page: find as you type, and take one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from textwrap import shorten
from typing import Any

from textual import on
from textual.app import ComposeResult

from swarfbook.frozen import frozen
from swarfbook.reports.listing import findable
from swarfbook.tui.beside import grouped
from swarfbook.tui.commands import footer
from swarfbook.tui.finding import Finder
from swarfbook.tui.keyed import Over
from swarfbook.tui.lines import Line, Lines

OTHER_ROWS = 6  # the page above, the title with its blank, the find line and the footer
FIND = " find: "
MOST_ASIDE = 0.6  # share of the width what stands at the right may take


@frozen
class Choice:
    """One thing to choose.

    Attributes:
        id: what is given back.
        text: what stands at the left.
        aside: what stands at the right, on the same row.
        group: the heading it stands under; empty for none.
        more: words the find line looks in besides those seen.
    """

    id: str
    text: str
    aside: str = ""
    group: str = ""
    more: str = ""

    @property
    def words(self) -> str:
        """Everything the find line looks in."""
        return findable(f"{self.text} {self.aside} {self.group} {self.more} {self.id}")


class ChooseScreen(Over[str | None]):
    """Gives the id of what was chosen, or None for going back."""

    MODE = "choose"
    DEFAULT_CSS = """
    ChooseScreen > #rows { height: 1fr; }
    """

    def __init__(
        self,
        title: str,
        choices: Sequence[Choice],
        *,
        chosen: str | None = None,
        opens: Callable[[str], object] | None = None,
    ) -> None:
        """Show choices under a title.

        Args:
            title: the heading of all.
            choices: in order, those of a group together.
            chosen: id of the one to begin at; None for the first.
            opens: called with the id of what is taken, the list staying; None gives it back and closes.
        """
        super().__init__()
        self.heading = title
        self.finder: Finder[Choice] = Finder()
        self.finder.fill(choices, chosen)
        self._opens = opens

    def compose(self) -> ComposeResult:
        """Lay out the title, the find line, the rows and the footer."""
        yield Lines(id="find", classes="top")
        yield Lines(id="rows")
        yield Lines(id="foot")

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw()

    def draw(self) -> None:
        """Draw the find line, the rows around the chosen one and the footer."""
        width = self.size.width
        self.query_one("#find", Lines).show([*find_lines(self.heading, self.finder, width), []])
        self.query_one("#rows", Lines).show([self._line(item, width) for item in self._items()])
        now = {"take": self.verb()}
        self.query_one("#foot", Lines).show([[(footer(self.MODE, width, self.usable, now), "faint")]])

    def verb(self) -> str:
        """Say what taking the chosen one does."""
        return "open" if self._opens else "take"

    def _items(self) -> list[str | int]:
        return list(self.finder.lines(max(self.size.height - OTHER_ROWS, 1)))

    def _line(self, item: str | int, width: int) -> Line:
        if isinstance(item, str):
            return [(f" {item}"[:width], "faint")]
        row, chosen = self.finder.hits[item], item == self.finder.place
        aside = shorten(row.aside, int(width * MOST_ASIDE), placeholder=" …")
        room = width - len(aside) - 6
        text = row.text if len(row.text) <= room else f"{row.text[: max(room - 1, 0)]}…"
        style = "strong" if chosen else "plain"
        return [(f" {'▸' if chosen else ' '} {text:<{room}} ", style), (f"{aside} ", style)]

    # Keys and mouse

    def typed(self, key: str, character: str | None) -> None:
        """Type into the find line."""
        if self.finder.press(key, character):
            self.draw()

    @on(Lines.Pressed, "#rows")
    def press_row(self, event: Lines.Pressed) -> None:
        """Take the row under the mouse."""
        items = self._items()
        if event.row < len(items) and isinstance(items[event.row], int):
            self.finder.place = int(items[event.row])
            self.draw()
            self.action_take()

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

    def _move(self, step: int) -> None:
        self.finder.move(step)
        self.draw()

    def action_take(self) -> None:
        """Take the chosen one."""
        chosen = self.finder.chosen
        if chosen is None:
            return
        if self._opens is None:
            self.dismiss(chosen)
        else:
            self._opens(chosen)

    def action_close(self) -> None:
        """Go back."""
        self.dismiss(None)


def find_lines(title: str, finder: Finder[Choice], width: int) -> list[Line]:
    """Write the title and the find line."""
    return [[(f" {shorten(title, width - 2, placeholder=' …')}", "strong")], find_line(finder, width)]


def find_line(finder: Finder[Any], width: int) -> Line:
    """Write the find line, with how many rows it leaves."""
    find = finder.find
    count = f"{grouped(len(finder.hits))} of {grouped(len(finder.rows))} "
    room = max(width - len(FIND) - len(count) - 1, 1)
    first = max(find.caret - room + 1, 0)  # the end of a long text is what is being typed
    text, caret = f"{find.text} "[first : first + room], find.caret - first
    return [
        (FIND, "faint"), (text[:caret], "value"), (text[caret], "caret"),
        (text[caret + 1 :], "value"), (" " * (room - len(text) + 1) + count, "faint"),
    ]  # fmt: skip
