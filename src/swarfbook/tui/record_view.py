"""The page of a machine, a cutter, a material or a job's values as lines of spans."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import shorten, wrap

from swarfbook import quantities, records
from swarfbook.records import as_toml
from swarfbook.reports.part_page import Fact, as_typed
from swarfbook.reports.part_words import HINTS
from swarfbook.tui.filed import Question
from swarfbook.tui.hints import MOST_UNITS, word_hint
from swarfbook.tui.lines import Line
from swarfbook.tui.pens import WordPen
from swarfbook.tui.places import any_entry
from swarfbook.tui.record_sheet import RecordSheet

LABEL_WIDTH = 21
MOST_CHANGES = 8
"""Values named one by one where it is asked what becomes of them: a step taken out moves all after it."""
WIDE = 100  # columns from which the origin stands beside the value
ORIGIN_WIDTH = 40


def head(sheet: RecordSheet, width: int) -> list[Line]:
    """Name the record, its file, and how it stands to that."""
    draft = sheet.draft
    state = _state(sheet)
    right = f"{draft.where}{' · ' if state else ''}{state} "
    name = str(draft.values.get("name", draft.id))
    room = max(width - len(right) - 3, 12)
    left = shorten(name, room, placeholder=" …")
    return [[(f" {left:<{room + 1}}", "strong"), (right[: max(width - room - 2, 0)], "faint")], []]


def _state(sheet: RecordSheet) -> str:
    if sheet.desk.book.built_in:
        return "demo, read only"
    if sheet.on_disk:
        return "changed on disk: r"
    return "unsaved" if sheet.draft.dirty else ""


def row(sheet: RecordSheet, place: int, width: int) -> Line:
    """Write one fact: its label, its value or what is being written, on wide screens where it is from."""
    fact = sheet.finder.hits[place]
    chosen = place == sheet.finder.place
    pointer = " ▸ " if chosen else "   "
    start: Line = [(f"{pointer}{fact.titled:<{LABEL_WIDTH}}", "strong" if chosen else "plain")]
    room = width - len(pointer) - LABEL_WIDTH - 1
    if chosen and sheet.pen is not None:
        return [*start, *_written(sheet, room)]
    aside = _aside(fact) if width >= WIDE else ""
    mark = "  changed" if fact.key and sheet.changed(fact.key) else ""
    room -= len(mark) + (ORIGIN_WIDTH if aside else 0)
    text = _cut(fact.shown, room - 2 * bool(aside))
    style = "plain" if fact.given is not None else "faint"
    return [
        *start,
        (text, "value" if chosen else style),
        (mark, "strong"),
        (_right(aside, text, room), "faint"),
    ]


def _right(aside: str, text: str, room: int) -> str:
    return " " * (room - len(text)) + _cut(aside, ORIGIN_WIDTH) if aside else ""


def _aside(fact: Fact) -> str:
    if fact.given is not None or not fact.rows:
        return ""
    row = fact.rows[0]
    return f"{row.table}.csv, {row.source_kind}"


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else f"{text[: max(width - 1, 0)]}…"


def _written(sheet: RecordSheet, room: int) -> Line:
    text, caret = sheet.pen.shown() if sheet.pen else ("", None)
    if caret is None:
        return [(f"[{text}]", "chosen")]
    first = max(caret - room + 2, 0)
    before, after = text[first:caret], f"{text[caret:]} "
    return [(before, "value"), (after[0], "caret"), (after[1:][: max(room - len(before) - 1, 0)], "value")]


def detail(sheet: RecordSheet, width: int, height: int) -> list[Line]:
    """Say what is wrong, else what the last command has to say, else what the chosen value may be."""
    said, style = _detail(sheet, width)
    return _told(said, width, height, style)


def _told(said: list[str], width: int, height: int, style: str) -> list[Line]:
    lines = [part for line in said for part in wrap(line, width - 2, break_on_hyphens=False)]
    if len(lines) > height:
        lines[height - 1 :] = [shorten(" ".join(lines[height - 1 :]), width - 2, placeholder=" …")]
    return [[(f" {line}", style)] for line in lines]


def _detail(sheet: RecordSheet, width: int) -> tuple[list[str], str]:
    if sheet.refusal:
        return [f"not taken: {sheet.refusal}"], "strong"
    if sheet.message:
        return [sheet.message], "strong"
    if sheet.problems:
        return [f"does not fit: {_once(sheet)}"], "strong"
    if isinstance(sheet.pen, WordPen):
        return [_words(sheet, sheet.pen)], "faint"
    return list(_hint(sheet, width)), "faint"


def _words(sheet: RecordSheet, pen: WordPen) -> str:
    _, _, words = word_hint(pen).partition(": ")
    return f"{sheet.label(sheet.fact.key)}: {words}"


def _once(sheet: RecordSheet) -> str:
    """Say the problems, those of one remedy together."""
    keys: dict[str, list[str]] = {}
    for one in sheet.problems:
        keys.setdefault(one.remedy, []).append(_said(sheet, one.key))
    return "; ".join(": ".join(filter(None, (", ".join(of), remedy))) for remedy, of in keys.items())


def _hint(sheet: RecordSheet, width: int) -> Iterator[str]:
    fact = sheet.fact
    room = width - LABEL_WIDTH - 4
    if sheet.pen is None and len(fact.shown) > room:
        yield fact.shown
    if fact.given is None and fact.rows and width < WIDE:
        yield f"{fact.origin}, {fact.rows[0].source_kind}; w says more"
    yield " · ".join(part for part in _may_be(sheet, fact) if part)


def _may_be(sheet: RecordSheet, fact: Fact) -> Iterator[str]:
    kind, key = sheet.kind, any_entry(fact.key)
    if not key:
        return
    yield HINTS.get(key, "")
    if records.is_list(kind, key):
        yield _list_hint(kind, key)
    else:
        yield records.span(kind, key)
    yield units(kind, key)
    yield "measure it: m" if sheet.topic() is not None and not sheet.writing else ""
    yield fact.key


def _list_hint(kind: str, key: str) -> str:
    example = as_typed(records.example(kind, key))
    if records.dimension(kind, key) is not None:
        return f"a list: {example}"
    return f"a list, written as in the file: {as_toml(records.example(kind, key))}"


def units(kind: str, key: str) -> str:
    """Name the units a value takes, the usual ones first; empty for words and bare numbers."""
    dimension = records.dimension(kind, key)
    if dimension is None:
        return ""
    return ", ".join(quantities.pretty(unit) for unit in quantities.units(dimension)[:MOST_UNITS] if unit)


def _said(sheet: RecordSheet, key: str) -> str:
    """Say the key of a problem; `spindle.speeds[2]` is the second of the dial positions."""
    if sheet.kind == "job":
        return sheet.label(key)
    place, _, item = key.partition("[")
    number = item.partition("]")[0]
    return f"{sheet.label(place)}, no. {number}" if number else sheet.label(place)


def leaving(sheet: RecordSheet) -> Question:
    """Ask what becomes of changes that are not saved."""
    drop = {"x": "go back without saving"}
    lines = [f"Not saved in {sheet.draft.where}: {changes(sheet)}."]
    return (lines, drop) if sheet.desk.book.built_in else (lines, {"s": "save and go back", **drop})


def changes(sheet: RecordSheet) -> str:
    """Name what differs from the file."""
    told = list(map(sheet.label, sheet.draft.changed_keys()))
    more = len(told) - MOST_CHANGES
    return ", ".join([*told[:MOST_CHANGES], *([f"and {more} more"] if more > 0 else [])])
