"""How to measure, with what a workshop has, the things that people do not know of their machines."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from swarfbook.reports.breaking import wrap

PAGES = Path(__file__).with_suffix(".toml")


@dataclass(frozen=True, slots=True)
class Topic:
    """One thing to measure.

    Attributes:
        name: what it is called on the command line.
        inputs: the inputs of a check that it measures, by name.
        title: what it is, in words.
        key: where the value goes, file and dotted key.
        tools: what is needed.
        steps: what to do, in order.
        sense: what to expect, and what a poor reading looks like.
    """

    name: str
    inputs: tuple[str, ...]
    title: str
    key: str
    tools: str
    steps: tuple[str, ...]
    sense: str


@cache
def _pages() -> dict[str, Any]:
    with PAGES.open("rb") as file:
        return tomllib.load(file)


def topics() -> tuple[Topic, ...]:
    """Give every page, in order."""
    return tuple(Topic(**{**page, **_tuples(page, "steps", "inputs")}) for page in _pages()["topic"])


def _tuples(page: dict[str, Any], *keys: str) -> dict[str, tuple[str, ...]]:
    return {key: tuple(page[key]) for key in keys}


def topic(name: str) -> Topic | None:
    """Find a page by its name; None where there is none."""
    return next((one for one in topics() if one.name == name), None)


def topics_for(inputs: Iterable[str]) -> tuple[Topic, ...]:
    """Give the pages that measure any of these inputs, in the pages' order."""
    wanted = set(inputs)
    return tuple(one for one in topics() if wanted.intersection(one.inputs))


def topic_lines(one: Topic, *, width: int) -> list[str]:
    """Write one page at most `width` columns wide."""
    return [
        *wrap(one.title, width),
        "",
        *wrap(f"You need: {one.tools}.", width),
        "",
        *wrap(_pages()["caution"], width),
        "",
        *(line for number, step in enumerate(one.steps, 1) for line in _step(number, step, width)),
        "",
        *wrap(one.sense, width),
        "",
        *wrap(f"It goes to {one.key}", width),
    ]


def _step(number: int, text: str, width: int) -> Iterator[str]:
    yield from wrap(text, width, initial_indent=f" {number}  ", subsequent_indent="    ")
