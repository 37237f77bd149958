"""The run log: `runs/YYYY-MM.jsonl`, one run a line, added to and never edited, under the names of today."""

from __future__ import annotations

import marshal
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from swarfbook.book.jsonl import append_line, read_lines
from swarfbook.book.reading import Stamp, stamp, trouble
from swarfbook.book.renames import FILE, Renames, read_renames
from swarfbook.errors import Problem
from swarfbook.frozen import frozen
from swarfbook.records import Run, parse

if TYPE_CHECKING:
    from swarfbook.book.table import Table

# ruff: noqa: PLC0415 - columns are arrays, and adding a run needs none; reading needs no locks

FOLDER = "runs"
SHARED = ("snapshot", "model")
METERS = "meters"
Stamps = tuple[tuple[str, Stamp | None], ...]
Watch = Callable[[], object]


@frozen
class Month:
    """A month's file as it was read: its stamp, its runs under the names of today, and what does not read."""

    stamp: Stamp | None
    runs: tuple[Run, ...]
    problems: tuple[Problem, ...]


class RunLog:
    """A log as it was read, as runs or as a table of columns; the other is made where somebody asks.

    Attributes:
        problems: of the lines that do not read.
        stamps: what tells whether the log has changed since.
        renamed: whether records were called otherwise before.
        months: the files behind it, by name, where it was read as runs.
    """

    def __init__(
        self,
        stamps: Stamps,
        problems: Iterable[Problem],
        months: Mapping[str, Month],
        table: Table | None = None,
    ) -> None:
        self.stamps, self.problems, self.months = stamps, tuple(problems), months
        self.renamed = stamps[-1][1] is not None
        self._table = table

    @property
    def light(self) -> bool:
        """Whether it was read as columns: its runs are read from their lines when they are asked for."""
        return self._table is not None

    @cached_property
    def lines(self) -> tuple[Run, ...]:
        """Every run that reads, in order of time, corrected ones among them."""
        if self._table is not None:
            return tuple(self._table.runs(self._table.every.tolist()))
        return tuple(_by_time(self._as_they_stand()))

    @cached_property
    def in_force(self) -> tuple[Run, ...]:
        """The runs that count, in order of time: corrections in place of what they correct, nothing twice."""
        if self._table is not None:
            return tuple(self._table.runs(self._table.counts.tolist()))
        return tuple(_by_time(in_force(self._as_they_stand())))

    def _as_they_stand(self) -> Iterator[Run]:
        return (run for month in self.months.values() for run in month.runs)

    @cached_property
    def table(self) -> Table:
        """The lines as columns."""
        from swarfbook.book.table import Table

        return Table.of_runs(tuple(self._as_they_stand())) if self._table is None else self._table


def _by_time(runs: Iterable[Run]) -> list[Run]:
    """Order runs by time: two logs that were merged have their lines one after the other."""
    return sorted(runs, key=lambda run: run.at)


def stamps(root: Path) -> Stamps:
    """Give what tells a changed log cheaply: the stamps of its months and of the renames."""
    files = [*months_of(root), root / FILE]
    return tuple((file.name, stamp(file)) for file in files)


def read_log(
    root: Path,
    watch: Watch | None = None,
    before: RunLog | None = None,
    light: bool = False,
) -> RunLog:
    """Read every run of a book, and the problems of the lines that do not read.

    A run names recipe, machine, cutter and material as they are called now, whatever its line calls them;
    its digest is of the values under the names of its day.

    Args:
        root: folder of the book.
        watch: called before every line; what it raises ends the reading.
        before: the log as it was read before: months that have not changed since are not read again.
        light: read it as columns, however long it is; else as runs.
    """
    now = stamps(root)
    renames, problems = read_renames(root)
    # Under other names every run may be another's.
    known = before if before is not None and before.stamps[-1] == now[-1] else None
    if light:
        from swarfbook.book.months import read_table

        table = read_table(root, months_of(root), renames, known, watch)
        return RunLog(now, [*problems, *table.problems], {}, table)
    pool: dict[bytes, Any] = {}
    months: dict[str, Month] = {}
    for path in months_of(root):
        read = known.months.get(path.name) if known else None
        fresh = read is not None and read.stamp == stamp(path)
        months[path.name] = read if read and fresh else _month(path, renames, pool, watch)
    problems += [problem for month in months.values() for problem in month.problems]
    return RunLog(now, problems, months)


def _month(path: Path, renames: Renames, pool: dict[bytes, Any], watch: Watch | None) -> Month:
    before = stamp(path)
    found, bad = _read_month(path, renames, watch=watch)
    return Month(before, tuple(_pooled(run, pool) for run in found), tuple(bad))


def months_of(root: Path) -> list[Path]:
    """Give the files of a book's log, in order."""
    return sorted((root / FOLDER).glob("[!.]*.jsonl"))


def _pooled(run: Run, pool: dict[bytes, Any]) -> Run:
    """Let runs of the same cut share what they cut: nearly all of a long log is the same few snapshots."""
    shared = {name: pool.setdefault(marshal.dumps(getattr(run, name)), getattr(run, name)) for name in SHARED}
    return run.replaced(**shared)


def _read_month(
    path: Path, renames: Renames, *, last: int | None = None, watch: Watch | None = None
) -> tuple[list[Run], list[Problem]]:
    def read(raw: dict[str, object], where: str) -> Run:
        if watch is not None:
            watch()
        return parse("run", raw, where=where)

    found, bad = read_lines(path, where=f"{FOLDER}/{path.name}", what="run", read=read, last=last)
    return [renames.follow(run) for run in found], bad


def in_force(runs: Iterable[Run]) -> list[Run]:
    """Give the runs that count, in order.

    A line with the id of an earlier one is that run again (two copies of a log came together). A corrected
    run does not count; of two corrections of one run the later line does.
    """
    once: dict[str, Run] = {}
    for run in runs:
        once.setdefault(run.id, run)
    latest = {run.replaces: run.id for run in once.values() if run.replaces is not None}
    return [
        run
        for run in once.values()
        if run.id not in latest
        and not run.withdrawn
        and (run.replaces is None or latest[run.replaces] == run.id)
    ]


def append(root: Path, line: Mapping[str, Any], files: Mapping[str, bytes]) -> Run:
    """Add a run to the log of its month, and files beside it, on the disk before this returns.

    Raises:
        SwarfbookError: the line would not read, or the disk refuses; the log is as it was.
    """
    from swarfbook.book.inside import to_write
    from swarfbook.book.locking import flush_folder, locked

    where = f"{FOLDER}/{str(line.get('at'))[:7]}.jsonl"
    run = parse("run", line, where=where)
    path = to_write(root, where)
    try:
        with locked(root):
            new = stamp(path) is None
            path.parent.mkdir(exist_ok=True)
            _keep(to_write(root, f"{FOLDER}/{METERS}"), run.id, files)
            append_line(path, line, where=where)
            if new:
                flush_folder(path.parent)
    except OSError as error:
        raise trouble(where, "written", error) from error
    return run


def _keep(folder: Path, run: str, files: Mapping[str, bytes]) -> None:
    """Write what is kept with a run before its line, so that no line names a file that is not there."""
    from swarfbook.book.locking import write_atomically

    if files:
        folder.mkdir(exist_ok=True)
    for ending, data in files.items():
        write_atomically(folder / f"{run}.{ending}", data)


def recent(root: Path, most: int) -> list[Run]:
    """Read the runs in the last `most` bytes of each of the two latest months, however long the log."""
    renames, _ = read_renames(root)
    runs: list[Run] = []
    for path in months_of(root)[-2:]:
        runs += _read_month(path, renames, last=most)[0]
    return _by_time(in_force(runs))
