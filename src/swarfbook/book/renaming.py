"""Rename a record: its file moves and what names it follows, all of it or nothing.

Everything is worked out and proved before the first write, and written down backstage. Then the file is
written under its new name, what names it is written, and the file under the old name is taken away: at any
moment every name in the book leads somewhere. A rename that was cut off is finished when the book is opened.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from swarfbook.book.backstage import UNFINISHED, backstage
from swarfbook.book.history import RENAMED, History
from swarfbook.book.ids import FOLDERS, called, file_name
from swarfbook.book.inside import to_write
from swarfbook.book.locking import flush_folder, locked, write_atomically
from swarfbook.book.mentions import NAMED_BY, PARTS, named_anew, parent_of
from swarfbook.book.reading import MOST_BYTES, fail, read_bytes, sha256, stamp, trouble
from swarfbook.book.renames import FILE as RENAMES
from swarfbook.book.renames import add_rename
from swarfbook.book.saving import edited, merged
from swarfbook.book.users import Typed, User, may_name
from swarfbook.errors import SwarfbookError
from swarfbook.records import check_id, digest, parse

if TYPE_CHECKING:
    from swarfbook.book.store import Book

SCHEMA, ONLY_RECIPES = "renaming/2", "renaming/1"
MOST_JOURNAL = 256 * 1024 * 1024


@dataclass(frozen=True, slots=True)
class Renamed:
    """What was renamed.

    Attributes:
        kind, old, new: the record, and its id before and after.
        followed: the recipes and jobs whose files were written: they name it, or a parent's values do.
    """

    kind: str
    old: str
    new: str
    followed: tuple[User, ...]


@dataclass(frozen=True, slots=True)
class Follower:
    """A recipe's or a job's file before, as a sha256, and after, as a text."""

    kind: str
    id: str
    before: str
    text: str


@dataclass(frozen=True, slots=True)
class Plan:
    """A rename worked out: the record, the sha256 of its file, and the files that follow."""

    at: str
    kind: str
    old: str
    new: str
    sha: str
    followers: list[Follower] = field(default_factory=list)


def rename(book: Book, kind: str, old: str, new: str) -> Renamed:
    """Rename a record as `Book.rename` says."""
    try:
        with locked(book.root):
            _finish(book.root, book.history)
            plan = _planned(book, kind, old, new)
            backstage(book.root)
            write_atomically(book.root / UNFINISHED, json.dumps({"schema": SCHEMA, **asdict(plan)}).encode())
            _carry_out(book.root, plan, book.history)
    except OSError as error:
        raise trouble(file_name(kind, old), "renamed", error) from error
    return Renamed(kind, old, new, tuple(User(one.kind, one.id) for one in plan.followers))


def finish(root: Path) -> None:
    """Finish a rename that was cut off, if there is one; raises OSError and SwarfbookError."""
    with locked(root):
        _finish(root, History(root))


def _finish(root: Path, history: History) -> None:
    if stamp(root / UNFINISHED) is not None:
        _carry_out(root, _read_plan(root), history)


# Working out


def _planned(book: Book, kind: str, old: str, new: str) -> Plan:
    if stamp(book.path(kind, new)) is not None:
        raise fail(file_name(kind, new), "there is one of that id already; choose another id")
    data = read_bytes(book.path(kind, old), where=file_name(kind, old), most=MOST_BYTES)
    files = may_name(book, kind, old)
    of = {user: {one.id: file for one, file in files.items() if one.kind == user} for user in PARTS}
    followers = [*_recipes(of["recipe"], kind, old, new), *_jobs(of["job"], kind, old, new)]
    # What leads out of the book is refused before anything is written.
    for where in (RENAMES, file_name(kind, new), *(file_name(one.kind, one.id) for one in followers)):
        to_write(book.root, where)
    return Plan(datetime.now(UTC).isoformat(), kind, old, new, sha256(data), followers)


def _recipes(recipes: Mapping[str, Typed], kind: str, old: str, new: str) -> Iterator[Follower]:
    """Yield the recipes that change: parents before children, for a child remembers its parent's values."""
    after: dict[str, dict[str, Any]] = {}
    for recipe in _parents_first({recipe: parent_of(one.raw) for recipe, one in recipes.items()}):
        one = recipes[recipe]
        changes = _named_anew("recipe", one.raw, kind, old, new)
        parent = parent_of(one.raw)
        if parent in after:
            fresh = _fresh_digest(one.raw, recipes[parent].raw, after[parent])
            changes = merged(changes, {"derived": {"parent_digest": fresh}}) if fresh else changes
        if changes:
            after[recipe] = merged(one.raw, changes)
            yield _follower(User("recipe", recipe), one, changes, after[recipe])


def _jobs(jobs: Mapping[str, Typed], kind: str, old: str, new: str) -> Iterator[Follower]:
    """Yield the jobs that change."""
    for job, one in jobs.items():
        changes = _named_anew("job", one.raw, kind, old, new)
        if changes:
            yield _follower(User("job", job), one, changes, merged(one.raw, changes))


def _follower(user: User, one: Typed, changes: Mapping[str, Any], after: dict[str, Any]) -> Follower:
    text = edited(user.kind, one.data, changes, after, where=file_name(*user))
    return Follower(*user, sha256(one.data), text)


def _parents_first(parents: Mapping[str, str | None]) -> list[str]:
    """Order recipes so that each comes after the one it came from; in a ring one has to begin."""
    ordered: dict[str, None] = {}
    for recipe in parents:
        line: dict[str, None] = {}
        at: str | None = recipe
        while at is not None and at in parents and at not in ordered and at not in line:
            line[at] = None
            at = parents[at]
        ordered.update(dict.fromkeys(reversed(line)))
    return list(ordered)


def _named_anew(user: str, raw: Mapping[str, Any], kind: str, old: str, new: str) -> dict[str, Any]:
    return named_anew(user, raw, lambda of, record: new if (of, record) == (kind, old) else None)


def _fresh_digest(child: Mapping[str, Any], before: dict[str, Any], after: dict[str, Any]) -> str | None:
    """Give the digest of a parent's values under the new names; None for a child that is stale anyway."""
    known = _digest(before)
    return _digest(after) if known is not None and child["derived"].get("parent_digest") == known else None


def _digest(raw: dict[str, Any]) -> str | None:
    try:
        return digest(parse("recipe", raw, where=""))
    except SwarfbookError:
        return None


# Carrying out: each step may have been done before


def _carry_out(root: Path, plan: Plan, history: History) -> None:
    old, new = root / file_name(plan.kind, plan.old), to_write(root, file_name(plan.kind, plan.new))
    if _sha(old) is not None and stamp(new) is None:
        data = read_bytes(old, where=file_name(plan.kind, plan.old), most=MOST_BYTES)
        write_atomically(new, data, like=old)
    for one in plan.followers:
        _follow(root, one, plan, history)
    if NAMED_BY[plan.kind]:  # what nothing names, nothing has to find under its old name
        add_rename(root, {"at": plan.at, "kind": plan.kind, "from": plan.old, "to": plan.new})
    _remember(new, plan, history)
    # What was edited meanwhile, under either name, stays where it is: it is nowhere else.
    if _sha(old) == _sha(new) == plan.sha:
        old.unlink()
        flush_folder(old.parent)
    (root / UNFINISHED).unlink(missing_ok=True)


def _follow(root: Path, one: Follower, plan: Plan, history: History) -> None:
    """Write a recipe's or a job's file, unless that was done or someone edited it meanwhile."""
    path = to_write(root, file_name(one.kind, one.id))
    if _sha(path) == one.before:
        of, at = called(plan.kind, plan.old), datetime.fromisoformat(plan.at)
        # Kept first, for both at once: what is cut off now is finished later.
        history.follow(one.kind, one.id, path.read_bytes(), one.text.encode(), of=of, at=at)
        write_atomically(path, one.text.encode())


def _remember(new: Path, plan: Plan, history: History) -> None:
    """Let the record's states follow it, and keep that it was renamed."""
    history.move(plan.kind, plan.old, plan.new)
    if _sha(new) == plan.sha:
        history.add(plan.kind, plan.new, RENAMED, new.read_bytes(), plan.old)


def _sha(path: Path) -> str | None:
    """Give the sha256 of a file, None where there is none."""
    return sha256(path.read_bytes()) if path.is_file() else None


def _read_plan(root: Path) -> Plan:
    """Read what a rename that was cut off was about; raises SwarfbookError for what no rename left."""
    where = UNFINISHED
    data = read_bytes(root / where, where=where, most=MOST_JOURNAL)
    try:
        return _plan_of(json.loads(data))
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        raise fail(where, "this is not the note of a rename that was cut off; take the file away") from error


def _plan_of(raw: dict[str, Any]) -> Plan:
    schema, followed = raw.pop("schema"), raw.pop("followers")
    if schema == ONLY_RECIPES:
        followers = [Follower("recipe", one["recipe"], one["before"], one["text"]) for one in followed]
    else:
        followers = [Follower(**one) for one in followed]
    kinds = {one.kind for one in followers}
    if schema not in (SCHEMA, ONLY_RECIPES) or raw["kind"] not in FOLDERS or not kinds <= PARTS.keys():
        raise ValueError
    plan = Plan(**raw, followers=followers)
    for text in (plan.at, plan.sha, *(text for one in followers for text in (one.before, one.text))):
        text.encode()  # a text, and one that a file can hold
    datetime.fromisoformat(plan.at)
    for record in (plan.old, plan.new, *(one.id for one in followers)):
        check_id(record)
    return plan
