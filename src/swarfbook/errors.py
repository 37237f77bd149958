"""What a person is told when something typed, stored or asked for will not do."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from swarfbook.frozen import frozen

MAX_SHOWN = 60
BIDI = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")

_DRIVES = (
    r"\r(?!\n)|[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f"
    r"\u061c\u200e\u200f\u2028-\u202e\u2066-\u2069\ud800-\udfff]"
)


@frozen
class Problem:
    """One thing that is wrong, where it stands and what would do instead.

    Attributes:
        where: file relative to the book (`recipes/x.toml`) or option (`--margin`).
        key: dotted key inside the file; empty when the whole file or option is meant.
        found: what stands there, as a person would recognise it; empty when nothing does.
        remedy: what would do.
    """

    where: str
    key: str
    found: str
    remedy: str

    def __str__(self) -> str:
        place = ": ".join(part for part in (self.where, self.key) if part)
        found = f"found {shorten(self.found)}; " if self.found else ""
        return printable(f"{place}: {found}{self.remedy}")


class SwarfbookError(Exception):
    """A mistake in what was typed or stored: one clear line for each problem, no traceback."""

    def __init__(self, *problems: Problem) -> None:
        self.problems = problems
        super().__init__("\n".join(str(problem) for problem in problems))


class ConflictError(SwarfbookError):
    """A record changed on disk since it was read, so writing it would lose someone's work."""


class UnknownIdError(SwarfbookError, KeyError):
    """No record of that id is in the book; a `KeyError` as well, as any mapping has."""

    __str__ = Exception.__str__


def shorten(text: str) -> str:
    """Cut a long find to what fits a line, so that a pasted novel stays one line."""
    return text if len(text) <= MAX_SHOWN else text[: MAX_SHOWN - 1] + "…"


def printable(text: str) -> str:
    """Replace control characters by their escapes, so that a message cannot drive a terminal."""
    return "".join(char if char.isprintable() else char.encode("unicode_escape").decode() for char in text)


def drives(char: str) -> bool:
    """Say whether a character may act on a terminal or turn the direction of reading; line breaks do, too."""
    return unicodedata.category(char) in {"Cc", "Cs", "Zl", "Zp"} or char in BIDI


def undriven(text: str) -> str:
    """Replace what acts on a terminal by its escape; tabs and line breaks stay."""
    return text if text.isprintable() else re.sub(_DRIVES, _escaped, text)


def _escaped(found: re.Match[str]) -> str:
    return found[0].encode("unicode_escape").decode()


def nearest(name: str, known: Iterable[str], limit: int = 3) -> list[str]:
    """Give the known names most like `name`, best first, at most `limit`."""
    from difflib import get_close_matches  # noqa: PLC0415 - only a mistake needs it, and every start pays for it

    return get_close_matches(name[:MAX_SHOWN], list(known), n=limit, cutoff=0.5)


def did_you_mean(name: str, known: Iterable[str]) -> str:
    """Ask about the nearest names, or list the known ones where nothing is near."""
    names = sorted(known)
    close = nearest(name, names)
    if close:
        return f"did you mean {', '.join(close)}?"
    if not names:
        return "there are none yet"
    more = f" and {len(names) - 8} more" if len(names) > 8 else ""
    return f"known: {', '.join(names[:8])}{more}"
