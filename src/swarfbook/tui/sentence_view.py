"""The sentence as lines of spans: the chosen value in brackets, or what is being written in its place."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from swarfbook.decisions.titles import said
from swarfbook.reports.evidence_page import record_text
from swarfbook.reports.sentence import NO_BREAK, Piece, sentence_lines
from swarfbook.reports.words import counted
from swarfbook.tui.draft import Draft
from swarfbook.tui.lines import Line, Span
from swarfbook.tui.pens import Pen

BRACKETS = 2
LONGEST_WRITTEN = 50  # characters of a text shown while it is written


def second_line(draft: Draft, *, on_disk: bool, unfolded: bool) -> list[Piece]:
    """Say the recipe's standing, how it ran, what else may be given, and what became of it on this desk."""
    pieces = [Piece(str(draft.values.get("standing", "")), "standing")]
    ran = record_text(draft.check) if draft.check and not draft.problems else ""
    pieces += [Piece(f" · {ran}")] if ran else []
    if draft.values.get("tolerance") is None and draft.values.get("allowance") is None:
        pieces += [Piece(" · tolerance "), Piece("not given", "tolerance")]
    if unfolded:
        noted = "given" if draft.values.get("notes") else "none"
        pieces += [Piece(" · notes "), Piece(noted, "notes")]
    return [*pieces, *(Piece(f" · {remark}") for remark in _remarks(draft, on_disk=on_disk))]


def _remarks(draft: Draft, *, on_disk: bool) -> Iterator[str]:
    if draft.check and draft.check.cautions:
        yield f"{counted(len(draft.check.cautions), 'caution')} (n)"
    if draft.dirty:
        yield f"not saved: {', '.join(said(key) for key in draft.changes)}"
    if on_disk:
        yield "changed on disk (r)"


def keys_of(*pieces: Sequence[Piece]) -> list[str]:
    """Give the keys of the values in their order."""
    return list(dict.fromkeys(piece.key for line in pieces for piece in line if piece.key))


def in_hand(pen: Pen) -> tuple[str, int | None]:
    """Give what stands in the sentence while a pen writes, and the caret's place in it.

    Of a long text it is the part around the caret, so that it fits every width.
    """
    text, caret = pen.shown()
    if caret is None:
        return text or NO_BREAK, None
    first = max(caret - LONGEST_WRITTEN + 1, 0)
    part = text[first : first + LONGEST_WRITTEN]
    return (part if caret - first < len(part) else part + NO_BREAK), caret - first


def written(pieces: Sequence[Piece], pen: Pen | None) -> list[Piece]:
    """Put what is being written in the place of its value."""
    if pen is None:
        return list(pieces)
    text, _ = in_hand(pen)
    return [Piece(text, piece.key) if piece.key == pen.key else piece for piece in pieces]


Rows = list[list[Piece]]


def rows_of(pieces: Sequence[Piece], *, width: int, chosen: str | None, pen: Pen | None) -> Rows:
    """Break the pieces into rows, the chosen value in brackets.

    Room for the brackets is kept in every row, so that nothing moves as the choice does.
    """
    rows = sentence_lines(written(pieces, pen), width=width - BRACKETS - 1)
    places = [(y, x) for y, row in enumerate(rows) for x, piece in enumerate(row) if piece.key == chosen]
    if chosen and places:
        last, first = places[-1], places[0]
        rows[last[0]].insert(last[1] + 1, Piece("]", chosen))
        rows[first[0]].insert(first[1], Piece("[", chosen))
    return [[Piece(" "), *row] for row in rows]


def lines_of(rows: Rows, *, chosen: str | None, pen: Pen | None) -> list[Line]:
    """Give rows their styles; the caret stands on its character."""
    return [[span for piece in row for span in _spans(piece, chosen, pen)] for row in rows]


def _spans(piece: Piece, chosen: str | None, pen: Pen | None) -> list[Span]:
    caret = in_hand(pen)[1] if pen and piece.key == pen.key else None
    if caret is not None and piece.text not in ("[", "]"):
        before, at, after = piece.text[:caret], piece.text[caret : caret + 1], piece.text[caret + 1 :]
        return [(before, "chosen"), (at, "caret"), (after, "chosen")]
    return [(piece.text, "plain" if piece.key is None else "chosen" if piece.key == chosen else "value")]


def key_at(rows: Rows, row: int, column: int) -> str | None:
    """Give the key of the value at a place; None between values."""
    if row >= len(rows):
        return None
    for piece in rows[row]:
        column -= len(piece.text)
        if column < 0:
            return piece.key
    return None
