"""A judged job as the sheet that hangs at the machine."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime

from swarfbook import quantities
from swarfbook.decisions.jobs.judging import JobReport, StepReport
from swarfbook.decisions.titles import title
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.reports import job_words as say
from swarfbook.reports.job_page import turning, verdict_line
from swarfbook.reports.sentence import COOLINGS
from swarfbook.reports.sheets.card import Card, Stop
from swarfbook.reports.words import counted

ENDINGS = (".pdf", ".html", ".txt")
TEXT_COLUMNS = 80


def job_card(report: JobReport, *, system: str, day: datetime | None = None) -> Card:
    """Give the words of a job's sheet.

    Args:
        report: the job.
        system: units to show, `metric` or `imperial`.
        day: of printing; None is today.
    """
    printed = (day or datetime.now(UTC)).strftime("%d %B %Y").lstrip("0")
    return Card(
        title=report.case.job.name,
        subtitle=verdict_line(report),
        facts=tuple(_facts(report, system)),
        stops=tuple(_stop(report, index, system) for index in range(len(report.steps))),
        warnings=tuple(_warnings(report, system)),
        cautions=report.cautions,
        foot=f"Every figure is an estimate; makers' limits come first. Printed {printed}.",
    )


def _facts(report: JobReport, system: str) -> Iterator[tuple[str, str]]:
    case, job, time = report.case, report.case.job, report.time
    yield "machine", case.machine.name
    yield "material", case.material.name
    sizes = [job.stock.thickness, job.stock.width, job.stock.length]
    yield "stock", " x ".join(say.length(one, system) for one in sizes if one is not None)
    part = (job.part.thickness, job.part.width, job.part.length)
    yield "part", " x ".join(say.length(one, system) for one in part)
    yield "make", f"{counted(job.quantity, 'part')} from {counted(time.pieces_of_stock, 'piece')}"
    yield "time", f"{say.lasting(time.piece)} a piece, {say.lasting(time.total)} in all"
    yield "held by", say.holds_text(report, report.steps[0].cutting.step.side, system)


def _stop(report: JobReport, index: int, system: str) -> Stop:
    one = report.steps[index]
    case = one.cutting.case
    return Stop(
        number=one.cutting.number,
        title=say.step_title(one),
        tool=case.tool.name,
        stickout=f"{say.length(case['stickout'], system)} out of the collet",
        numbers=tuple(_numbers(one, system)),
        hold="",
        leaves=say.leaves(one, system),
        minutes=say.lasting(one.cutting.time.seconds),
        warnings=(*_strained(one), *one.warnings),
        before=_before(report, index, system),
    )


def _numbers(one: StepReport, system: str) -> Iterator[tuple[str, str]]:
    numbers, case = one.cutting.check.numbers, one.cutting.case
    yield "spindle", quantities.show(float(numbers.spindle_speed), "spindle_speed", unit="rpm")
    feed = "in/min" if system == "imperial" else "mm/min"
    yield "feed", quantities.show(float(numbers.feed_rate), "feed_rate", unit=feed)
    yield "depth", say.length(case["axial_depth"], system)
    yield "width", say.length(case["radial_width"], system)
    yield "cut", case.recipe.direction
    yield "cooling", COOLINGS[case.recipe.cooling]


def _strained(one: StepReport) -> Iterator[str]:
    for limit in one.limits:
        if limit.severity == "hard" and limit.verdict in ("tight", "over"):
            yield f"{title(limit.name)} {limit.verdict}, {limit.use or 0.0:.2f} of what it may"


def _before(report: JobReport, index: int, system: str) -> str:
    wait, step = report.time.waits[index], report.steps[index].cutting.step
    told = []
    if index and step.side != report.steps[index - 1].cutting.step.side:
        told.append(turning(report, system))
    if wait.pause:
        told.append(f"wait {say.lasting(wait.pause)} for the stock to cool")
    return "; ".join(told)


def _warnings(report: JobReport, system: str) -> Iterator[str]:
    yield from report.warnings
    yield from (say.relocation_text(one, system) for one in report.relocations if one.verdict != "covered")


def sheet_bytes(report: JobReport, ending: str, *, system: str) -> bytes:
    """Give the sheet as a file of a kind.

    Args:
        report: the job.
        ending: of the file's name, `.pdf`, `.html` or `.txt`.
        system: units to show.

    Raises:
        SwarfbookError: another ending, or a PDF without the extra that writes it.
    """
    card = job_card(report, system=system)
    if ending == ".pdf":
        from swarfbook.reports.sheets.card_pdf import pdf  # noqa: PLC0415 - an extra

        return pdf(card, paper="letter" if system == "imperial" else "a4")
    if ending == ".html":
        from swarfbook.reports.sheets.card_html import html  # noqa: PLC0415 - rarely asked for

        return html(card).encode()
    if ending == ".txt":
        from swarfbook.reports.sheets.card_text import text  # noqa: PLC0415 - as above

        return f"{text(card, TEXT_COLUMNS)}\n".encode()
    raise SwarfbookError(
        Problem("--sheet", "", ending or "no ending", f"end the name in {', '.join(ENDINGS)}")
    )
