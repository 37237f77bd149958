"""A form as lines of spans."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import shorten, wrap

from swarfbook.tui.finding import Finder
from swarfbook.tui.form import Field, Form, Word
from swarfbook.tui.lines import Line, Span
from swarfbook.tui.prompt_screen import caret_spans

LABEL_WIDTH = 19
WRITTEN = 24  # columns kept for what is typed, before what is wrong with it
NARROW = 72  # columns under which less is kept
BETWEEN = "  "


def row(form: Form, at: int, width: int) -> Line:
    """Write one field: its label, what is said, and beside it what is wrong with that."""
    asked, chosen = form.fields.hits[at], at == form.fields.place
    start: Span = (f" {'▸' if chosen else ' '} {asked.label:<{LABEL_WIDTH}}", "strong" if chosen else "plain")
    room = width - len(start[0]) - 1
    if not (chosen and form.refusal):
        return [start, *_said(form, asked, room, chosen=chosen)]
    written = _said(form, asked, WRITTEN if width >= NARROW else WRITTEN // 2, chosen=True)
    room -= sum(len(text) for text, _ in written) + len(BETWEEN)
    return [start, *written, (f"{BETWEEN}{_cut(form.refusal, room)}", "strong")]


def _said(form: Form, asked: Field, room: int, *, chosen: bool) -> Line:
    if asked.id in form.choices:
        return _word(form.choices[asked.id], room, chosen=chosen)
    line = form.texts[asked.id]
    if chosen:
        rest = form.suggestion[len(line.text) :] if line.text else ""
        return [*caret_spans(line, room - len(rest)), (rest, "faint")]
    return [(_cut(line.text, room), "value")] if line.text else [(asked.unsaid, "faint")]


def _word(words: Finder[Word], room: int, *, chosen: bool) -> Line:
    word = words.hits[words.place].said if words.hits else "none"
    if not chosen:
        return [(_cut(word, room), "value")]
    typed: Line = [("   find: ", "faint"), *caret_spans(words.find, WRITTEN)] if words.find.text else []
    return [(f"[{_cut(word, room - 2)}]", "chosen"), *typed]


def detail(form: Form, width: int, height: int) -> list[Line]:
    """Say what may be written in the field, or the words that there are."""
    asked = form.asked
    if form.refusal:
        return [[(f" {part}", "strong")] for part in wrap(f"not taken: {form.refusal}", width - 2)[:height]]
    hint: Line = [(f" {shorten(asked.hint, width - 2, placeholder=' …')}", "faint")]
    if asked.id in form.choices:
        return [*_words(form.choices[asked.id], width, height - 1), hint]
    known = form.known.get(asked.id, ())
    return [hint, *_known(known, form.suggestion, width)] if known else [hint]


def _known(known: Sequence[str], suggestion: str, width: int) -> list[Line]:
    used = shorten(f"used before: {' · '.join(known)}", width - 2, placeholder=" …")
    taken = f" → takes {suggestion}" if suggestion else ""
    return [[(f" {used}", "plain")], [(_cut(taken, width - 1), "plain")]]


def _words(words: Finder[Word], width: int, height: int) -> list[Line]:
    """Write the words one after another, as many lines of them around the chosen one as fit."""
    lines: list[list[Span]] = [[(" ", "plain")]]
    used, here = 1, 0
    for at, word in enumerate(words.hits):
        chosen = at == words.place
        said = _cut(word.said, width - 4)
        text = f"[{said}]" if chosen else f" {said} "
        if used + len(text) > width - 1:
            lines.append([(" ", "plain")])
            used = 1
        lines[-1].append((text, "chosen" if chosen else "plain"))
        used += len(text)
        here = len(lines) - 1 if chosen else here
    first = min(max(here - height // 2, 0), max(len(lines) - height, 0))
    return [*lines[first : first + height]]


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else f"{text[: max(width - 1, 0)]}…"
