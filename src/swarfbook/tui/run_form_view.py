"""The form of a run as lines of spans."""

from __future__ import annotations

from textwrap import shorten, wrap

from swarfbook.reports.run_page import said_outcome
from swarfbook.tui.lines import Line, Span
from swarfbook.tui.prompt_screen import caret_spans
from swarfbook.tui.run_form import CUTTER, OUTCOME, SIDE, SIDES, Asked, RunForm

LABEL_WIDTH = 19
WRITTEN = 24  # columns kept for what is typed, before what is wrong with it
NARROW = 72  # columns under which less is kept
BETWEEN = "  "


def row(form: RunForm, at: int, width: int) -> Line:
    """Write one field: its label, what is said, and beside it what is wrong with that."""
    asked, chosen = form.fields.hits[at], at == form.fields.place
    start: Span = (f" {'▸' if chosen else ' '} {asked.label:<{LABEL_WIDTH}}", "strong" if chosen else "plain")
    room = width - len(start[0]) - 1
    if not (chosen and form.refusal):
        return [start, *_said(form, asked, room, chosen=chosen)]
    written = _said(form, asked, WRITTEN if width >= NARROW else WRITTEN // 2, chosen=True)
    room -= sum(len(text) for text, _ in written) + len(BETWEEN)
    return [start, *written, (f"{BETWEEN}{_cut(form.refusal, room)}", "strong")]


def _said(form: RunForm, asked: Asked, room: int, *, chosen: bool) -> Line:
    if asked.id == OUTCOME:
        return _outcome(form, chosen=chosen)
    if asked.id == SIDE:
        return [(f"[{SIDES[form.side]}]" if chosen else SIDES[form.side], "chosen" if chosen else "plain")]
    line = form.texts[asked.id]
    if chosen:
        rest = form.suggestion[len(line.text) :] if asked.id == CUTTER and line.text else ""
        return [*caret_spans(line, room - len(rest)), (rest, "faint")]
    return [(_cut(line.text, room), "value")] if line.text else [(asked.unsaid, "faint")]


def _outcome(form: RunForm, *, chosen: bool) -> Line:
    word = said_outcome(form.outcomes.chosen or "none")
    if not chosen:
        return [(word, "value")]
    find = form.outcomes.find
    typed: Line = [("   find: ", "faint"), *caret_spans(find, WRITTEN)] if find.text else []
    return [(f"[{word}]", "chosen"), *typed]


def detail(form: RunForm, width: int, height: int) -> list[Line]:
    """Say what may be written in the field, or the outcomes that there are."""
    asked = form.asked
    if form.refusal:
        return [[(f" {part}", "strong")] for part in wrap(f"not taken: {form.refusal}", width - 2)[:height]]
    hint: Line = [(f" {shorten(asked.hint, width - 2, placeholder=' …')}", "faint")]
    if asked.id == OUTCOME:
        return [*_outcomes(form, width)[: height - 1], hint]
    if asked.id == CUTTER and form.cutters:
        used = shorten(f"used before: {' · '.join(form.cutters)}", width - 2, placeholder=" …")
        taken = f" → takes {form.suggestion}" if form.suggestion else ""
        return [hint, [(f" {used}", "plain")], [(_cut(taken, width - 1), "plain")]]
    return [hint]


def _outcomes(form: RunForm, width: int) -> list[Line]:
    lines: list[list[Span]] = [[(" ", "plain")]]
    used = 1
    for at, word in enumerate(form.outcomes.hits):
        said, chosen = said_outcome(word.id), at == form.outcomes.place
        text = f"[{said}]" if chosen else f" {said} "
        if used + len(text) > width - 1:
            lines.append([(" ", "plain")])
            used = 1
        lines[-1].append((text, "chosen" if chosen else "plain"))
        used += len(text)
    return [*lines]


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else f"{text[: max(width - 1, 0)]}…"
