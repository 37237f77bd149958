"""What an import would do, as text: where each column goes, and what is new, the same or different."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from swarfbook.book.ids import FOLDERS
from swarfbook.decisions.importing.columns import ID, Column, units_of
from swarfbook.decisions.importing.planning import DIFFERS, NEW, SAME, Import, Row
from swarfbook.decisions.importing.rows import Taken
from swarfbook.errors import Problem, printable
from swarfbook.records.examples import as_toml
from swarfbook.reports.breaking import wrap
from swarfbook.reports.words import cut_to

MOST_NAMED = 12
WIDEST = 32
MOST_PROBLEMS = 50
GAP = "  "
Line = tuple[str, str, str, str, str]
"""Of the mapping: heading, key, unit, first value, note."""


def import_text(found: Import, width: int) -> str:
    """Write what an import would do: the mapping first, then the rows; no line wider than `width`."""
    lines = [*wrapped(f"{found.where} · {found.told}", width, "", "  "), "", *_mapping(found, width)]
    states = [line for one in _states(found) for line in wrapped(one, width, "  ", "    ")]
    lines += ["", *states] if found.columns or found.fixed else states
    return "\n".join(map(printable, lines))


def wrapped(text: str, width: int, first: str, further: str) -> list[str]:
    """Wrap a text to a width, with indents of its own for the first line and for those that follow."""
    return wrap(text, width, initial_indent=first, subsequent_indent=further, break_on_hyphens=False)


def _mapping(found: Import, width: int) -> Iterator[str]:
    lines = [_line(one, found) for one in found.columns]
    lines += [("every row", key, "", _shown(value), "--set") for key, value in found.fixed.items()]
    if lines:
        lines = [("column", "goes to", "unit", "first as it will stand", ""), *lines]
        widths = _widths(lines, width)
        for line in lines:
            yield from _mapped(line, widths, width)
    if found.from_name:
        yield "  no column for the id: it is made of the name"


def _widths(lines: Sequence[Line], width: int) -> list[int]:
    """Give the columns of the mapping their widths: where they do not fit, the widest give way first."""
    widths = [max(len(line[at]) for line in lines) for at in range(4)]
    while sum(widths) > width - len(GAP) * 4:
        widths[widths.index(max(widths))] -= 1
    return widths


def _mapped(line: Line, widths: Sequence[int], width: int) -> list[str]:
    """Write a line of the mapping; a note that has no room beside the rest stands below it."""
    *texts, note = line
    cells = [cut_to(text, wide).ljust(wide) for text, wide in zip(texts, widths, strict=True)]
    if not line[1]:
        cells = cells[:1]  # left out: there is nothing but the note
    row = GAP + GAP.join(cells)
    if len(row) + len(GAP + note) <= width:
        return [f"{row}{GAP}{note}".rstrip()]
    indent = " " * (len(GAP) * 2 + widths[0])
    below = wrapped(note, width, indent, indent)
    return [f"{row}{GAP}{below[0].strip()}", *below[1:]] if len(cells) == 1 else [row.rstrip(), *below]


def _line(column: Column, found: Import) -> Line:
    heading = cut_to(column.heading, WIDEST)
    if not column.key:
        return heading, "", "", "", column.told
    measured = column.key != ID and "" not in units_of(found.kind, column.key)
    unit = column.unit or ("none" if measured else "")
    return heading, column.key, unit, _first(column.key, found.taken), column.told


def _first(key: str, rows: Sequence[Taken]) -> str:
    """Give the first value of a column as it will stand in a file."""
    if key == ID:
        return rows[0].id if rows else ""
    return next((_shown(row.flat[key]) for row in rows if row.flat.get(key) is not None), "")


def _shown(value: object) -> str:
    return cut_to(as_toml(value).replace("\n", "\\n"), WIDEST)


def _states(found: Import) -> Iterator[str]:
    for state, what in ((NEW, "new"), (SAME, "same as in the book")):
        rows = found.of(state)
        if rows:
            yield f"{named(what, [row.id for row in rows])}"
    for row in found.of(DIFFERS):
        yield f"differs: {row.id}: {'; '.join(map(told_change, row.changes))}"
    if not found.rows:
        yield f"no {FOLDERS[found.kind]} that read and fit"


def named(what: str, ids: Sequence[str]) -> str:
    """Say how many there are, and name the first of them."""
    more = f" and {len(ids) - MOST_NAMED} more" if len(ids) > MOST_NAMED else ""
    return f"{len(ids)} {what}: {', '.join(ids[:MOST_NAMED])}{more}"


def told_change(change: tuple[str, Any, Any]) -> str:
    """Say what changes at a key."""
    key, before, after = change
    return f"{key} {_or_nothing(before)} -> {_or_nothing(after)}"


def _or_nothing(value: object) -> str:
    return "nothing" if value is None else _shown(value)


def problem_lines(where: str, problems: Sequence[Problem]) -> Iterator[str]:
    """Yield a line for each problem, the first fifty of them."""
    yield from map(str, problems[:MOST_PROBLEMS])
    if len(problems) > MOST_PROBLEMS:
        yield f"{where}: and {len(problems) - MOST_PROBLEMS} problems more"


def what_to_write(found: Import, *, replace: bool) -> str:
    """Say what would be written: `12 tools (3 replaced)`; empty for nothing."""
    old = len(found.of(DIFFERS)) if replace else 0
    many = len(found.of(NEW)) + old
    if not many:
        return ""
    name = found.kind if many == 1 else FOLDERS[found.kind]
    return f"{many} {name}{f' ({old} replaced)' if old else ''}"


def import_json(found: Import) -> dict[str, Any]:
    """Give an import as a JSON object: columns, rows with their states, problems."""
    return {
        "kind": found.kind,
        "where": found.where,
        "columns": [
            {"heading": one.heading, "key": one.key or None, "unit": one.unit or None, "told": one.told}
            for one in found.columns
        ],
        "set": dict(found.fixed),
        "rows": [_row_json(row) for row in found.rows],
        "problems": list(map(str, found.problems)),
    }


def _row_json(row: Row) -> dict[str, Any]:
    changes = [{"key": key, "before": before, "after": after} for key, before, after in row.changes]
    return {"place": row.place, "id": row.id, "state": row.state, "changes": changes}
