"""Texts as cells of a CSV file, so that no program of tables takes one for a formula."""

from __future__ import annotations

import re

STARTS = ("=", "+", "-", "@", "\t", "\r")
"""What a cell begins with that a program of tables may work out instead of showing it."""
_NUMBER = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)


def as_cell(text: str) -> str:
    """Give a text an apostrophe in front where it could be taken for a formula; a number stays as it is."""
    return f"'{text}" if text.startswith(STARTS) and not _NUMBER.fullmatch(text) else text
