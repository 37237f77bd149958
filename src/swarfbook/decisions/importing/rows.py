"""Rows of a sheet as values of records, each as it would stand in a file."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from swarfbook import quantities
from swarfbook.book.spreadsheets.cell_text import SEPARATOR, unguarded, value_of
from swarfbook.book.spreadsheets.sheet import Bad, Row, Sheet
from swarfbook.decisions.importing.columns import ID, Column
from swarfbook.decisions.importing.words import word_at
from swarfbook.errors import Problem, SwarfbookError, did_you_mean
from swarfbook.frozen import frozen
from swarfbook.records import choices, dimension, is_list, read_value, record_keys
from swarfbook.records.fields import ID_LENGTH
from swarfbook.records.tool import SHAPE_KEYS

_BARE = re.compile(r"[+-]?(?:(?:\d+[ -])?\d+/\d+|[\d ]*\d(?:\.\d*)?(?:[eE][+-]?\d+)?|\.\d+)", re.ASCII)


@frozen
class Taken:
    """A row, or an object of a JSON file, as a record is to be.

    Attributes:
        place: file, sheet and row as messages name them.
        id: of the record.
        flat: its values by dotted key, None for a cell that is empty.
        columns: heading of the column that each key comes from.
        without: keys at which the cell says 0, that a cutter of its shape does not have.
    """

    place: str
    id: str
    flat: Mapping[str, Any]
    columns: Mapping[str, str]
    without: tuple[str, ...] = ()


def fixed_values(kind: str, said: Mapping[str, str]) -> dict[str, Any]:
    """Read what is said of all rows, `shape=square`; raises SwarfbookError."""
    problems: list[Problem] = []
    values: dict[str, Any] = {}
    for key, text in said.items():
        if key not in record_keys(kind):
            told = f"no such key; {did_you_mean(key, record_keys(kind))}"
            problems.append(Problem("--set", "", f"'{key}'", told))
            continue
        try:
            values[key] = _value(kind, key, "", text)
            if not is_list(kind, key):
                read_value(kind, key, values[key])
        except SwarfbookError as error:
            problems += [Problem("--set", key, one.found, one.remedy) for one in error.problems]
        except ValueError as error:
            problems.append(Problem("--set", key, f"'{text}'", str(error)))
    if problems:
        raise SwarfbookError(*problems)
    return values


def taken_rows(
    kind: str, sheet: Sheet, columns: Sequence[Column], fixed: Mapping[str, Any]
) -> tuple[list[Taken], list[Problem]]:
    """Read every row.

    Args:
        kind: kind of record.
        sheet: the sheet.
        columns: where its columns go.
        fixed: values for the rows that have none of their own there.

    Returns:
        The rows whose cells read, and the problems of the others.
    """
    taken: list[Taken] = []
    problems: list[Problem] = []
    for row in sheet.rows:
        try:
            taken.append(_row(kind, sheet, columns, row, fixed))
        except SwarfbookError as error:
            problems += error.problems
    return taken, problems


def _row(kind: str, sheet: Sheet, columns: Sequence[Column], row: Row, fixed: Mapping[str, Any]) -> Taken:
    place = f"{sheet.where}, row {row.number}"
    flat: dict[str, Any] = {}
    problems: list[Problem] = []
    for column, cell in zip(columns, row.cells, strict=True):
        if not column.key:
            continue
        try:
            flat[column.key] = cell_value(kind, column, cell)
        except ValueError as error:
            found = cell.found if isinstance(cell, Bad) else f"'{cell}'"
            told = str(error).replace("'COLUMN=", f"'{column.heading}=")
            problems.append(Problem(f"{place}, column {column.heading}", "", found, told))
    if problems:
        raise SwarfbookError(*problems)
    record = flat.pop(ID, None) or slug(flat.get("name"))
    if not record:
        raise SwarfbookError(Problem(place, "", "", "no id and no name; write one of them"))
    flat.update({key: value for key, value in fixed.items() if flat.get(key) is None})
    where = {column.key: column.heading for column in columns if column.key}
    return Taken(place, str(record), flat, where)


def cell_value(kind: str, column: Column, cell: str | Bad) -> Any:  # noqa: ANN401 - as the TOML reader gives it
    """Give the value of a cell; raises ValueError with what would do."""
    if isinstance(cell, Bad):
        raise ValueError(cell.remedy)  # noqa: TRY004 - of what was typed, not of a type here
    if column.key == ID:
        return unguarded(cell).strip()
    return _value(kind, column.key, column.unit, cell)


def _value(kind: str, key: str, unit: str, text: str) -> Any:  # noqa: ANN401 - as above
    plain = unguarded(text).strip()
    words = choices(kind, key)
    if words and plain[:1] not in ("", '"', "["):
        meant = (word_at(key, part, words) for part in plain.split(SEPARATOR))
        return value_of(
            kind, key, f"{SEPARATOR} ".join(meant) if is_list(kind, key) else word_at(key, plain, words)
        )
    of = dimension(kind, key)
    if of is None or plain[:1] in ("", "["):
        return value_of(kind, key, text)
    parts = plain.split(SEPARATOR) if is_list(kind, key) else [plain]
    if key in SHAPE_KEYS:
        unit = unit or ("" if plain.strip("+0.") else quantities.units(of)[0])  # nothing is so in any unit
    return value_of(kind, key, f"{SEPARATOR} ".join(_with_unit(part.strip(), of, unit) for part in parts))


def without_zeros(one: Taken, shape: object) -> Taken:
    """Take 0 at a key that cutters of another shape have as none: makers' lists print it so.

    Args:
        one: a row of tools.
        shape: its cutter's, as the row or the book has it.
    """
    none = tuple(
        key
        for key, (owner, _) in SHAPE_KEYS.items()
        if shape not in (None, owner) and _is_zero(key, one.flat.get(key))
    )
    return replace(one, flat={**one.flat, **dict.fromkeys(none)}, without=none) if none else one


def _is_zero(key: str, value: object) -> bool:
    try:
        return quantities.read(value, dimension("tool", key) or "").si == 0
    except quantities.QuantityError:
        return False


def _with_unit(text: str, of: str, unit: str) -> str:
    """Give a bare number its unit; raises ValueError where none is known."""
    if not _BARE.fullmatch(text):
        return text
    if unit:
        return f"{text} {unit}"
    if "" not in quantities.units(of):
        first = quantities.units(of)[0]
        told = f"no unit; write '{text} {first}', or give the column one"
        raise ValueError(f"{told}: [{first}] in its heading, or --unit 'COLUMN={first}'")
    return text


def slug(name: object) -> str:
    """Make an id of a name: `1/4 in two-flute` gives `1-4-in-two-flute`; empty where nothing is left."""
    if not isinstance(name, str):
        return ""
    plain = unicodedata.normalize("NFKD", name.replace("ß", "ss").replace("ø", "o").replace("Ø", "o"))
    letters = "".join(char for char in plain.casefold() if not unicodedata.combining(char))
    return re.sub(r"[^a-z0-9]+", "-", letters).strip("-")[:ID_LENGTH].strip("-")


def same_ids(taken: Sequence[Taken]) -> Iterator[Problem]:
    """Yield a problem for each row with the id of one before it."""
    seen: dict[str, Taken] = {}
    for one in taken:
        before = seen.setdefault(one.id, one)
        if before is not one:
            told = f"{before.place.rpartition(', ')[2]} has that id already; give each an id of its own"
            yield Problem(one.place, ID, f"'{one.id}'", told)
