"""What `swarfbook derate RECIPE` prints for people."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from swarfbook.cli.text import INDENT, indented, page_width
from swarfbook.decisions.derate import HOLD_LOADS, Derating, percent_text
from swarfbook.decisions.promise import PROMISED, Demand
from swarfbook.decisions.risk import Risk
from swarfbook.decisions.titles import title
from swarfbook.reports.breaking import wrap
from swarfbook.reports.derating import load_text
from swarfbook.reports.ladder import percent
from swarfbook.reports.sentence import sentence_of, sentence_text

if TYPE_CHECKING:
    from swarfbook.decisions.backed_off import BackedOff


def derate_text(
    derating: Derating, units: str | None, *, risk: Risk | None = None, in_job: Sequence[str] = ()
) -> str:
    """Write a derating: the promise, what each load comes to, the child as a sentence.

    Args:
        derating: the derating.
        units: units shown; None shows values as typed.
        risk: the chance it was made for; None where a margin was asked for.
        in_job: what it does to the hold of a job, a line each.
    """
    width = page_width()
    share = 1 - derating.margin
    lines = [
        *(_risk_lines(risk) if risk else ()),
        f"Backing off {derating.parent} by {percent_text(derating.margin)}, {derating.method}",
        *wrap(_promise(derating, share), width=width),
        "",
        *_load_lines(derating, units or "metric"),
        "",
        *in_job,
        sentence_text(sentence_of(derating.check.case, system=units), width=width),
    ]
    note = (risk.note if risk else "") or derating.note
    if note:
        lines += ["", *indented([note], width)]
    lines += ["", _outcome(derating)]
    return "\n".join(lines)


def hold_text(found: BackedOff) -> list[str]:
    """Say what a derating does to the hold of the job it was made for, a line each; empty without a job."""
    held = found.holds()
    if held is None or found.work is None:
        return []
    from swarfbook.reports.job_words import hold_change

    return [hold_change(found.work.job_id, *held), ""]


def _risk_lines(risk: Risk) -> Iterator[str]:
    asked = percent(risk.risk)
    if risk.reached:
        least = f"At {percent_text(risk.derating.margin)}, the smallest such margin,"
        head = f"{least} no limit on a load is likelier than {asked} to be passed:"
    else:
        head = f"A chance of at most {asked} for every limit on a load is not reached. The chances:"
    yield from wrap(head, page_width())
    for name, chance in risk.chances.items():
        yield f"{INDENT}{title(name):<16}{percent(chance)}{'' if chance <= risk.risk else '  above'}"
    yield f"{INDENT}{title('chip-thin'):<16}{percent(risk.chip_thin)}, which backing off does not lower"
    yield ""


def _promise(derating: Derating, share: float) -> str:
    hold = ", deflection and what the hold bears" if _of_hold(derating) else " and deflection"
    return f"Promise: power, torque, force, bending{hold} each at most {share:.2f} of it"


def _of_hold(derating: Derating) -> bool:
    return any(demand.name in HOLD_LOADS for demand in derating.demands)


def _load_lines(derating: Derating, system: str) -> Iterator[str]:
    names = PROMISED + (HOLD_LOADS if _of_hold(derating) else ())
    wide = max(len(title(name)) for name in names) + 2
    loads = {demand.name: demand for demand in derating.demands}
    for name in names:
        yield f"{INDENT}{title(name):<{wide}}{_load_numbers(derating, loads[name], system)}"
    yield f"{INDENT}{title('material_removal_rate'):<{wide}}{derating.removal_rate_ratio:>7.3f}"


def _load_numbers(derating: Derating, demand: Demand, system: str) -> str:
    dimension, unit = derating.measure(demand.name)
    before, after = (load_text(si, dimension, unit, system=system) for si in (demand.parent, demand.child))
    short = "" if demand.ratio <= 1 - derating.margin else "  short"
    return f"{demand.ratio:>7.3f}   {before:>14} -> {after}{short}"


def _outcome(derating: Derating) -> str:
    if not derating.reached:
        return "not reached: nothing is saved"
    tightest = derating.check.tightest
    use = f"{title(tightest.name)}, use {tightest.use or 0.0:.2f}"
    return f"reached; the child's tightest limit is {use}, {derating.check.verdict}"
