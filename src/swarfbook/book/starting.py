"""How a new book begins: empty, as a copy of the demo, or with its first records."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from swarfbook import resources
from swarfbook.book.ids import ALL_FOLDERS, SETTINGS, file_name
from swarfbook.book.reading import fail, is_folder, stamp, trouble
from swarfbook.frozen import frozen

# ruff: noqa: PLC0415 - finding a book, which every command does, takes none of what writes one

OWNER_WRITES = 0o200
IGNORED = ".lock\n*.tmp\n"
LONGEST_TITLE = 80
PASSED_OVER = frozenset({".git"})
"""What may stand in the folder of a new book: `git init` may come first."""


@frozen
class Begun:
    """A record that a new book begins with.

    Attributes:
        kind: kind of record.
        id: its id.
        values: its keys, nested as in the file and as typed.
        notes: what stands as a comment beside a key, by dotted key.
        head: what stands as a comment on top.
    """

    kind: str
    id: str
    values: Mapping[str, Any]
    notes: Mapping[str, str]
    head: str = ""

    @property
    def file(self) -> str:
        """Its file, relative to the book."""
        return file_name(self.kind, self.id)


def create(
    target: Path, *, demo: bool, records: Sequence[Begun] = (), settings: Mapping[str, str] | None = None
) -> Path:
    """Start a book in a new or empty folder, whole or not at all.

    Args:
        target: the folder.
        demo: copy the demo workshop rather than start empty.
        records: what an empty one begins with.
        settings: keys of `book.toml` beside its title.

    Raises:
        SwarfbookError: when the folder holds something or cannot be written.
    """
    from swarfbook.book.attributes import write_attributes

    refuse_filled(target)
    texts = {one.file: record_text(one) for one in records}
    try:
        with _whole(target):
            if demo:
                _copy_demo(target)
            else:
                _begin(target, texts)
            (target / ".gitignore").write_text(IGNORED, encoding="utf-8")
            write_attributes(target)
            if not demo:  # the last: a folder without it is no book
                _write(target / SETTINGS, _settings_text(target, settings or {}))
    except OSError as error:
        raise trouble(str(target), "written", error) from error
    return target


def refuse_filled(target: Path) -> None:
    """Refuse a folder that is a book or holds something else; raises SwarfbookError."""
    where = str(target)
    try:
        if stamp(target / SETTINGS) is not None:
            raise fail(
                where, "there is a book in this folder; name a new one, or open it with `swarfbook open`"
            )
        if is_folder(target) and any(path.name not in PASSED_OVER for path in target.iterdir()):
            raise fail(where, "this folder is not empty; name a new one")
        if target.exists() and not is_folder(target):
            raise fail(where, "this is a file; name a new folder")
    except OSError as error:
        raise trouble(where, "written", error) from error


def record_text(record: Begun) -> str:
    """Write the file of a record, its notes beside the keys.

    Raises:
        SwarfbookError: the values will not do.
    """
    import tomlkit

    from swarfbook.book.editing import new_document
    from swarfbook.records import parse

    parse(record.kind, record.values, where=record.file)
    document: Any = tomlkit.parse(new_document(record.kind, record.values))
    for dotted, note in record.notes.items():
        *tables, key = dotted.split(".")
        place = document
        for name in tables:
            place = place[name]
        place.item(key).comment(note)
    head = "".join(f"# {line}\n" for line in record.head.splitlines())
    return head + tomlkit.dumps(document)


@contextmanager
def _whole(target: Path) -> Iterator[None]:
    """Make the folder; leave nothing behind where what follows does not come to its end."""
    made = [folder for folder in (target, *target.parents) if not folder.exists()]
    kept = set() if made else {path.name for path in target.iterdir()}
    try:
        target.mkdir(parents=True, exist_ok=True)
        yield
    except BaseException:
        with suppress(OSError):
            _clear(target, kept)
        for folder in made:
            with suppress(OSError):
                folder.rmdir()
        raise


def _clear(target: Path, kept: set[str]) -> None:
    import shutil

    for path in target.iterdir():
        if path.name in kept:
            continue
        if path.is_dir() and not path.is_symlink():
            shutil.rmtree(path, ignore_errors=True)
        else:
            path.unlink()


def _copy_demo(target: Path) -> None:
    import shutil

    demo = resources.demo_book_dir()
    shutil.copytree(demo, target, dirs_exist_ok=True)
    for path in (target, *(target / one.relative_to(demo) for one in demo.rglob("*"))):
        path.chmod(path.stat().st_mode | OWNER_WRITES)


def _begin(target: Path, texts: Mapping[str, str]) -> None:
    """Write the folders, each with a file that keeps it in version control, and the records."""
    for folder in ALL_FOLDERS:
        (target / folder).mkdir()
        (target / folder / ".gitkeep").touch()
    for file, text in texts.items():
        _write(target / file, text)


def _write(path: Path, text: str) -> None:
    from swarfbook.book.locking import write_atomically

    write_atomically(path, text.encode())


def _settings_text(target: Path, settings: Mapping[str, str]) -> str:
    name = "".join(char for char in target.resolve().name if char.isalnum() or char in "- ")
    title = name.replace("-", " ").strip()[:LONGEST_TITLE].capitalize() or "Recipe book"
    lines = {"schema": "book/1", "title": title, **settings}
    return "".join(f'{key} = "{value}"\n' for key, value in lines.items())
