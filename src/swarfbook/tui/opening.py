"""The first frame: the recipe as its file has it, on screen before the physics is loaded.

Nothing here imports models, tables or numbers, which take longer to load than all that is shown.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from textual import events
from textual.app import ComposeResult

from swarfbook.book.ids import FOLDERS, SETTINGS
from swarfbook.book.reading import read_toml
from swarfbook.errors import SwarfbookError, printable
from swarfbook.tui.keyed import Keyed
from swarfbook.tui.lines import Line, Lines

SAID = {
    "spindle_speed": "{}",
    "feed_per_tooth": "{} a tooth",
    "feed_rate": "{} feed",
    "axial_depth": "{} deep",
    "radial_width": "{} wide",
    "stickout": "{} out of the collet",
}
LONGEST = 200  # characters of a line that no terminal shows more of


class Opening(Keyed[None]):
    """Shows what the book's files say while the rest of the program loads, and keeps the keys typed."""

    MODE = "opening"

    def __init__(self, root: Path, recipe_id: str | None) -> None:
        super().__init__()
        self.kept: list[events.Key] = []
        self._lines = opening_lines(root, recipe_id)

    def compose(self) -> ComposeResult:
        """Lay out the frame."""
        yield Lines(id="opening")

    def on_mount(self) -> None:
        """Draw the frame."""
        self.query_one("#opening", Lines).show(self._lines)

    def typed(self, key: str, character: str | None) -> None:
        """Keep a key for the page."""
        self.kept.append(events.Key(key, character))


def opening_lines(root: Path, recipe_id: str | None) -> list[Line]:
    """Say what the files say of the book and of the recipe asked for, or of its first."""
    title = _read(root / SETTINGS).get("title", root.name)
    values = _read(_recipe(root, recipe_id))
    told = [words.format(values[key]) for key, words in SAID.items() if key in values]
    lines = (str(title), str(values.get("name", "")), "", ", ".join(told), "", "opening …")
    return [[(f" {printable(line)[:LONGEST]}", "plain")] for line in lines]


def _recipe(root: Path, recipe_id: str | None) -> Path:
    folder = root / FOLDERS["recipe"]
    if recipe_id is not None:
        return folder / f"{recipe_id}.toml"
    try:
        found = [path for path in folder.iterdir() if path.suffix == ".toml" and path.name[0] != "."]
    except OSError:
        found = []
    return min(found, default=folder)


def _read(path: Path) -> dict[str, Any]:
    # What does not read is told by the page, which reads it again in full.
    try:
        return read_toml(path, where=path.name).raw
    except (SwarfbookError, ValueError):
        return {}
