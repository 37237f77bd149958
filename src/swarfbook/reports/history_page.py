"""The states of a record as lines for people."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import unified_diff
from math import isfinite
from typing import Any

from swarfbook.book.history import State
from swarfbook.decisions.differences import Change, changes_between, changes_of
from swarfbook.errors import printable, shorten
from swarfbook.reports.words import counted

HOW = {
    "saved": "saved",
    "found": "changed by another program",
    "deleted": "deleted",
    "brought-back": "brought back",
    "renamed": "renamed, before {of}",
    "followed": "follows a rename of {of}",
    "restored": "state {of} again",
    "cut-off": "left by a save that was cut off",
}
MOST_CHANGES = 8
MARK = "*"
"""Stands before the state that the file holds."""
NONE_YET = "No state is kept yet: they are kept from the first save on."


@dataclass(frozen=True, slots=True)
class ToldState:
    """A state as it is told.

    Attributes:
        state: the state.
        stands: the file holds it.
        told: what made it and what it changed.
    """

    state: State
    stands: bool
    told: str

    @property
    def text(self) -> str:
        """One line: mark, number, when, what made it and what it changed."""
        mark = MARK if self.stands else " "
        return f"{mark}{self.state.number:>4}  {when_text(self.state)}  {self.told}"


def when_text(state: State) -> str:
    """Say when a state was kept, by the clock of this machine."""
    return f"{state.at.astimezone():%Y-%m-%d %H:%M:%S}"


def how_text(state: State) -> str:
    """Say what made a state."""
    return printable(HOW.get(state.how, state.how).format(of=state.of))


def change_text(change: Change) -> str:
    """Say what became of a key: `axial_depth 2.2 mm -> 2 mm`."""
    if change.before is None:
        return printable(f"{change.key} set to {_value(change.after)}")
    if change.after is None:
        return printable(f"{change.key} {_value(change.before)} taken out")
    return printable(f"{change.key} {_value(change.before)} -> {_value(change.after)}")


def _value(value: object) -> str:
    if isinstance(value, list):
        plain = not any(isinstance(one, dict) for one in value)
        return shorten(", ".join(map(_value, value))) if plain else counted(len(value), "entry", "entries")
    return shorten(str(value).lower() if isinstance(value, bool) else str(value))


def changes_text(changes: Sequence[Change] | None) -> str:
    """Say what changed; empty for a first state."""
    if changes is None:
        return ""
    told = [change_text(change) for change in changes[:MOST_CHANGES]]
    more = len(changes) - MOST_CHANGES
    return "; ".join([*told, *([f"and {more} more"] if more > 0 else [])])


def state_lines(name: str, states: Sequence[State], now: bytes | None) -> Iterator[str]:
    """List the states of a record, the latest first.

    Args:
        name: what the record is called.
        states: the oldest first.
        now: its file; None where there is none.
    """
    gone = "" if now is not None else ", not in the book now"
    yield f"{name} · {counted(len(states), 'state')}{gone}"
    if not states:
        yield NONE_YET
        return
    since = since_text(states, now)
    if since:
        yield since
    yield from (one.text for one in told_states(states, now))


def told_states(states: Sequence[State], now: bytes | None) -> list[ToldState]:
    """Tell the states of a record, the latest first.

    Args:
        states: the oldest first.
        now: its file; None where there is none.
    """
    stood = standing(states, now)
    told = [
        ToldState(
            state, state is stood, "; ".join(filter(None, (how_text(state), _told(states, state, changes))))
        )
        for state, changes in zip(states, changes_of(states), strict=True)
    ]
    return told[::-1]


def _told(states: Sequence[State], state: State, changes: Sequence[Change] | None) -> str:
    if changes is None:
        return "" if state is states[0] else "does not read, or the one before does not"
    quiet = state.how in ("deleted", "brought-back", "renamed")
    return changes_text(changes) or ("" if quiet else "no value changed")


def standing(states: Sequence[State], now: bytes | None) -> State | None:
    """Give the latest state that the file holds."""
    return next((one for one in reversed(states) if one.data == now), None)


def since_text(states: Sequence[State], now: bytes | None) -> str:
    """Say what another program changed since the last state; empty where nothing did."""
    last = next((one for one in reversed(states) if one.how != "cut-off"), None)
    if now is None or last is None or last.data == now:
        return ""
    changes = changes_between(last.data, now)
    told = "it does not read" if changes is None else changes_text(changes) or "no value changed"
    return f"Changed by another program since state {last.number}, kept at the next save: {told}"


def held_against(states: Sequence[State], now: bytes | None) -> tuple[bytes, str]:
    """Give what a state is compared with, and its name: the file, of a deleted record its last state.

    Args:
        states: the oldest first, one at least.
        now: its file; None where there is none.
    """
    return (now, "now") if now is not None else (states[-1].data, f"state {states[-1].number}")


def difference(before: bytes, after: bytes, names: tuple[str, str]) -> str:
    """Give the unified difference of two files; empty where there is none."""
    old, new = (data.decode("utf-8", "replace").splitlines() for data in (before, after))
    return "\n".join(unified_diff(old, new, *names, lineterm=""))


def as_json(states: Sequence[State], now: bytes | None) -> list[dict[str, Any]]:
    """Give the states for JSON, the oldest first."""
    stood = standing(states, now)
    return [
        {
            "state": state.number,
            "at": state.at.isoformat(),
            "how": state.how,
            "of": state.of,
            "bytes": len(state.data),
            "stands": state is stood,
            "changes": None if changes is None else [_change(change) for change in changes],
        }
        for state, changes in zip(states, changes_of(states), strict=True)
    ]


def _change(change: Change) -> dict[str, object]:
    return {"key": change.key, "before": _plain(change.before), "after": _plain(change.after)}


def _plain(value: object) -> object:
    """Give a value as JSON has it: a date, or a number that is none, as it reads."""
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, list):
        return [_plain(one) for one in value]
    return value if value is None or isinstance(value, str | int) or _finite(value) else str(value)


def _finite(value: object) -> bool:
    return isinstance(value, float) and isfinite(value)
