"""The book as a folder: read its records and its run log, notice changes, save one record at a time."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, overload

from swarfbook import resources
from swarfbook.book import runlog
from swarfbook.book.backstage import finish_cut_off
from swarfbook.book.entry import Entry
from swarfbook.book.ids import FOLDERS, SETTINGS, file_name, require_id, require_new_id
from swarfbook.book.reading import Read, Stamp, fail, is_folder, read_toml, stamp, trouble
from swarfbook.book.shelf import Shelves
from swarfbook.errors import Problem, SwarfbookError, did_you_mean, printable
from swarfbook.records import BookSettings, Machine, Material, Recipe, Record, Run, Tool, misfits, parse

if TYPE_CHECKING:
    from swarfbook.book.deleting import Deleted
    from swarfbook.book.history import History, State
    from swarfbook.book.index import Index
    from swarfbook.book.renaming import Renamed
    from swarfbook.book.runlog import RunLog
    from swarfbook.book.users import User
    from swarfbook.records.job import Job

# ruff: noqa: PLC0415 - what writes is imported when something is written: its TOML writer costs 30 ms
# and what looks over all recipes when something does


class Book(Shelves):
    """A recipe book: one folder, one TOML file a record.

    Attributes:
        root: the folder.
        settings: what `book.toml` says.
        built_in: this is the demo that travels with the program; it is never written.
    """

    def __init__(self, root: Path, settings: BookSettings) -> None:
        self.root = root
        self.settings = settings
        self.built_in = root.resolve() == resources.demo_book_dir().resolve()
        self._cache: dict[tuple[str, str], Entry[Record]] = {}
        self._log: RunLog | None = None
        self._index: Index | None = None
        self._history: History | None = None

    @classmethod
    def open(cls, root: Path | str) -> Book:
        """Open the book in a folder; raises SwarfbookError if the folder is not one."""
        root = Path(root)
        if not is_folder(root):
            raise fail(str(root), "there is no such folder; `swarfbook init DIR` starts a book")
        if stamp(root / SETTINGS) is None:
            raise fail(str(root), f"not a book: it holds no {SETTINGS}; `swarfbook init DIR` starts one")
        raw = read_toml(root / SETTINGS, where=SETTINGS).raw
        finish_cut_off(root)
        return cls(root, parse("book", raw, where=SETTINGS))

    @classmethod
    def demo(cls) -> Book:
        """Open the demo workshop that travels with the program; its figures are invented."""
        return cls.open(resources.demo_book_dir())

    def __repr__(self) -> str:
        return f"<Book {printable(self.settings.title)!r}, {len(self.recipes)} recipes>"

    def path(self, kind: str, record: str) -> Path:
        """Give the file of a record, there or not."""
        return self.root / file_name(kind, record)

    def has(self, kind: str, record: str) -> bool:
        """Say whether there is a file of that id, without listing the folder."""
        return stamp(self.path(kind, record)) is not None

    def ids(self, kind: str) -> list[str]:
        """Give the ids of a kind of record, sorted; hidden files and other endings are passed over."""
        try:
            with os.scandir(self.root / FOLDERS[kind]) as files:
                names = [file.name for file in files]  # a Path for each would cost four times as much
        except FileNotFoundError:
            return []
        except OSError as error:
            raise trouble(FOLDERS[kind], "read", error) from error
        return sorted(
            name.removesuffix(".toml") for name in names if name.endswith(".toml") and name[0] != "."
        )

    @overload
    def get(self, kind: Literal["machine"], record: str) -> Entry[Machine]: ...
    @overload
    def get(self, kind: Literal["tool"], record: str) -> Entry[Tool]: ...
    @overload
    def get(self, kind: Literal["material"], record: str) -> Entry[Material]: ...
    @overload
    def get(self, kind: Literal["recipe"], record: str) -> Entry[Recipe]: ...
    @overload
    def get(self, kind: Literal["job"], record: str) -> Entry[Job]: ...
    @overload
    def get(self, kind: str, record: str) -> Entry[Record]: ...
    def get(self, kind: str, record: str) -> Entry[Any]:
        """Read one record; raises SwarfbookError for an unknown id and with every problem of the file."""
        return self.require(kind, record, where=kind)

    def require(self, kind: str, record: str, *, where: str, key: str = "") -> Entry[Any]:
        """Read a record that is named somewhere.

        Args:
            kind: kind of record.
            record: its id as named.
            where: option or file that names it.
            key: dotted key in that file.

        Raises:
            SwarfbookError: at the place that names it if the id is unknown, else with its file's problems.
        """
        now = self.there(kind, record, where=where, key=key)
        entry = self._cache.get((kind, record))
        if entry is None or entry.stamp != now:
            read = read_toml(self.path(kind, record), where=file_name(kind, record))
            entry = self._enter(kind, record, read)
        return entry

    def there(self, kind: str, record: str, *, where: str, key: str = "") -> Stamp | None:
        """Give the stamp of a record's file, unread; raises SwarfbookError as `require` does of an id."""
        require_id(record, where=where, key=key)
        path = self.path(kind, record)
        now = stamp(path)
        if now is None and not path.is_symlink():
            remedy = f"no {kind} of that id in this book; {did_you_mean(record, self.ids(kind))}"
            raise SwarfbookError(Problem(where, key, f"'{record}'", remedy))
        return now

    def _enter(self, kind: str, record: str, read: Read) -> Entry[Record]:
        where = file_name(kind, record)
        parsed = parse(kind, read.raw, where=where)
        entry = Entry(kind, record, self.path(kind, record), where, read.raw, parsed, read.sha, read.stamp)
        self._cache[kind, record] = entry
        return entry

    def entries(self, kind: str) -> tuple[list[Entry[Any]], list[Problem]]:
        """Read all records of a kind: those that read, and the problems of those that do not."""
        entries: list[Entry[Any]] = []
        problems: list[Problem] = []
        for record in self.ids(kind):
            try:
                entries.append(self.require(kind, record, where=file_name(kind, record)))
            except SwarfbookError as error:
                problems += error.problems
        return entries, problems

    @property
    def history(self) -> History:
        """The states that records had."""
        if self._history is None:
            from swarfbook.book.history import History

            self._history = History(self.root)
        return self._history

    def unkept(self) -> list[Problem]:
        """Give what was written since this was last asked and is not in the history, a line for each file."""
        return [] if self._history is None else self._history.told()

    @property
    def index(self) -> Index:
        """The recipes in brief, most of them without reading their files."""
        if self._index is None:
            from swarfbook.book.index import Index

            self._index = Index(self.root, writes=not self.built_in)
        return self._index

    def resolve(
        self, recipe: Recipe, *, raw: Mapping[str, Any], where: str
    ) -> tuple[Machine, Tool, Material]:
        """Read the machine, the tool and the material a recipe names, saved or not.

        Args:
            recipe: the recipe.
            raw: the recipe as typed, for messages.
            where: its file as messages name it.

        Raises:
            SwarfbookError: with every problem of all three, and of how recipe and cutter fit together.
        """
        found: dict[str, Any] = {}
        problems: list[Problem] = []
        for kind in ("machine", "tool", "material"):
            try:
                found[kind] = self.require(kind, getattr(recipe, kind), where=where, key=kind).record
            except SwarfbookError as error:
                problems += error.problems
        if "tool" in found:
            problems += misfits(recipe, found["tool"], raw=raw, where=where)
        if problems:
            raise SwarfbookError(*problems)
        return found["machine"], found["tool"], found["material"]

    def changed(self, entry: Entry[Any]) -> bool:
        """Say whether a record's file was changed or taken away since the entry was read; one `stat`."""
        return stamp(entry.path) != entry.stamp

    def runs(self) -> tuple[Run, ...]:
        """Give the runs that count, in order, passing over lines that do not read; `run_log` tells of those.

        The same tuple for as long as the log does not change.
        """
        return self.run_log().in_force

    def run_log(self, watch: Callable[[], object] | None = None) -> RunLog:
        """Read the run log: every line, the problems of those that do not read, and the runs that count.

        Args:
            watch: called before every line that is read; what it raises ends the reading, and is raised.
        """
        if self._log is None or self._log.light or self.log_changed(self._log):
            self._log = runlog.read_log(self.root, watch, self._log)
        return self._log

    def light_log(self) -> RunLog:
        """Read the run log as columns, with a small part of the time and memory; as runs where it was before.

        The same for as long as the log does not change, and its `table` with it.
        """
        if self._log is None or self.log_changed(self._log):
            self._log = runlog.read_log(self.root, None, self._log, True)
        return self._log

    def log_changed(self, log: RunLog) -> bool:
        """Say whether the run log changed since it was read; nothing is opened for that."""
        return log.stamps != runlog.stamps(self.root)

    def log(self, line: Mapping[str, Any], *, files: Mapping[str, bytes] | None = None) -> Run:
        """Add a run to the log, on the disk before this returns; nothing that stands there is touched.

        Args:
            line: the run as `records.Run` reads it, `schema` among it.
            files: what is kept with it as `runs/meters/<id>.<ending>`, by the ending.

        Raises:
            SwarfbookError: the line would not read, or the disk refuses.
        """
        self.refuse_demo()
        return runlog.append(self.root, line, files or {})

    def recent_runs(self, most: int) -> list[Run]:
        """Give the runs that count in the last `most` bytes of the two latest months."""
        return runlog.recent(self.root, most)

    def save(self, kind: str, record: str, values: Mapping[str, Any], *, seen: str | None) -> Entry[Any]:
        """Write changes to a record, or a new one, without losing anybody's work.

        Args:
            kind: kind of record.
            record: its id.
            values: what to set, nested as in the file and as typed (`"3 mm"`); keys not named stay as
                they are, None takes a key out. A new record gets its `schema` by itself.
            seen: `Entry.sha` as read before the edit; None for a new record.

        Returns:
            The entry as it now stands on disk.

        Raises:
            ConflictError: the file changed or went away since it was read.
            SwarfbookError: the values will not do, the id is taken or is none, or the disk refuses.
        """
        from swarfbook.book import saving

        (require_id if seen else require_new_id)(record, where=kind)
        self.refuse_demo()
        read = saving.save(self.root, kind, record, values, seen=seen, history=self.history)
        return self._enter(kind, record, read)

    def refuse_demo(self) -> None:
        """Refuse to write to the demo that travels with the program; raises SwarfbookError."""
        if self.built_in:
            raise fail(
                str(self.root), "the demo book is not written to; `swarfbook init --demo DIR` makes a copy"
            )

    def duplicate(
        self, kind: str, record: str, new: str, changes: Mapping[str, Any] | None = None
    ) -> Entry[Any]:
        """Write a new record with the text of another, its comments, order and units among it.

        A recipe's copy stands on trial and remembers no parent, unless `changes` say otherwise.

        Args:
            kind: kind of record.
            record: id of the one to begin with.
            new: id of the new one.
            changes: what is to be different, as `save` takes it; `{"name": "..."}` for another name.

        Returns:
            The new entry.

        Raises:
            SwarfbookError: an id is unknown, taken or none, or the values will not do.
        """
        from swarfbook.book import saving

        self.there(kind, record, where=kind)
        require_new_id(new, where=kind)
        self.refuse_demo()
        read = saving.duplicate(self.root, kind, record, new, changes or {}, history=self.history)
        return self._enter(kind, new, read)

    def rename(self, kind: str, old: str, new: str) -> Renamed:
        """Give a record another id; every recipe and job that names it follows, and so does the run log.

        Recipes and jobs that name the machine, cutter or material, children of a recipe and jobs with a step
        of it are written with the new id and nothing else; a child that was not stale is not stale
        afterwards. Their entries, and the
        renamed one's, are to be read again: `changed` says so of them. The run log's lines stay as they
        are: `renames.jsonl` gains one, by which `runs` tells every run's records as they are called now.

        Args:
            kind: kind of record.
            old: its id.
            new: its id from now on.

        Returns:
            The ids, and the recipes and jobs that followed.

        Raises:
            SwarfbookError: an id is unknown, taken or none, or a file that may name the record cannot be
                read or edited: nothing has changed then. If the disk refuses half-way, the book still
                holds together, and the rename is finished when it is opened next.
        """
        from swarfbook.book import renaming

        self.there(kind, old, where=kind)
        require_new_id(new, where=kind)
        self.refuse_demo()
        return renaming.rename(self, kind, old, new)

    def users(self, kind: str, record: str) -> list[User]:
        """Give the recipes that name a record, or came from it, and then the jobs that name it."""
        from swarfbook.book import users

        return users.users_of(self, kind, record)

    def delete(self, kind: str, record: str, *, seen: str | None = None) -> Deleted:
        """Take a record out of the book; `restore` brings it back.

        Args:
            kind: kind of record.
            record: its id.
            seen: `Entry.sha` as read, to notice a change since; None takes the file as it stands.

        Raises:
            ConflictError: the file changed or went away since it was read.
            SwarfbookError: the id is unknown, or recipes or jobs name the record; the line says which.
        """
        from swarfbook.book import deleting

        self.there(kind, record, where=kind)
        self.refuse_demo()
        return deleting.delete(self, kind, record, seen=seen)

    def restore(self, kind: str, record: str) -> Deleted:
        """Bring back the latest of the deleted records of an id.

        A recipe or a job names other records as they are called now.

        Raises:
            SwarfbookError: none of that id was deleted, or there is one of it in the book again.
        """
        from swarfbook.book import deleting

        require_id(record, where=kind)
        self.refuse_demo()
        return deleting.restore(self, kind, record)

    def restore_state(self, kind: str, record: str, number: int) -> State:
        """Give a record the text of one of its states again, a deleted one too; it is a save like another.

        A recipe or a job names other records as they are called now.

        Args:
            kind: kind of record.
            record: its id.
            number: the state's.

        Returns:
            The state.

        Raises:
            SwarfbookError: there is no such state, it does not read, or the disk refuses.
        """
        from swarfbook.book import reverting

        require_id(record, where=kind)
        self.refuse_demo()
        return reverting.restore_state(self, kind, record, number)

    def deleted(self) -> list[Deleted]:
        """Give the records that were deleted and can be brought back, the latest first."""
        from swarfbook.book import deleting

        return deleting.deleted(self.root)
