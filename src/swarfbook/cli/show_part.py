"""What `swarfbook show machine:ID`, `tool:ID` and `material:ID` print."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from swarfbook.book import Book, Entry
from swarfbook.cli.text import page_width
from swarfbook.reports.part_list import uses
from swarfbook.reports.part_page import ASSUMED, Fact, fact_json, facts, page_lines
from swarfbook.reports.part_words import KINDS
from swarfbook.reports.words import used_by


@dataclass(frozen=True, slots=True)
class PartPage:
    """A machine, a cutter or a material with its facts, and how many recipes and jobs use it."""

    entry: Entry[Any]
    facts: list[Fact]
    uses: int
    jobs: int


def read_part(book: Book, kind: str, record: str, *, system: str) -> PartPage:
    """Read a record with what stands in for what it leaves out; raises SwarfbookError as the book does."""
    entry = book.get(kind, record)
    page = facts(kind, entry.raw, entry.record, book.settings, system=system)
    counts = uses(book, kind)
    return PartPage(entry, page, counts["recipe", record], counts["job", record])


def part_text(page: PartPage) -> str:
    """Write the page for people."""
    entry = page.entry
    used = used_by(page.uses, page.jobs)
    lines = [f"{entry.raw['name']} · {KINDS[entry.kind]} {entry.id} · used by {used}", ""]
    lines += page_lines(page.facts, width=page_width())
    return "\n".join([*lines, *(["", ASSUMED] if any(fact.assumed for fact in page.facts) else [])])


def part_json(page: PartPage) -> dict[str, object]:
    """Give the page as one object: values as typed, what stands in for the others in SI, and sources."""
    entry = page.entry
    return {
        "kind": entry.kind,
        "id": entry.id,
        "recipes": page.uses,
        "jobs": page.jobs,
        "record": entry.raw,
        "facts": [fact_json(entry.kind, fact) for fact in page.facts],
    }
