"""How version control merges a book: files of lines keep the lines of both sides."""

from __future__ import annotations

from pathlib import Path

from swarfbook.book.locking import write_atomically
from swarfbook.book.reading import MOST_BYTES, read_bytes, trouble
from swarfbook.errors import Problem, SwarfbookError

FILE = ".gitattributes"
LINES = ("runs/*.jsonl merge=union", "renames.jsonl merge=union")
REMEDY = (
    "without the line `{}` runs logged in two copies of the book conflict on merging; "
    "`swarfbook verify --merging` writes it"
)


def lacking(root: Path) -> list[str]:
    """Give the lines that the book's `.gitattributes` lacks."""
    try:
        text = read_bytes(root / FILE, where=FILE, most=MOST_BYTES).decode("utf-8", "replace")
    except SwarfbookError:
        text = ""
    there = {" ".join(line.split()) for line in text.splitlines()}
    return [line for line in LINES if line not in there]


def under_version_control(root: Path) -> bool:
    """Say whether the book lies in a working copy of git."""
    return any((folder / ".git").exists() for folder in (root.resolve(), *root.resolve().parents))


def unmerged(root: Path) -> list[Problem]:
    """Give what keeps git from merging the book's files of lines; nothing where there is no git."""
    lines = lacking(root) if under_version_control(root) else []
    return [Problem(FILE, "", "", REMEDY.format(line)) for line in lines]


def write_attributes(root: Path) -> list[str]:
    """Add the lines that are lacking, and give them; what stands there stays. Raises SwarfbookError."""
    lines = lacking(root)
    path = root / FILE
    try:
        before = path.read_bytes() if path.is_file() else b""
        gap = b"" if before.endswith(b"\n") or not before else b"\n"
        if lines:
            write_atomically(path, before + gap + "".join(f"{line}\n" for line in lines).encode())
    except OSError as error:
        raise trouble(FILE, "written", error) from error
    return lines
