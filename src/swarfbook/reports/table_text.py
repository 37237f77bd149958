"""Reference tables as text: the list of tables, a table to the width of the page, one row, sources."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from itertools import zip_longest

from swarfbook import tables
from swarfbook.decisions.titles import said
from swarfbook.quantities import pretty
from swarfbook.reports.breaking import wrap
from swarfbook.tables.columns import VALUE, bare_name, is_number, measure
from swarfbook.tables.loader import Row, Table

Cells = Mapping[str, str]

GAP = "  "
INDENT = "    "
# Text that is read as sentences: the first kind on request, the second always, under its row.
NOTES = ("locator", "note")
SENTENCES = ("caution",)
# What tells where a row comes from; it yields its place in the line to the numbers.
ORIGIN = ("source_kind", "source")
NARROWEST_HEAD = 8
MOST_NUMBERS = 2


def contents_text(
    held: Mapping[str, str], counts: Mapping[str, int], dates: Mapping[str, date], *, width: int
) -> str:
    """List the tables: name, number of rows, day of the last change, and what each holds."""
    name = max(map(len, held), default=0)
    lines = [f"{len(held)} tables; swarfbook table NAME prints one", ""]
    for table, what in sorted(held.items()):
        start = f"{table:<{name}}{counts[table]:>5}{GAP}{dates[table]}{GAP}"
        lines += wrap(what, width, initial_indent=start, subsequent_indent=" " * len(start))
    return "\n".join(lines)


def table_text(table: Table, rows: Sequence[Row], what: str, *, width: int, everything: bool) -> str:
    """Write rows of a table: what fits in columns, the rest of a row wrapped under it.

    Args:
        table: the table.
        rows: those of its rows that are shown.
        what: what the table holds.
        width: columns to write in.
        everything: whether notes and locators are shown too.
    """
    shown = str(len(rows)) if len(rows) == len(table.rows) else f"{len(rows)} of {len(table.rows)}"
    stored = [row.stored() for row in rows]
    used = [column for column in _ordered(table.columns) if _is_worth_a_column(column, stored)]
    heads = {column: _head(column, _cells_width(column, stored)) for column in used}
    widths = {column: max(_cells_width(column, stored), *map(len, heads[column])) for column in used}
    grid = {column: widths[column] for column in _fitting(widths, width)}
    below = [column for column in used if column not in grid]
    lines = wrap(f"{table.name} · {shown} rows · {what}", width)
    lines += ["", *_head_lines(heads, grid)] if rows else []
    for cells in stored:
        lines.append(_line(grid, [cells[column] for column in grid]))
        lines += _below(cells, below, width, everything=everything)
    return "\n".join(lines)


def sources_text(rows: Sequence[Row], *, width: int) -> str:
    """Write the sources of rows in full, each once, in the order of their keys."""
    lines = ["Sources"]
    for key in sorted({row.source for row in rows if row.source}):
        lines += wrap(f"{key}: {_source_line(key)}", width, initial_indent=GAP, subsequent_indent=INDENT)
    if any(row.assumed for row in rows):
        lines += wrap(
            "rows marked assumption or common-practice have no source; their notes say why (--all)",
            width,
            initial_indent=GAP,
            subsequent_indent=INDENT,
        )
    return "\n".join(lines)


def row_lines(row: Row) -> list[str]:
    """Write one row in full: every column with its unit, its note, and where it comes from."""
    what = tables.contents().get(row.table, "")
    lines = [f"{row.id} · {row.table}.csv", *([f"  {what}"] if what else []), "", "columns"]
    lines += [f"  {column_text(row, column)}" for column in row.values if column != "note"]
    if row.values.get("note"):
        lines += ["", "note", f"  {row.values['note']}"]
    return [*lines, "", "source", *(f"  {line}" for line in _row_source(row))]


def row_short(row: Row) -> str:
    """Say of a row what tells most, in a few words: its first numbers, else its first text."""
    numbers = [column_text(row, name) for name, text in row.values.items() if text and is_number(name)]
    texts = [text for name, text in row.values.items() if text and not is_number(name)]
    return "; ".join(numbers[:MOST_NUMBERS] or texts[:1])


def column_text(row: Row, column: str) -> str:
    """Write one column of a row: its name, its number with the unit; a blank one says so."""
    text, named = row.values[column], measure(column)
    unit = row.values.get("unit", "") if column == VALUE else named.unit if named else ""
    shown = f"{text} {pretty(unit)}".rstrip() if text else ""
    return f"{bare_name(column).replace('_', ' ')}: {shown or 'not given'}"


def _row_source(row: Row) -> list[str]:
    if not row.source:
        return [f"none: {row.source_kind}"]
    where = [f"at: {row.locator}"] if row.locator else []
    return [_source_line(row.source), *where, f"kind of source: {row.source_kind}"]


def _source_line(key: str) -> str:
    fields = tables.source(key)
    named = [str(fields[name]) for name in ("author", "title") if name in fields]
    named += [f"{fields['edition']} edition"] if "edition" in fields else []
    named += [str(fields["year"])] if "year" in fields else []
    named += [f"{name.upper()} {fields[name]}" for name in ("doi", "isbn") if name in fields]
    return f"{'; '.join(named)} ({fields['kind']})"


def _ordered(columns: Sequence[str]) -> list[str]:
    return [*(column for column in columns if column not in ORIGIN), *ORIGIN]


def _is_worth_a_column(column: str, stored: Sequence[Cells]) -> bool:
    if column == "id":
        return True
    # A word that the id says already is not said twice.
    said = not is_number(column) and all(cells[column] in cells["id"].split(":") for cells in stored)
    return column not in (*NOTES, *SENTENCES) and not said and any(cells[column] for cells in stored)


def _cells_width(column: str, stored: Sequence[Cells]) -> int:
    return max((len(cells[column]) for cells in stored), default=0)


def _head(column: str, width: int) -> list[str]:
    unit = measure(column)
    name = "kind" if column == "source_kind" else said(bare_name(column))
    lines = wrap(name, max(NARROWEST_HEAD, width), break_long_words=False)
    return [*lines, pretty(unit.unit)] if unit and unit.unit else lines


def _fitting(widths: Mapping[str, int], room: int) -> list[str]:
    """Choose what stands in columns: the id, then the numbers, then short texts, as long as there is room."""
    chosen: list[str] = []
    for column in sorted(widths, key=lambda name: (name != "id", not is_number(name), name in ORIGIN)):
        need = widths[column] + (len(GAP) if chosen else 0)
        if need <= room or column == "id":
            chosen.append(column)
            room -= need
    return [column for column in widths if column in chosen]


def _head_lines(heads: Mapping[str, list[str]], grid: Mapping[str, int]) -> list[str]:
    # Heads of several lines stand on the row below them, so they are filled from the bottom.
    upwards = zip_longest(*(heads[column][::-1] for column in grid), fillvalue="")
    return [_line(grid, words) for words in upwards][::-1]


def _line(grid: Mapping[str, int], words: Sequence[str]) -> str:
    padded = [
        f"{word:{'>' if is_number(column) else '<'}{width}}"
        for (column, width), word in zip(grid.items(), words, strict=True)
    ]
    return GAP.join(padded).rstrip()


def _below(cells: Cells, columns: Sequence[str], width: int, *, everything: bool) -> Iterator[str]:
    parts = ["; ".join(_named(column, cells[column]) for column in columns if cells[column])]
    parts += [cells[column] for column in SENTENCES if column in cells]
    parts += [cells[column] for column in NOTES if everything and column in cells]
    for part in filter(None, parts):
        yield from wrap(part, width, initial_indent=INDENT, subsequent_indent=INDENT)


def _named(column: str, text: str) -> str:
    if not is_number(column):
        return text
    unit = measure(column)
    return f"{bare_name(column).replace('_', ' ')} {text} {pretty(unit.unit) if unit else ''}".rstrip()
