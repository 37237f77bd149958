"""A judged job as rows to walk, steps first and then what else is told, each with lines to read below."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import groupby

from swarfbook import quantities
from swarfbook.decisions.check import Limit
from swarfbook.decisions.jobs.judging import JobReport, StepReport
from swarfbook.decisions.jobs.loading import Cutting
from swarfbook.decisions.titles import title
from swarfbook.errors import Problem
from swarfbook.reports import job_words as say
from swarfbook.reports.breaking import wrap
from swarfbook.reports.job_page import head_lines, step_lines, turning, verdict_line
from swarfbook.reports.ladder import Layout, Rung, heading, row, rung_unit, rungs
from swarfbook.reports.trouble_page import trouble_text
from swarfbook.reports.words import cut_to, wrapped
from swarfbook.tui.job_facts import in_full
from swarfbook.tui.job_shelf import VERDICT_STYLES
from swarfbook.tui.lines import Line

ROOMY = 72  # columns from which the table of steps has room for all its columns
TIGHTEST, VERDICT = 20, 10  # columns of what is tightest and of the verdict where it has not
NAME = 20  # columns of what else is told
HEAT, MIND = "Stock temperature", "Mind: "
POINTER = 2  # columns of the pointer before a row
STRAINED = ("tight", "over")
POINT = re.compile(r"\d+\. ")
APART = " "
"""Heading of what else is told: a blank row."""


@dataclass(frozen=True, slots=True)
class Part:
    """A row of the page.

    Attributes:
        id: what tells it from the others.
        name: what it is called.
        group: the heading it stands under; empty for none.
        line: gives its row for a number of columns.
        tell: gives what is to say of it, for a number of columns.
        recipe: id of a step's recipe; empty for what is no step.
        verdict: of a step.
    """

    id: str
    name: str
    group: str
    line: Callable[[int], str]
    tell: Callable[[int], Sequence[str]]
    recipe: str = ""
    verdict: str = ""

    @property
    def words(self) -> str:
        """Nothing is looked for on this page."""
        return ""


Blocks = Sequence[Sequence[str]]
"""What else is told of a job, each with its heading as the first line."""


def step_parts(report: JobReport, system: str, unsaved: frozenset[str]) -> Iterator[Part]:
    """Yield a row for every step.

    Args:
        report: the job.
        system: units to show.
        unsaved: recipes with changes that are not saved.
    """
    for at, one in enumerate(report.steps):
        second = one.cutting.step.side == "second"
        yield Part(
            id=f"step {one.cutting.number}",
            name=say.step_title(one),
            group=turning(report, system) if second else "",
            line=partial(_step_line, report, at, system),
            tell=partial(_step_told, report, at, system, unsaved),
            recipe=one.cutting.step.recipe,
            verdict=one.verdict,
        )


def head(report: JobReport, width: int, system: str) -> list[Line]:
    """Say what is made of what on what, and whether it may be run; then what the columns of the steps are."""
    _, *made = head_lines(report, width=width - 2, system=system)
    said, style = verdict_line(report), VERDICT_STYLES.get(report.verdict, "plain")
    word = said[: len(report.verdict)]
    first, *more = wrapped([said], width=width - 2)
    return [
        [(f" {cut_to(' '.join(made), width - 2)}", "plain")],
        [(" ", "plain"), (word, style), (first.removeprefix(word), "plain")],
        *[[(f" {line}", "plain")] for line in more],
        [(" " * POINTER + table_head(report, width - POINTER, system), "faint")],
    ]


def row_line(part: Part, width: int, *, chosen: bool) -> Line:
    """Write a row, the chosen one pointed at, a strained verdict set apart."""
    style = "strong" if chosen else "plain"
    text = f"{'▸' if chosen else ' '}{' ' * (POINTER - 1)}{part.line(width - POINTER)}"
    if not part.verdict or not text.endswith(part.verdict):
        return [(text, style)]
    verdict = (part.verdict, VERDICT_STYLES.get(part.verdict, style))
    return [(text.removesuffix(part.verdict), style), verdict]


def table_head(report: JobReport, width: int, system: str) -> str:
    """Write the line above the steps."""
    if width >= ROOMY:
        return step_lines(report, width=width, system=system)[0]
    return f"{'':{max(width - TIGHTEST - VERDICT, 0)}}tightest"


def _step_line(report: JobReport, at: int, system: str, width: int) -> str:
    one = report.steps[at]
    if width >= ROOMY:
        # The table has a line above it, and one that says how the piece is turned over.
        _, *table = step_lines(report, width=width, system=system)
        return [line for line in table if line[:3].strip()][at]
    room = width - 4 - TIGHTEST - VERDICT
    name = cut_to(say.step_title(one), room - 1)
    tight = cut_to(say.tightest_text(one), TIGHTEST - 1)
    return f"{one.cutting.number:>3} {name:<{room}}{tight:<{TIGHTEST}}{one.verdict}"


# A step in full


def _step_told(report: JobReport, at: int, system: str, unsaved: frozenset[str], width: int) -> list[str]:
    one = report.steps[at]
    said = [line for line in _said(report, at, system, unsaved) if line]
    return [*wrapped([_named(one.cutting)], width=width), *_rungs(one, system, width),
            *wrapped(said, width=width)]  # fmt: skip


def _named(one: Cutting) -> str:
    return f"{one.case.recipe.name}, {one.case.tool.name} ({one.step.recipe})"


def _rungs(one: StepReport, system: str, width: int) -> list[str]:
    """Draw the rungs that matter: those of the job, the recipe's tightest, and what is tight or over."""
    check = one.cutting.check
    known = {rung.limit: rung for rung in rungs(check, system=system)}
    mine = [limit for limit in one.limits if limit.use is not None and _matters(one, limit)]
    layout = Layout(width - 1)
    shown = [known[limit.name] if limit.name in known else _rung(limit, system) for limit in mine]
    return [heading(layout), *(row(rung, layout) for rung in shown)]


def _matters(one: StepReport, limit: Limit) -> bool:
    check = one.cutting.check
    own = limit.name not in check.demands or limit.name == check.tightest.name
    return own or (limit.severity == "hard" and limit.verdict in STRAINED)


def _rung(limit: Limit, system: str) -> Rung:
    unit = rung_unit(limit, system)
    use, most = limit.use or 0.0, limit.limit or 0.0
    asks, of = (_number(si, limit.dimension, unit) for si in (limit.demand, most))
    return Rung(
        limit=limit.name,
        title=title(limit.name),
        asks=asks,
        of=of,
        unit=quantities.pretty(unit),
        use=use,
        low=use,
        high=use,
        mark=None,
        disputed=False,
        verdict=limit.verdict,
        advice=limit.severity == "advice",
        assumed=bool(limit.assumed_inputs),
    )


def _number(si: float, dimension: str, unit: str) -> str:
    return quantities.show(si, dimension, unit=unit).removesuffix(quantities.pretty(unit)).strip()


def _said(report: JobReport, at: int, system: str, unsaved: frozenset[str]) -> Iterator[str]:
    one = report.steps[at]
    held, cutting = one.holding, one.cutting
    uses = ", ".join(f"{way.name} {way.use:.2f}" for way in held.ways if way.use is not None)
    yield f"held by {say.holds_text(report, cutting.step.side, system)}: {uses or 'not judged'}"
    yield from (f"  would do: {line}" for line in held.remedies)
    yield from (f"  {line}" for line in held.remarks)
    yield _runs(report, at, system)
    yield from (f"mind: {line}" for line in one.warnings)
    if cutting.step.recipe in unsaved:
        yield "its recipe has changes that are not saved; it is judged as its file has it"


def _runs(report: JobReport, at: int, system: str) -> str:
    one, wait = report.steps[at], report.time.waits[at]
    time = one.cutting.time
    before = [
        f"{say.lasting(seconds)} {what}"
        for seconds, what in (
            (wait.setup, "to fix the piece"),
            (wait.tool_change, "for the cutter"),
            (wait.pause, "of pause"),
        )
        if seconds
    ]
    parts = [f"runs {say.lasting(time.seconds)}, {100 * time.air_share:.0f} % of it in the air"]
    parts += [f"before it {', '.join(before)}"] if before else []
    parts += [f"leaves {left}"] if (left := say.leaves(one, system)) else []
    parts += [time.way.worked_out] if time.way.worked_out else []
    return "; ".join(parts)


# What else is told


def block_parts(blocks: Blocks, blocks_at: Callable[[int], Blocks], *, warmest: str) -> Iterator[Part]:
    """Yield a row for each block of the page below its steps.

    Args:
        blocks: the blocks, for some width.
        blocks_at: gives them for a number of columns.
        warmest: how warm the stock gets, in words.
    """
    for at, block in enumerate(blocks):
        name = block_name(block)
        body = block if block[0].startswith(" ") else block[1:]
        told = warmest if name == HEAT else " ".join(body[0].split()).removeprefix(MIND)
        yield Part(f"block {at}", name, APART, partial(_summed, name, told), partial(_block, blocks_at, at))


def warmest(report: JobReport, system: str) -> str:
    """Say how warm the stock gets, and in which step."""
    one = max(report.steps, key=lambda step: step.temperature.value)
    return f"{say.warmth(one.temperature.value, system)} at its warmest, in step {one.cutting.number}"


def _block(blocks_at: Callable[[int], Blocks], at: int, width: int) -> Sequence[str]:
    return blocks_at(width)[at]


def block_name(block: Sequence[str]) -> str:
    """Give a short name for a block: its heading, or what it is where it has none."""
    first = block[0]
    if first.startswith(" "):
        return "Cautions" if first.strip().startswith(MIND) else "Warnings"
    return first.partition(" [")[0]


def _summed(name: str, told: str, width: int) -> str:
    return f"    {cut_to(name, NAME - 1):<{NAME}}{cut_to(told, max(width - NAME - 4, 1))}"


def letter_part(name: str, text: str) -> Part:
    """Give the row of a letter, which is broken anew where there are fewer columns than it has."""
    lines = text.rstrip("\n").split("\n")
    return Part(name, name, APART, partial(_summed, name, lines[0]), partial(_letter, lines))


def _letter(lines: Sequence[str], width: int) -> list[str]:
    if max(map(len, lines)) <= width:
        return list(lines)
    return [
        part for line in _unfolded(lines) for part in wrap(line, width, subsequent_indent=_hang(line)) or [""]
    ]


def _unfolded(lines: Sequence[str]) -> Iterator[str]:
    """Yield paragraphs and numbered points as one line each."""
    for filled, block in groupby(lines, key=bool):
        held = ""
        for line in block if filled else ():
            if held and (_is_head(held) or POINT.match(line)):
                yield held
                held = line
            else:
                held = f"{held} {line.strip()}".strip()
        yield held


def _is_head(line: str) -> bool:
    return line.endswith(":") and not POINT.match(line)


def _hang(line: str) -> str:
    return "   " if POINT.match(line) else ""


def problem_parts(problems: Sequence[Problem]) -> Iterator[Part]:
    """Yield a row for each thing that keeps a job from being judged."""
    for at, problem in enumerate(problems):
        key, text = problem.key or "the file", trouble_text(problem)
        named = in_full(key) if problem.key else key
        told = f"{problem.where}: {key}: {text}"
        yield Part(f"problem {at}", named, "", partial(_summed, named, text), partial(_broken, told))


def _broken(text: str, width: int) -> list[str]:
    return list(wrapped([text], width=width))
