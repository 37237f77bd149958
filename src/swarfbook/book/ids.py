"""The names of records: an id is the stem of a file in the folder of its kind."""

from __future__ import annotations

from swarfbook.errors import Problem, SwarfbookError

FOLDERS = {
    "machine": "machines",
    "tool": "tools",
    "material": "materials",
    "recipe": "recipes",
    "job": "jobs",
}
SETTINGS = "book.toml"
DEVICES = frozenset(
    ("con", "prn", "aux", "nul", *(f"{port}{number}" for port in ("com", "lpt") for number in range(10)))
)
"""Names no file can have on Windows, whatever its ending."""
ALL_FOLDERS = (*FOLDERS.values(), "runs")


def require_id(name: str, *, where: str, key: str = "") -> None:
    """Refuse a name that is no id.

    Args:
        name: the name as typed.
        where: option or file the name stands in.
        key: dotted key in that file, empty for an option.

    Raises:
        SwarfbookError: for a path or any other name that no record can have.
    """
    from swarfbook.records import check_id  # noqa: PLC0415 - finding a book takes no models

    try:
        check_id(name)
    except ValueError as error:
        raise SwarfbookError(Problem(where, key, f"'{name}'", str(error))) from error


def require_new_id(name: str, *, where: str, key: str = "") -> None:
    """Refuse a name that no new record is to have; raises SwarfbookError as `require_id`.

    A name that some systems keep for a device is refused: a book that holds it cannot be copied there.
    """
    require_id(name, where=where, key=key)
    if name in DEVICES:
        remedy = "some systems keep that name for a device; choose another id"
        raise SwarfbookError(Problem(where, key, f"'{name}'", remedy))


def file_name(kind: str, record: str) -> str:
    """Give the file of a record relative to its book, as messages name it."""
    return f"{FOLDERS[kind]}/{record}.toml"


def called(kind: str, record: str) -> str:
    """Give the name a command takes for a record: a recipe's id alone, else `kind:id`."""
    return record if kind == "recipe" else f"{kind}:{record}"
