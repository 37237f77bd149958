"""Lists of tables in TOML text, `[[steps]]`: an entry is a block of lines, kept, changed or moved whole.

The TOML writer keeps a remark above `[[steps]]` with the entry before it, and gathers entries that stand
apart; here a block begins with the remarks above its header, and stays where it is.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import takewhile
from typing import Any

Values = Mapping[str, Any]
Change = Callable[[str, Values, Values], str]
LINES = re.compile(r"[^\n]*\n|[^\n]+")
MOST_IN_DOUBT = 20
"""Lines that look like a header and are none, above which a file is not taken apart: each costs a reading."""


@dataclass(frozen=True, slots=True)
class Block:
    """Some lines of a file: an entry of a list of tables, another table, or what stands above them all.

    Attributes:
        text: the lines.
        name: the list it is an entry of; empty for none.
        entry: the entry as the TOML reader gives it.
    """

    text: str
    name: str
    entry: Values


def entries_of(value: object) -> bool:
    """Say whether a value is a list of tables."""
    return isinstance(value, list) and bool(value) and all(isinstance(one, Mapping) for one in value)


def split(text: str) -> list[Block]:
    """Take a file apart at its headers, the remarks right above a header with what is below it."""
    blocks, remarks = list[Block](), ""
    pieces = list(_pieces(text))
    for at, piece in enumerate(pieces):
        own, after = _parted(piece, last=at == len(pieces) - 1)
        apart, right_above = _cut_after(after, _last_blank(after))
        blocks += [_block(remarks + own), *([Block(apart, "", {})] if apart else [])]
        remarks = right_above
    return [*blocks, *([Block(remarks, "", {})] if remarks else [])]


def _pieces(text: str) -> Iterator[str]:
    """Yield what stands from one header to the next; a line within a text or a list is no header."""
    piece, doubts = list[str](), 0
    for line in LINES.findall(text):
        if line.lstrip(" \t").startswith("[") and piece and doubts < MOST_IN_DOUBT:
            if _read(whole := "".join(piece)) is None:
                doubts += 1
            else:
                yield whole
                piece = []
        piece.append(line)
    yield "".join(piece)


def _read(text: str) -> dict[str, Any] | None:
    try:
        return tomllib.loads(text)
    except ValueError:
        return None


def _parted(piece: str, *, last: bool) -> tuple[str, str]:
    """Part a piece from the remarks that belong to what comes next: those after a blank line, else all."""
    lines = LINES.findall(piece)
    remarks = list(takewhile(_is_remark, reversed(lines)))
    start = len(lines) - len(remarks)
    blank = next((at for at in range(start, len(lines)) if not lines[at].strip()), None)
    cut = blank + 1 if blank is not None else len(lines) if last else start
    own, after = _cut_after(piece, cut)
    # A remark that belongs to a text of several lines is none.
    return (own, after) if "#" in after and _read(own) is not None else (piece, "")


def _cut_after(text: str, count: int) -> tuple[str, str]:
    """Cut a text after so many lines."""
    lines = LINES.findall(text)
    return "".join(lines[:count]), "".join(lines[count:])


def _last_blank(text: str) -> int:
    """Count the lines up to the last blank one, itself among them."""
    lines = LINES.findall(text)
    return next((at for at in range(len(lines), 0, -1) if not lines[at - 1].strip()), 0)


def _is_remark(line: str) -> bool:
    return not line.strip() or line.lstrip().startswith("#")


def _block(text: str) -> Block:
    raw = _read(text) or {}
    for name, value in raw.items():
        if len(raw) == 1 and entries_of(value) and len(value) == 1 and _headed(text):
            return Block(text, name, value[0])
    return Block(text, "", {})


def _headed(text: str) -> bool:
    lines = (line.strip() for line in text.split("\n"))
    return next((line for line in lines if line and line[0] != "#"), "").startswith("[[")


def set_entries(
    text: str,
    name: str,
    entries: Sequence[Values],
    change: Change,
    begin: Callable[[Values], str],
) -> str | None:
    """Give a file's text with other entries in a list of tables.

    Args:
        text: the file, a list of that name in it with a header above each entry.
        name: name of the list.
        entries: what it is to hold, each entry whole.
        change: gives a block's text with another entry, of the text, the entry before and the one after.
        begin: gives the text of a new block.

    Returns:
        the text: an entry that stays keeps its lines, one that changed its other keys' lines and remarks;
        None where the list does not stand in blocks.
    """
    blocks = split(text)
    slots = [at for at, block in enumerate(blocks) if block.name == name]
    before = [blocks[at].entry for at in slots]
    if not slots or (_read(text) or {}).get(name) != before:
        return None
    kept = paired(before, entries)
    groups: dict[int, list[str]] = {at: [] for at in slots}
    for entry, old, slot in zip(entries, kept, _places(kept), strict=True):
        anew = begin(entry) if old is None else _changed(blocks[slots[old]], entry, change)
        groups[slots[slot]].append(anew)
    shown = [
        _shown(groups[at], block.text) if at in groups else block.text for at, block in enumerate(blocks)
    ]
    joined = "".join(shown)
    return joined if shown[-1] else joined.rstrip("\n") + "\n"


def _changed(block: Block, entry: Values, change: Change) -> str:
    return block.text if block.entry == entry else change(block.text, block.entry, entry)


def _shown(group: Sequence[str], before: str) -> str:
    """Join the blocks that stand where one stood, a blank line between them."""
    if len(group) == 1:
        return group[0] if group[0].endswith(_gap(before)) else group[0].rstrip("\n") + _gap(before)
    return "\n\n".join(one.strip("\n") for one in group) + _gap(before) if group else ""


def _gap(text: str) -> str:
    return text[len(text.rstrip("\n")) :]


def _places(kept: Sequence[int | None]) -> Iterator[int]:
    """Yield where each entry goes: its place, a new one's that before it; moved ones all to the first."""
    stayed = [old for old in kept if old is not None]
    in_order, place = stayed == sorted(stayed), 0
    for old in kept:
        place = old if old is not None and in_order else place
        yield place


def paired(before: Sequence[Values], after: Sequence[Values]) -> list[int | None]:
    """Say which entry each was before: an equal one, else that most like it; None for a new one."""
    likeness = sorted(
        (
            (old_entry != entry, -_common(old_entry, entry), abs(old - at), at, old)
            for at, entry in enumerate(after)
            for old, old_entry in enumerate(before)
            if _common(old_entry, entry)
        ),
    )
    kept: dict[int, int] = {}
    for *_, at, old in likeness:
        if at not in kept and old not in kept.values():
            kept[at] = old
    return [kept.get(at) for at in range(len(after))]


def _common(one: Values, other: Values) -> int:
    return sum(1 for key in one if key in other and one[key] == other[key])
