"""What every screen does with a key: look it up in the table of commands, else take it as typing.

Keys are handled in the screen's own queue and not through Textual's bindings, whose actions run in the
application's: there a key typed ahead could overtake the one before it.
"""

from __future__ import annotations

from typing import ClassVar, TypeVar

from rich.console import RenderableType
from textual import events
from textual.renderables.background_screen import BackgroundScreen
from textual.screen import ModalScreen, Screen

from swarfbook.tui.beside import Pace
from swarfbook.tui.commands import by_key, help_lines
from swarfbook.tui.themes import SIXTEEN

AnswerT = TypeVar("AnswerT")


class Keyed(Screen[AnswerT]):
    """A screen whose keys are those of the table."""

    MODE: ClassVar[str]
    """Name of the screen in the table."""

    @property
    def mode(self) -> str:
        """Name under which the table has the keys that serve now."""
        return self.MODE

    def usable(self, action: str) -> bool:
        """Say whether a command can do anything now."""
        del action
        return True

    def typed(self, key: str, character: str | None) -> None:
        """Take a key that is no command; `character` is what it writes, None where it writes nothing."""

    def action_help(self) -> None:
        """Read the help page, this screen's keys first."""
        from swarfbook.tui.text_screen import TextScreen

        self.app.push_screen(TextScreen("Keys", help_lines(self.mode)))

    def action_palette(self) -> None:
        """Find a command by its words and run it."""
        from swarfbook.tui.palette import palette

        self.app.push_screen(palette(self), self._run)

    def _run(self, action: str | None) -> None:
        if action is not None:
            getattr(self, f"action_{action}")()

    def before_key(self) -> None:
        """Make ready for a key of any kind."""

    @property
    def writes(self) -> bool:
        """Whether files are being written that the page had better not notice half-way."""
        return False

    def log_read(self) -> None:
        """Take notice that the run log says something else now."""

    def on_key(self, event: events.Key) -> None:
        """Run the command of a key, or take it as typing."""
        event.stop()
        event.prevent_default()
        Pace.key()
        if self.app.screen is not self:
            # Typed ahead of a screen that opened or closed meanwhile: it is meant for the one on top.
            self.app.screen.post_message(events.Key(event.key, event.character))
            return
        self.before_key()
        command = by_key(self.mode, event.key)
        if command is not None and self.usable(command.action):
            getattr(self, f"action_{command.action}")()
        else:
            self.typed(event.key, written(event))

    def on_paste(self, event: events.Paste) -> None:
        """Type what is pasted, line breaks as blanks."""
        event.stop()
        for character in " ".join(event.text.split()):
            self.typed(character, character)


class Over(Keyed[AnswerT], ModalScreen[AnswerT]):
    """A screen over the page: laid on its lower part, the page showing above."""

    DEFAULT_CSS: ClassVar = """
    Over { align: center bottom; background: $background 40%; }
    Over > Lines { background: $surface; }
    Over > .top { margin-top: 2; padding-top: 1; }
    """

    def render(self) -> RenderableType:
        """Draw the screen below, dimmed where there are colours enough for that; see Textual.

        Textual's own takes it from a list that every screen on the way down shortens as it is painted. One
        that is not painted anew leaves its part there, and the next finds itself and draws nothing.
        """
        stack = self.app.screen_stack
        if self not in stack[1:]:
            return super().render()
        tint = self.styles.background
        if self.app.console.color_system == SIXTEEN:
            tint = tint.with_alpha(0)  # the nearest of sixteen to a dimmed ink may be the paper
        return BackgroundScreen(stack[stack.index(self) - 1], tint)


def written(event: events.Key) -> str | None:
    """Give the character a key writes; None for one that writes nothing or is held with Alt or Ctrl."""
    held = event.key.startswith(("alt+", "ctrl+", "super+", "meta+"))
    return event.character if event.is_printable and not held else None
