"""Which folder is meant as the book, and how a new one begins."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path

from swarfbook import resources
from swarfbook.book.ids import ALL_FOLDERS, SETTINGS
from swarfbook.book.reading import fail, is_folder, read_toml, trouble
from swarfbook.errors import SwarfbookError

VARIABLE = "SWARFBOOK_BOOK"
DEMO_NOTE = "no book here: showing the demo workshop (`swarfbook init --demo DIR` makes a copy to work in)"
OWNER_WRITES = 0o200
IGNORED = ".lock\n*.tmp\n"
EMPTY = 'schema = "book/1"\ntitle = "{title}"\n'


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


def create(target: Path, *, demo: bool) -> Path:
    """Start a book in a new or empty folder.

    Args:
        target: the folder.
        demo: copy the demo workshop rather than start empty.

    Raises:
        SwarfbookError: when the folder holds something or cannot be written.
    """
    from swarfbook.book.attributes import write_attributes  # noqa: PLC0415 - finding a book takes none of it

    where = str(target)
    try:
        if is_folder(target) and any(target.iterdir()):
            raise fail(where, "this folder is not empty; name a new one")
        target.mkdir(parents=True, exist_ok=True)
        if demo:
            _copy_demo(target)
        else:
            _begin(target)
        (target / ".gitignore").write_text(IGNORED, encoding="utf-8")
        write_attributes(target)
    except OSError as error:
        raise trouble(where, "written", error) from error
    return target


def _copy_demo(target: Path) -> None:
    shutil.copytree(resources.demo_book_dir(), target, dirs_exist_ok=True)
    for path in (target, *target.rglob("*")):
        path.chmod(path.stat().st_mode | OWNER_WRITES)


def _begin(target: Path) -> None:
    """Write the settings and the folders, each with a file that keeps it in version control."""
    name = "".join(char for char in target.resolve().name if char.isalnum() or char in "- ")
    title = name.replace("-", " ").strip()[:80].capitalize() or "Recipe book"
    for folder in ALL_FOLDERS:
        (target / folder).mkdir()
        (target / folder / ".gitkeep").touch()
    (target / SETTINGS).write_text(EMPTY.format(title=title), encoding="utf-8")
