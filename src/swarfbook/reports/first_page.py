"""What follows the first recipe of a new book: what was assumed, and what comes next."""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Mapping, Sequence

from swarfbook.book.starting import Begun
from swarfbook.decisions.first.book import FirstBook
from swarfbook.decisions.sensitivity import Sensitivity
from swarfbook.errors import printable
from swarfbook.reports.measuring import topics
from swarfbook.reports.part_words import LABELS
from swarfbook.reports.solve_page import TRIAL
from swarfbook.reports.words import wrapped

MARK = "assumed; "
ASSUMED = "Assumed until you look it up; what you find goes into the file, or on screen:"
STRAINED = 0.4
"""Use of a limit from which its unknowns are worth measuring."""
MOST_TOPICS = 3
SCREEN = "see the book on screen"


def assumed_lines(records: Sequence[Begun], *, width: int) -> list[str]:
    """List what was assumed, file by file, each key with its value and where to look.

    Args:
        records: what the book begins with.
        width: columns there are.
    """
    lines = list(wrapped([ASSUMED], width=width))
    for one in filter(lambda one: one.notes, records):
        lines += ["", f"  {one.file}", *_notes(one, width)]
    return lines


def worth_measuring(found: Sensitivity) -> list[str]:
    """Give the pages on measuring, the one that takes most doubt off the strained limits first."""
    doubts: dict[str, float] = {}
    for topic in topics():
        inputs = [one for one in found.effects if one.assumed and one.name in topic.inputs]
        doubts[topic.name] = max(
            (one.doubt(limit) for one in inputs for limit, use in found.uses.items() if use >= STRAINED),
            default=0.0,
        )
    return sorted((name for name, doubt in doubts.items() if doubt > 0), key=lambda name: -doubts[name])


def next_lines(recipe: str, found: Sensitivity, folder: str, *, width: int) -> list[str]:
    """Say what comes next, each with its command.

    Args:
        recipe: id of the first recipe.
        found: what its inputs do.
        folder: of the book, where the person is not in it; else empty.
        width: columns there are.
    """
    measure = [f"measure {name}" for name in worth_measuring(found)[:MOST_TOPICS]]
    steps = {
        "measure what this recipe rests on most": measure,
        "see what a tenth more of each input does": [f"sensitivity {recipe}"],
        "judge it again with what you found": [f"check {recipe}"],
        "write down the first run, whatever comes of it": [f"log {recipe} --minutes 6 --outcome clean"],
        SCREEN: ["open"],
    }
    return [*wrapped([TRIAL], width=width), "", *_steps(steps, folder, width)]


def none_lines(first: FirstBook, folder: str, *, width: int) -> list[str]:
    """Say why there is no first recipe, what would do, and what comes next."""
    told = [f"No first recipe: {first.why_none}.", f"What would do: {first.instead}"]
    return [*wrapped(told, width=width), "", *_steps({SCREEN: ["open"]}, folder, width)]


def _notes(record: Begun, width: int) -> Iterator[str]:
    """Write the keys that are looked up in one place together, and where."""
    places: dict[str, list[str]] = {}
    for dotted, note in record.notes.items():
        label = LABELS[record.kind].get(dotted, dotted)
        places.setdefault(note.removeprefix(MARK), []).append(f"{label} {_value(record, dotted)}")
    for place, told in places.items():
        yield from wrapped([f"    {', '.join(told)}: {place}"], width=width)


def _value(record: Begun, dotted: str) -> str:
    value: object = record.values
    for name in dotted.split("."):
        value = value[name] if isinstance(value, dict) else value
    return str(value)


def _steps(steps: Mapping[str, Sequence[str]], folder: str, width: int) -> Iterator[str]:
    yield printable(f"Next, in the book's folder (cd {shlex.quote(folder)}):" if folder else "Next:")
    yield ""
    for told, commands in steps.items():
        if commands:
            yield f"  {told}"
        for words in commands:
            yield from _command(f"swarfbook {words}", width)


def _command(words: str, width: int) -> Iterator[str]:
    """Write a command; one that is too long goes on below, as a shell takes it."""
    first, *options = words.split(" --")
    if len(words) + 4 <= width or not options:
        yield f"    {words}"
        return
    yield f"    {first} \\"
    yield f"      --{' --'.join(options)}"
