"""Why a text is not a quantity, in one line that says what would do.

Nothing here decides whether a text is read; it only explains a refusal that was already made. Every
pattern runs on at most `MAX_LENGTH` characters.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from swarfbook._spellings import EXAMPLES, HINTS, NOUNS, PARTS, WHOLES
from swarfbook._units import UNITS
from swarfbook.errors import nearest

MAX_LENGTH: Final = 48
MAX_UNITS_NAMED: Final = 7

# Doubtful ways to write a number, most telling first; `{0}` is the everyday example of the dimension.
# Patterns stay text until a refusal is worded: compiling them would slow the start of every command.
_DOUBTS: Final[tuple[tuple[str, str], ...]] = (
    (r"^$", "a number with its unit is needed, for example '{0}'"),
    (r"^[+-]?(nan|inf)", "a number that can be measured is needed, for example '{0}'"),
    (r"±|\+/?-", "write one number without a tolerance, for example '{0}'"),
    (r"_", "write the number without _, for example '{0}'"),
    (r"^[+-]?0[xob]", "write the number in ordinary digits, for example '{0}'"),
    (r"\d[\d.]* ?e[+-]?\d{4}", "an exponent has at most three digits; write '{0}'"),
    (r"\d/0+(?!\d)", "the lower number of a fraction must not be 0"),
    (r"^[+-]?\d+[ -]\d+/\d+", "write a mixed fraction as 1 1/4, with a fraction between 0 and 1"),
    (r"\d\.\d*/|/\d+\.", "write a fraction with whole numbers such as 1/4, or a decimal such as 0.25"),
    (
        r"^[+-]?[\d.]+( [\d.]+)+",
        "write one number in one piece, for example '{0}'; thousands go in threes (18 000), "
        "inch fractions as 1 1/4",
    ),
    (r"^[+-]? ?[a-z%\"]", "a number is needed before the unit, for example '{0}'"),
)
_ONE_NUMBER: Final = "write one number and one unit, for example '{0}'; nothing is worked out here"
# Words joined by signs, with a power behind a word: the shape of a unit, known or not.
_UNIT_SHAPE: Final = re.compile(
    r"""(?! [*/ .-])
    (?: (?: [^\W\d_] | [%"'°()] ) (?: \^?-?[123] (?= [*/)\ ] | $ ) )?
      | [*/ .-] (?= [^\W\d_] | [(%"°] )
    )+""",
    re.VERBOSE,
)
_THOUSANDS: Final = r"([+-]?\d{1,3})((?:,\d{3})+)((?:\.\d+)?)(?!\d)"
_DECIMAL_COMMA: Final = r"([+-]?\d*), ?(\d+)(?![\d,.])"


def takes(dimension: str) -> str:
    """Say which units a dimension takes, in words."""
    names = [unit or "no unit" for unit in UNITS[dimension]]
    more = ", ..." if len(names) > MAX_UNITS_NAMED else ""
    return f"{NOUNS[dimension]} takes {', '.join(names[:MAX_UNITS_NAMED])}{more}"


def unit_needed(number: str, dimension: str) -> str:
    """Say that a bare number needs a unit, repeating the number with one."""
    first = next(iter(UNITS[dimension]))
    return f"a unit is needed, for example '{number} {first}'; {takes(dimension)}"


def foreign_character(text: str) -> str | None:
    """Explain a control character, or a digit that is not one of 0-9; None where there is neither."""
    for char in text:
        if not char.isprintable():
            return f"remove the character U+{ord(char):04X}, which cannot be seen"
        if char.isnumeric() and not char.isascii() and char not in "²³":
            return f"write '{_ascii_digits(char)}' for '{char}': digits are 0 to 9, fractions like 1/4"
    if match := re.search(r"(?:^|[^a-zA-Z])([²³])", text):
        return f"'{match[1]}' is read inside a unit only; write the number out in digits 0 to 9"
    return None


def is_unit_shaped(name: str) -> bool:
    """Tell whether a text could be a unit at all, rather than the rest of a sum or of a broken number."""
    return name == "" or name in HINTS or _UNIT_SHAPE.fullmatch(name) is not None


def number(text: str, dimension: str) -> str:
    """Explain why a text (spaces already plain, both ends stripped) is not one number and one unit."""
    if "," in text:
        return _comma(text, dimension)
    if match := re.fullmatch(r"[+-]?[\d.]+ ?(1/(?:min|s))", text, re.ASCII):
        return HINTS[match[1]]
    for pattern, remedy in _DOUBTS:
        if re.search(pattern, text, re.ASCII | re.IGNORECASE):
            return remedy.format(EXAMPLES[dimension])
    return _ONE_NUMBER.format(EXAMPLES[dimension])


def unit(name: str, dimension: str) -> str:
    """Explain why a unit (already folded) will not do for a dimension."""
    if name in HINTS:
        return HINTS[name]
    kinds = [NOUNS[other] for other, table in UNITS.items() if name in table]
    if kinds:
        return f"{name} is {' or '.join(kinds[:2])}; {takes(dimension)}"
    close = _close_units(name, dimension)
    question = f"did you mean {' or '.join(close)}? " if close else ""
    return f"'{name}' is not a unit known here; {question}{takes(dimension)}".replace("? a", "? A", 1)


def _ascii_digits(char: str) -> str:
    """Write one numeric character with the digits 0-9, as far as it has a plain form."""
    digit = unicodedata.digit(char, None)
    if digit is not None:
        return str(digit)
    plain = unicodedata.normalize("NFKC", char).replace("\u2044", "/")
    return plain if plain.isascii() else "0-9"


def _comma(text: str, dimension: str) -> str:
    """Say how to write a number that holds a comma."""
    if match := re.match(_THOUSANDS, text, re.ASCII):
        head, groups, rest = match.groups()
        plain = head + groups.replace(",", "") + rest
        sure = rest or groups.count(",") > 1
        return f"write {plain}" if sure else f"write {plain}, or {head}.{groups[1:]} with a decimal point"
    if match := re.match(_DECIMAL_COMMA, text, re.ASCII):
        return f"write {match[1] or '0'}.{match[2]} with a decimal point"
    return f"write a number without commas, for example '{EXAMPLES[dimension]}'"


def _close_units(name: str, dimension: str) -> list[str]:
    """Give the units of a dimension that a slip of the keyboard might have meant, best first."""
    spellings = {spelling: spelling for spelling in UNITS[dimension] if spelling}
    spellings |= {word: unit for word, unit in (PARTS | WHOLES).items() if unit in spellings}
    by_case = [unit for word, unit in spellings.items() if word.casefold() == name.casefold()]
    close = by_case or [spellings[word] for word in nearest(name, spellings)]
    return list(dict.fromkeys(close))[:2]
