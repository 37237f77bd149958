"""One pattern for every way a quantity of a dimension may be written, for editors that know no units.

The pattern takes whatever `quantities.read` takes, and refuses most of what that refuses: another unit, no
unit, no number. It keeps to what the regular expressions of ECMA 262, Rust and Python have in common.
"""

from __future__ import annotations

import re
from typing import Final

from swarfbook._spellings import PARTS, WHOLES
from swarfbook._units import UNITS

_SPACE: Final = "[ \u00a0\u202f\u2009\u2007]"
_MINUS: Final = "[\u2212-]"
_TIMES: Final = rf"{_SPACE}*[*·⋅×]{_SPACE}*"
_PER: Final = rf"(?:{_SPACE}*/{_SPACE}*|{_SPACE}+(?:per|a){_SPACE}+)"
_DECIMAL: Final = rf"(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE](?:[+]|{_MINUS})?[0-9]{{1,3}})?"
_GROUPED: Final = rf"[1-9][0-9]{{0,2}}(?:{_SPACE}+[0-9]{{3}})+(?:\.[0-9]+)?"
_FRACTION: Final = rf"(?:[0-9]+(?:{_SPACE}+|{_MINUS}))?[0-9]+/[0-9]+"
# Characters that `_spellings.FOLD` brings to one spelling.
_FOLDED: Final = {"u": "[uµμ]", '"': '["″”]', " ": f"{_SPACE}+"}
_POWERS: Final = {"^2": r"(?:\^2|\*\*2|²)", "^3": r"(?:\^3|\*\*3|³)"}


def pattern(dimension: str, *, negative: bool) -> str:
    """Give the pattern of a dimension's texts, anchored at both ends.

    Args:
        dimension: one of `quantities.DIMENSIONS`.
        negative: whether a minus may stand before the number.
    """
    sign = f"(?:[+]|{_MINUS})?" if negative else "[+]?"
    number = f"(?:{_FRACTION}|{_GROUPED}|{_DECIMAL})"
    bare = "?" if "" in UNITS[dimension] else ""
    return f"^{_SPACE}*{sign}{number}{_SPACE}*(?:{'|'.join(_units(dimension))}){bare}{_SPACE}*$"


def _units(dimension: str) -> list[str]:
    known = [unit for unit in UNITS[dimension] if unit]
    words = [word for word, unit in WHOLES.items() if unit in known]
    return list(dict.fromkeys(_unit(name) for name in (*known, *words)))


def _unit(name: str) -> str:
    """Give the pattern of one unit, other words for its parts among it."""
    signs = {"*": _TIMES, "/": _PER}
    return "".join(signs.get(part) or _part(part) for part in re.split(r"([*/])", name))


def _part(part: str) -> str:
    words = [part, *(word for word, unit in PARTS.items() if unit == part)]
    spelled = "|".join(map(_spelled, words))
    return f"(?:{spelled})" if len(words) > 1 else spelled


def _spelled(text: str) -> str:
    pieces = re.split(r"(\^[23])", text)
    return "".join(_POWERS.get(piece) or "".join(map(_char, piece)) for piece in pieces)


def _char(char: str) -> str:
    return _FOLDED.get(char) or (f"\\{char}" if char in "().^$?+|[]{}\\" else char)
