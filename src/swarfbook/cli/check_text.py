"""The page of a check, and the head that it shares with what `show` prints."""

from __future__ import annotations

from swarfbook.cli.text import indented, page_width
from swarfbook.decisions.check import Check
from swarfbook.decisions.titles import title
from swarfbook.reports.breaking import wrap
from swarfbook.reports.evidence_page import covered_text, learnt_text, record_text
from swarfbook.reports.ladder import ladder_text, rung_note
from swarfbook.reports.sentence import sentence_of, sentence_text


def head_text(check: Check, units: str | None) -> str:
    """Write the sentence, and what standing it has."""
    recipe = check.case.recipe
    sentence = sentence_text(sentence_of(check.case, system=units), width=page_width())
    derived = f" · backed off from {recipe.derived.from_}" if recipe.derived else ""
    ran = record_text(check)
    standing = wrap(f"{recipe.standing}{f' · {ran}' if ran else ''}{derived}", width=page_width())
    return "\n".join([recipe.name, "", sentence, *standing])


def check_text(check: Check, units: str | None, *, plain: bool = False) -> str:
    """Write a check: the sentence, the ladder, why the strained rungs are strained, and cautions."""
    width, system = page_width(), units or "metric"
    strained = [limit for limit in check.limits if limit.verdict in ("tight", "over")]
    notes = [" ".join(rung_note(check, limit, system=system)) for limit in strained]
    tightest = check.tightest
    parts = [
        head_text(check, units),
        ladder_text(check, width=width, plain=plain, system=system),
        "\n".join(indented(filter(None, [covered_text(check), learnt_text(check)]), width)),
        "\n".join(indented(notes, width)),
        "\n".join(indented((f"Mind: {line}" for line in check.cautions), width)),
        f"{check.verdict}: the tightest hard limit is {title(tightest.name)}, use {tightest.use or 0.0:.2f}",
    ]
    return "\n\n".join(part for part in parts if part)
