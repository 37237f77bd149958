"""What `swarfbook derate RECIPE` prints for people."""

from __future__ import annotations

from swarfbook import quantities
from swarfbook.cli.text import INDENT, indented, page_width
from swarfbook.decisions.derate import LOAD_WORDS, Derating, percent_text
from swarfbook.reports.sentence import sentence_of, sentence_text
from swarfbook.reports.words import title


def derate_text(derating: Derating, units: str | None) -> str:
    """Write a derating: the promise, what each load comes to, the child as a sentence."""
    width = page_width()
    share = 1 - derating.margin
    lines = [
        f"Backing off {derating.parent} by {percent_text(derating.margin)}, {derating.method}",
        f"Promise: power, torque, force, bending and deflection each at most {share:.2f} of it",
        "",
        *(_load_line(derating, name) for name in LOAD_WORDS),
        f"{INDENT}{'removal rate':<16}{derating.removal_rate_ratio:>7.3f}",
        "",
        sentence_text(sentence_of(derating.check.case, system=units), width=width),
    ]
    if derating.note:
        lines += ["", *indented([derating.note], width)]
    lines += ["", _outcome(derating)]
    return "\n".join(lines)


def _load_line(derating: Derating, name: str) -> str:
    demand = next(one for one in derating.demands if one.name == name)
    figure = derating.check.figures[name]
    before, after = (
        quantities.show(si, figure.dimension, unit=figure.unit) for si in (demand.parent, demand.child)
    )
    short = "" if demand.ratio <= 1 - derating.margin else "  short"
    return f"{INDENT}{LOAD_WORDS[name]:<16}{demand.ratio:>7.3f}   {before:>14} -> {after}{short}"


def _outcome(derating: Derating) -> str:
    if not derating.reached:
        return "not reached: nothing is saved"
    tightest = derating.check.tightest
    use = f"{title(tightest.name)}, use {tightest.use or 0.0:.2f}"
    return f"reached; the child's tightest limit is {use}, {derating.check.verdict}"
