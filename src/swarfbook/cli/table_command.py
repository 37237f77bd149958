"""`swarfbook table`."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Any

import click

from swarfbook import tables
from swarfbook.cli.exits import Exit
from swarfbook.cli.options import example, json_option, plain_option, print_json, say
from swarfbook.tables.columns import measure
from swarfbook.tables.loader import Row, Table


@click.command("table", epilog=example("swarfbook table cutting_speeds titanium --sources"))
@click.argument("name", required=False)
@click.argument("words", nargs=-1)
@json_option
@click.option("--csv", "as_csv", is_flag=True, help="Print the rows as they are stored.")
@click.option("--sources", "with_sources", is_flag=True, help="Print the sources of the rows in full, too.")
@click.option("--all", "everything", is_flag=True, help="Print notes, and where in a source a row stands.")
@click.option("--row", metavar="ID", help="Print one row in full, with its note and its source.")
@plain_option
def command(
    name: str | None,
    words: tuple[str, ...],
    row: str | None,
    *,
    plain: bool,
    as_json: bool,
    as_csv: bool,
    with_sources: bool,
    everything: bool,
) -> int:
    """List the reference tables, or print table NAME; with WORDS, its rows that have all of them.

    Numbers are printed as the table holds them, in the unit at the head of their column.
    """
    if as_csv and (as_json or with_sources):
        raise click.UsageError("--csv prints the rows alone: leave out --json and --sources")
    if name is None:
        _print_contents(plain=plain, as_json=as_json, as_csv=as_csv)
        return Exit.DONE
    table = tables.load(name)
    rows = _having(table, words) if row is None else [table.get(row)]
    if as_json:
        print_json(_as_json(table, rows, with_sources=with_sources))
    elif as_csv:
        _print_csv(table.columns, (row.stored() for row in rows))
    elif row is not None:
        say(_row_text(rows[0]), plain=plain)
    else:
        say(_text(table, rows, with_sources=with_sources, everything=everything), plain=plain)
    return Exit.DONE


def _having(table: Table, words: Sequence[str]) -> list[Row]:
    wanted = [word.lower() for word in words]
    return [row for row in table.rows if all(word in _said(row) for word in wanted)]


def _said(row: Row) -> str:
    return " ".join(row.stored().values()).lower()


def _print_contents(*, plain: bool, as_json: bool, as_csv: bool) -> None:
    held = tables.contents()
    counts = {name: len(tables.load(name).rows) for name in tables.names()}
    dates = tables.revised()
    lines = [
        {"table": name, "rows": counts[name], "what": held.get(name, ""), "revised": str(dates[name])}
        for name in counts
    ]
    if as_json:
        print_json(lines)
    elif as_csv:
        _print_csv(("table", "rows", "what", "revised"), lines)
    else:
        from swarfbook.cli.text import page_width
        from swarfbook.reports.table_text import contents_text

        say(contents_text(held, counts, dates, width=page_width()), plain=plain)


def _as_json(table: Table, rows: Sequence[Row], *, with_sources: bool) -> dict[str, object]:
    units = {column: unit.unit for column in table.columns if (unit := measure(column)) is not None}
    shown: dict[str, object] = {
        "table": table.name,
        "what": tables.contents().get(table.name, ""),
        "revised": str(tables.revised()[table.name]),
        "units": units,
        "rows": [row.cells() for row in rows],
    }
    if with_sources:
        shown["sources"] = {key: tables.source(key) for key in sorted({row.source for row in rows} - {""})}
    return shown


def _print_csv(columns: Sequence[str], lines: Iterable[dict[str, Any]]) -> None:
    from swarfbook.book.cells import as_cell

    page = io.StringIO()
    writer = csv.DictWriter(page, columns, lineterminator="\n")
    writer.writeheader()
    writer.writerows({name: as_cell(str(cell)) for name, cell in line.items()} for line in lines)
    click.echo(page.getvalue(), nl=False)


def _row_text(row: Row) -> str:
    from swarfbook.cli.text import page_width
    from swarfbook.reports.table_text import row_lines
    from swarfbook.reports.words import wrapped

    return "\n".join(wrapped(row_lines(row), width=page_width()))


def _text(table: Table, rows: Sequence[Row], *, with_sources: bool, everything: bool) -> str:
    from swarfbook.cli.text import page_width
    from swarfbook.reports.table_text import sources_text, table_text

    width = page_width()
    what = tables.contents().get(table.name, "")
    text = table_text(table, rows, what, width=width, everything=everything)
    return f"{text}\n\n{sources_text(rows, width=width)}" if with_sources else text
