"""The page: wires keys, mouse and clock to the sheet and shows its lines."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.timer import Timer

from swarfbook.tui import page_view, sentence_view
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.commands import STARTS
from swarfbook.tui.desk import Desk
from swarfbook.tui.handling import Handling
from swarfbook.tui.lines import Lines
from swarfbook.tui.sheet import Sheet

PARTS = ("head", "sentence", "hint", "fold", "ladder", "note", "foot")  # top to bottom
NAME_ROW = 1  # of the head
LEAST_LADDER = 4  # rows an open fold leaves the ladder: the heading, two rungs and the legend
RELIEF_AFTER = 0.12  # s without a key before a relief is searched for
DISK_EVERY = 1.0  # s between looks at the files


class Page(Handling):
    """The one page everything else opens over."""

    MODE = "page"
    DEFAULT_CSS = """
    Page > #ladder { height: 1fr; }
    """

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        self.sheet = Sheet(desk)
        self._rows: sentence_view.Rows = []
        self._relief: list[str] = []
        self._relief_timer: Timer | None = None

    def compose(self) -> ComposeResult:
        """Lay the parts out, top to bottom."""
        for part in PARTS:
            yield Lines(id=part)

    def on_mount(self) -> None:
        """Begin to look at the disk, and into the log and the book once the page is there to be seen."""
        self.call_after_refresh(self.read_log)
        self.set_interval(DISK_EVERY, self.look_at_disk)

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw()

    # Drawing

    def draw(self) -> None:
        """Draw every part; the relief follows when the keys rest."""
        width = self.size.width
        self._rows = page_view.rows(self.sheet, width)
        for part, lines in (
            ("head", page_view.head(self.sheet, width)),
            ("sentence", page_view.sentence(self.sheet, self._rows)),
            ("hint", page_view.hint(self.sheet, width, self.size.height)),
            ("foot", page_view.foot(self.sheet, width)),
        ):
            self.query_one(f"#{part}", Lines).show(lines)
        self._draw_ladder()
        self._await_relief()
        self._draw_note()

    def _draw_ladder(self) -> None:
        # The fold and the ladder take what the other parts leave; their heights are known before Textual
        # lays them out.
        others = ("head", "sentence", "hint", "foot")
        taken = sum(len(self.query_one(f"#{part}", Lines).lines) for part in others)
        room = self.size.height - taken - page_view.note_height(self.sheet, self.size.height)
        fold = page_view.fold(self.sheet, self.size.width, room - LEAST_LADDER - 1)
        self.query_one("#fold", Lines).show(fold)
        self.query_one("#ladder", Lines).show(page_view.ladder(self.sheet, self.size.width, room - len(fold)))

    def _draw_note(self) -> None:
        height = page_view.note_height(self.sheet, self.size.height)
        lines = page_view.note(self.sheet, self._relief, self.size.width, height)
        self.query_one("#note", Lines).show(lines)

    def _await_relief(self) -> None:
        if self._relief_timer is not None:
            self._relief_timer.stop()
        self._relief = []
        self._relief_timer = self.set_timer(RELIEF_AFTER, self._find_relief)

    def _find_relief(self) -> None:
        self._relief_timer = None
        self._relief = self.sheet.find_relief()
        self._draw_note()

    # Keys and mouse

    @property
    def mode(self) -> str:
        """The pen's keys while one is in hand, else the page's."""
        return "page" if self.sheet.pen is None else "pen"

    def usable(self, action: str) -> bool:
        """Say whether a command can do anything now."""
        return page_view.usable(self.sheet, action)

    def before_key(self) -> None:
        """Forget what the last command had to say."""
        self.sheet.message = ""

    def typed(self, key: str, character: str | None) -> None:
        """Give a key to the pen, or take one up where a number begins."""
        if key == "ctrl+c":
            self.sheet.message = "q leaves, Esc gives up what is being written"
        elif self.sheet.pen is not None:
            self.sheet.press(key, character)
        elif character is not None and character in STARTS:
            self.sheet.write(character)
        self.draw()

    @on(Lines.Pressed, "#sentence")
    def press_sentence(self, event: Lines.Pressed) -> None:
        """Choose the value under the mouse; a second press writes it."""
        self._press_value(sentence_view.key_at(self._rows, event.row, event.column))

    @on(Lines.Pressed, "#head")
    def press_head(self, event: Lines.Pressed) -> None:
        """Choose the name under the mouse; a second press writes it."""
        self._press_value("name" if event.row == NAME_ROW else None)

    def _press_value(self, key: str | None) -> None:
        if key is None or not self._put_pen_down():
            return
        if key == self.sheet.key:
            self.sheet.write()
        self.sheet.choose(key)
        self.draw()

    @on(Lines.Pressed, "#ladder")
    def press_ladder(self, event: Lines.Pressed) -> None:
        """Choose the rung under the mouse."""
        at = page_view.rung_at(self.sheet, event.row, event.lines.size.height)
        self.sheet.walk_rungs(at - self.sheet.rung)
        self.draw()

    def _put_pen_down(self) -> bool:
        return self.sheet.pen is None or self.sheet.keep()

    # What the keys for values and rungs do

    def action_next_value(self) -> None:
        """Go to the next value."""
        self.sheet.walk(1)
        self.draw()

    def action_previous_value(self) -> None:
        """Go to the value before."""
        self.sheet.walk(-1)
        self.draw()

    def action_next_rung(self) -> None:
        """Go down the ladder."""
        self.sheet.walk_rungs(1)
        self.draw()

    def action_previous_rung(self) -> None:
        """Go up the ladder."""
        self.sheet.walk_rungs(-1)
        self.draw()

    def action_open(self) -> None:
        """Write the chosen value, or read the chosen rung's why."""
        if self.sheet.on_rung:
            self.action_why()
        else:
            self.action_write()

    def action_write(self) -> None:
        """Take a pen to the chosen value as it stands."""
        self.sheet.write()
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
        """Keep what is written and go on."""
        if self.sheet.keep():
            self.sheet.walk(1)
        self.draw()

    def action_keep_and_previous(self) -> None:
        """Keep what is written and go back."""
        if self.sheet.keep():
            self.sheet.walk(-1)
        self.draw()

    def action_leave(self) -> None:
        """Leave, asking when something is not saved."""
        unsaved = self.desk.unsaved()
        if unsaved:
            self.app.push_screen(AskScreen(*page_view.leaving(self.desk.book, unsaved)), self._leave)
        else:
            self.app.exit()

    def _leave(self, answer: str | None) -> None:
        if answer == "x":
            self.app.exit()
        elif answer == "s":
            self._save_all()

    def _save_all(self) -> None:
        for draft in self.desk.unsaved():
            self.open_recipe(draft.recipe_id)
            self.action_save()
            if draft.dirty:
                return
        self.app.exit()
