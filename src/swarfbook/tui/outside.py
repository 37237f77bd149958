"""What the screen asks of the world outside it: an editor for a file, a place for text and sheets."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

from platformdirs import user_state_path
from textual.app import App, SuspendNotSupported

from swarfbook.book.outside import typed_path
from swarfbook.book.reading import stamp
from swarfbook.book.system import command_words

SERVED = "not from a browser: that is done at the machine on which the program runs"
NO_EDITOR = "no editor is named: set EDITOR, for example to nano, before the program starts"


def edit(app: App[None], path: Path) -> str:
    """Lend the terminal to the person's editor until it is left; give what went wrong, empty for nothing.

    Args:
        app: the program on screen.
        path: the file.
    """
    if app.is_web:
        return SERVED
    named = os.environ.get("VISUAL") or os.environ.get("EDITOR") or ""
    try:
        words = command_words(named)
    except ValueError:
        return f"EDITOR does not read as a command: {named}"
    if not words:
        return NO_EDITOR
    try:
        with app.suspend():
            return _run(words, path)
    except SuspendNotSupported:
        return f"this terminal cannot be lent to an editor; the file is {path}"


def _run(words: list[str], path: Path) -> str:
    # What goes wrong is told and not raised: an exception would leave the terminal lent for good.
    try:
        code = subprocess.run([*words, str(path)], check=False).returncode  # noqa: S603 - the person's own editor, as words: no shell reads them
    except OSError as error:
        return f"{words[0]} does not start: {(error.strerror or 'unknown trouble').lower()}"
    return f"{words[0]} left with {code}" if code else ""


def copy(app: App[None], text: str) -> str:
    """Copy text for the terminal to take, and into a file for one that does not; give what to say of it."""
    app.copy_to_clipboard(text)
    if app.is_web:
        return "copied, if this browser takes it"
    path = copied_file()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        return f"copied, if this terminal takes it; no file: {(error.strerror or 'unknown trouble').lower()}"
    return f"copied, if this terminal takes it; also in {path}"


def there(name: str) -> bool:
    """Say whether there is something of a file's name as a person typed it."""
    return stamp(typed_path(name)) is not None


def copied_file() -> Path:
    """Give the file that holds what was copied last."""
    return user_state_path("swarfbook", appauthor=False) / "copied.txt"
