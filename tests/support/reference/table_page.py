"""docs/reference/tables.md: every reference table with its columns, units, rows and kinds of source."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from support.reference.markdown import code, head, joined, para, sentence, table
from support.reference.prose import prose
from swarfbook import tables
from swarfbook.tables.columns import PROVENANCE, VALUE, bare_name, measure


def page() -> str:
    """Set the page."""
    lines = head("Reference tables", prose()["intros"]["tables"])
    kinds = prose()["source_kind"]
    lines += table(["source kind", "what it says"], [[code(name), words] for name, words in kinds.items()])
    held = tables.contents()
    rows = [[f"[{name}](#{name})", str(len(tables.load(name).rows)), held[name]] for name in tables.names()]
    lines += table(["table", "rows", "what it holds"], rows)
    for name in tables.names():
        lines += _table(name)
    return joined(lines)


def _table(name: str) -> Iterator[str]:
    one = tables.load(name)
    counts = Counter(row.source_kind for row in one.rows)
    sources = ", ".join(f"{counts[kind]} {kind}" for kind in prose()["source_kind"] if counts[kind])
    yield from (f"## {name}", "")
    yield para(f"{sentence(tables.contents()[name])} Rows by kind of source: {sources}.")
    yield ""
    columns = [column for column in one.columns if column not in ("id", *PROVENANCE)]
    yield from table(
        ["column", "unit", "what it is"],
        [[code(column), _unit(column), prose()["columns"][bare_name(column)]] for column in columns],
    )


def _unit(column: str) -> str:
    if column == VALUE:
        return "the row's `unit`"
    found = measure(column)
    return "" if found is None else found.unit or "1"
