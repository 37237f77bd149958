"""What taking a whole book in would do, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from swarfbook.book.ids import FOLDERS
from swarfbook.book.renames import FILE as RENAMES
from swarfbook.decisions.importing.planning import DIFFERS, NEW, SAME
from swarfbook.decisions.importing.whole import ORDER, Whole
from swarfbook.errors import printable
from swarfbook.reports.import_page import named, told_change, wrapped


def whole_text(found: Whole, width: int) -> str:
    """Write what taking a book in would do, no line wider than `width`."""
    lines = [f"{found.where} · a whole book", ""]
    for line in (*_states(found), *_settings(found), *_log(found)):
        lines += wrapped(line, width, "  ", "    ")
    return "\n".join(map(printable, lines))


def _states(found: Whole) -> Iterator[str]:
    for kind in ORDER:
        for state, what in ((NEW, "new"), (SAME, "same as in the book")):
            ids = [one.id for one in found.of(state) if one.kind == kind]
            if ids:
                yield f"{FOLDERS[kind]}: {named(what, ids)}"
        for one in found.of(DIFFERS):
            if one.kind == kind:
                yield f"{kind} differs: {one.id}: {'; '.join(map(told_change, one.changes))}"


def _settings(found: Whole) -> Iterator[str]:
    if found.settings.taken:
        yield f"settings: {named('taken', found.settings.taken)}"
    if found.settings.kept:
        yield f"settings: {named('of the book stay, other than in the file', found.settings.kept)}"


def _log(found: Whole) -> Iterator[str]:
    if found.new_runs or found.known:
        yield f"runs: {found.new_runs} new, {found.known} in the book already"
    if renames := found.lines.get(RENAMES):
        yield f"renames: {len(renames)} new"


def whole_to_write(found: Whole, *, replace: bool) -> str:
    """Say what would be written: `12 records (3 replaced), 40 runs and the settings`; empty for nothing."""
    old = len(found.of(DIFFERS)) if replace else 0
    records, runs = len(found.of(NEW)) + old, found.new_runs
    renames = len(found.lines.get(RENAMES, ()))
    parts = [
        f"{_many(records, 'record')}{f' ({old} replaced)' if old else ''}" if records else "",
        _many(runs, "run") if runs else "",
        _many(renames, "rename") if renames else "",
        _many(len(found.settings.taken), "setting") if found.settings.taken else "",
    ]
    return ", ".join(filter(None, parts))


def _many(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"


def whole_json(found: Whole) -> dict[str, Any]:
    """Give what taking a book in would do as a JSON object."""
    return {
        "kind": "book",
        "where": found.where,
        "settings": {"taken": list(found.settings.taken), "kept": list(found.settings.kept)},
        "rows": [
            {
                "kind": one.kind,
                "id": one.id,
                "state": one.state,
                "changes": [
                    {"key": key, "before": before, "after": after} for key, before, after in one.changes
                ],
            }
            for one in found.records
        ],
        "runs": {"new": found.new_runs, "known": found.known},
        "renames": len(found.lines.get(RENAMES, ())),
        "problems": list(map(str, found.problems)),
    }
