"""The page as lines of spans: a function of its state and its size for each part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from textwrap import shorten, wrap
from typing import TYPE_CHECKING

from swarfbook.book import Book
from swarfbook.decisions.titles import said
from swarfbook.errors import Problem
from swarfbook.reports.evidence_page import covered_text, learnt_text, record_text
from swarfbook.reports.ladder import ladder_text, standing_note, unjudged
from swarfbook.reports.sentence import NO_BREAK, sentence_text
from swarfbook.reports.words import counted
from swarfbook.tui import first_steps, hints, sentence_view
from swarfbook.tui.commands import footer, shown
from swarfbook.tui.desk import READ_ONLY
from swarfbook.tui.draft import Draft
from swarfbook.tui.filed import Question, mine_and_theirs, whose
from swarfbook.tui.ladder_view import ladder_lines, note_lines, window
from swarfbook.tui.lines import Line
from swarfbook.tui.pens import WordPen
from swarfbook.tui.sheet import Sheet

if TYPE_CHECKING:
    from swarfbook.decisions.check import Check

NOTE_HEIGHT = 4
HOLDING = "not judged with a recipe alone: a job ({key}) says how the stock is held"
COPIED_WIDTH = 100  # columns
AMPLE = 30  # rows from which an open fold and the note both have room
ROOMY = 24  # rows from which blank lines and the longest note have room


def note_height(sheet: Sheet, height: int) -> int:
    """Give the rows of the note on a page of so many; an open fold takes its place where they are few."""
    if sheet.draft is None or (sheet.unfolded and height < AMPLE):
        return 0
    return NOTE_HEIGHT if height >= ROOMY else NOTE_HEIGHT - 1


def head(sheet: Sheet, width: int) -> list[Line]:
    """Say whose book this is and name the recipe."""
    book = sheet.desk.book
    counts = [counted(sheet.desk.recipes, "recipe")]
    if sheet.desk.logbook.runs:
        counts.append(counted(sheet.desk.logbook.runs, "run"))
    parts = [*(["demo, read only"] if book.built_in else []), *counts, *filter(None, [sheet.desk.shown])]
    if sheet.desk.bad_files:
        parts.append(f"{counted(sheet.desk.bad_files, 'file')} with problems ({shown('page.problems')})")
    right = f"{' · '.join(parts)} "
    title = shorten(book.settings.title, max(width - len(right) - 3, 10), placeholder=" …")
    lines: list[Line] = [[(f" {title:<{width - len(right) - 1}}{right}", "faint")]]
    return [*lines, *sentence_view.lines_of(name_rows(sheet, width), chosen=sheet.key, pen=sheet.pen)]


def name_rows(sheet: Sheet, width: int) -> sentence_view.Rows:
    """Break the recipe's name into its one row, a blank one under it."""
    pieces = [replace(piece, text=shorten(piece.text, width - 6, placeholder=" …")) for piece in sheet.name()]
    rows = sentence_view.rows_of(pieces, width=width, chosen=sheet.key, pen=sheet.pen) if pieces else []
    return [*rows, []]


def rows(sheet: Sheet, width: int) -> sentence_view.Rows:
    """Break the sentence and the line under it into rows."""
    return [
        row
        for pieces in sheet.pieces()
        if pieces
        for row in sentence_view.rows_of(pieces, width=width, chosen=sheet.key, pen=sheet.pen)
    ]


def sentence(sheet: Sheet, shown: sentence_view.Rows) -> list[Line]:
    """Give the sentence's rows their styles."""
    return sentence_view.lines_of(shown, chosen=sheet.key, pen=sheet.pen)


def hint(sheet: Sheet, width: int, height: int) -> list[Line]:
    """Say what is wrong, else what the last command has to say, else what the chosen value may be."""
    text, style = _hint(sheet)
    line: Line = [(f" {shorten(text, width - 2, placeholder=' …').replace('· …', '…')}", style)]
    return [line, []] if height >= ROOMY else [line]


def _hint(sheet: Sheet) -> tuple[str, str]:
    if sheet.refusal:
        return f"not taken: {sheet.refusal}", "strong"
    if sheet.message:
        return sheet.message, "strong"
    if sheet.problems and sheet.draft is not None:
        said_so = "; ".join(_said(problem, sheet.draft) for problem in sheet.problems)
        return f"does not fit: {said_so}", "strong"
    return (f"becomes {sheet.becomes}", "strong") if sheet.becomes else (_value_hint(sheet), "faint")


def _value_hint(sheet: Sheet) -> str:
    if isinstance(sheet.pen, WordPen):
        return hints.word_hint(sheet.pen)
    return hints.value_hint(sheet.draft, sheet.key) if sheet.draft and sheet.key else ""


def _said(problem: Problem, draft: Draft) -> str:
    # The page shows the recipe; its own file need not be named, another's must.
    own = problem.where.endswith(f"recipes/{draft.recipe_id}.toml") or not problem.where
    found = f"{problem.found}: " if problem.found else ""
    return f"{found}{problem.remedy}" if own else f"{problem.where}: {found}{problem.remedy}"


def ladder(sheet: Sheet, width: int, height: int) -> list[Line]:
    """Draw the ladder, or say why there is none."""
    if sheet.rungs:
        return ladder_lines(sheet.rungs, chosen=sheet.rung, width=width, height=height, stale=sheet.stale)
    if sheet.problems:
        return _told(["This recipe cannot be judged:", *map(str, sheet.problems)], width)
    if sheet.desk.recipes:
        return _told([f"No recipe of this book can be read; {shown('page.problems')} says why."], width)
    return first_steps.step_lines(sheet.book, width)


def rung_at(sheet: Sheet, row: int, height: int) -> int:
    """Give the place of the rung at a row of the ladder; the chosen one's where there is none."""
    shown = window(len(sheet.rungs), sheet.rung, height - 2)
    return shown[row - 1] if 1 <= row <= len(shown) else sheet.rung


def _told(lines: list[str], width: int) -> list[Line]:
    parts = [part for line in lines for part in wrap(line, width - 2, subsequent_indent="  ")]
    return [[(f" {part}", "plain")] for part in parts]


def note(sheet: Sheet, relief: list[str], width: int, height: int) -> list[Line]:
    """Explain the chosen rung, or say that the ladder is an earlier one."""
    lines = _note_lines(sheet, relief, width, height) if height else []
    return [*lines, *([[]] * (height - len(lines)))]


def _note_lines(sheet: Sheet, relief: list[str], width: int, height: int) -> list[Line]:
    noted = _noted(sheet, relief)
    covered = "" if sheet.check is None or sheet.stale else covered_text(sheet.check)
    if covered:
        # Of the whole recipe and not of the rung: said where the rung leaves room, and always in the fold.
        both = note_lines([*noted, f"{covered[0].upper()}{covered[1:]}."], width=width, height=height + 1)
        if len(both) <= height:
            return both
    return note_lines(noted, width=width, height=height)


def _noted(sheet: Sheet, relief: list[str]) -> list[str]:
    if sheet.check is None or sheet.limit is None:
        return []
    if sheet.stale:
        return ["The ladder shows the last values that could be judged."]
    first, *rest = standing_note(sheet.check, sheet.limit, system=sheet.system)
    return [first, *relief, *rest]


def foot(sheet: Sheet, width: int) -> list[Line]:
    """Say what the keys do now."""
    screen = "page" if sheet.pen is None else "pen"
    now = {"open": "why"} if sheet.on_rung else {}
    keep = first_steps.STEPS if sheet.draft is None else ()
    return [[(footer(screen, width, lambda action: usable(sheet, action), now, keep), "faint")]]


JUDGED = ("why", "corner", "chatter", "turn", "map", "sensitivity")
"""Commands that need values which can be judged."""
OF_A_RECIPE = (
    *(
        "next_value",
        "previous_value",
        "open",
        "write",
        "next_rung",
        "previous_rung",
        "log",
        "compare",
        "fold",
    ),
    *("edit_file", "copy", "duplicate", "rename", "retire", "delete", "history", "cautions"),
)
"""Commands that need a recipe on the page."""
OF_RECIPES = ("list", "pick")
"""Commands that need recipes in the book."""


def usable(sheet: Sheet, action: str) -> bool:
    """Say whether a command of the page has anything to do."""
    draft = sheet.draft
    needs = {
        "save": draft is not None and draft.dirty,
        "undo": draft is not None and draft.can_undo,
        "redo": draft is not None and draft.can_redo,
        "read_again": sheet.on_disk,
        "derate": draft is not None and not draft.problems,
        **dict.fromkeys(JUDGED, sheet.limit is not None and not sheet.stale),
        "relieve": sheet.strained,
        "discard": draft is not None and draft.dirty,
        "fold_down": sheet.unfolded,
        "fold_up": sheet.unfolded,
        **dict.fromkeys(OF_A_RECIPE, draft is not None),
        **dict.fromkeys(OF_RECIPES, draft is not None or sheet.desk.recipes > 0),
    }
    return needs.get(action, True)


def fold(sheet: Sheet, width: int, height: int) -> list[Line]:
    """Draw what is folded away below the sentence, as much as fits; empty while it is folded."""
    if not sheet.unfolded or sheet.draft is None or height < 1:
        return []
    lines = [part for line in notes(sheet) for part in wrap(line, width - 2, subsequent_indent="  ")]
    sheet.fold_top = max(min(sheet.fold_top, len(lines) - height), 0)
    seen = lines[sheet.fold_top : sheet.fold_top + height]
    if sheet.fold_top + height < len(lines):
        seen[-1] = f"{seen[-1][: width - 10]} … PgDn"
    return [*([(f" {line}", "plain" if line.startswith(" ") else "faint")] for line in seen), []]


def notes(sheet: Sheet) -> list[str]:
    """Write what the fold holds: notes, what has run, cautions, holding, what is not judged, its origin."""
    if sheet.draft is None:
        return []
    values, check = sheet.draft.values, sheet.check
    derived = values.get("derived")
    parts = {
        "Notes": [str(values["notes"])] if values.get("notes") else [],
        "What has run": _has_run(check) if check else [],
        "Cautions": list(check.cautions) if check else [],
        "Holding": [HOLDING.format(key=shown("page.jobs"))],
        "Not judged": unjudged(check) if check else [],
        "Where it came from": [_parentage(derived)] if derived else [],
        "Kept when backing off": [", ".join(values["keep"])] if values.get("keep") else [],
        "File": [f"recipes/{sheet.draft.recipe_id}.toml"],
    }
    return [line for heading, lines in parts.items() if lines for line in (heading, *_indented(lines))]


def copied(sheet: Sheet) -> str:
    """Write the recipe and its ladder as plain text to copy; empty while there is neither."""
    if sheet.check is None:
        return ""
    name, (first, _) = sheet.name(), sheet.pieces()
    said_so = sentence_text(first, width=COPIED_WIDTH).replace(NO_BREAK, " ")
    drawn = ladder_text(sheet.check, width=COPIED_WIDTH, system=sheet.system).replace(NO_BREAK, " ")
    cautions = [f"Mind: {line}" for line in sheet.check.cautions]
    return "\n".join((name[0].text, "", said_so, "", drawn, "", *cautions)).rstrip() + "\n"


def _indented(lines: list[str]) -> list[str]:
    return [f"  {line}" for text in lines for line in text.splitlines()]


def _parentage(derived: dict[str, object]) -> str:
    margin = derived.get("margin")
    share = f"{100 * margin:.0f} %" if isinstance(margin, int | float) else str(margin)
    return f"backed off {share} from {derived.get('from')} by {derived.get('method')}"


def conflict(sheet: Sheet) -> Question:
    """Ask whose numbers stand when the file changed under changes made here."""
    draft = sheet.draft
    if draft is None:
        return [], {}
    return whose(draft.where, mine_and_theirs(draft.saved, draft.values, draft.on_disk()))


def leaving(book: Book, unsaved: Sequence[Draft]) -> Question:
    """Ask what becomes of changes that are not saved."""
    lines = ["Not saved:"]
    for draft in unsaved:
        lines.append(f"  {draft.recipe_id}: {', '.join(said(key) for key in draft.changes)}")
    drop = {"x": "leave without saving"}
    if book.built_in:
        return [*lines, READ_ONLY], drop
    return lines, {"s": "save and leave", **drop}


def _has_run(check: Check) -> list[str]:
    return [*filter(None, (record_text(check), covered_text(check), learnt_text(check)))]
