"""The ladder and its note as lines of spans, as many rungs as there is room for."""

from __future__ import annotations

from collections.abc import Sequence

from swarfbook.reports.breaking import wrap
from swarfbook.reports.ladder import Layout, Rung, heading, legend, row
from swarfbook.reports.words import counted
from swarfbook.tui.lines import Line, Span

STYLES = {"over": "over", "tight": "strong"}


def window(count: int, chosen: int, height: int) -> range:
    """Give the rungs to show, the chosen one among them, the tightest whenever it can be.

    Args:
        count: rungs there are.
        chosen: the chosen one, from 0.
        height: rungs there is room for.
    """
    first = min(max(chosen - height + 1, 0), max(count - height, 0))
    return range(first, min(first + max(height, 1), count))


def ladder_lines(rungs: Sequence[Rung], *, chosen: int, width: int, height: int, stale: bool) -> list[Line]:
    """Draw the ladder.

    Args:
        rungs: the rungs, the tightest first.
        chosen: the chosen one, from 0.
        width: columns there are.
        height: rows there are, the heading's and the legend's among them.
        stale: the rungs are of the last good values, not of what stands in the sentence.
    """
    layout = Layout(width)
    shown = window(len(rungs), chosen, height - 2)
    style = "faint" if stale else "plain"
    lines: list[Line] = [[(heading(layout), "faint")]]
    lines += [_row(rungs[at], layout, chosen=at == chosen, style=style) for at in shown]
    return [*lines, [(_below(rungs, shown, layout), "faint")]]


def _row(rung: Rung, layout: Layout, *, chosen: bool, style: str) -> Line:
    text = row(rung, layout, chosen=chosen)
    strong = "strong" if chosen and style == "plain" else style
    before, word, after = text.rpartition(rung.word)
    spans: list[Span] = [(before, strong), (word, STYLES.get(rung.verdict, style)), (after, style)]
    return spans


def _below(rungs: Sequence[Rung], shown: range, layout: Layout) -> str:
    hidden = [rung for at, rung in enumerate(rungs) if at not in shown]
    words = [word for word in ("over", "tight", "holds") if any(rung.verdict == word for rung in hidden)]
    counts = [_count(sum(rung.verdict == word for rung in hidden), word) for word in words]
    more = f" … {', '.join(counts)}" if hidden else ""
    notes, width = "".join(legend(rungs, layout)).strip(), layout.width
    return (
        f"{more}{notes:>{width - len(more) - 1}}"
        if len(more) + len(notes) + 3 < width
        else more or f" {notes}"
    )


def _count(number: int, word: str) -> str:
    return (
        f"{number} more {'hold' if number > 1 else 'holds'}" if word == "holds" else f"{number} more {word}"
    )


def note_lines(sentences: Sequence[str], *, width: int, height: int) -> list[Line]:
    """Wrap the note on a rung, cut to a height."""
    lines = wrap(" ".join(sentences), width - 2)
    if len(lines) > height:
        lines = [*lines[: height - 1], f"{lines[height - 1][: width - 4]} …"]
    return [[(f" {line}", "plain")] for line in lines]


def judged(count: int) -> str:
    """Say how many limits are not judged."""
    return f"{counted(count, 'limit')} not judged" if count else ""
