"""What taking a whole exported book into a book would do, proved before anything is written."""

from __future__ import annotations

import base64
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from swarfbook.book import Book
from swarfbook.book.editing import new_document
from swarfbook.book.entry import Entry
from swarfbook.book.ids import FOLDERS, SETTINGS, require_id, require_new_id
from swarfbook.book.reading import MOST_BYTES, NO_STAMP, parse_toml, read_toml
from swarfbook.book.renames import FILE as RENAMES
from swarfbook.book.runlog import FOLDER
from swarfbook.book.saving import edited, merged
from swarfbook.book.saving_all import Saving, change_of
from swarfbook.book.spreadsheets.cell_text import flattened, nested, same
from swarfbook.book.spreadsheets.read_json import Given
from swarfbook.book.spreadsheets.reading import read_book
from swarfbook.book.spreadsheets.whole import log_lines, rename_lines
from swarfbook.book.taking_in import METER_FILE, Plan, take_in
from swarfbook.book.together import Together
from swarfbook.book.unfinished import Change
from swarfbook.decisions.importing.columns import ID
from swarfbook.decisions.importing.planning import DIFFERS, NEW, SAME, prove
from swarfbook.decisions.importing.rows import Taken
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.frozen import frozen
from swarfbook.records import parse

ORDER = ("machine", "tool", "material", "recipe", "job")
"""Kinds in the order in which they need each other."""
COMMON = {"schema", "title"}
"""Settings that every book has of its beginning."""


class Found(NamedTuple):
    """A record and what it means to the book, as `planning.Row`; the change is None for the same."""

    kind: str
    id: str
    state: str
    changes: tuple[tuple[str, Any, Any], ...]
    change: Change | None


class Settings(NamedTuple):
    """What becomes of the settings: the new text, None where they stay; keys taken; keys kept that differ."""

    text: str | None
    before: str
    taken: tuple[str, ...]
    kept: tuple[str, ...]


@frozen
class Whole:
    """What taking a book in would do.

    Attributes:
        where: its file.
        records: those that read and fit, in the order in which they are written.
        settings: of the book.
        lines: runs and renames that are new, by the file they go to.
        meters: files kept with the new runs, in base64.
        known: how many runs the book has already.
        problems: nothing is written while there are any.
    """

    where: str
    records: tuple[Found, ...]
    settings: Settings
    lines: Mapping[str, list[dict[str, Any]]]
    meters: Mapping[str, str]
    known: int
    problems: tuple[Problem, ...]

    def of(self, state: str) -> list[Found]:
        """Give the records of a state."""
        return [one for one in self.records if one.state == state]

    @property
    def new_runs(self) -> int:
        """How many runs are new."""
        return sum(len(lines) for file, lines in self.lines.items() if file != RENAMES)


def plan_whole(book: Book, file: str) -> Whole:
    """Work out what taking a book in would do, and write nothing; raises SwarfbookError for the file."""
    given = read_book(file)
    problems: list[Problem] = []
    records = _records(book, given.records, problems)
    settings = _settings(book, given.settings, problems)
    runs, known = _runs(book, given.lists["runs"], f"{file}, runs", problems)
    renames = _renames(book, given.lists["renames"], f"{file}, renames", problems)
    lines = {**runs, **({RENAMES: renames} if renames else {})}
    meters = dict(_meters(given.meters, f"{file}, meters", problems)) if runs else {}
    return Whole(file, tuple(records), settings, lines, meters, known, tuple(problems))


def carry_out_whole(book: Book, found: Whole, *, replace: bool) -> None:
    """Write what is new, and with `replace` the records that differ; all of it or nothing.

    Raises:
        SwarfbookError: a file changed on disk since, or the disk refuses.
    """
    states = (NEW, DIFFERS) if replace else (NEW,)
    changes = [one.change for one in found.records if one.state in states and one.change is not None]
    settings = found.settings
    take_in(book, Plan(changes, settings.text, settings.before, dict(found.meters), dict(found.lines)))


# Records


def _records(book: Book, given: Mapping[str, list[Given]], problems: list[Problem]) -> list[Found]:
    read: list[tuple[Given, Entry[Any]]] = []
    for kind in ORDER:
        for one in given[kind]:
            try:
                read.append((one, _entry(book, kind, one)))
            except SwarfbookError as error:
                problems += error.problems
    together = Together(book, {(entry.kind, entry.id): entry for _, entry in read})
    problems += _twice([entry for _, entry in read])
    found: list[Found] = []
    for one, entry in read:
        try:
            prove(together, entry.kind, Taken(one.place, entry.id, {}, {}), entry.raw)
            found.append(_found(book, one, entry))
        except SwarfbookError as error:
            problems += error.problems
    return found


def _entry(book: Book, kind: str, one: Given) -> Entry[Any]:
    """Read a record as it will stand; raises SwarfbookError."""
    if not isinstance(one.id, str):
        raise SwarfbookError(Problem(one.place, ID, "", "write the id of the record, a text"))
    (require_id if book.has(kind, one.id) else require_new_id)(one.id, where=one.place, key=ID)
    raw = {"schema": f"{kind}/1", **one.raw}
    if one.text is not None:
        _prove_text(one, raw)
    return Entry(
        kind, one.id, book.path(kind, one.id), one.place, raw, parse(kind, raw, where=one.place), "", NO_STAMP
    )


def _prove_text(one: Given, raw: Mapping[str, Any]) -> None:
    """Refuse a text that holds anything but what stands beside it."""
    if not same(parse_toml(_bytes(one), where=f"{one.place}, text"), raw):
        told = "this text does not hold what stands beside it; take it out, and the file is made of that"
        raise SwarfbookError(Problem(one.place, "text", "", told))


def _bytes(one: Given) -> bytes:
    try:
        data = str(one.text).encode()
    except UnicodeEncodeError as error:
        raise SwarfbookError(Problem(one.place, "text", "", "this holds what no file can")) from error
    if len(data) > MOST_BYTES:
        told = f"this is larger than {MOST_BYTES // 1024} KiB, which no record needs"
        raise SwarfbookError(Problem(one.place, "text", "", told))
    return data


def _twice(entries: Sequence[Entry[Any]]) -> Iterator[Problem]:
    seen: dict[tuple[str, str], str] = {}
    for one in entries:
        before = seen.setdefault((one.kind, one.id), one.where)
        if before is not one.where:
            told = f"{before.rpartition(', ')[2]} has that id already; give each an id of its own"
            yield Problem(one.where, ID, f"'{one.id}'", told)


def _found(book: Book, one: Given, entry: Entry[Any]) -> Found:
    kind, record, after = entry.kind, entry.id, flattened(entry.kind, entry.raw)
    if not book.has(kind, record):
        text = new_document(kind, entry.raw) if one.text is None else str(one.text)
        return Found(kind, record, NEW, (), Change(kind, record, None, text))
    there = book.require(kind, record, where=one.place, key=ID)
    before = flattened(kind, there.raw)
    keys = {**before, **after}
    changes = tuple(
        (key, before.get(key), after.get(key)) for key in keys if not same(before.get(key), after.get(key))
    )
    if not changes:
        return Found(kind, record, SAME, (), None)
    if one.text is not None:
        change = Change(kind, record, there.sha, str(one.text))
    else:
        values = nested({key: value for key, _, value in changes})
        change = change_of(book.root, kind, Saving(record, values, there.sha))
    return Found(kind, record, DIFFERS, changes, change)


# Settings


def _settings(book: Book, given: Given, problems: list[Problem]) -> Settings:
    """Take the settings that the book has none of; whole, with comments, where it has nothing of its own."""
    try:
        raw = {"schema": "book/1", **given.raw}
        if given.text is not None:
            _prove_text(given, raw)
        parse("book", raw, where=given.place)
        return _beside(book, given, raw)
    except SwarfbookError as error:
        problems += error.problems
        return Settings(None, "", (), ())


def _beside(book: Book, given: Given, raw: dict[str, Any]) -> Settings:
    read = read_toml(book.root / SETTINGS, where=SETTINGS)
    theirs, mine = flattened("book", raw), flattened("book", read.raw)
    if not mine.keys() - COMMON and not _has_records(book):
        text = new_document("book", raw) if given.text is None else str(given.text)
        changed = tuple(key for key, value in theirs.items() if not same(value, mine.get(key)))
        return Settings(text if changed else None, read.sha, changed, ())
    new = {key: value for key, value in theirs.items() if key not in mine}
    kept = tuple(key for key, value in theirs.items() if key in mine and not same(value, mine[key]))
    if not new:
        return Settings(None, read.sha, (), kept)
    values = nested(new)
    meant = merged(read.raw, values)
    parse("book", meant, where=given.place)
    before = (book.root / SETTINGS).read_bytes()
    return Settings(edited("book", before, values, meant, where=SETTINGS), read.sha, tuple(new), kept)


def _has_records(book: Book) -> bool:
    return any(book.ids(kind) for kind in FOLDERS) or bool(log_lines(book))


# Runs


def _runs(
    book: Book, given: Sequence[Any], where: str, problems: list[Problem]
) -> tuple[dict[str, list[dict[str, Any]]], int]:
    """Give the runs that the book has not, by the file they go to, and how many it has."""
    there = {
        line["id"]: line for line in reversed(log_lines(book)) if isinstance(line, dict) and "id" in line
    }
    known, new = 0, dict[str, list[dict[str, Any]]]()
    seen = set[str]()
    for at, line in enumerate(given, start=1):
        place = f"{where}[{at}]"
        if not _reads("run", line, place, problems) or line["id"] in seen:
            continue
        seen.add(line["id"])
        if line["id"] not in there:
            new.setdefault(f"{FOLDER}/{line['at'][:7]}.jsonl", []).append(line)
        elif same(line, there[line["id"]]):
            known += 1
        else:
            told = "the book has another run of that id; runs are corrected with swarfbook correct"
            problems.append(Problem(place, ID, f"'{line['id']}'", told))
    return new, known


def _renames(book: Book, given: Sequence[Any], where: str, problems: list[Problem]) -> list[dict[str, Any]]:
    there = rename_lines(book)
    return [
        line
        for at, line in enumerate(given, start=1)
        if _reads("rename", line, f"{where}[{at}]", problems) and line not in there
    ]


def _reads(kind: str, line: object, place: str, problems: list[Problem]) -> bool:
    """Say whether a line reads; its problems are added else."""
    if not isinstance(line, dict):
        problems.append(Problem(place, "", "", f"write the object of a {kind}"))
        return False
    try:
        parse(kind, line, where=place)
    except SwarfbookError as error:
        problems += error.problems
        return False
    return True


def _meters(given: Mapping[str, Any], where: str, problems: list[Problem]) -> Iterator[tuple[str, str]]:
    for name, data in given.items():
        try:
            fits = METER_FILE.fullmatch(name) and base64.b64decode(data, validate=True) is not None
        except (ValueError, TypeError):
            fits = False
        if fits:
            yield name, data
        else:
            told = "write RUN.csv or RUN.txt, and the file in base64"
            problems.append(Problem(where, "", f"'{name}'", told))
