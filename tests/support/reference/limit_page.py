"""docs/reference/limits.md: every limit a recipe or a step of a job is held against."""

from __future__ import annotations

from collections.abc import Iterator

from support.reference.demo import job_limits
from support.reference.markdown import code, codes, head, item, joined, sentence, table
from support.reference.prose import prose
from support.reference.quantity_page import words_of
from swarfbook.decisions.check import Limit
from swarfbook.decisions.figures import RUNG_SPECS, SPECS
from swarfbook.decisions.limits import RUNG_ORDER, Rule
from swarfbook.decisions.titles import LIMITS, said

DEMANDS = {spec.name: spec for spec in (*SPECS, *RUNG_SPECS)}


def names() -> tuple[str, ...]:
    """Name every limit, those of a job last."""
    return (*(rule.name for rule in RUNG_ORDER), *job_limits())


def page() -> str:
    """Set the page."""
    lines = head("Limits", prose()["intros"]["limits"])
    rows = [
        [
            code(f"{one.name}"),
            LIMITS[one.name],
            one.severity,
            one.sense,
            prose()["job_units"].get(one.name, one.unit or "1"),
        ]
        for one in _all()
    ]
    lines += table(["limit", "on the ladder", "severity", "sense", "unit"], rows)
    for rule in RUNG_ORDER:
        lines += _rule(rule)
    for limit in job_limits().values():
        lines += _of_job(limit)
    return joined(lines)


def _all() -> Iterator[Rule | Limit]:
    yield from RUNG_ORDER
    yield from job_limits().values()


def _rule(rule: Rule) -> Iterator[str]:
    demand = DEMANDS[rule.demand]
    yield from (f"## {rule.name}", "")
    yield from (item(f"Demand: `{rule.demand}`, {words_of(demand)}."), item(f"Limit: {rule.origin}."))
    if rule.name in prose()["severities"]:
        yield item(sentence(prose()["severities"][rule.name]))
    if rule.needs:
        yield item(f"Rests on: {codes(rule.needs)}.")
    if rule.missing:
        yield item(f"Not judged? {sentence(rule.missing)}")
    yield from (item(f"What eases it: {', '.join(said(one) for one in rule.eases)}."), "")


def _of_job(limit: Limit) -> Iterator[str]:
    words = prose()["job_limits"][limit.name]
    yield from (f"## {limit.name}", "", item(f"With a job only; {limit.severity}."))
    yield item(sentence(words))
    if limit.eases:
        yield item(f"What eases it: {', '.join(said(one) for one in limit.eases)}.")
    yield ""
