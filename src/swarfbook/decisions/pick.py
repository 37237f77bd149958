"""Picking a recipe for a job: what the book has, the proven first, and what rules the others out."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Literal

from swarfbook import quantities
from swarfbook.book import Book
from swarfbook.decisions import case as cases
from swarfbook.decisions.adapt import Adapted, Wanted, adapted
from swarfbook.decisions.as_json import check_json
from swarfbook.decisions.case import Case
from swarfbook.decisions.check import Check, check
from swarfbook.decisions.evidence import PastOf, past_once
from swarfbook.decisions.past import LOADS, excess_text
from swarfbook.decisions.risk import load_chances
from swarfbook.decisions.room import wall_roughness
from swarfbook.decisions.titles import title
from swarfbook.errors import SwarfbookError
from swarfbook.records import Tool

Fit = Literal["covered", "holds", "tight", "over", "cannot"]
FITS: tuple[Fit, ...] = ("covered", "holds", "tight", "over", "cannot")
"""From the best to the worst."""
USABLE: tuple[Fit, ...] = ("covered", "holds", "tight")
HANDS_OFF_RISK = 0.01
"""Chance that a load's limit may have of being passed with no hand on the controls."""
CORNER_ROOM = 0.9
"""Share of an inside corner up to which a cutter's radius turns in it and does not stop: common practice."""
FINISHING = ("finish", "semi-finish", "face-finish")
HAIR = 1e-9


@dataclass(frozen=True, slots=True)
class Asked:
    """What a job asks; None where it does not.

    Attributes:
        material, machine: ids.
        operation: the operation's word.
        wall: height of the wall [m].
        inside_corner: smallest radius in plan [m].
        slot: width of the narrowest slot [m].
        tolerance: of the wall [m].
        roughness: mean roughness of the wall [m].
        minutes: time it will run at a stretch [min].
        hands_off: no hand on the controls, someone within reach of the stop.
        margin: share of every limit on a load that is to be left free [1].
    """

    material: str
    operation: str
    machine: str | None = None
    wall: float | None = None
    inside_corner: float | None = None
    slot: float | None = None
    tolerance: float | None = None
    roughness: float | None = None
    minutes: float | None = None
    hands_off: bool = False
    margin: float = 0.0


@dataclass(frozen=True, slots=True)
class Candidate:
    """One recipe that was looked at.

    Attributes:
        recipe: its id; of an adapted one, that of the recipe it comes from.
        fit: how well it fits.
        reasons: why no better, with the numbers; what rules it out where it cannot.
        check: it checked for this job.
        adapted: how it was adapted; None for a recipe of the book as it stands.
    """

    recipe: str
    fit: Fit
    reasons: tuple[str, ...]
    check: Check
    adapted: Adapted | None = None

    @property
    def removal_rate(self) -> float:
        """Removal rate [m^3/s]."""
        return float(self.check.numbers.material_removal_rate)

    @property
    def usable(self) -> bool:
        """Whether it may be run as it is."""
        return self.fit in USABLE


def pick(
    book: Book, asked: Asked, *, past: PastOf | None = None, watch: Callable[[], object] | None = None
) -> list[Candidate]:
    """Rank the recipes of a book for a job: covered first, then inside their limits, then by time.

    Where none may be run as it is, the nearest recipes are adapted and stand behind the others as trials.

    Args:
        book: the book.
        asked: what the job asks.
        past: gives what is known of runs; None takes it from the book's log.
        watch: called between recipes; what it raises ends it.

    Raises:
        SwarfbookError: the material or the machine is not in the book.
    """
    book.get("material", asked.material)
    if asked.machine is not None:
        book.get("machine", asked.machine)
    past, watch = past or past_once(book), watch or _unwatched
    near, far = _of_operation(book, asked, watch)
    found = [judged(case, asked) for case in _cases(book, near, past, watch)]
    if not any(one.usable for one in found):
        others = _cases(book, far, past, watch)
        found += _adapted(book, asked, [*(one.check.case for one in found), *others], past)
    return sorted(found, key=_order)


def _of_operation(book: Book, asked: Asked, watch: Callable[[], object]) -> tuple[list[str], list[str]]:
    """Give the recipes of the operation: those of the job's material and machine, and the others."""
    near, far = list[str](), list[str]()
    for brief in book.index.look():
        watch()
        if brief.operation == asked.operation:
            fits = brief.material == asked.material and asked.machine in (None, brief.machine)
            (near if fits else far).append(brief.id)
    return near, far


def _cases(book: Book, recipes: Iterable[str], past: PastOf, watch: Callable[[], object]) -> Iterator[Case]:
    """Yield those recipes that read and fit together."""
    for recipe in recipes:
        watch()
        case = _readable(book, recipe, past)
        if case is not None:
            yield case


def _unwatched() -> None:
    """Nobody looks on."""


def _readable(book: Book, recipe: str, past: PastOf) -> Case | None:
    try:
        case = cases.load_case(book, recipe)
    except SwarfbookError:
        return None
    three = (case.recipe.machine, case.recipe.tool, case.recipe.material)
    return cases.with_past(case, past(three, (case.machine, case.tool, case.material)))


def _order(one: Candidate) -> tuple[int, int, float, str]:
    return FITS.index(one.fit), one.adapted is not None, -one.removal_rate, one.recipe


def judged(case: Case, asked: Asked, adaptation: Adapted | None = None) -> Candidate:
    """Say how well one recipe fits a job."""
    case = _with_tolerance(case, asked)
    one = check(case)
    ruled_out = (*rules_out(case.tool, case.recipe.stickout, asked), *_cannot(one, asked))
    strained = tuple(_strained(one, asked))
    return Candidate(
        recipe=adaptation.source if adaptation else case.recipe_id,
        fit=_fit(one, ruled_out, strained),
        reasons=ruled_out or (*strained, *_worth_knowing(one, asked)),
        check=one,
        adapted=adaptation,
    )


def _with_tolerance(case: Case, asked: Asked) -> Case:
    if asked.tolerance is None:
        return case
    text = quantities.write(float(f"{asked.tolerance * 1000:.10g}"), "mm")
    return cases.with_values(case, {**case.values, "tolerance": text})


def _fit(one: Check, ruled_out: tuple[str, ...], strained: tuple[str, ...]) -> Fit:
    if ruled_out:
        return "cannot"
    if one.over:
        return "over"
    if strained:
        return "tight"
    return "covered" if one.covered else "holds"


def rules_out(tool: Tool, stickout: float, asked: Asked) -> Iterator[str]:
    """Yield what of a cutter's shape rules it out, with both numbers."""
    reach = min(tool.reach or tool.flute_length, stickout)
    if asked.wall is not None and asked.wall > reach * (1 + HAIR):
        yield f"reach {_shown(reach)}, wall {_shown(asked.wall)}"
    if asked.inside_corner is not None and tool.diameter / 2 > asked.inside_corner * (1 + HAIR):
        yield f"cutter radius {_shown(tool.diameter / 2)}, inside corner {_shown(asked.inside_corner)}"
    if asked.slot is not None and tool.diameter > asked.slot * (1 + HAIR):
        yield f"cutter {_shown(tool.diameter)}, slot {_shown(asked.slot)}"


def _cannot(one: Check, asked: Asked) -> Iterator[str]:
    if one.case.recipe.standing == "retired":
        yield "retired"
    if asked.roughness is not None and one.case.recipe.operation in FINISHING:
        rough = float(wall_roughness(one.case, one.numbers))
        if rough > asked.roughness * (1 + HAIR):
            yield f"roughness about {_shown(rough, 'um')}, asked {_shown(asked.roughness, 'um')}"
    if asked.hands_off:
        for name, chance in load_chances(one).items():
            if chance > HANDS_OFF_RISK:
                yield f"hands off: chance of passing {title(name)} {100 * chance:.1f} %, at most 1 %"


def _strained(one: Check, asked: Asked) -> Iterator[str]:
    most = 1 - asked.margin
    for limit in one.limits:
        if limit.severity != "hard" or limit.use is None:
            continue
        if limit.use > 1:
            yield f"{title(limit.name)} over: {limit.use:.2f} of its limit"
        elif one.demands[limit.name].name in LOADS and limit.use > most * (1 + HAIR):
            yield f"{title(limit.name)} uses {limit.use:.2f} of its limit, {most:.2f} with the margin asked"
        elif limit.verdict == "tight" and one.demands[limit.name].name in LOADS:
            yield f"{title(limit.name)} uses {limit.use:.2f} of its limit"


def _worth_knowing(one: Check, asked: Asked) -> Iterator[str]:
    furthest = one.furthest_beyond
    if furthest is not None:
        yield f"beyond what has run clean by {excess_text(furthest.beyond or 0.0)} in {title(furthest.name)}"
    radius = one.case.tool.diameter / 2
    if asked.inside_corner is not None and radius > CORNER_ROOM * asked.inside_corner:
        yield f"it stops in the corner: radius {_shown(radius)} in {_shown(asked.inside_corner)}"
    if asked.minutes is not None:
        longest = max((cut.minutes for cut in one.case.past.cuts if cut.clean), default=0.0)
        if longest < asked.minutes:
            yield f"longest clean run {longest:.0f} min, {asked.minutes:.0f} min asked"


def _shown(length: float, unit: str = "mm") -> str:
    return quantities.show(length, "length", unit=unit)


def _adapted(book: Book, asked: Asked, sources: list[Case], past: PastOf) -> Iterator[Candidate]:
    def fits(tool: Tool) -> bool:
        return not any(rules_out(tool, math.inf, asked))

    wanted = Wanted(asked.material, asked.machine)
    for one in adapted(book, wanted, sources, past, margin=asked.margin, fits=fits):
        yield judged(one.case, asked, one)


def pick_json(asked: Asked, candidates: list[Candidate]) -> dict[str, Any]:
    """Give a ranking as one object; lengths in mm, removal rates in cm^3/min."""
    return {"asked": _asked_json(asked), "candidates": [_candidate_json(one) for one in candidates]}


def _asked_json(asked: Asked) -> dict[str, Any]:
    lengths = ("wall", "inside_corner", "slot", "tolerance", "roughness")
    told: dict[str, Any] = {name: getattr(asked, name) for name in Asked.__slots__}
    return told | {name: told[name] * 1000 for name in lengths if told[name] is not None}


def _candidate_json(one: Candidate) -> dict[str, Any]:
    rate = one.check.figures["material_removal_rate"]
    furthest = one.check.furthest_beyond
    return {
        "recipe": one.recipe,
        "standing": "trial" if one.adapted else one.check.case.recipe.standing,
        "fit": one.fit,
        "reasons": list(one.reasons),
        "beyond_mark": furthest.beyond if furthest else None,
        "removal_rate": rate.in_unit(one.removal_rate),
        "adapted_from": one.adapted.source if one.adapted else None,
        "values": dict(one.check.case.values) if one.adapted else None,
        "to_prove": list(one.adapted.to_prove) if one.adapted else [],
        "check": check_json(one.check),
    }
