"""The run log: `runs/YYYY-MM.jsonl`, one run a line, added to and never edited, under the names of today."""

from __future__ import annotations

import marshal
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any

from swarfbook.book.jsonl import append_line, read_lines
from swarfbook.book.reading import Stamp, stamp, trouble
from swarfbook.book.renames import FILE, Renames, read_renames
from swarfbook.errors import Problem
from swarfbook.frozen import frozen
from swarfbook.records import Run, parse

FOLDER = "runs"
SHARED = ("snapshot", "model")
METERS = "meters"
Stamps = tuple[tuple[str, Stamp | None], ...]


@frozen
class Month:
    """A month's file as it was read: its stamp, its runs under the names of then, and what does not read."""

    stamp: Stamp | None
    runs: tuple[Run, ...]
    problems: tuple[Problem, ...]


@frozen
class RunLog:
    """A log as it was read.

    Attributes:
        lines: every run that reads, in order of time, corrected ones among them.
        problems: of the lines that do not read.
        in_force: the runs that count: corrections in place of what they correct, nothing twice.
        stamps: what tells whether the log has changed since.
        renamed: whether records were called otherwise before.
        months: the files behind it, by name.
    """

    lines: tuple[Run, ...]
    problems: tuple[Problem, ...]
    in_force: tuple[Run, ...]
    stamps: Stamps
    renamed: bool
    months: Mapping[str, Month]


def stamps(root: Path) -> Stamps:
    """Give what tells a changed log cheaply: the stamps of its months and of the renames."""
    files = [*_months(root), root / FILE]
    return tuple((file.name, stamp(file)) for file in files)


def read_log(root: Path, watch: Callable[[], object] | None = None, before: RunLog | None = None) -> RunLog:
    """Read every run of a book, and the problems of the lines that do not read.

    A run names recipe, machine, cutter and material as they are called now, whatever its line calls them;
    its digest is of the values under the names of its day.

    Args:
        root: folder of the book.
        watch: called before every line; what it raises ends the reading.
        before: the log as it was read before: months that have not changed since are not read again.
    """
    now = stamps(root)
    renames, problems = read_renames(root)
    # Under other names every run may be another's.
    kept = before.months if before is not None and before.stamps[-1] == now[-1] else {}
    pool: dict[bytes, Any] = {}
    months: dict[str, Month] = {}
    for path in _months(root):
        known = kept.get(path.name)
        fresh = known is not None and known.stamp == stamp(path)
        months[path.name] = known if known and fresh else _month(path, renames, pool, watch)
    # Two logs that were merged have their lines one after the other, whenever the runs were.
    runs = sorted((run for month in months.values() for run in month.runs), key=lambda run: run.at)
    problems += [problem for month in months.values() for problem in month.problems]
    renamed = now[-1][1] is not None
    return RunLog(tuple(runs), tuple(problems), tuple(in_force(runs)), now, renamed, months)


def _month(path: Path, renames: Renames, pool: dict[bytes, Any], watch: Callable[[], object] | None) -> Month:
    before = stamp(path)
    found, bad = _read_month(path, renames, watch=watch)
    return Month(before, tuple(_pooled(run, pool) for run in found), tuple(bad))


def _months(root: Path) -> list[Path]:
    return sorted((root / FOLDER).glob("[!.]*.jsonl"))


def _pooled(run: Run, pool: dict[bytes, Any]) -> Run:
    """Let runs of the same cut share what they cut: nearly all of a long log is the same few snapshots."""
    shared = {name: pool.setdefault(marshal.dumps(getattr(run, name)), getattr(run, name)) for name in SHARED}
    return run.replaced(**shared)


def _read_month(
    path: Path, renames: Renames, *, last: int | None = None, watch: Callable[[], object] | None = None
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
    from swarfbook.book.locking import flush_folder, locked  # noqa: PLC0415 - reading needs no locks

    where = f"{FOLDER}/{str(line.get('at'))[:7]}.jsonl"
    run = parse("run", line, where=where)
    path = root / where
    try:
        with locked(root):
            new = stamp(path) is None
            path.parent.mkdir(exist_ok=True)
            _keep(path.parent / METERS, run.id, files)
            append_line(path, line, where=where)
            if new:
                flush_folder(path.parent)
    except OSError as error:
        raise trouble(where, "written", error) from error
    return run


def _keep(folder: Path, run: str, files: Mapping[str, bytes]) -> None:
    """Write what is kept with a run before its line, so that no line names a file that is not there."""
    from swarfbook.book.locking import write_atomically  # noqa: PLC0415 - as above

    if files:
        folder.mkdir(exist_ok=True)
    for ending, data in files.items():
        write_atomically(folder / f"{run}.{ending}", data)


def recent(root: Path, most: int) -> list[Run]:
    """Read the runs in the last `most` bytes of each of the two latest months, however long the log."""
    renames, _ = read_renames(root)
    runs: list[Run] = []
    for path in _months(root)[-2:]:
        runs += _read_month(path, renames, last=most)[0]
    return in_force(sorted(runs, key=lambda run: run.at))
