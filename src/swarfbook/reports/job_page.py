"""A judged job for people: its steps as a table, then what is not well, the stock, the warmth, the cost."""

from __future__ import annotations

from collections.abc import Iterator

from swarfbook.decisions.jobs.cures import Trouble, cures, troubles
from swarfbook.decisions.jobs.judging import JobReport, StepReport
from swarfbook.decisions.jobs.making import Judged
from swarfbook.decisions.jobs.stocking import Size
from swarfbook.decisions.titles import said
from swarfbook.reports import job_words as say
from swarfbook.reports.heat_page import heat_lines
from swarfbook.reports.plain import plain as in_ascii
from swarfbook.reports.words import counted, cut_to, in_system, wrapped

NUMBERS, TIGHTEST, VERDICT = 21, 20, 10
"""Columns that a step's numbers, its tightest limit and its verdict take."""
MOST_TOLD = 3
"""Cutters that cannot make a feature told by name, the nearest to it first."""
DEAR = 1.2
"""How many times the deflection at its shortest a cutter may bend before that is told."""
ROOMY = 78
"""Columns from which the tightest limit is told beside the verdict."""


def job_lines(report: JobReport, *, width: int, system: str, plain: bool = False) -> list[str]:
    """Write a judged job.

    Args:
        report: the job.
        width: columns there are.
        system: units to show, `metric` or `imperial`.
        plain: ASCII only.
    """
    parts = (
        head_lines(report, width=width, system=system),
        step_lines(report, width=width, system=system),
        *job_blocks(report, width=width, system=system, plain=plain),
        list(wrapped([verdict_line(report)], width=width)),
    )
    lines = [line for part in parts for line in (*part, "")][:-1]
    return [in_ascii(line) for line in lines] if plain else lines


def job_blocks(report: JobReport, *, width: int, system: str, plain: bool = False) -> list[list[str]]:
    """Write what there is to tell besides the steps, a block of lines each; arguments as of `job_lines`."""
    texts = (
        _troubles(report, system),
        _features(report, system),
        _stock(report, system),
        None,
        _relocations(report, system),
        _time_and_money(report),
        _warnings(report),
        (f" Mind: {line}" for line in report.cautions),
    )
    blocks = [
        heat_lines(report, width=width, system=system, plain=plain)
        if text is None
        else list(wrapped((in_system(line, system) for line in text), width=width))
        for text in texts
    ]
    return [block for block in blocks if block]


def head_lines(report: JobReport, *, width: int, system: str) -> list[str]:
    """Name the job: what, how many, of what, on what."""
    job, case = report.case.job, report.case
    size = " x ".join(
        say.length(one, system) for one in (job.part.thickness, job.part.width, job.part.length)
    )
    made = counted(job.quantity, "part")
    each = f", {counted(job.pieces, 'part')} a piece" if job.pieces > 1 else ""
    return [
        *wrapped([job.name], width=width),
        *wrapped([f"{made} of {case.material.name}, {size}, in the {case.machine.name}{each}"], width=width),
    ]


def step_lines(report: JobReport, *, width: int, system: str) -> list[str]:
    """Write the steps as a table: what, how long, how warm, how much of the hold, what is tightest."""
    tight = TIGHTEST if width >= ROOMY else 0
    wide = max(width - NUMBERS - VERDICT - tight - 6, 12)
    head = f"    {'':<{wide}}{'runs':>8}{'stock':>7}{'hold':>6}"
    lines = [f"{head}  {'tightest':<{tight}}".rstrip() if tight else head]
    side = None
    for one in report.steps:
        if side not in (None, one.cutting.step.side):
            lines.append(f"    {cut_to(turning(report, system), width - 4)}")
        side = one.cutting.step.side
        lines.append(_step_line(one, wide, tight, system))
    return lines


def _step_line(one: StepReport, wide: int, tight: int, system: str) -> str:
    hold = "?" if one.holding.use is None else f"{one.holding.use:.2f}"
    tightest = f"{cut_to(say.tightest_text(one), tight - 1):<{tight}}" if tight else ""
    return (
        f"{one.cutting.number:>3} {cut_to(say.step_title(one), wide - 1):<{wide}}"
        f"{say.lasting(one.cutting.time.seconds):>8}{say.warmth(one.temperature.value, system):>7}{hold:>6}"
        f"  {tightest}{one.verdict}"
    ).rstrip()


def turning(report: JobReport, system: str) -> str:
    """Say how the piece is turned over and found again."""
    flip = report.case.job.flip
    found = say.LOCATED[flip.locate] if flip else "again"
    return f"turn it over, find it {found}; held by {say.holds_text(report, 'second', system)}"


def _troubles(report: JobReport, system: str) -> Iterator[str]:
    """Say which holds are not well, why, and what would help."""
    unjudged = [one for one in report.steps if one.holding.use is None]
    found = troubles(report)
    if not found and not unjudged:
        return
    yield "The hold"
    for one in unjudged:
        yield f"  step {one.cutting.number}, {say.step_title(one).lower()}: not judged"
        yield from (f"    would do: {line}" for line in one.holding.remedies)
    for trouble in found:
        yield from _trouble(trouble, report, system)
    yield from (f"  would do: {say.cure_text(cure, system)}" for cure in cures(report))


def _trouble(trouble: Trouble, report: JobReport, system: str) -> Iterator[str]:
    one = trouble.report
    weakest = one.holding.weakest
    way = f" in {weakest.name}" if weakest else ""
    held, warm = (
        say.holds_text(report, one.cutting.step.side, system),
        say.warmth(one.temperature.value, system),
    )
    yield (
        f"  step {one.cutting.number}, {say.step_title(one).lower()}: {one.holding.verdict}, "
        f"{one.holding.use or 0.0:.2f} of what {held} stands{way} with the stock at {warm}"
    )
    if one.holding.too_warm:
        yield f"    {one.holding.too_warm}"
    if trouble.cool is None:
        yield "    it would be so in cold stock too"


def _features(report: JobReport, system: str) -> Iterator[str]:
    yield "Can it be made"
    for judged in report.features.values():
        yield f"  {said(judged.feature.id)}: {_made_with(judged, system)}"
        yield from (f"    not {text}" for text in _cannot(judged)[:MOST_TOLD])
        if len(_cannot(judged)) > MOST_TOLD:
            yield f"    nor {counted(len(_cannot(judged)) - MOST_TOLD, 'other')} (--json has them all)"


def _cannot(judged: Judged) -> list[str]:
    """Name the cutters of the right shape that cannot make a feature, and by how much."""
    fits = [fit for fit in judged.fits if fit.faults and all(one.kind != "shape" for one in fit.faults)]
    return [f"{fit.tool}: {fit.reason}" for fit in fits]


def _made_with(judged: Judged, system: str) -> str:
    able = [fit for fit in judged.fits if fit.verdict != "cannot"]
    if not able:
        return "no cutter of the drawer can; --reply says what would cure it"
    best = able[0]
    others = f", and {len(able) - 1} more" if len(able) > 1 else ""
    told = [best.reason] if best.reason else []
    if best.cost and best.cost.total > DEAR:
        out = say.length(best.cost.stickout, system)
        told.append(f"{out} out it bends {best.cost.total:.1f} times as much as at its shortest")
    return f"{best.tool}{others}" + (f" ({'; '.join(told)})" if told else "")


def _stock(report: JobReport, system: str) -> Iterator[str]:
    plan, job = report.stock, report.case.job
    yield "Stock"
    for room in plan.rooms:
        state = "left" if room.left >= 0 else "missing"
        sure = "" if room.sure is not False else ", not sure at the low end of its tolerance"
        over = f"{say.length(abs(room.left), system)} {state}{sure}"
        yield f"  {room.way} {say.length(room.stock, system)}: {over}"
    if plan.buy is not None:
        waste = "" if plan.waste is None else f", {100 * plan.waste:.0f} % of it goes to waste"
        yield (
            f"  {counted(plan.parts_per_sold, 'part')} from each {said(job.stock.form)} as bought: "
            f"{plan.buy} to buy{waste}"
        )
    if not plan.fits and plan.sizes:
        yield f"  sizes that would hold it: {', '.join(_size(one, system) for one in plan.sizes[:3])}"
    for saving in plan.savings[:2]:
        less = (
            f"{say.length(saving.less, system)} less {saving.way}"
            if saving.less
            else f"a smaller {saving.way}"
        )
        yield f"  {less} would save {100 * saving.share:.0f} % of the material"
    if job.bed.cut_in:
        cut_in, thick = (say.length(one, system) for one in (job.bed.cut_in, job.bed.thickness))
        yield f"  cutters go {cut_in} into {thick} of bed"


def _size(one: Size, system: str) -> str:
    wide = "" if one.width is None else f" x {say.length(one.width, system)}"
    return f"{say.length(one.thickness, system)}{wide} ({one.ratio:.2f} of the material)"


def _relocations(report: JobReport, system: str) -> Iterator[str]:
    if report.relocations:
        yield "The second side"
        yield from (f"  {say.relocation_text(one, system)}" for one in report.relocations)


def _time_and_money(report: JobReport) -> Iterator[str]:
    time, bill, currency = report.time, report.bill, report.case.job.currency
    yield "Time and money"
    pieces = counted(time.pieces_of_stock, "piece")
    yield (
        f"  {say.lasting(time.piece)} a piece, {say.lasting(time.cutting)} of it running; "
        f"{say.lasting(time.total)} for {pieces} of stock"
    )
    longest = say.lasting(time.hands_off)
    yield f"  longest stretch without a hand {longest}"
    if time.derating:
        yield f"  backing off costs {say.lasting(time.derating * time.pieces_of_stock)} of that"
    if bill.total is not None:
        known = {"machine": bill.machine, "material": bill.material}
        told = ", ".join(
            f"{name} {say.money(sum_, currency)}" for name, sum_ in known.items() if sum_ is not None
        )
        total, each = say.money(bill.total, currency), say.money(bill.each, currency)
        yield f"  {told}: {total}, {each} a part, an estimate"


def _warnings(report: JobReport) -> Iterator[str]:
    yield from (f" {line}" for line in report.warnings)
    for one in report.steps:
        yield from (f" step {one.cutting.number}: {line}" for line in one.warnings)


def verdict_line(report: JobReport) -> str:
    """Say whether the job may be run, and what is worst."""
    verdict = say.VERDICTS[report.verdict]
    if report.verdict == "cannot":
        return verdict
    short = next((one for one in report.relocations if one.verdict == "short"), None)
    if short is not None and report.worst.verdict not in ("over", "not judged"):
        return f"{verdict}; on the second side {said(short.feature)} has too little left"
    worst = report.worst
    return f"{verdict}; first to give is step {worst.cutting.number}, {say.tightest_text(worst)}"
