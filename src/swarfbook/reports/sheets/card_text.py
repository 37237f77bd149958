"""The job sheet in letters, for a terminal or a plain printer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from swarfbook.reports.breaking import wrap
from swarfbook.reports.sheets.card import (
    DID,
    NO_BREAK,
    NOTES,
    TICKED,
    Card,
    Stop,
    kept,
    rewritten,
    sentence,
    shown,
)

APART = "   "
TICK = "[ ]"
WARNING = "!! "
NOTE_LINES = 3
MOST_NAME = 12  # letters that the names of the facts get at most


def text(card: Card, columns: int) -> str:
    """Write a job sheet in letters.

    Args:
        card: what stands on it.
        columns: width to write in, 40 or more.
    """
    card = rewritten(card, lambda words: kept(shown(words)))
    parts = [list(_head(card, columns))]
    parts += [list(_step(stop, columns)) for stop in card.stops]
    parts.append([NOTES, *["_" * columns] * NOTE_LINES])
    parts.append([line for caution in card.cautions for line in wrap(caution, columns)])
    parts.append(["-" * columns, *wrap(card.foot, columns)])
    return "\n\n".join("\n".join(part) for part in parts if part).replace(NO_BREAK, " ")


def _head(card: Card, columns: int) -> Iterator[str]:
    yield from wrap(card.title, columns)
    yield from wrap(card.subtitle, columns)
    yield "=" * columns
    room = min(MOST_NAME, max((len(name) for name, _ in card.facts), default=0))
    for name, value in card.facts:
        yield from _after(f"{name:<{room}}  ", value, columns)
    for warning in card.warnings:
        yield from _after(WARNING, warning, columns)


def _step(stop: Stop, columns: int) -> Iterator[str]:
    start = f"{stop.number:>2}  "
    indent = " " * len(start)
    yield "-" * columns
    if stop.before:
        yield from _after(f"{indent}FIRST ", stop.before, columns)
    yield from _after(start, " ".join(words for words, _ in sentence(stop)), columns)
    yield from _flow([f"{name} {value}" for name, value in stop.numbers], columns, indent, APART)
    for name, words in (("hold", stop.hold), ("leaves", stop.leaves)):
        if words:
            yield from _after(f"{indent}{name:<7}", words, columns)
    for warning in stop.warnings:
        yield from _after(f"{indent}{WARNING}", warning, columns)
    yield from _happened(stop.minutes, columns, indent)


def _happened(minutes: str, columns: int, indent: str) -> Iterator[str]:
    took = f"took ______ of {minutes}" if minutes else "took ______ min"
    ticks = [f"{TICK} {word}" for word in TICKED]
    yield from _flow([f"{DID}:", *ticks, took], columns, indent, "  ")


def _flow(items: Sequence[str], columns: int, indent: str, apart: str) -> list[str]:
    """Fill lines with items, each on one line where it fits."""
    room = columns - len(indent)
    kept = [item.replace(" ", NO_BREAK) if len(item) <= room else item for item in items]
    lines: list[str] = []
    for item in kept:
        if lines and len(lines[-1]) + len(apart) + len(item) <= room:
            lines[-1] += apart + item
        else:
            lines += wrap(item, room)
    return [indent + line for line in lines]


def _after(start: str, words: str, columns: int) -> list[str]:
    """Write words after a start of their own, the further lines under the first word."""
    if len(start) > columns // 2:
        return wrap(start + words, columns)
    return wrap(words, columns, initial_indent=start, subsequent_indent=" " * len(start)) or [start.rstrip()]
