"""A ranking of recipes for people: what fits, best first, and what rules the others out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from swarfbook import quantities
from swarfbook.decisions.pick import FITS, Asked, Candidate
from swarfbook.reports.sentence import sentence_of, sentence_text
from swarfbook.reports.words import cut_to, in_system, wrapped

WORDS = {
    "covered": "covered: all they ask has run clean",
    "holds": "inside their limits",
    "tight": "inside their limits, with less left than asked or usual",
    "over": "over a limit: not to be run",
    "cannot": "cannot",
}
HANDS_OFF = "Hands-off means no hand on the controls and someone within reach of the stop."
NOTHING = "No recipe of this operation and material is in the book, and none is near enough to adapt."
SOLVE = "A first one to try: swarfbook solve --machine ID --tool ID --material {} --operation {}"


def pick_lines(asked: Asked, candidates: Sequence[Candidate], *, width: int, system: str | None) -> list[str]:
    """Write a ranking.

    Args:
        asked: what the job asks.
        candidates: best first.
        width: columns there are.
        system: units shown; None shows values as typed.
    """
    lines: list[str] = []
    for fit in FITS:
        group = [one for one in candidates if one.fit == fit]
        if group:
            lines += [
                *wrapped([WORDS[fit]], width=width),
                *(line for one in group for line in _lines(one, width, system)),
                "",
            ]
    if not any(one.usable for one in candidates):
        lines += [] if candidates else nothing_fits(width=width)
        lines += wrapped([SOLVE.format(asked.material, asked.operation)], width=width)
    return [*lines, *(wrapped([HANDS_OFF], width=width) if asked.hands_off else ())]


def nothing_fits(*, width: int) -> list[str]:
    """Say that a book has nothing for a job."""
    return list(wrapped([NOTHING], width=width))


def _lines(one: Candidate, width: int, system: str | None) -> Iterator[str]:
    yield f"  {candidate_line(one, width=width - 2, system=system)}"
    yield from reason_lines(one, width=width, system=system)


def candidate_line(one: Candidate, *, width: int, system: str | None) -> str:
    """Write a recipe of a ranking as a line: its id, its standing and its removal rate."""
    rate = one.check.figures["material_removal_rate"]
    unit = None if system == "imperial" else rate.unit
    shown = quantities.show(one.removal_rate, rate.dimension, unit=unit, system=system or "metric")
    standing = "a trial, adapted" if one.adapted else one.check.case.recipe.standing
    name = cut_to(one.recipe, width - 34)
    return f"{name:<{width - 34}} {standing:<17}{shown:>15}".rstrip()


def reason_lines(one: Candidate, *, width: int, system: str | None) -> Iterator[str]:
    """Write in full why a recipe fits no better; of an adapted one what it is and what must be proven."""
    if one.adapted:
        changed = " and ".join(one.adapted.changed)
        text = sentence_text(sentence_of(one.check.case, system=system), width=width - 6)
        yield f"    with another {changed}:"
        yield from (f"      {line}" for line in text.splitlines())
        yield from wrapped([f"    to prove: {'; '.join(one.adapted.to_prove)}"], width=width)
    yield from wrapped((f"    {in_system(reason, system)}" for reason in one.reasons), width=width)
