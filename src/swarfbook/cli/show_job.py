"""What `swarfbook show job:ID` prints: the job as its file has it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from swarfbook.book import Entry
from swarfbook.cli.text import page_width
from swarfbook.decisions.titles import said
from swarfbook.records.job import Job
from swarfbook.reports.part_page import LABEL_WIDTH, as_typed, hung
from swarfbook.reports.part_words import ENTRY, JOB_GROUPS, label

Table = tuple[str, Mapping[str, Any]]


def job_text(entry: Entry[Job]) -> str:
    """Write a job for people: what it is, then its tables, an entry of a list with its number."""
    top = {
        key: value
        for key, value in entry.raw.items()
        if key not in ("schema", "name") and not _tables(key, value)
    }
    lines = [f"{entry.record.name} · job {entry.id}", *_lines("", "", top)]
    for key, value in entry.raw.items():
        for heading, table in _tables(key, value):
            lines += _lines(heading, f"{key}.", table)
    return "\n".join(lines)


def _tables(key: str, value: object) -> list[Table]:
    """Give the tables at a key: itself, or the entries of a list."""
    if isinstance(value, Mapping):
        return [(JOB_GROUPS.get(key, said(key)), value)]
    entries = value if isinstance(value, list) else []
    return [(f"{ENTRY.get(key, key)} {at}", one) for at, one in enumerate(entries, start=1)]


def _lines(heading: str, before: str, table: Mapping[str, Any]) -> Iterator[str]:
    yield ""
    if heading:
        yield heading
    for key, value in table.items():
        yield from hung(f"  {label('job', before + key):<{LABEL_WIDTH}}", _shown(value), page_width())


def _shown(value: object) -> str:
    return ("no", "yes")[value] if isinstance(value, bool) else as_typed(value)


def job_json(entry: Entry[Job]) -> dict[str, object]:
    """Give a job as one object, values as typed."""
    return {"kind": entry.kind, "id": entry.id, "record": entry.raw}
