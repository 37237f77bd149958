"""Save many records of a kind, all of them or none.

Every text is made and proved before the first is written, and they are written down backstage; a save that
was cut off is finished when the book is opened.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from swarfbook.book.history import SAVED, History
from swarfbook.book.ids import FOLDERS, file_name, require_new_id
from swarfbook.book.inside import to_write
from swarfbook.book.locking import locked
from swarfbook.book.reading import MOST_BYTES, fail, trouble
from swarfbook.book.saving import proved_change
from swarfbook.book.unfinished import Change, begin, check_changes, end, finish_held, sha_of, write_change
from swarfbook.errors import Problem, SwarfbookError

if TYPE_CHECKING:
    from swarfbook.book.store import Book

SCHEMA = "importing/1"


class Saving(NamedTuple):
    """What to save of one record: values as `Book.save` takes them, and the file's sha256, None for new."""

    id: str
    values: Mapping[str, Any]
    seen: str | None


@dataclass(frozen=True, slots=True)
class Plan:
    """The files to write."""

    changes: list[Change]


def save_all(book: Book, kind: str, savings: Sequence[Saving]) -> None:
    """Write changes to many records of a kind, or new ones, as `Book.save` does; all of them or none.

    Raises:
        ConflictError: a file changed or went away since it was read.
        SwarfbookError: with every problem of all of them: nothing has changed then. If the disk refuses
            half-way, the rest is written when the book is opened next.
    """
    book.refuse_demo()
    try:
        with locked(book.root):
            finish_held(book.root, book.history)
            plan = _planned(book.root, kind, savings)
            begin(book.root, SCHEMA, asdict(plan))
            carry_out(book.root, plan, book.history)
    except OSError as error:
        raise trouble(FOLDERS[kind], "written", error) from error


def _planned(root: Path, kind: str, savings: Sequence[Saving]) -> Plan:
    changes: list[Change] = []
    problems: list[Problem] = []
    for one in savings:
        try:
            changes.append(change_of(root, kind, one))
        except SwarfbookError as error:
            problems += error.problems
    if problems:
        raise SwarfbookError(*problems)
    return Plan(changes)


def change_of(root: Path, kind: str, one: Saving) -> Change:
    """Give what a save would write, proved; raises as `Book.save` does."""
    where = file_name(kind, one.id)
    if one.seen is None:
        require_new_id(one.id, where=kind)
    path = to_write(root, where)
    data = proved_change(kind, path, one.values, one.seen, where=where)
    if len(data) > MOST_BYTES:
        raise fail(where, f"this would be larger than {MOST_BYTES // 1024} KiB, which no record needs")
    return Change(kind, one.id, one.seen, data.decode())


def plan_of(raw: dict[str, Any]) -> Plan:
    """Read a plan; raises one of `unfinished.NO_NOTE` for what was not written here."""
    changes = [Change(**one) for one in raw["changes"]]
    check_changes(changes)
    return Plan(changes)


def carry_out(root: Path, plan: Plan, history: History) -> None:
    """Write what a plan says; each step may have been done before."""
    for one in plan.changes:
        carry_out_one(root, one, history)
    end(root)


def carry_out_one(root: Path, one: Change, history: History) -> None:
    """Write one record as its change says, and keep it in the history; it may have been done before."""
    write_change(root, one, lambda before, _: history.found(one.kind, one.id, before))
    path, data = root / file_name(one.kind, one.id), one.text.encode()
    # What was edited after a cut is not what was saved.
    if sha_of(path) is not None and path.read_bytes() == data:
        history.add(one.kind, one.id, SAVED, data)
