"""Invented job sheets: mast clamps of 6082 on a long-bed router, in one step or many."""

from dataclasses import replace

from swarfbook.reports.sheets.card import Card, Stop

OUTLINE = Stop(
    number=1,
    title="Rough the outline",
    tool="6 mm one-flute end mill",
    stickout="24 mm out of the collet",
    numbers=(("spindle", "16 000 rpm"), ("feed", "800 mm/min"), ("depth", "2.2 mm"), ("width", "2.4 mm")),
    hold="two toe clamps, 8 N·m each, and the fence",
    leaves="0.3 mm on the wall, 0.2 mm on the floor",
    minutes="14 min",
    warnings=(),
    before="",
)
BORE = Stop(
    number=2,
    title="Bore the mast hole",
    tool="6 mm one-flute end mill",
    stickout="24 mm out of the collet",
    numbers=(
        ("spindle", "16 000 rpm"),
        ("feed", "620 mm/min"),
        ("depth", "1.5 mm a turn"),
        ("hole", "42.0 mm"),
    ),
    hold="as before",
    leaves="0.15 mm a side for the finish",
    minutes="6 min",
    warnings=("Chips pack below 10 mm: keep the air on the hole, stop if they turn blue.",),
    before="",
)
TURN = Stop(
    number=3,
    title="Face the second side",
    tool="16 mm insert mill, 2 inserts",
    stickout="38 mm out of the collet",
    numbers=(("spindle", "9 500 rpm"), ("feed", "1 140 mm/min"), ("depth", "0.4 mm"), ("width", "11 mm")),
    hold="bolted through the mast hole, M12 at 30 N·m",
    leaves="size",
    minutes="3 min",
    warnings=(),
    before="turn the piece over; find it by the two 6 mm pins",
)
SLIT = Stop(
    number=4,
    title="Slit the clamp",
    tool="2 mm slitting saw, 50 mm across, 40 teeth",
    stickout="20 mm out of the collet",
    numbers=(("spindle", "1 900 rpm"), ("feed", "190 mm/min"), ("depth", "3 mm"), ("width", "2 mm")),
    hold="as before",
    leaves="a burr on the inside of the bore",
    minutes="9 min",
    warnings=(
        "The slit springs open by about 0.2 mm at the end: have a 2 mm shim ready.",
        "Long chips: no gloves, no rag near the saw.",
    ),
    before="stop 10 min to cool",
)
STOPS = (OUTLINE, BORE, TURN, SLIT)
CARD = Card(
    title="Mast clamp, lower",
    subtitle="Saltmarsh workshop · job mast-clamp-lower · 12 off",
    facts=(
        ("machine", "long-bed router, 2.2 kW"),
        ("material", "6082-T6, as measured in July"),
        ("stock", "flat 100 × 25 mm, sawn to 122 mm"),
        ("part", "118 × 96 × 22 mm"),
        ("quantity", "12, two at a time"),
        ("time", "32 min a piece, 6 h 24 min in all"),
        ("hands off", "no hand on the controls; somebody within reach of the stop"),
    ),
    stops=STOPS,
    warnings=("Holding of step 1 is not judged: nobody has said how hard the fence is bolted down.",),
    cautions=(
        "Numbers in bold are to be set; all of them are estimates and none replaces the maker's limits.",
        "Stop when it sounds different from the last piece.",
    ),
    foot="estimates; makers' limits come first · printed 28 Nov 2026 · digest 7f3a 91c2",
)


def card(steps: int) -> Card:
    """Give the sheet with so many steps, those of the clamp over and over."""
    stops = tuple(replace(STOPS[step % len(STOPS)], number=step + 1) for step in range(steps))
    return replace(CARD, stops=stops)


HOSTILE = (
    "<script>alert(1)</script>",
    "</style><b onclick='x'>&amp;",
    "turn \u202eback\u202c and \u2067round\u2069",
    "red \x1b[31mnow\x1b[0m\x07",
    "two\nlines\tand\x00more",
    "שלום 6 mm مرحبا",
    "x" * 300,
    "字 h̄ ⌀ ≤ 𝔄",
    "{{ 7 * 7 }} %s {0} \\ $(x)",
    " ",
)
"""Texts that would do something if they were let."""


def hostile(text: str) -> Card:
    """Give a sheet of two steps with a text in every place."""
    stop = Stop(1, text, text, text, ((text, text),) * 2, text, text, text, (text,), text)
    return Card(text, text, ((text, text),) * 2, (stop, replace(stop, number=2)), (text,), (text,), text)


def texts(sheet: Card) -> list[str]:
    """Give every text of a sheet."""
    pairs = [pair for stop in sheet.stops for pair in stop.numbers]
    found = [sheet.title, sheet.subtitle, sheet.foot, *sheet.warnings, *sheet.cautions]
    found += [text for pair in (*sheet.facts, *pairs) for text in pair]
    for stop in sheet.stops:
        found += [stop.title, stop.tool, stop.stickout, stop.hold, stop.leaves, stop.minutes, stop.before]
        found += stop.warnings
    return found


def dense(text: str) -> str:
    """Take the blanks out of a text, so that it is found wherever its lines end."""
    return "".join(text.split())
