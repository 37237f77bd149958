"""One line being typed."""

from __future__ import annotations

import pytest

from swarfbook.tui.line_edit import LONGEST, LineEdit


def typed(line: LineEdit, *keys: str) -> tuple[str, int]:
    for key in keys:
        assert line.press(key, key if len(key) == 1 else None)
    return line.text, line.caret


@pytest.mark.parametrize(
    ("keys", "text", "caret"),
    [
        (("!",), "2.5!", 4),
        (("left", "left", "9"), "29.5", 2),
        (("home", "1"), "12.5", 1),
        (("home", "left", "1"), "12.5", 1),
        (("home", "end", "right", "0"), "2.50", 4),
        (("backspace",), "2.", 2),
        (("home", "backspace"), "2.5", 0),
        (("home", "delete"), ".5", 0),
        (("delete",), "2.5", 3),
        (("left", "ctrl+u"), "5", 0),
    ],
)
def test_keys_edit_the_line(keys: tuple[str, ...], text: str, caret: int) -> None:
    assert typed(LineEdit.holding("2.5"), *keys) == (text, caret)


def test_other_keys_are_not_taken() -> None:
    line = LineEdit.holding("x")
    assert not line.press("pagedown", None)
    assert not line.press("ctrl+a", "\x01")
    assert line.text == "x"


def test_control_characters_and_novels_do_not_get_in() -> None:
    line = LineEdit()
    line.insert("2\x1b[31m\n.5" + "9" * 10_000)
    assert line.text.startswith("2[31m.5999")
    assert len(line.text) == LONGEST
