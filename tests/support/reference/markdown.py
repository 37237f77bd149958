"""Markdown of tables, code and headings, set so that it reads well as plain text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from textwrap import fill

NOTE = "<!-- Written by `make reference` from what the code declares: change the code, not this page. -->"
WIDTH = 110


def head(title: str, paragraphs: str) -> list[str]:
    """Begin a page."""
    told = paragraphs.strip().split("\n\n")
    return [f"# {title}", "", NOTE, "", *(line for one in told for line in (para(one), ""))]


def para(text: str) -> str:
    """Set a paragraph."""
    return fill(" ".join(text.split()), WIDTH, break_on_hyphens=False, break_long_words=False)


def item(text: str) -> str:
    """Set an item of a list."""
    return fill(f"- {text}", WIDTH, subsequent_indent="  ", break_on_hyphens=False, break_long_words=False)


def code(text: str) -> str:
    """Mark a name; empty stays empty."""
    return f"`{text}`" if text else ""


def codes(names: Iterable[str]) -> str:
    """Mark names, commas between."""
    return ", ".join(map(code, names))


def table(titles: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """Set a table."""
    lines = [titles, ["---"] * len(titles), *rows]
    return [f"| {' | '.join(_cell(cell) for cell in row)} |" for row in lines] + [""]


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|")


def block(text: str, language: str) -> list[str]:
    """Set a block of code."""
    return [f"```{language}", text, "```", ""]


def sentence(text: str) -> str:
    """Give a text a capital and a full stop."""
    text = text[:1].upper() + text[1:]
    return text if not text or text.endswith((".", "?")) else f"{text}."


def joined(lines: Iterable[str]) -> str:
    """Join the lines of a page."""
    return "\n".join(lines).rstrip() + "\n"
