"""What the page of a book without a recipe says: which keys make the first one."""

from __future__ import annotations

from collections.abc import Iterator

from swarfbook.book import Book
from swarfbook.reports.breaking import wrap
from swarfbook.reports.part_words import KINDS
from swarfbook.reports.words import counted
from swarfbook.tui.commands import shown
from swarfbook.tui.draft import PARTS
from swarfbook.tui.lines import Line

DOORS = {"machine": "page.machines", "tool": "page.tools", "material": "page.materials"}
"""The command that opens the list of a kind, where the first one is begun."""
STEPS = ("solve", "machines", "tools", "materials", "help", "leave")
"""Commands that stay longest in the footer."""
INTRODUCTION = (
    "This book has no recipe yet. A recipe is a set of cutting numbers for one machine, one cutter and one "
    "material. Four steps make the first one, without a file being edited:"
)
NONE_YET = "none yet; begins with an example's numbers"
SOLVE = "worked out by tables and physics, to be tried"
WRITING = "On each page Enter writes your value over the example's, s saves, Esc goes back."
GONE = "{} brings back a recipe that was deleted."
DEMO = "To look round in a book that is full: `swarfbook init --demo DIR`, then `swarfbook open --book DIR`."
INDENT = 15  # columns before what a step says


def missing(book: Book) -> list[str]:
    """Give the kinds of record that a first recipe needs and the book has none of."""
    return [kind for kind in PARTS if not book.ids(kind)]


def needs(book: Book) -> str:
    """Say what is to be begun before a first recipe can be worked out; empty where nothing is."""
    named = [f"a {KINDS[kind]} ({shown(DOORS[kind])})" for kind in missing(book)]
    return f"before a first recipe can be worked out: {', '.join(named)}" if named else ""


def step_lines(book: Book, width: int) -> list[Line]:
    """Write the steps, the next one marked.

    Args:
        book: a book without a recipe.
        width: columns to write for.
    """
    lacking = missing(book)
    due = lacking[0] if lacking else "recipe"
    lines: list[Line] = [*_plain(INTRODUCTION, width), []]
    for kind, key, told in _steps(book):
        head = f" {'▸' if kind == due else ' '} {key:<2} {KINDS[kind]:<9}"
        first, *rest = wrap(told, max(width - INDENT - 1, 10))
        style = "strong" if kind == due else "plain"
        lines += [[(f"{head:<{INDENT}}{first}", style)], *([(f"{'':<{INDENT}}{one}", style)] for one in rest)]
    log, jobs = shown("page.log"), shown("page.jobs")
    after = f"Then {log} on its page writes down how a run went, and {jobs} makes a job of it."
    said = (WRITING, after, *([GONE.format(shown("page.bring_back"))] if _deleted(book) else []), DEMO)
    return [*lines, [], *(line for one in said for line in _plain(one, width))]


def _deleted(book: Book) -> bool:
    return any(one.kind == "recipe" for one in book.deleted())


def _steps(book: Book) -> Iterator[tuple[str, str, str]]:
    """Yield the kind, the key and what is said of each step."""
    for kind in PARTS:
        found = len(book.ids(kind))
        yield kind, shown(DOORS[kind]), f"{counted(found, KINDS[kind])} in the book" if found else NONE_YET
    yield "recipe", shown("page.solve"), SOLVE


def _plain(text: str, width: int) -> list[Line]:
    return [[(f" {line}", "plain")] for line in wrap(text, width - 2, break_on_hyphens=False)]
