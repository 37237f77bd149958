"""The values of a machine, cutter, material or job, over the page: walk its keys, write, save."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from swarfbook.errors import SwarfbookError
from swarfbook.reports.part_page import Fact, origin_lines
from swarfbook.tui import outside, record_view
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.commands import STARTS, footer
from swarfbook.tui.desk import Desk
from swarfbook.tui.entering import Entering
from swarfbook.tui.filed import FiledScreen, Question, mine_and_theirs, whose
from swarfbook.tui.finding import Finder
from swarfbook.tui.lines import Line
from swarfbook.tui.record_draft import RecordDraft
from swarfbook.tui.record_sheet import RecordSheet
from swarfbook.tui.rows_screen import RowsScreen
from swarfbook.tui.shelving import Shelving
from swarfbook.tui.text_screen import TextScreen

DISK_EVERY = 1.0  # s between looks at the file


class RecordScreen(
    RowsScreen[str | None], FiledScreen[str | None], Shelving[str | None], Entering[str | None]
):
    """Gives the id of the record it ended with; what was saved is in the book."""

    MODE = "record"
    sheet: RecordSheet

    def __init__(self, desk: Desk, kind: str, record_id: str) -> None:
        """Open a record; raises SwarfbookError if its file does not read."""
        super().__init__()
        self.desk = desk
        self.kind = kind
        self.sheet = RecordSheet(desk, kind, record_id)

    def on_mount(self) -> None:
        """Begin to look at the disk."""
        self.set_interval(DISK_EVERY, self.look_at_disk)

    def look_at_disk(self) -> None:
        """Notice what others changed."""
        if self.sheet.look_at_disk():
            self.draw()

    def log_read(self) -> None:
        """Say what each cutter of a kind has cut by now."""
        self.sheet.judge()
        self.draw()

    # What is drawn

    def rows(self) -> Finder[Fact]:
        """Give the facts."""
        return self.sheet.finder

    def head(self, width: int) -> list[Line]:
        """Name the record and its file."""
        return record_view.head(self.sheet, width)

    def row(self, at: int, width: int) -> Line:
        """Write one fact."""
        return record_view.row(self.sheet, at, width)

    def detail(self, width: int, height: int) -> list[Line]:
        """Say what is to say of the chosen fact."""
        return record_view.detail(self.sheet, width, height)

    def foot(self, width: int) -> str:
        """Give the hints for the keys."""
        return footer(self.mode, width, self.usable)

    # Keys

    @property
    def mode(self) -> str:
        """The keys of writing while something is written, else the record's."""
        return "writing" if self.sheet.writing else "record"

    def usable(self, action: str) -> bool:
        """Say whether a command can do anything now."""
        sheet, draft = self.sheet, self.sheet.draft
        needs = {
            "save": draft.dirty,
            "undo": draft.can_undo,
            "redo": draft.can_redo,
            "read_again": sheet.on_disk,
            "why": not sheet.by_log,
            "measure": sheet.topic() is not None,
            "insert": sheet.kind == "job",
            "take_out": self.spot is not None,
            "move_up": self.may_move(-1),
            "move_down": self.may_move(1),
            "keep_and_next": sheet.pen is not None,
            "keep_and_previous": sheet.pen is not None,
        }
        return needs.get(action, True)

    def before_key(self) -> None:
        """Forget what the last command had to say."""
        self.sheet.message = ""

    def typed(self, key: str, character: str | None) -> None:
        """Give a key to what is being typed, or take up a pen where a number begins."""
        if self.sheet.writing:
            self.sheet.press(key, character)
        elif character in STARTS and self.sheet.starts(character):
            self.sheet.write(character)
        self.draw()

    def may_leave(self) -> bool:
        """Put the pen down before another row is chosen."""
        return not self.sheet.writing or self.sheet.keep()

    def action_open(self) -> None:
        """Take a pen to the chosen value; the row of the table is found in a list."""
        if self.sheet.fact.key == "table":
            from swarfbook.tui.tables_screen import material_rows

            now = str(self.sheet.fact.given)
            self.app.push_screen(material_rows(now), self._take_row)
        else:
            self.sheet.write()
        self.draw()

    def _take_row(self, row: str | None) -> None:
        if row is not None:
            self.sheet.set({"table": row})
            self.draw()

    def action_keep(self) -> None:
        """Keep what is written."""
        self.sheet.keep()
        self.draw()

    def action_give_up(self) -> None:
        """Leave the value as it was."""
        self.sheet.give_up()
        self.draw()

    def action_keep_and_next(self) -> None:
        """Keep what is written and go down."""
        self.move(1 if self.sheet.keep() else 0)

    def action_keep_and_previous(self) -> None:
        """Keep what is written and go up."""
        self.move(-1 if self.sheet.keep() else 0)

    def conflict(self) -> Question:
        """Ask whose values stand."""
        draft = self.sheet.draft
        return whose(draft.where, mine_and_theirs(draft.as_read, draft.values, draft.on_disk()))

    # What opens over it

    def action_why(self) -> None:
        """Read where the chosen value comes from."""
        first, *lines = origin_lines(self.sheet.fact)
        self.app.push_screen(TextScreen(first, lines))

    def action_measure(self) -> None:
        """Read how to measure the chosen value."""
        from swarfbook.tui.measure_screen import topic_screen

        topic = self.sheet.topic()
        if topic is not None:
            self.app.push_screen(topic_screen(topic))

    def action_edit_file(self) -> None:
        """Open the record's file in the person's editor, and read it again afterwards."""
        self.sheet.message = outside.edit(self.app, self.sheet.draft.entry.path)
        self.look_at_disk()
        self.draw()

    # Whole records

    @property
    def at_hand(self) -> str:
        """The record on the page."""
        return self.sheet.draft.id

    def unsaved(self) -> Mapping[str, Any]:
        """Give what differs from the file, nested as in it."""
        return self.sheet.draft.changes

    def keeps(self) -> bool:
        """Changes do not outlast the page."""
        return not self.sheet.draft.dirty

    def say(self, message: str) -> None:
        """Say something until the next key."""
        self.sheet.message = message
        self.draw()

    def turn_to(self, record: str, message: str) -> None:
        """Show another record, and say what was done."""
        try:
            self.sheet.turn_to(RecordDraft(self.desk.book, self.kind, record))
        except SwarfbookError as error:
            message = str(error.problems[0])
        self.say(message)

    def turn_away(self, message: str) -> None:
        """Show the next record that reads, this one being gone; without any, go back to the list."""
        left, _ = self.desk.book.entries(self.kind)
        if not left:
            self.dismiss(None)
            return
        after = (one.id for one in left if one.id > self.at_hand)
        self.turn_to(next(after, left[-1].id), message)

    def take_back(self, message: str) -> None:
        """Take the record as its file has it again, and say what was done."""
        self.sheet.read_again(keep_mine=False)
        self.say(message)

    def action_another(self) -> None:
        """Ask for the id of another record like this one."""
        self.ask_another()

    def action_close(self) -> None:
        """Go back, asking when something is not saved."""
        if self.sheet.draft.dirty:
            self.app.push_screen(AskScreen(*record_view.leaving(self.sheet)), self._leave)
        else:
            self.dismiss(self.sheet.draft.id)

    def _leave(self, answer: str | None) -> None:
        if answer == "s":
            self.action_save()
        if answer == "x" or (answer == "s" and not self.sheet.draft.dirty):
            self.dismiss(self.sheet.draft.id)
