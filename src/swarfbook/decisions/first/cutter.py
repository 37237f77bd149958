"""A first cutter from a few words: `6 mm two-flute carbide`, `1/4 in ball, HSS`."""

from __future__ import annotations

import re
from math import isclose
from typing import Any

from swarfbook import quantities, tables
from swarfbook.book.starting import Begun
from swarfbook.decisions.first.naming import words_of
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.frozen import frozen
from swarfbook.quantities import QuantityError
from swarfbook.tables import Row

EXAMPLE = "6 mm two-flute carbide"
NUMBERS = ("", "one", "two", "three", "four", "five", "six", "seven", "eight")
COUNTS = {
    **{word: count for count, word in enumerate(NUMBERS) if word},
    "single": 1, "o": 1, "double": 2, "twin": 2, "triple": 3,
}  # fmt: skip
SIZE = re.compile(
    r"(?P<number>(?:\d+[ -])?\d+/\d+|\d+(?:[.,]\d*)?|\.\d+)\s*(?P<unit>mm|inch(?:es)?\b|in\b|[\"″”])",
    re.IGNORECASE,
)
BARE = re.compile(
    r"(?<![\d./,])(?P<number>(?:\d+[ -])?\d+/\d+|\d+\.?\d*)"
    r"(?![\d./]|,\d|\s*-?\s*(?:[a-z]{1,2}\b|flute|teeth|tooth))"
)
FLUTES = re.compile(
    r"\b(?P<count>\d+|" + "|".join(COUNTS) + r")\s*-?\s*(?:f|fl|flt|flutes?|fluted|teeth|tooth)\b",
    re.IGNORECASE,
)
SUBSTRATES = {
    "carbide": "carbide", "hardmetal": "carbide", "hm": "carbide", "vhm": "carbide",
    "cobalt": "cobalt-hss", "hssco": "cobalt-hss", "hsse": "cobalt-hss", "hss": "hss",
}  # fmt: skip
OTHER_SHAPES = {
    "chamfer", "vee", "v", "engraving", "tapered", "taper", "bull", "bullnose", "radius", "drill",
    "compression", "thread", "dovetail", "face", "facemill", "slitting", "lollipop",
}  # fmt: skip
PLAIN_WORDS = {
    "end", "mill", "endmill", "milling", "cutter", "bit", "router", "tool", "flat", "square", "ball",
    "ballnose", "nose", "cut", "down", "downcut", "up", "upcut", "spiral", "straight", "solid", "flute",
    "with", "and", "a", "of", "co", "e", "the", "dia", "diameter",
}  # fmt: skip
"""Words that were heeded, or that change nothing."""
LEAST, MOST = 0.3e-3, 25.4e-3
"""Diameters [m] between which a first cutter lies: what the lengths of `first_cutters.csv` go for."""
MOST_FLUTES = 8
USUAL_FLUTES = 2
USUAL_SUBSTRATE = "carbide"
FROM_LIST = "assumed; measure the cutter, or look in its maker's list"
NOT_SAID = "assumed, as nothing was said; look at the cutter"


@frozen
class Cutter:
    """What was said of a cutter.

    Attributes:
        diameter: as typed, in one spelling.
        si: the same [m].
        unit: `mm` or `in`.
        flutes: how many; None where nothing was said.
        substrate: what it is made of; empty where nothing was said.
        ball: it has a ball end, else a square one.
        down: its helix presses down.
        straight: it has no helix.
        unread: words that say nothing here, as typed in small letters.
    """

    diameter: str
    si: float
    unit: str
    flutes: int | None
    substrate: str
    ball: bool
    down: bool
    straight: bool
    unread: tuple[str, ...] = ()


def read_cutter(text: str, *, where: str = "") -> Cutter:
    """Read what a person says of a cutter.

    Args:
        text: diameter with its unit, and in any order flutes, substrate, `ball`, `down-cut` or `straight`.
        where: the option, for the message.

    Raises:
        SwarfbookError: no diameter stands there, or it is a sort of cutter that a book does not begin with.
    """
    flutes = FLUTES.search(text)
    size, rest = _size(text if flutes is None else text.replace(flutes[0], " ", 1), text, where)
    words = words_of(rest.casefold().replace("hss-co", "hssco").replace("hss-e", "hsse"))
    other = next((word for word in words if word in OTHER_SHAPES), "")
    if other:
        remedy = "begin with a square or a ball end mill; other cutters go into tools/ afterwards"
        raise SwarfbookError(Problem(where, "", text, remedy))
    if not LEAST <= size.si <= MOST:
        raise SwarfbookError(
            Problem(where, "", text, "write a diameter from 0.3 to 25 mm for the first cutter")
        )
    named = [SUBSTRATES[word] for word in words if word in SUBSTRATES]
    return Cutter(
        diameter=_spelt(size, text),
        si=size.si,
        unit="in" if size.unit == "in" else "mm",
        flutes=_count(flutes, text, where),
        substrate=max(named, key=len, default="") if "hss" in words else next(iter(named), ""),
        ball=any(word.startswith("ball") for word in words),
        down="down" in words or "downcut" in words,
        straight="straight" in words,
        unread=tuple(word for word in words if word not in PLAIN_WORDS and word not in SUBSTRATES),
    )


def cutter_record(cutter: Cutter) -> Begun:
    """Give the record of a cutter: what was said of it, and usual lengths for the rest."""
    row = _nearest(cutter)
    flutes, substrate = cutter.flutes or USUAL_FLUTES, cutter.substrate or USUAL_SUBSTRATE
    helix = 0 if cutter.straight else (-1 if cutter.down else 1) * (row.number("helix_deg") or 0)
    share = min(1.0, cutter.si / row.needed("diameter_mm"))
    shank = row.needed("shank_diameter_mm")
    values: dict[str, Any] = {
        "schema": "tool/1",
        "name": _name(cutter, flutes, substrate),
        "shape": "ball" if cutter.ball else "square",
        "diameter": cutter.diameter,
        "flutes": flutes,
        "helix": quantities.write(float(helix), "deg"),
        "flute_length": _length(row.needed("flute_length_mm") * share, cutter.unit),
        "shank_diameter": cutter.diameter if isclose(shank, cutter.si) else _length(shank, cutter.unit),
        "overall_length": _length(row.needed("overall_length_mm"), cutter.unit),
        "substrate": substrate,
    }
    notes = dict.fromkeys(("helix", "flute_length", "shank_diameter", "overall_length"), FROM_LIST)
    if cutter.straight:
        del notes["helix"]
    unsaid = {"flutes": cutter.flutes, "substrate": cutter.substrate}
    notes |= {key: NOT_SAID for key, said in unsaid.items() if not said}
    return Begun("tool", _id(cutter, flutes, substrate), values, notes)


def _size(rest: str, text: str, where: str) -> tuple[quantities.Quantity, str]:
    """Find the diameter; give it and what else stands there. A bare fraction is of inches, 1 and up of mm."""
    found = SIZE.search(rest)
    bare = None if found else BARE.search(rest)
    match = found or bare
    if match is None or (bare and "/" not in bare["number"] and float(bare["number"]) < 1):
        remedy = f"write the cutting diameter with its unit first, such as {EXAMPLE}"
        raise SwarfbookError(Problem(where, "", text, remedy))
    unit = match["unit"].casefold() if found else ("in" if "/" in match["number"] else "mm")
    try:
        size = quantities.read(f"{match['number']} {'mm' if unit == 'mm' else 'in'}", "length")
    except QuantityError as error:
        raise SwarfbookError(Problem(where, "", text, str(error))) from None
    return size, rest[: match.start()] + " " + rest[match.end() :]


def _spelt(size: quantities.Quantity, text: str) -> str:
    """Write the diameter; a fraction of an inch stays one."""
    fraction = re.search(r"(?:\d+[ -])?\d+/\d+", text)
    if fraction and size.unit == "in":
        return f"{fraction[0]} in"
    return quantities.write(size.number, size.unit)


def _count(flutes: re.Match[str] | None, text: str, where: str) -> int | None:
    if flutes is None:
        return None
    word = flutes["count"].casefold()
    count = COUNTS.get(word) or (int(word) if word.isdecimal() and len(word) < MOST_FLUTES else 0)
    if not 1 <= count <= MOST_FLUTES:
        raise SwarfbookError(Problem(where, "", text, f"write 1 to {MOST_FLUTES} flutes"))
    return count


def _nearest(cutter: Cutter) -> Row:
    """Give the usual size at or above the cutter's, of those in its unit; the largest where none is."""
    sizes = [row for row in tables.load("first_cutters").rows if row.text("unit") == cutter.unit]
    return next((row for row in sizes if row.needed("diameter_mm") >= cutter.si * (1 - 1e-9)), sizes[-1])


def _length(si: float, unit: str) -> str:
    places = 1 if unit == "mm" else 4
    return quantities.write(round(quantities.convert(si, "length", unit), places), unit)


def _name(cutter: Cutter, flutes: int, substrate: str) -> str:
    way = "down-cut " if cutter.down else ("straight " if cutter.straight else "")
    made = {"carbide": "", "hss": "HSS ", "cobalt-hss": "cobalt HSS "}[substrate]
    ball = "ball " if cutter.ball else ""
    return f"{cutter.diameter} {NUMBERS[flutes]}-flute {made}{way}{ball}end mill"


def _id(cutter: Cutter, flutes: int, substrate: str) -> str:
    size = re.sub(r"[^0-9a-z]+", "-", cutter.diameter.replace(" mm", "mm").replace(" in", "in"))
    made = {"carbide": "", "hss": "-hss", "cobalt-hss": "-cobalt"}[substrate]
    way = "-down" if cutter.down else ("-straight" if cutter.straight else "")
    return f"{'ball' if cutter.ball else 'em'}-{size}-{flutes}f{made}{way}"
