"""What records were called before: `renames.jsonl`, one rename a line, only ever added to."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from swarfbook.book.ids import FOLDERS
from swarfbook.book.inside import to_write
from swarfbook.book.jsonl import append_line, read_lines
from swarfbook.book.mentions import named_anew
from swarfbook.book.reading import stamp
from swarfbook.errors import Problem
from swarfbook.records import Rename, Run, parse

FILE = "renames.jsonl"


class Renames:
    """The renames of a book, from the earliest to the latest."""

    def __init__(self, renames: Sequence[Rename] = ()) -> None:
        self._of_kind = {
            kind: sorted((one for one in renames if one.kind == kind), key=lambda one: one.at)
            for kind in FOLDERS
        }

    def now(self, kind: str, record: str, at: datetime) -> str:
        """Give what a record is called now.

        Args:
            kind: kind of record.
            record: its id at the moment.
            at: the moment; a rename before it was of another record, or of this one under an older id.
        """
        for rename in self._of_kind[kind]:
            if rename.at >= at and rename.from_ == record:
                record = rename.to
        return record

    def of(self, user: str, raw: dict[str, Any], at: datetime) -> dict[str, Any]:
        """Give what changes in the values of a recipe or a job that names records which are others now.

        Args:
            user: recipe or job.
            raw: the values as typed.
            at: when they stood.

        Returns:
            what is to be set, nested as in the file.
        """
        return named_anew(user, raw, lambda kind, record: self._other(kind, record, at))

    def _other(self, kind: str, record: object, at: datetime) -> str | None:
        now = self.now(kind, record, at) if isinstance(record, str) else record
        return str(now) if now != record else None

    def follow(self, run: Run) -> Run:
        """Give a run with its records as they are called now."""
        changes: dict[str, Any] = {}
        recipe = self.now("recipe", run.recipe, run.at)
        if recipe != run.recipe:
            changes["recipe"] = recipe
        snapshot = self.of_snapshot(run.snapshot, run.at)
        if snapshot is not run.snapshot:
            changes["snapshot"] = snapshot
        return run.replaced(**changes) if changes else run

    def of_snapshot(self, snapshot: dict[str, Any], at: datetime) -> dict[str, Any]:
        """Give the snapshot of a run with its records as they are called now; itself where none is other."""
        cut = snapshot.get("recipe")
        others = self.of("recipe", cut, at) if isinstance(cut, dict) else {}
        if not others or not isinstance(cut, dict):
            return snapshot
        if "derived" in others:
            others["derived"] = cut["derived"] | others["derived"]
        return snapshot | {"recipe": cut | others}

    def times(self) -> list[datetime]:
        """Give when there were renames, in order."""
        return sorted(one.at for renames in self._of_kind.values() for one in renames)


def read_renames(root: Path) -> tuple[Renames, list[Problem]]:
    """Read the renames of a book, and the problems of the lines that do not read."""
    if stamp(root / FILE) is None:
        return Renames(), []
    renames, problems = read_lines(root / FILE, where=FILE, what="rename", read=_rename)
    return Renames(renames), problems


def _rename(raw: dict[str, Any], where: str) -> Rename:
    return parse("rename", raw, where=where)


def add_rename(root: Path, line: dict[str, str]) -> None:
    """Add a rename to the book's, on the disk before this returns; one that stands there is not added again.

    Raises OSError, with at most a torn last line, which the next one does not join.
    """
    written = {"schema": "rename/1", **line}
    known, _ = read_lines(root / FILE, where=FILE, what="rename", read=lambda raw, _where: raw)
    if written not in known:
        append_line(to_write(root, FILE), written, where=FILE)
