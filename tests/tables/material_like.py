"""Begin a material with another's rows: `python tests/tables/material_like.py NEW LIKE "NAME" [--write]`.

Every table that must have a row of each material gets one, all of them assumptions that say whose numbers
they are. They are printed; `--write` adds them to the tables and tells what is still wrong there. Then
a number with a source takes the place of each that one was found for.
"""

from __future__ import annotations

import argparse
import csv
import io

from swarfbook import tables
from swarfbook.resources import tables_dir
from swarfbook.tables.checks import BY_MATERIAL, check_tables
from swarfbook.tables.loader import Row

NEEDED = ("materials", *BY_MATERIAL, "strengths", "cutting_speeds")


def rows_like(new: str, like: str, name: str) -> dict[str, str]:
    """Give the new rows of each table as lines of CSV; raises `TableError` for an unknown material."""
    known = tables.load("materials").get(like)
    texts = {}
    for table in map(tables.load, NEEDED):
        told = [_as_assumed(row, new, known) for row in table.rows if row.id.partition(":")[0] == like]
        if table.name == "materials":
            told = [one | {"name": name} for one in told]
        texts[table.name] = _csv(table.columns, told)
    return texts


def _as_assumed(row: Row, new: str, known: Row) -> dict[str, str]:
    cells = {column: new if text == known.id else text for column, text in row.stored().items()}
    _, colon, rest = row.id.partition(":")
    note = f"assumed, no source: as for {known.text('name')}"
    own = {
        "id": f"{new}{colon}{rest}",
        "source": "",
        "locator": "",
        "source_kind": "assumption",
        "note": note,
    }
    return cells | own


def _csv(columns: tuple[str, ...], rows: list[dict[str, str]]) -> str:
    text = io.StringIO()
    csv.DictWriter(text, columns, lineterminator="\n").writerows(rows)
    return text.getvalue()


def main() -> None:
    """Print the rows, or write them and tell what the tables lack."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    for word in ("new", "like", "name"):
        asked.add_argument(word)
    asked.add_argument("--write", action="store_true", help="add the rows to the tables")
    words = asked.parse_args()
    for table, text in rows_like(words.new, words.like, words.name).items():
        print(f"{table}.csv\n{text}")
        if words.write:
            with (tables_dir() / f"{table}.csv").open("a", encoding="utf-8", newline="") as file:
                file.write(text)
    for problem in check_tables() if words.write else ():
        print(problem)


if __name__ == "__main__":
    main()
