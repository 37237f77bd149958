"""What editors look for in a book: the schemas of its records, and the file that ties records to them."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path

from swarfbook.book.ids import FOLDERS, SETTINGS
from swarfbook.book.inside import to_write
from swarfbook.book.locking import write_atomically
from swarfbook.book.reading import MOST_BYTES, read_bytes, stamp, trouble
from swarfbook.errors import SwarfbookError

FOLDER = "schemas"
FILE = ".taplo.toml"
RULES = {**{kind: f"{folder}/*.toml" for kind, folder in FOLDERS.items()}, "book": SETTINGS}
"""The files that follow each kind of schema."""
HEAD = "# Ties this book's files to their schemas, for editors; `swarfbook schema --editors` wrote it.\n"


def schema_file(kind: str) -> str:
    """Give the file of a schema, relative to its book."""
    return f"{FOLDER}/{kind}.schema.json"


def write_schemas(root: Path, schemas: Mapping[str, str]) -> str:
    """Write schemas into a book, and the file that ties records to them unless there is one.

    Args:
        root: folder of the book.
        schemas: text of each schema by its kind.

    Returns:
        The lines that a file of somebody's own lacks; empty where nothing is lacking.

    Raises:
        SwarfbookError: something cannot be written.
    """
    try:
        (root / FOLDER).mkdir(exist_ok=True)
        for kind, text in schemas.items():
            write_atomically(to_write(root, schema_file(kind)), text.encode())
        return _tie(root)
    except OSError as error:
        raise trouble(FOLDER, "written", error) from error


def _tie(root: Path) -> str:
    if stamp(root / FILE) is None and not (root / FILE).is_symlink():
        write_atomically(root / FILE, f"{HEAD}{''.join(map(_rule, RULES))}".encode())
        return ""
    tied = _tied(root)
    return "".join(_rule(kind) for kind in RULES if schema_file(kind) not in tied).lstrip()


def _rule(kind: str) -> str:
    return f'\n[[rule]]\ninclude = ["**/{RULES[kind]}"]\n[rule.schema]\npath = "{schema_file(kind)}"\n'


def _tied(root: Path) -> set[str]:
    """Give the schemas that somebody's own file ties to something; none where it does not read."""
    try:
        text = read_bytes(root / FILE, where=FILE, most=MOST_BYTES).decode("utf-8-sig")
        rules = tomllib.loads(text).get("rule", ())
        return {str(rule["schema"]["path"]) for rule in rules}
    except (SwarfbookError, ValueError, TypeError, KeyError, AttributeError, RecursionError):
        return set()
