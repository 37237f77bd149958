"""The states of every record: what its file held after each save, backstage of the book, one file a record.

A file is the last states as lines of JSON, compressed together: they are nearly the same text, so that fifty
take little more than one. It is written in one step, under the book's lock. Nothing here ever stops a save:
what cannot be kept is told, and what another program wrote is kept before it is written over.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from stat import S_ISFIFO

from swarfbook.book.backstage import FOLDER, backstage
from swarfbook.book.ids import called, file_name
from swarfbook.book.reading import MOST_BYTES, fail, read_bytes, stamp, trouble
from swarfbook.book.renames import read_renames
from swarfbook.errors import Problem, SwarfbookError

HISTORY = "history"
ENDING = ".states"
MOST_STATES = 50
MOST_PACKED = 4 * 1024 * 1024
MOST_INFLATED = 128 * 1024 * 1024

SAVED, FOUND, DELETED, BROUGHT_BACK = "saved", "found", "deleted", "brought-back"
RENAMED, FOLLOWED, RESTORED, CUT_OFF = "renamed", "followed", "restored", "cut-off"
NO_HISTORY = (ValueError, KeyError, TypeError, RecursionError)
EVENTS = (DELETED, BROUGHT_BACK, RENAMED, FOLLOWED)
"""What makes a state even where the file holds what it held before."""


@dataclass(frozen=True, slots=True)
class State:
    """What a record's file held at some time.

    Attributes:
        number: counts on from 1, also when the oldest are dropped.
        at: when it was kept.
        how: what made it, one of the words above; `found` is what another program had written, `cut-off`
            what a save that was cut off left behind.
        of: the older id of a rename, the record whose rename was followed, the state restored; else empty.
        data: the file.
    """

    number: int
    at: datetime
    how: str
    of: str
    data: bytes


class History:
    """The states of a book's records; what writes them holds the book's lock.

    Attributes:
        root: folder of the book.
    """

    def __init__(self, root: Path) -> None:
        self.root = root
        self._troubles: list[Problem] = []

    def told(self) -> list[Problem]:
        """Give what could not be kept since this was last asked, one line for each file."""
        told, self._troubles = list(dict.fromkeys(self._troubles)), []
        return told

    def states(self, kind: str, record: str) -> tuple[State, ...]:
        """Give the states of a record, the oldest first; raises SwarfbookError if the file does not read."""
        where = self._path(kind, record).relative_to(self.root).as_posix()
        try:
            return self._read(kind, record)
        except OSError as error:
            raise trouble(where, "read", error) from error
        except NO_HISTORY as error:
            raise fail(where, "this is no history; take the file away, the record itself is whole") from error

    def _read(self, kind: str, record: str) -> tuple[State, ...]:
        """Read the states; raises OSError, and one of `NO_HISTORY` for a file that is none."""
        path = self._path(kind, record)
        try:
            found = path.stat()
        except FileNotFoundError:
            return ()
        if S_ISFIFO(found.st_mode) or found.st_size > MOST_INFLATED:
            raise ValueError("no history")  # a pipe would wait for a writer
        return tuple(_unpacked(path.read_bytes()))

    def state(self, kind: str, record: str, number: int) -> State:
        """Give one state; raises SwarfbookError for a number that is not among them."""
        states = self.states(kind, record)
        for one in states:
            if one.number == number:
                return one
        known = f"states {states[0].number} to {states[-1].number} are" if states else "none is"
        raise fail(called(kind, record), f"no such state is kept; {known}", found=f"state {number}")

    def now(self, kind: str, record: str) -> bytes | None:
        """Give what the record's file holds; None where there is none. Raises SwarfbookError."""
        path, where = self.root / file_name(kind, record), file_name(kind, record)
        return None if stamp(path) is None else read_bytes(path, where=where, most=MOST_BYTES)

    def called_now(self, kind: str, record: str) -> str:
        """Give the id that a record has now, by all its renames."""
        return read_renames(self.root)[0].now(kind, record, datetime.min.replace(tzinfo=UTC))

    def known(self, kind: str) -> list[str]:
        """Give the ids of a kind that have states, those of deleted records among them."""
        return sorted(path.name.removesuffix(ENDING) for path in self._folder(kind).glob(f"[!.]*{ENDING}"))

    def found(self, kind: str, record: str, data: bytes | None) -> None:
        """Keep what stands there before it is written over, unless it is what was kept last."""
        if data is not None:
            self.add(kind, record, FOUND, data)

    def add(self, kind: str, record: str, how: str, data: bytes, of: str = "") -> None:
        """Keep a state; what cannot be kept is told by `told`."""
        self._try(kind, record, State(0, datetime.now(UTC), how, of, data))

    def follow(self, kind: str, record: str, before: bytes, after: bytes, *, of: str, at: datetime) -> None:
        """Keep what a file holds and is to hold by a rename of what it names; may have been done before.

        Args:
            kind: kind of record.
            record: its id.
            before: its file. It is of a moment before the rename: brought back later, it has to name what is
                renamed by its new id.
            after: its file from now on.
            of: what is renamed, as it was called.
            at: when it is renamed.
        """
        followed = State(0, datetime.now(UTC), FOLLOWED, of, after)
        self._try(kind, record, State(0, at, FOUND, "", before), followed)

    def _try(self, kind: str, record: str, *new: State) -> None:
        try:
            self._keep(kind, record, *new)
        except (OSError, SwarfbookError) as error:
            self._tell(kind, record, error)

    def _keep(self, kind: str, record: str, *new: State) -> None:
        before = self._readable(kind, record)
        states = before if _says_nothing(before, new[-1]) else _with(before, new)
        if states != before:
            self._write(kind, record, states)

    def keep_left(self, kind: str, record: str, data: bytes, *, at: datetime) -> int | None:
        """Keep what a save that was cut off left; give the state's number, None where nothing is new in it.

        Args:
            kind: kind of record.
            record: its id.
            data: what was left.
            at: when it was written: it names other records as they were called then.

        Raises:
            OSError, SwarfbookError: it cannot be kept.
        """
        states = self.states(kind, record)
        if data == self.now(kind, record) or any(one.data == data for one in states):
            return None
        self._keep(kind, record, State(0, at, CUT_OFF, "", data))
        return self.states(kind, record)[-1].number

    def move(self, kind: str, old: str, new: str) -> None:
        """Let a record's states follow its rename; may have been done before."""
        try:
            mine = self.states(kind, old)
            if mine:
                self._write(kind, new, _together(self._readable(kind, new), mine))
                self._path(kind, old).unlink(missing_ok=True)
        except (OSError, SwarfbookError) as error:
            self._tell(kind, old, error)

    def _tell(self, kind: str, record: str, error: OSError | SwarfbookError) -> None:
        problem = trouble("", "kept", error).problems[0] if isinstance(error, OSError) else error.problems[0]
        why = problem.remedy.removeprefix("this cannot be kept: ")
        self._troubles.append(Problem(f"history of {called(kind, record)}", "", "", f"not kept: {why}"))

    def _readable(self, kind: str, record: str) -> tuple[State, ...]:
        """Give the states; a file that is no history is set aside, told, and begun anew. Raises OSError."""
        try:
            return self._read(kind, record)
        except NO_HISTORY:
            path = self._path(kind, record)
            aside = path.with_name(f"{record}.unreadable")
            path.replace(aside)
            where = aside.relative_to(self.root).as_posix()
            told = f"begun anew, for it did not read; the old file is {where}"
            self._troubles.append(Problem(f"history of {called(kind, record)}", "", "", told))
            return ()

    def _write(self, kind: str, record: str, states: Sequence[State]) -> None:
        from swarfbook.book.locking import write_atomically  # noqa: PLC0415 - reading needs no locks

        states = states[-MOST_STATES:]
        data = _packed(states)
        while len(data) > MOST_PACKED and len(states) > 1:
            states = states[(len(states) + 1) // 2 :]
            data = _packed(states)
        backstage(self.root, HISTORY, kind)
        path, model = self._path(kind, record), self.root / file_name(kind, record)
        write_atomically(path, data, like=model if stamp(model) is not None else None)

    def _folder(self, kind: str) -> Path:
        return self.root / FOLDER / HISTORY / kind

    def _path(self, kind: str, record: str) -> Path:
        return self._folder(kind) / f"{record}{ENDING}"


def stands(states: Sequence[State]) -> State | None:
    """Give the last state that stood in the book; what a save that was cut off left never did."""
    return next((one for one in reversed(states) if one.how != CUT_OFF), None)


def _says_nothing(states: Sequence[State], new: State) -> bool:
    """Say whether a state is what was kept last."""
    last = stands(states)
    if last is None or last.data != new.data:
        return False
    if new.how in EVENTS:
        return (last.how, last.of) == (new.how, new.of)
    return new.how == FOUND or last.how != DELETED


def _with(states: tuple[State, ...], new: Iterable[State]) -> tuple[State, ...]:
    for one in new:
        if not _says_nothing(states, one):
            states = (*states, replace(one, number=states[-1].number + 1 if states else 1))
    return states


def _together(theirs: Sequence[State], mine: Sequence[State]) -> Sequence[State]:
    """Put the states of two records that had an id after each other in order of time, numbered anew."""
    if not theirs or set(mine) <= set(theirs):  # the second: it was done before
        return theirs or mine
    once = {(one.at, one.how, one.data): one for one in (*theirs, *mine)}
    ordered = sorted(once.values(), key=lambda one: one.at)
    return [replace(one, number=number) for number, one in enumerate(ordered, start=1)]


def _packed(states: Iterable[State]) -> bytes:
    import zlib  # noqa: PLC0415 - reading a book takes none of it

    return zlib.compress("\n".join(map(_line, states)).encode("ascii"))


def _line(state: State) -> str:
    # A byte that is no UTF-8 survives as half of a surrogate pair.
    text = state.data.decode("utf-8", "surrogateescape")
    at = state.at.isoformat()
    return json.dumps({"state": state.number, "at": at, "how": state.how, "of": state.of, "text": text})


def _unpacked(data: bytes) -> list[State]:
    import zlib  # noqa: PLC0415 - as above

    unpacking = zlib.decompressobj()
    try:
        lines = unpacking.decompress(data, MOST_INFLATED)
    except zlib.error as error:
        raise ValueError from error
    if not unpacking.eof:
        raise ValueError("cut off")
    return [_state(json.loads(line)) for line in lines.splitlines()]


def _state(raw: dict[str, object]) -> State:
    number, text, at = raw["state"], str(raw["text"]), datetime.fromisoformat(str(raw["at"]))
    if not isinstance(number, int) or at.tzinfo is None:
        raise ValueError
    return State(number, at, str(raw["how"]), str(raw["of"]), text.encode("utf-8", "surrogateescape"))
