"""One line of text being typed: pure state, no widget."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

LONGEST = 200


@dataclass(slots=True)
class LineEdit:
    """A text and the place of the caret in it.

    Attributes:
        text: what is typed so far.
        caret: place the next character goes, 0 to the text's length.
    """

    text: str = ""
    caret: int = 0

    @classmethod
    def holding(cls, text: str) -> LineEdit:
        """Start with a text, the caret behind it."""
        return cls(text, len(text))

    def press(self, key: str, character: str | None) -> bool:
        """Take a key; False if it is not one that edits a line."""
        if key in _MOVES:
            _MOVES[key](self)
            return True
        if character is not None and character.isprintable():
            self.insert(character)
            return True
        return False

    def insert(self, text: str) -> None:
        """Put text at the caret: its printable characters, up to `LONGEST` in all."""
        fresh = "".join(char for char in text if char.isprintable())[: LONGEST - len(self.text)]
        self.text = self.text[: self.caret] + fresh + self.text[self.caret :]
        self.caret += len(fresh)

    def _move(self, step: int) -> None:
        self.caret = min(max(self.caret + step, 0), len(self.text))

    def _erase(self, step: int) -> None:
        start, stop = sorted((self.caret, min(max(self.caret + step, 0), len(self.text))))
        self.text = self.text[:start] + self.text[stop:]
        self.caret = start


_MOVES: dict[str, Callable[[LineEdit], None]] = {
    "left": lambda line: line._move(-1),
    "right": lambda line: line._move(1),
    "home": lambda line: line._move(-LONGEST),
    "end": lambda line: line._move(LONGEST),
    "backspace": lambda line: line._erase(-1),
    "delete": lambda line: line._erase(1),
    "ctrl+u": lambda line: line._erase(-LONGEST),
}
