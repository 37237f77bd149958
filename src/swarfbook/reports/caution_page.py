"""What to mind before running a recipe, with where each caution comes from."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from swarfbook import tables
from swarfbook.decisions.cautions import rows_about
from swarfbook.decisions.check import Check
from swarfbook.reports.why import source_lines
from swarfbook.reports.words import USUAL_CAUTION
from swarfbook.tables import Row

ALWAYS = ("always", "shared-extractor")


def caution_lines(check: Check | None) -> list[str]:
    """Write the cautions of a recipe and the usual ones: headings, then paragraphs that begin with blanks.

    Args:
        check: a checked recipe; None for the usual ones alone.
    """
    lines = []
    if check is not None:
        own = rows_about(check.case)
        told = {row.text("caution") for row in own}
        numbers = [text for text in check.cautions if text not in told]
        if numbers:
            lines += ["Of this recipe's numbers", *(f"  {text}" for text in numbers), ""]
        lines += [
            "Of its material, cutter and cooling",
            *_told(row for row in own if row.id not in ALWAYS),
            "",
        ]
    cautions = tables.load("cautions")
    return [*lines, "Always", *_told(cautions.get(name) for name in ALWAYS), f"  {USUAL_CAUTION}"]


def _told(rows: Iterable[Row]) -> Iterator[str]:
    for row in rows:
        yield f"  {row.text('caution')}"
        first, second = source_lines(row)
        yield f"    {second.strip() if row.source else row.source_kind}; {first}"


def caution_json(check: Check) -> dict[str, object]:
    """Give the cautions as one object, those with a table row with its source."""
    rows = {row.text("caution"): row for row in [*rows_about(check.case), *map(_caution, ALWAYS)]}
    told = [*check.cautions, *(text for text in rows if text not in check.cautions), USUAL_CAUTION]
    return {
        "recipe": check.case.recipe_id,
        "cautions": [{"caution": text, **(rows[text].provenance() if text in rows else {})} for text in told],
    }


def _caution(name: str) -> Row:
    return tables.load("cautions").get(name)
