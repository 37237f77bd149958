"""Which folder is meant as the book."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from swarfbook import resources
from swarfbook.book.ids import SETTINGS
from swarfbook.book.reading import read_toml
from swarfbook.errors import SwarfbookError

VARIABLE = "SWARFBOOK_BOOK"
DEMO_NOTE = (
    "no book here: this is the demo; "
    "`swarfbook init DIR` starts your own, `swarfbook init --demo DIR` copies this one"
)


def find_book(option: str | None, env: Mapping[str, str], cwd: Path) -> tuple[Path, str]:
    """Choose the book's folder.

    Args:
        option: the folder named on the command line, if any.
        env: the environment; `SWARFBOOK_BOOK` may name the folder.
        cwd: the folder to look in and upwards from.

    Returns:
        The folder and a line to tell the person; the line is empty unless the demo was chosen.
    """
    named = option or env.get(VARIABLE)
    if named:
        return Path(named), ""
    for folder in (cwd, *cwd.parents):
        if _is_book(folder):
            return folder, ""
    return resources.demo_book_dir(), DEMO_NOTE


def _is_book(folder: Path) -> bool:
    """Say whether a folder holds a book's settings; a `book.toml` of something else does not count."""
    try:
        return str(read_toml(folder / SETTINGS, where=SETTINGS).raw.get("schema")).startswith("book/")
    except SwarfbookError:
        return False
