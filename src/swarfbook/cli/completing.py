"""What a shell offers when somebody presses Tab: commands, options, words, and names of the book at hand.

Click's own completion does the work; here it learns which arguments are names of records, and a shell that
takes a colon for the end of a word. Whatever goes wrong, nothing is offered and nothing is said.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable
from pathlib import Path

import click
from click.shell_completion import (
    BashComplete,
    CompletionItem,
    ShellComplete,
    add_completion_class,
    get_completion_class,
)

from swarfbook.book import find_book
from swarfbook.book.ids import FOLDERS
from swarfbook.book.known import known_deleted, known_ids, latest_runs

Names = Callable[[Path], Iterable[str]]


def completer(shell: str, group: click.Group, variable: str) -> ShellComplete | None:
    """Give click's completer for a shell; None where this click has none for it."""
    found = get_completion_class(shell)
    return found(group, {}, "swarfbook", variable) if found else None


def complete(group: click.Group, asked: str, variable: str) -> int:
    """Answer a shell on stdout and give the exit code.

    Args:
        group: the program.
        asked: what the shell put into the variable, such as `bash_complete`.
        variable: name of that variable.
    """
    shell, _, what = asked.partition("_")
    try:
        found = completer(shell, group, variable) if what == "complete" else None
        # Bytes: Windows would end lines otherwise, and the shell take that for a part of the word.
        sys.stdout.buffer.write(f"{found.complete()}\n".encode() if found else b"")
        sys.stdout.flush()
    except Exception:  # noqa: BLE001 - a traceback in the middle of somebody's line helps nobody
        return 1
    return 0


def teach(command: click.Command) -> click.Command:
    """Tell the arguments and options of a command whose names they take."""
    for param in command.params:
        names = NAMES.get((str(command.name), str(param.name))) or BY_PARAM.get(str(param.name))
        if names and isinstance(param.type, click.types.StringParamType):
            param.type = Known(names)
        elif param.metavar in PATHS:
            param.type = click.Path(dir_okay=param.metavar in FOLDER_MARKS, file_okay=param.metavar == "FILE")
    return command


class Known(click.types.StringParamType):
    """A name that the book, or the program, knows."""

    def __init__(self, names: Names) -> None:
        self._names = names

    def shell_complete(
        self,
        ctx: click.Context,
        param: click.Parameter,  # noqa: ARG002 - click's signature
        incomplete: str,
    ) -> list[CompletionItem]:
        """Offer the names that begin as typed."""
        root, _ = find_book(ctx.params.get("book_dir"), os.environ, Path.cwd())
        return [CompletionItem(name) for name in self._names(root) if name.startswith(incomplete)]


class Bash(BashComplete):
    """Bash, which takes the colon of `machine:ID` for the end of a word."""

    name = "bash"

    def get_completion_args(self) -> tuple[list[str], str]:
        """Give the words before the one to complete, and what is typed of that, colons put back."""
        words = os.environ["COMP_WORDS"].split("\n")[: int(os.environ["COMP_CWORD"]) + 1]
        joined = _rejoined(words)
        return joined[1:-1], joined[-1]

    def format_completion(self, item: CompletionItem) -> str:
        """Give what is to replace the last word as bash sees it: what follows the colon."""
        value = item.value
        typed = _rejoined(os.environ["COMP_WORDS"].split("\n")[: int(os.environ["COMP_CWORD"]) + 1])[-1]
        return f"{item.type},{value.partition(':')[2] if ':' in typed else value}"


def _rejoined(words: list[str]) -> list[str]:
    joined = [""]
    glue = True
    for word in words:
        if glue or word == ":":
            joined[-1] += word
        else:
            joined.append(word)
        glue = word == ":"
    return joined


add_completion_class(Bash)


def _of(kind: str) -> Names:
    return lambda root: known_ids(root, kind)


def _records(root: Path) -> list[str]:
    """Give the recipes by their ids and the others as `kind:id`."""
    others = [f"{kind}:{one}" for kind in FOLDERS if kind != "recipe" for one in known_ids(root, kind)]
    return known_ids(root, "recipe") + others


def _tables(_: Path) -> Iterable[str]:
    from swarfbook import tables

    return tables.names()


def _topics(_: Path) -> list[str]:
    from swarfbook.reports.measuring import topics

    return [one.name for one in topics()]


def _outcomes(_: Path) -> Iterable[str]:
    from swarfbook.records import OUTCOMES

    return OUTCOMES


def _knobs(_: Path) -> Iterable[str]:
    from swarfbook.records import choices

    return choices("recipe", "keep") or ()


BY_PARAM: dict[str, Names] = {
    "recipe": _of("recipe"),
    "recipes": _of("recipe"),
    "machine": _of("machine"),
    "tool": _of("tool"),
    "material": _of("material"),
    "job": _of("job"),
    "record": _records,
    "run": latest_runs,
    "one": latest_runs,
    "outcome": _outcomes,
    "across": _knobs,
    "up": _knobs,
}
"""Whose names an argument or option takes, by the name click knows it by."""
NAMES: dict[tuple[str, str], Names] = {
    ("show", "name"): _records,
    ("restore", "record"): known_deleted,
    ("table", "name"): _tables,
    ("measure", "name"): _topics,
    ("runs", "outcome"): lambda root: ["bad", *_outcomes(root)],
}
"""The same for single commands."""
FOLDER_MARKS = ("DIR", "[DIR]")
PATHS = ("FILE", *FOLDER_MARKS)
"""Marks in a command's help for a place on disk."""
