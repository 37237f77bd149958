"""docs/reference/quantities.md: every quantity a check reports, and the demands that only limits use."""

from __future__ import annotations

from collections.abc import Iterable

from support.reference.demo import leaving_figures
from support.reference.markdown import code, codes, head, item, joined, sentence, table
from support.reference.prose import prose
from swarfbook.decisions.figures import RUNG_SPECS, SPECS, Figure, Spec
from swarfbook.decisions.titles import title

Quantity = Spec | Figure


def every_quantity() -> dict[str, Quantity]:
    """Give every quantity of a check's JSON by name."""
    return {spec.name: spec for spec in SPECS} | dict(leaving_figures())


def words_of(one: Quantity) -> str:
    """Say what a quantity is; those whose own words tell of one recipe have others."""
    return prose()["quantities"].get(one.name, one.origin)


def page() -> str:
    """Set the page."""
    lines = head("Quantities", prose()["intros"]["quantities"])
    lines += ["## In every check", "", *_table(SPECS)]
    lines += ["## Only where the cut has them", "", *_table(leaving_figures().values())]
    lines += ["## Demands that only limits use", "", *_table(RUNG_SPECS)]
    lines += ["## What each rests on", ""]
    lines += [
        item(f"`{one.name}`: {codes(one.needs)}")
        for one in (*SPECS, *leaving_figures().values(), *RUNG_SPECS)
    ]
    return joined(lines)


def _table(found: Iterable[Quantity]) -> list[str]:
    rows = [
        [code(one.name), title(one.name), one.unit or "1", sentence(words_of(one)), code(one.formula)]
        for one in found
    ]
    return table(["name", "title", "unit", "what it is, or where it comes from", "how"], rows)
