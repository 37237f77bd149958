"""Take a whole book's records, settings and run log into a book: all of it or nothing.

As in `saving_all` everything is written down backstage first, and what was cut off is finished when the book
is opened. Each run and each rename is added once, whoever adds it.
"""

from __future__ import annotations

import base64
import re
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from swarfbook.book.history import History
from swarfbook.book.ids import SETTINGS, file_name
from swarfbook.book.inside import to_write
from swarfbook.book.jsonl import append_lines, read_lines
from swarfbook.book.locking import flush_folder, locked, write_atomically
from swarfbook.book.reading import is_folder, stamp, trouble
from swarfbook.book.renames import FILE as RENAMES
from swarfbook.book.runlog import FOLDER, METERS
from swarfbook.book.saving_all import carry_out_one
from swarfbook.book.unfinished import Change, begin, check_changes, end, finish_held, sha_of
from swarfbook.errors import ConflictError, Problem

if TYPE_CHECKING:
    from swarfbook.book.store import Book

SCHEMA = "taking-in/1"
METER_FILE = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,120}\.(?:csv|txt)", re.ASCII)
"""Names of files that are kept with runs."""
_LOG = re.compile(rf"{FOLDER}/[0-9]{{4}}-[0-9]{{2}}\.jsonl|{re.escape(RENAMES)}", re.ASCII)


@dataclass(frozen=True, slots=True)
class Plan:
    """What to write.

    Attributes:
        changes: of records, in the order in which they need each other.
        settings: the text of `book.toml`, None where it stays.
        settings_before: its sha256 before.
        meters: files kept with runs, by name, in base64.
        lines: what to add to files of lines, by file.
    """

    changes: list[Change]
    settings: str | None
    settings_before: str | None
    meters: dict[str, str]
    lines: dict[str, list[dict[str, Any]]]


def take_in(book: Book, plan: Plan) -> None:
    """Write what a plan says, all of it or nothing.

    Raises:
        ConflictError: a file changed or went away since it was read.
        SwarfbookError: the disk refuses; what was begun is finished when the book is opened next.
    """
    book.refuse_demo()
    try:
        with locked(book.root):
            finish_held(book.root, book.history)
            _refuse_changed(book.root, plan)
            begin(book.root, SCHEMA, asdict(plan))
            carry_out(book.root, plan, book.history)
    except OSError as error:
        raise trouble(SETTINGS, "written", error) from error


def _refuse_changed(root: Path, plan: Plan) -> None:
    before = {file_name(one.kind, one.id): one.before for one in plan.changes}
    if plan.settings is not None:
        before[SETTINGS] = plan.settings_before
    told = "the file changed on disk since it was read; import again"
    problems = [
        Problem(file, "", "", told) for file, sha in before.items() if sha_of(to_write(root, file)) != sha
    ]
    if problems:
        raise ConflictError(*problems)


def plan_of(raw: dict[str, Any]) -> Plan:
    """Read a plan; raises one of `unfinished.NO_NOTE` for what was not written here."""
    fields = {name: value for name, value in raw.items() if name != "schema"}
    plan = Plan(**{**fields, "changes": [Change(**one) for one in raw["changes"]]})
    check_changes(plan.changes)
    for text in (plan.settings, plan.settings_before):
        if text is not None:
            text.encode()
    for name, data in plan.meters.items():
        if not METER_FILE.fullmatch(name):
            raise ValueError(name)
        base64.b64decode(data, validate=True)
    for file, lines in plan.lines.items():
        if not _LOG.fullmatch(file) or not all(isinstance(line.get("id", ""), str) for line in lines):
            raise ValueError(file)
    return plan


def carry_out(root: Path, plan: Plan, history: History) -> None:
    """Write what a plan says; each step may have been done before."""
    for one in plan.changes:
        carry_out_one(root, one, history)
    if plan.settings is not None and sha_of(root / SETTINGS) == plan.settings_before:
        write_atomically(to_write(root, SETTINGS), plan.settings.encode())
    _keep(root, plan.meters)
    for file, lines in plan.lines.items():
        _add(root, file, lines)
    end(root)


def _keep(root: Path, meters: Mapping[str, str]) -> None:
    """Write what is kept with runs before their lines, so that no line names a file that is not there."""
    for name, data in meters.items():
        path = to_write(root, f"{FOLDER}/{METERS}/{name}")
        if stamp(path) is None:
            path.parent.mkdir(parents=True, exist_ok=True)
            write_atomically(path, base64.b64decode(data))


def _add(root: Path, file: str, lines: Sequence[dict[str, Any]]) -> None:
    """Add lines that do not stand in a file yet."""
    path = to_write(root, file)
    there: list[dict[str, Any]] = []
    if stamp(path) is not None:
        there, _ = read_lines(path, where=file, what="line", read=lambda raw, _where: raw)
    runs = {line["id"] for line in there if isinstance(line.get("id"), str)}
    new = [line for line in lines if (line["id"] not in runs if "id" in line else line not in there)]
    if new:
        if not is_folder(path.parent):
            path.parent.mkdir()
        append_lines(path, new, where=file)
        flush_folder(path.parent)
