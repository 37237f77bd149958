"""A sheet as read: headings and rows of text, and how messages name its places."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from swarfbook.errors import Problem, SwarfbookError
from swarfbook.frozen import frozen

MOST_FILE = 32 * 1024 * 1024
MOST_ROWS = 10_000
MOST_COLUMNS = 300


class Bad(NamedTuple):
    """A cell that cannot be taken: what stands there, and what would do."""

    found: str
    remedy: str


Cell = str | Bad


class Row(NamedTuple):
    """A row: its number as a program of tables shows it, and its cells, one for each heading."""

    number: int
    cells: tuple[Cell, ...]


@frozen
class Sheet:
    """A table as it stands in a file.

    Attributes:
        where: file, and sheet of it, as messages name them.
        headings: of the columns, unique.
        rows: the rows below that hold anything.
        told: how it was read, for people: `separated by semicolons`.
    """

    where: str
    headings: tuple[str, ...]
    rows: tuple[Row, ...]
    told: str


def letters(column: int) -> str:
    """Give the letters of a column, counted from 0: A, Z, AA."""
    text = ""
    while column >= 0:
        column, letter = divmod(column, 26)
        text, column = chr(ord("A") + letter) + text, column - 1
    return text


def sheet_of(where: str, rows: Sequence[Row], told: str) -> Sheet:
    """Make a sheet of rows, of which the first that holds anything has the headings.

    Raises:
        SwarfbookError: there are no headings, some stand twice, or something stands below none.
    """
    filled = [row for row in rows if any(row.cells)]
    if not filled:
        raise SwarfbookError(Problem(where, "", "", "nothing stands here; the first row has the headings"))
    head, body = filled[0], filled[1:]
    if len(body) > MOST_ROWS:
        raise SwarfbookError(Problem(where, "", f"{len(body)} rows", f"at most {MOST_ROWS} are read at once"))
    used = [at for at in range(max(len(row.cells) for row in filled)) if _used(filled, at)]
    if len(used) > MOST_COLUMNS:
        raise SwarfbookError(Problem(where, "", f"{len(used)} columns", f"at most {MOST_COLUMNS} are read"))
    names = [_cell(head, at) for at in used]
    problems = list(_about(where, head.number, used, names))
    if problems:
        raise SwarfbookError(*problems)
    taken = tuple(Row(row.number, tuple(_cell(row, at) for at in used)) for row in body)
    return Sheet(where, tuple(str(name).strip() for name in names), taken, told)


def _used(rows: Sequence[Row], at: int) -> bool:
    return any(_cell(row, at) for row in rows)


def _cell(row: Row, at: int) -> Cell:
    cell = row.cells[at] if at < len(row.cells) else ""
    return cell if isinstance(cell, Bad) or cell.strip() else ""


def _about(where: str, number: int, used: list[int], names: list[Cell]) -> list[Problem]:
    problems, seen = [], dict[str, str]()
    for at, name in zip(used, names, strict=True):
        place = f"{where}, row {number}, column {letters(at)}"
        if isinstance(name, Bad) or not name.strip():
            problems.append(Problem(place, "", "", "write a heading here, a text, or clear the column"))
            continue
        before = seen.setdefault(" ".join(name.split()).casefold(), letters(at))
        if before != letters(at):
            told = f"column {before} has the same heading; give one of them another"
            problems.append(Problem(place, "", f"'{name}'", told))
    return problems
