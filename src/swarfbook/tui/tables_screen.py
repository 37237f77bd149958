"""The reference tables over the page: the list of them, the rows of one, a row in full."""

from __future__ import annotations

from swarfbook import tables
from swarfbook.reports.table_text import row_lines, row_short
from swarfbook.reports.words import counted
from swarfbook.tables import Row, Table
from swarfbook.tui.choose_screen import Choice, ChooseScreen
from swarfbook.tui.text_screen import TextScreen


def tables_screen() -> ChooseScreen:
    """Give the list of tables; the chosen one's rows open over it."""
    held = tables.contents()
    choices = [_table_choice(tables.load(name), held.get(name, "")) for name in tables.names()]
    screen = ChooseScreen(
        "Reference tables", choices, opens=lambda name: screen.app.push_screen(rows_screen(tables.load(name)))
    )
    return screen


def _table_choice(table: Table, what: str) -> Choice:
    return Choice(table.name, f"{table.name:<22} {what}", counted(len(table.rows), "row"))


def rows_screen(table: Table) -> ChooseScreen:
    """Give the rows of a table; the chosen one opens in full over them."""
    choices = [
        Choice(row.id, row.id, row_short(row), more=" ".join(row.stored().values())) for row in table.rows
    ]
    what = tables.contents().get(table.name, "")
    screen = ChooseScreen(
        f"{table.name}: {what}", choices, opens=lambda key: screen.app.push_screen(row_screen(table.get(key)))
    )
    return screen


def row_screen(row: Row) -> TextScreen:
    """Give a row in full: every column, its note and its source."""
    first, *lines = row_lines(row)
    return TextScreen(first, lines)


def material_rows(chosen: str) -> ChooseScreen:
    """Give the rows of the materials table to take one of; its id is given back."""
    rows = sorted(tables.load("materials").rows, key=lambda row: row.text("family"))
    choices = [
        Choice(row.id, row.text("name"), row.id, group=_group(row), more=row.text("note")) for row in rows
    ]
    return ChooseScreen("Which row of the materials table is it?", choices, chosen=chosen)


def _group(row: Row) -> str:
    iso = row.text("iso_group")
    return f"{row.text('family').replace('-', ' ')}{f' · ISO {iso}' if iso else ''}"
