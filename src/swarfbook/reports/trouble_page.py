"""What is wrong with a book, as lines for people."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from swarfbook.errors import Problem, printable, shorten
from swarfbook.reports.part_page import hung
from swarfbook.reports.words import counted

ALL_WELL = "Every file of this book reads, and its recipes fit their machines, cutters and materials."


def trouble_text(problem: Problem) -> str:
    """Say what was found and what would do, without the place."""
    found = f"found {shorten(problem.found)}; " if problem.found else ""
    return printable(f"{found}{problem.remedy}")


def file_of(problem: Problem) -> str:
    """Give the file a problem stands in; a line of the run log is named with its number behind the file."""
    return problem.where.partition(" line ")[0]


def bad_files(problems: Iterable[Problem]) -> int:
    """Count the files that have problems."""
    return len(set(map(file_of, problems)))


def trouble_lines(title: str, problems: Sequence[Problem], *, width: int) -> Iterator[str]:
    """Write every problem under the file it stands in."""
    yield f"{title} · {counted(len(problems), 'problem')}"
    for where, group in groupby(problems, key=lambda problem: problem.where):
        yield from ("", where)
        for problem in group:
            yield from hung("  ", ": ".join(filter(None, (problem.key, trouble_text(problem)))), width)
    if not problems:
        yield from ("", *hung("", ALL_WELL, width))
