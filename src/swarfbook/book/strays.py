"""What lies in a book's folders and is no record, or is one that another system would not find."""

from __future__ import annotations

import os
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path

from swarfbook.book.ids import ALL_FOLDERS, FOLDERS, SETTINGS
from swarfbook.book.reading import is_folder, trouble
from swarfbook.book.renames import FILE
from swarfbook.book.runlog import FOLDER, METERS
from swarfbook.errors import Problem

ENDINGS = {**dict.fromkeys(FOLDERS.values(), ".toml"), FOLDER: ".jsonl"}
WHAT = {**dict.fromkeys(FOLDERS.values(), "record"), FOLDER: "month of the run log"}


def strays(root: Path) -> Iterator[Problem]:
    """Yield what is no record, names that differ only by case, and links that lead out of the book.

    Hidden files are passed over, as they are on reading.
    """
    own = root.resolve()
    for name in (*ALL_FOLDERS, SETTINGS, FILE):
        yield from _leads_out(root / name, own, where=name)
    for folder in ALL_FOLDERS:
        try:
            with os.scandir(root / folder) as files:
                entries = sorted((file for file in files if file.name[0] != "."), key=lambda file: file.name)
        except FileNotFoundError:
            continue
        except OSError as error:
            yield from trouble(folder, "read", error).problems
            continue
        for entry in entries:
            yield from _stray(folder, entry)
            yield from _leads_out(Path(entry.path), own, where=f"{folder}/{entry.name}")
        yield from _same_but_for_case(folder, (entry.name for entry in entries))


def _stray(folder: str, entry: os.DirEntry[str]) -> Iterator[Problem]:
    where, ending = f"{folder}/{entry.name}", ENDINGS[folder]
    if is_folder(Path(entry.path)):
        if (folder, entry.name) != (FOLDER, METERS):
            yield Problem(where, "", "", "a folder in here is not read; move its records up, or it elsewhere")
    elif not entry.name.endswith(ending):
        remedy = f"not read: a {WHAT[folder]} ends in {ending}; give it that ending, or move it elsewhere"
        yield Problem(where, "", "", remedy)


def _same_but_for_case(folder: str, names: Iterable[str]) -> Iterator[Problem]:
    alike = defaultdict[str, list[str]](list)
    for name in names:
        alike[name.casefold()].append(name)
    for group in alike.values():
        for name in group[1:]:
            remedy = f"differs from {group[0]} only by case; where case does not count one of them is lost"
            yield Problem(f"{folder}/{name}", "", "", remedy)


def _leads_out(path: Path, own: Path, *, where: str) -> Iterator[Problem]:
    if not path.is_symlink():
        return
    try:
        leads = path.resolve()
    except (OSError, RuntimeError):  # in a ring
        leads = own
    if not leads.is_relative_to(own):
        remedy = "this link leads out of the book, so that a copy of the book lacks what it leads to"
        yield Problem(where, "", str(leads), remedy)
    elif not path.exists():
        yield Problem(where, "", os.fspath(path.readlink()), "this link leads nowhere")
