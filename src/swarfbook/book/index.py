"""What lists ask of every recipe, without opening every file: a cache backstage of the book, never the truth.

A file is read again as soon as its size, times or inode are not those it was read with. One that was changed
just before it was read is not kept at all: on a coarse clock, another change at once would look the same.
Whatever is wrong with the cache, it is made anew; it can be deleted at any time.
"""

from __future__ import annotations

import os
import time
from collections.abc import Iterator, Mapping
from contextlib import suppress
from pathlib import Path

from swarfbook.book.backstage import FOLDER, backstage
from swarfbook.book.ids import FOLDERS, file_name
from swarfbook.book.index_file import SAID, STAMP, Brief, Kept, dump, load
from swarfbook.book.locking import write_atomically
from swarfbook.book.mentions import parent_of
from swarfbook.book.reading import MOST_BYTES, parse_toml, read_bytes, trouble
from swarfbook.errors import SwarfbookError

NAME = "recipes.json"
MOST_INDEX = 256 * 1024 * 1024
GRAIN = 2_000_000_000
"""The coarsest clock of a file system in use [ns]."""
_WHOLE = 2**64 - 1


class Index:
    """The recipes of a book in brief, as far as they are known.

    Looks may run beside each other: then a file may be read twice, and what one of them kept is read again.
    """

    def __init__(self, root: Path, *, writes: bool) -> None:
        """Begin with nothing known.

        Args:
            root: the book's folder.
            writes: keep what is known in the folder.
        """
        self.root = root
        self._writes = writes
        self._known: dict[str, Kept] | None = None

    def look(self) -> Look:
        """Begin a look over all recipes; raises SwarfbookError where the folder cannot be looked into."""
        return Look(self)

    def known(self) -> dict[str, Kept]:
        """Give what is known, read from the folder the first time."""
        if self._known is None:
            self._known = self._load()
        return self._known

    def _load(self) -> dict[str, Kept]:
        try:
            return load(read_bytes(self.root / FOLDER / NAME, where=NAME, most=MOST_INDEX))
        except SwarfbookError:
            return {}

    def take(self, fresh: Mapping[str, Kept], there: Mapping[str, bytes]) -> None:
        """Take in what was read, and drop what is no longer there."""
        known = self.known()
        if fresh or not known.keys() <= there.keys():
            self._known = {recipe: kept for recipe, kept in known.items() if recipe in there} | dict(fresh)
            if self._writes:
                self._save(self._known)

    def _save(self, known: Mapping[str, Kept]) -> None:
        with suppress(OSError):  # a folder that is not to be written is read every time
            path = backstage(self.root) / NAME
            data = dump(known)
            if len(data) <= MOST_INDEX:
                write_atomically(path, data, lasting=False)


class Look:
    """One look over the recipes of a book: to be gone through once.

    Attributes:
        stamps: the stamp of every recipe's file by id, in order.
        reads: how many files were read so far.
    """

    def __init__(self, index: Index) -> None:
        self._index = index
        self._began = time.time_ns()
        self.stamps = _stamps(index.root)
        self.reads = 0

    def __iter__(self) -> Iterator[Brief]:
        """Yield every recipe in brief, in order; what was read is kept even if nobody goes on to the end."""
        known, fresh = self._index.known(), dict[str, Kept]()
        try:
            for recipe, stamp in self.stamps.items():
                kept = known.get(recipe)
                if kept is not None and kept[0] == stamp:
                    yield kept[1]
                    continue
                self.reads += 1
                brief, whole = _read(self._index.root, recipe)
                if whole and self._settled(recipe, stamp):
                    fresh[recipe] = stamp, brief
                yield brief
        finally:
            self._index.take(fresh, self.stamps)

    def _settled(self, recipe: str, stamp: bytes) -> bool:
        """Say whether a file is the one listed, and was left alone so long that its next change will show."""
        if not stamp or _stamp(self._index.root / file_name("recipe", recipe)) != stamp:
            return False
        modified, _, _, changed = map(int, STAMP.unpack(stamp))
        return max(modified, changed) + GRAIN < self._began


def _stamps(root: Path) -> dict[str, bytes]:
    try:
        with os.scandir(root / FOLDERS["recipe"]) as files:
            found = {
                file.name.removesuffix(".toml"): _stamp(file)
                for file in files
                if file.name.endswith(".toml") and file.name[0] != "."
            }
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise trouble(FOLDERS["recipe"], "read", error) from error
    return {recipe: found[recipe] for recipe in sorted(found)}


def _stamp(file: os.DirEntry[str] | Path) -> bytes:
    try:
        found = file.stat()
    except OSError:  # a link that leads nowhere
        return b""
    times = found.st_mtime_ns & _WHOLE, found.st_ctime_ns & _WHOLE
    return STAMP.pack(times[0], found.st_size, found.st_ino & _WHOLE, times[1])


def _read(root: Path, recipe: str) -> tuple[Brief, bool]:
    """Read a file, and say whether all that came of it is a matter of its bytes."""
    where = file_name("recipe", recipe)
    try:
        data = read_bytes(root / where, where=where, most=MOST_BYTES)
    except SwarfbookError as error:
        return Brief(recipe, problems=error.problems), False
    try:
        raw = parse_toml(data, where=where)
    except SwarfbookError as error:
        return Brief(recipe, problems=error.problems), True
    said = [str(raw[key]) if key in raw else None for key in SAID]
    return Brief._make((recipe, *said, parent_of(raw), ())), True
