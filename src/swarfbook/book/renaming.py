"""Rename a record: its file moves and what names it follows, all of it or nothing.

Everything is worked out and proved before the first write, and written down backstage. Then the file is
written under its new name, what names it is written, and the file under the old name is taken away: at any
moment every name in the book leads somewhere. A rename that was cut off is finished when the book is opened.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from swarfbook.book.history import RENAMED, History
from swarfbook.book.ids import FOLDERS, called, file_name
from swarfbook.book.inside import to_write
from swarfbook.book.locking import flush_folder, locked, write_atomically
from swarfbook.book.mentions import NAMED_BY, PARTS, named_anew, parent_of
from swarfbook.book.reading import MOST_BYTES, fail, read_bytes, sha256, stamp, trouble
from swarfbook.book.renames import FILE as RENAMES
from swarfbook.book.renames import add_rename
from swarfbook.book.saving import edited, merged
from swarfbook.book.unfinished import Change, begin, check_changes, end, finish_held, sha_of, write_change
from swarfbook.book.users import Typed, User, may_name
from swarfbook.errors import SwarfbookError
from swarfbook.records import check_id, digest, parse

if TYPE_CHECKING:
    from swarfbook.book.store import Book

SCHEMA, ONLY_RECIPES = "renaming/2", "renaming/1"


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
class Plan:
    """A rename worked out: the record, the sha256 of its file, and the files that follow."""

    at: str
    kind: str
    old: str
    new: str
    sha: str
    followers: list[Change] = field(default_factory=list)


def rename(book: Book, kind: str, old: str, new: str) -> Renamed:
    """Rename a record as `Book.rename` says."""
    try:
        with locked(book.root):
            finish_held(book.root, book.history)
            plan = _planned(book, kind, old, new)
            begin(book.root, SCHEMA, asdict(plan))
            carry_out(book.root, plan, book.history)
    except OSError as error:
        raise trouble(file_name(kind, old), "renamed", error) from error
    return Renamed(kind, old, new, tuple(User(one.kind, one.id) for one in plan.followers))


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


def _recipes(recipes: Mapping[str, Typed], kind: str, old: str, new: str) -> Iterator[Change]:
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


def _jobs(jobs: Mapping[str, Typed], kind: str, old: str, new: str) -> Iterator[Change]:
    """Yield the jobs that change."""
    for job, one in jobs.items():
        changes = _named_anew("job", one.raw, kind, old, new)
        if changes:
            yield _follower(User("job", job), one, changes, merged(one.raw, changes))


def _follower(user: User, one: Typed, changes: Mapping[str, Any], after: dict[str, Any]) -> Change:
    text = edited(user.kind, one.data, changes, after, where=file_name(*user))
    return Change(*user, sha256(one.data), text)


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


# Carrying out


def carry_out(root: Path, plan: Plan, history: History) -> None:
    """Do what a plan says; each step may have been done before."""
    old, new = root / file_name(plan.kind, plan.old), to_write(root, file_name(plan.kind, plan.new))
    if sha_of(old) is not None and stamp(new) is None:
        data = read_bytes(old, where=file_name(plan.kind, plan.old), most=MOST_BYTES)
        write_atomically(new, data, like=old)
    for one in plan.followers:
        _follow(root, one, plan, history)
    if NAMED_BY[plan.kind]:  # what nothing names, nothing has to find under its old name
        add_rename(root, {"at": plan.at, "kind": plan.kind, "from": plan.old, "to": plan.new})
    _remember(new, plan, history)
    # What was edited meanwhile, under either name, stays where it is: it is nowhere else.
    if sha_of(old) == sha_of(new) == plan.sha:
        old.unlink()
        flush_folder(old.parent)
    end(root)


def _follow(root: Path, one: Change, plan: Plan, history: History) -> None:
    of, at = called(plan.kind, plan.old), datetime.fromisoformat(plan.at)

    def keep(before: bytes | None, after: bytes) -> None:
        # Kept first, for both at once: what is cut off now is finished later.
        history.follow(one.kind, one.id, before or b"", after, of=of, at=at)

    write_change(root, one, keep)


def _remember(new: Path, plan: Plan, history: History) -> None:
    """Let the record's states follow it, and keep that it was renamed."""
    history.move(plan.kind, plan.old, plan.new)
    if sha_of(new) == plan.sha:
        history.add(plan.kind, plan.new, RENAMED, new.read_bytes(), plan.old)


def plan_of(raw: dict[str, Any]) -> Plan:
    """Read a plan, of a version before jobs too; raises one of `unfinished.NO_NOTE` for what is none."""
    schema, followed = raw.pop("schema"), raw.pop("followers")
    if schema == ONLY_RECIPES:
        followers = [Change("recipe", one["recipe"], one["before"], one["text"]) for one in followed]
    else:
        followers = [Change(**one) for one in followed]
    if raw["kind"] not in FOLDERS:
        raise ValueError
    check_changes(followers, tuple(PARTS))
    plan = Plan(**raw, followers=followers)
    if None in {one.before for one in followers}:
        raise ValueError  # a rename makes no new file
    for text in (plan.at, plan.sha):
        text.encode()  # a text, or this is no plan
    datetime.fromisoformat(plan.at)
    for record in (plan.old, plan.new):
        check_id(record)
    return plan
