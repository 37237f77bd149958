"""A form over the page: fields with values, each written in its place and refused beside it."""

from __future__ import annotations

from textwrap import shorten
from typing import TypeVar

from swarfbook.tui import form_view
from swarfbook.tui.commands import footer
from swarfbook.tui.finding import Finder
from swarfbook.tui.form import Field, Form
from swarfbook.tui.lines import Line
from swarfbook.tui.rows_screen import RowsScreen

AnswerT = TypeVar("AnswerT")
WORD_LINES = 5  # that the longest list of words and its hint take at 60 columns


class FormScreen(RowsScreen[AnswerT]):
    """A form, and what Enter makes of it.

    Attributes:
        form: what is said so far.
        heading: what is asked.
        aside: what file it is of, or what else there is to know.
        busy: what is being done; keys write nothing meanwhile.
    """

    def __init__(self, heading: str, form: Form, *, aside: str = "") -> None:
        """Ask for what a form asks; see the attributes."""
        super().__init__()
        self.heading = heading
        self.aside = aside
        self.form = form
        self.busy = ""

    # What is drawn

    def rows(self) -> Finder[Field]:
        """Give the fields."""
        return self.form.fields

    def head(self, width: int) -> list[Line]:
        """Say what is asked."""
        aside = f"{shorten(self.aside, width // 2, placeholder=' …')} " if self.aside else ""
        room = max(width - len(aside) - 2, 0)
        title = shorten(self.heading, room, placeholder=" …")
        return [[(f" {title:<{room + 1}}", "strong"), (aside, "faint")], []]

    def row(self, at: int, width: int) -> Line:
        """Write one field."""
        return form_view.row(self.form, at, width)

    def detail_height(self) -> int:
        """Rows kept below the fields: words to choose from need more than a hint."""
        return WORD_LINES

    def detail(self, width: int, height: int) -> list[Line]:
        """Say what may be written, or what is being done."""
        if self.busy:
            return [[(f" {self.busy}", "strong")]]
        return form_view.detail(self.form, width, height)

    def foot(self, width: int) -> str:
        """Give the hints for the keys."""
        return footer(self.mode, width, self.usable)

    # Keys

    def before_key(self) -> None:
        """Forget why the form would not do."""
        self.form.refusal = ""

    def typed(self, key: str, character: str | None) -> None:
        """Write in the field."""
        if not self.busy:
            self.form.press(key, character)
            self.draw()

    def may_leave(self) -> bool:
        """Say whether another field may be chosen."""
        return not self.busy

    def press_again(self) -> None:
        """Do nothing more: what a form is for is done by Enter and not by a finger that slips."""
