"""The list of recipes as lines of spans: a function of its state and its width for each part."""

from __future__ import annotations

from swarfbook.reports.words import counted
from swarfbook.tui.beside import grouped
from swarfbook.tui.lines import Line, Span
from swarfbook.tui.shelf import Row, Shelf, Told

STANDING, VERDICT = 11, 29  # columns
SHORT_VERDICT = 15  # columns of the use and the word alone
USE, WORD = 6, 7  # columns of the use and of the longest verdict
BESIDE = 6  # columns of the pointer and the marks
ROOMY = 72  # columns from which the standing and what is tightest have room beside the name


def head(shelf: Shelf, width: int, *, progress: str, typing: bool) -> list[Line]:
    """Write the find line with how many rows it leaves, and how the rows are grouped and ordered."""
    find, total = shelf.find, len(shelf.rows)
    count = f"{grouped(len(shelf.hits))} of {counted(total, 'recipe').replace(str(total), grouped(total))} "
    text = find.text + " "
    room = max(width - len(" find: ") - len(text) - len(count), 0)
    caret = "caret" if typing else "value"
    typed: Line = [
        (" find: ", "faint"), (text[: find.caret], "value"), (text[find.caret], caret),
        (text[find.caret + 1 :], "value"), (" " * room + count, "faint"),
    ]  # fmt: skip
    marks = [f"{grouped(len(shelf.marks))} marked"] if shelf.marks else []
    aside = " · ".join([*marks, *([progress] if progress else [])])
    room = width - len(aside) - 2
    return [typed, [(f" {shelf.arrangement[:room]:<{room}}{aside} ", "faint")]]


def line(shelf: Shelf, item: str | int, width: int) -> Line:
    """Write one row of the list: a heading, or the recipe at a place among those found."""
    if isinstance(item, str):
        return [(f" {item}"[:width], "faint")]
    row, chosen = shelf.hits[item], item == shelf.place
    marks = f" {'▸' if chosen else ' '}{'+' if row.id in shelf.marks else ' '}{'*' if row.dirty else ' '} "
    style = "strong" if chosen else "plain"
    if row.trouble:
        return [(marks, style), (_cut(f"{row.id}: {row.trouble}", width - BESIDE), "strong")]
    roomy = width >= ROOMY
    name = width - BESIDE - (STANDING + VERDICT if roomy else SHORT_VERDICT)
    standing = f"{row.standing:<{STANDING}}" if roomy else ""
    text = f"{marks}{_cut(row.name, name):<{name}} {standing}"
    return [(text, style), *_verdict(shelf.told.get(row.id), style, VERDICT if roomy else SHORT_VERDICT)]


def of_chosen(shelf: Shelf, width: int) -> list[Line]:
    """Say of the chosen row what has no room beside its name; nothing where everything has."""
    if width >= ROOMY or not shelf.hits:
        return []
    row = shelf.hits[shelf.place]
    return [[(_cut(f" {_said(row, shelf.told.get(row.id))}", width), "plain")]]


def _said(row: Row, told: Told | None) -> str:
    if row.trouble:
        return row.trouble
    limit = "" if told is None else told.trouble or f" · {told.title} {told.use:.2f}"
    return f"{row.standing} · {row.tool}{limit}"


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else f"{text[: max(width - 1, 0)]}…"


def _verdict(told: Told | None, style: str, width: int) -> list[Span]:
    if told is None:
        return [("…", "faint")]
    if told.trouble:
        return [(_cut(f"not judged: {told.trouble}", width), style)]
    room = width - WORD - USE - 2
    before = f"{told.title:<{max(room, 0)}}" if room > 0 else ""
    spans: list[Span] = [(f"{before}{told.use:{USE}.2f}  ", style)]
    return [*spans, (told.verdict, {"over": "over", "tight": "strong"}.get(told.verdict, style))]
