"""What an import would do, worked out and proved before anything is written."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from swarfbook.book import Book
from swarfbook.book.entry import Entry
from swarfbook.book.ids import require_id, require_new_id
from swarfbook.book.mentions import dangling
from swarfbook.book.saving import merged
from swarfbook.book.saving_all import Saving, save_all
from swarfbook.book.spreadsheets.cell_text import flattened, nested, same
from swarfbook.book.spreadsheets.read_json import Given
from swarfbook.book.spreadsheets.reading import read_file
from swarfbook.book.spreadsheets.sheet import Sheet
from swarfbook.decisions.importing.columns import ID, Column, Wish, columns_of
from swarfbook.decisions.importing.rows import Taken, fixed_values, same_ids, taken_rows, without_zeros
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.frozen import frozen
from swarfbook.records import parse, required

NEW, SAME, DIFFERS = "new", "same", "differs"
_ROW = re.compile(r", row (\d+)(?:, column .*)?\Z")
_INDEX = re.compile(r"\[\d+\].*\Z")


@frozen
class Row:
    """A row and what it means to the book.

    Attributes:
        place: file, sheet and row as messages name them.
        id: of the record.
        state: `new`, `same` or `differs`.
        flat: values by dotted key as they will stand, None for an empty cell.
        changes: of a row that differs, each key with the value before and after.
        saving: what to write.
    """

    place: str
    id: str
    state: str
    flat: Mapping[str, Any]
    changes: tuple[tuple[str, Any, Any], ...]
    saving: Saving


@frozen
class Import:
    """What an import would do.

    Attributes:
        kind: kind of record.
        where: file, and sheet of it.
        told: how it was read, for people.
        columns: where each column goes; none for a JSON file, whose keys are the records' own.
        fixed: values given for all rows.
        from_name: ids are made of the names.
        taken: the rows that read, whether or not they fit.
        rows: the rows that read and fit.
        problems: those of the others; nothing is written while there are any.
    """

    kind: str
    where: str
    told: str
    columns: tuple[Column, ...]
    fixed: Mapping[str, Any]
    from_name: bool
    taken: tuple[Taken, ...]
    rows: tuple[Row, ...]
    problems: tuple[Problem, ...]

    def of(self, state: str) -> list[Row]:
        """Give the rows of a state."""
        return [row for row in self.rows if row.state == state]


@frozen
class Asked:
    """What a person asks of an import.

    Attributes:
        file: the file as typed.
        sheet, encoding: of it, where said.
        wish: what is said of its columns.
        fixed: what is said of all rows, `shape` to `square`.
    """

    file: str
    sheet: str | None
    encoding: str | None
    wish: Wish
    fixed: Mapping[str, str]


def plan(book: Book, kind: str, asked: Asked) -> Import:
    """Work an import out, and write nothing.

    Args:
        book: the book.
        kind: kind of record.
        asked: the file and what is said of it.

    Raises:
        SwarfbookError: the file does not read, or what is said names no column, key or unit.
    """
    found = read_file(asked.file, kind, sheet=asked.sheet, encoding=asked.encoding)
    if isinstance(found, Sheet):
        return _of_sheet(book, kind, found, asked)
    fixed = fixed_values(kind, asked.fixed)
    taken, problems = taken_objects(kind, found, fixed)
    rows, more = _rows(book, kind, taken, whole=True)
    told = f"{len(found)} records, keys as they stand"
    return Import(kind, asked.file, told, (), fixed, False, tuple(taken), tuple(rows), (*problems, *more))


def _of_sheet(book: Book, kind: str, sheet: Sheet, asked: Asked) -> Import:
    fixed = fixed_values(kind, asked.fixed)
    columns = columns_of(kind, sheet, asked.wish)
    keys = {column.key for column in columns}
    if not keys & {ID, "name"}:
        told = "no column for the id or the name; say which with --map 'COLUMN=name'"
        problem = Problem(sheet.where, "", "", told)
        return Import(kind, sheet.where, _told(sheet), tuple(columns), fixed, False, (), (), (problem,))
    taken, problems = taken_rows(kind, sheet, columns, fixed)
    if kind == "tool":
        taken = [without_zeros(one, one.flat.get("shape") or _shape(book, one.id)) for one in taken]
        columns = [_of_none(column, taken) for column in columns]
    rows, more = _rows(book, kind, taken, whole=False)
    problems = sorted([*problems, *_gathered(kind, sheet, keys | fixed.keys(), more)], key=_row_of)
    return Import(
        kind,
        sheet.where,
        _told(sheet),
        tuple(columns),
        fixed,
        ID not in keys,
        tuple(taken),
        tuple(rows),
        tuple(problems),
    )


def _shape(book: Book, record: str) -> object:
    """Give the shape of a cutter that the book holds, None where it holds none that reads."""
    try:
        return book.get("tool", record).record.shape
    except SwarfbookError:
        return None


def _of_none(column: Column, taken: Sequence[Taken]) -> Column:
    """Say at a column in how many rows its 0 is taken as none."""
    rows = sum(column.key in one.without for one in taken)
    if not rows:
        return column
    told = f"0 in {rows} row{'' if rows == 1 else 's'} of another shape: taken as none"
    return replace(column, told="; ".join(filter(None, (column.told, told))))


def _row_of(problem: Problem) -> int:
    """Give the row a problem stands in, 0 for the whole file."""
    found = _ROW.search(problem.where)
    return int(found[1]) if found else 0


def _told(sheet: Sheet) -> str:
    rows = f"{len(sheet.rows)} row{'' if len(sheet.rows) == 1 else 's'}"
    return f"{rows}, {sheet.told}" if sheet.told else rows


def _gathered(kind: str, sheet: Sheet, keys: set[str], problems: Sequence[Problem]) -> Iterator[Problem]:
    """Yield problems; those of a key that no column has, once for the whole file."""
    told: set[str] = set()
    for one in problems:
        absent = one.key and not one.found and one.key not in keys and required(kind, one.key)
        if not absent:
            yield one
        elif one.key not in told:
            told.add(one.key)
            remedy = f"no column for it, and it must stand; --map 'COLUMN={one.key}', or for all rows --set"
            yield Problem(sheet.where, one.key, "", f"{remedy} '{one.key}={_example(kind, one.key)}'")


def _example(kind: str, key: str) -> object:
    from swarfbook.records import example  # noqa: PLC0415 - where something is missing only

    return example(kind, key)


def taken_objects(
    kind: str, given: Sequence[Given], fixed: Mapping[str, Any]
) -> tuple[list[Taken], list[Problem]]:
    """Take the records of a JSON file as they stand; give them, and the problems of the others."""
    taken: list[Taken] = []
    problems: list[Problem] = []
    for one in given:
        if not isinstance(one.id, str):
            problems.append(Problem(one.place, ID, "", "write the id of the record, a text"))
            continue
        schema = one.raw.get("schema", f"{kind}/1")
        if schema != f"{kind}/1":
            problems.append(
                Problem(one.place, "schema", f"'{schema}'", f'write "{kind}/1" if this is a {kind}')
            )
            continue
        flat = flattened(kind, {key: value for key, value in one.raw.items() if value is not None})
        taken.append(Taken(one.place, one.id, {**fixed, **flat}, {}))
    return taken, problems


def _rows(book: Book, kind: str, taken: Sequence[Taken], *, whole: bool) -> tuple[list[Row], list[Problem]]:
    rows: list[Row] = []
    problems = list(same_ids(taken))
    for one in taken:
        try:
            rows.append(_row(book, kind, one, whole=whole))
        except SwarfbookError as error:
            problems += [_placed(problem, one) for problem in error.problems]
    return rows, problems


def _placed(problem: Problem, one: Taken) -> Problem:
    """Name the column that a problem's key comes from."""
    column = one.columns.get(_INDEX.sub("", problem.key)) if problem.key else None
    if column is None:
        return problem
    remedy = problem.remedy.replace(", without quotes", "").replace(", in quotes", "")  # a cell has none
    return Problem(f"{one.place}, column {column}", "", problem.found, remedy)


def _row(book: Book, kind: str, one: Taken, *, whole: bool) -> Row:
    if not book.has(kind, one.id):
        require_new_id(one.id, where=one.place, key=ID)
        flat = {key: value for key, value in one.flat.items() if value is not None}
        values = {"schema": f"{kind}/1", **nested(flat)}
        prove(book, kind, one, values)
        return Row(one.place, one.id, NEW, flat, (), Saving(one.id, values, None))
    require_id(one.id, where=one.place, key=ID)
    entry = book.require(kind, one.id, where=one.place, key=ID)
    return _beside(book, kind, one, entry, whole=whole)


def _beside(book: Book, kind: str, one: Taken, entry: Entry[Any], *, whole: bool) -> Row:
    """Compare a row with the record that the book holds; keys without a column stay as they are."""
    before = flattened(kind, entry.raw)
    after = {**(dict.fromkeys(before) if whole else {}), **one.flat}
    changes = tuple(
        (key, before.get(key), value) for key, value in after.items() if not same(before.get(key), value)
    )
    values = nested({key: value for key, _, value in changes})
    prove(book, kind, one, merged(entry.raw, values))
    state = DIFFERS if changes else SAME
    return Row(one.place, one.id, state, after, changes, Saving(one.id, values, entry.sha))


def prove(book: Book, kind: str, one: Taken, raw: dict[str, Any]) -> None:
    """Read the record as it will stand, and look for what it names; raises SwarfbookError."""
    record: Any = parse(kind, raw, where=one.place)
    if kind == "recipe":
        book.resolve(record, raw=raw, where=one.place)
    elif kind == "job":
        entry = Entry("job", one.id, book.path("job", one.id), one.place, raw, record, "", (0, 0, 0))
        if problems := list(dangling(book, entry)):
            raise SwarfbookError(*problems)


def carry_out(book: Book, found: Import, *, replace: bool) -> list[Row]:
    """Write the rows that are new, and with `replace` those that differ; all of them or none.

    Returns:
        The rows written.

    Raises:
        SwarfbookError: a record changed on disk since, or the disk refuses.
    """
    rows = [*found.of(NEW), *(found.of(DIFFERS) if replace else [])]
    if rows:
        save_all(book, found.kind, [row.saving for row in rows])
    return rows
