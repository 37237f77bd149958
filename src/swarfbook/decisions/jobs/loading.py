"""A job, resolved: every step with its recipe checked and its time, every cutter of the drawer at hand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from swarfbook import records, tables
from swarfbook.book import Book
from swarfbook.decisions import case as cases
from swarfbook.decisions import evidence
from swarfbook.decisions.case import Case
from swarfbook.decisions.check import Check, check
from swarfbook.decisions.jobs.timing import StepPlace, StepTime, default_si, step_time
from swarfbook.errors import Problem, SwarfbookError, did_you_mean
from swarfbook.records import BookSettings, Machine, Material, Tool
from swarfbook.records.job import Feature, Job, volume_of
from swarfbook.records.job import Step as JobStep

RANKS = {"rough": 0, "semi-finish": 1, "finish": 2, "face-rough": 0, "face-finish": 2}
"""What comes after what on one feature: nothing is roughed that has been finished."""


@dataclass(frozen=True, slots=True)
class Cutting:
    """One step of a job, resolved.

    Attributes:
        number: from 1, as in the file.
        step, feature: what the file says.
        case, check: its recipe with what the log says of it, judged.
        time: how long it runs on one piece.
    """

    number: int
    step: JobStep
    feature: Feature
    case: Case
    check: Check
    time: StepTime


@dataclass(frozen=True, slots=True)
class JobCase:
    """A job with everything a decision needs.

    Attributes:
        job_id: its id.
        values: as typed.
        job: its record.
        machine, material: what it names.
        family, iso_group: of the material.
        settings: the book's.
        cuttings: its steps, in order.
        tools: every cutter of the book that reads, by id.
    """

    job_id: str
    values: Mapping[str, Any]
    job: Job
    machine: Machine
    material: Material
    family: str
    iso_group: str
    settings: BookSettings
    cuttings: tuple[Cutting, ...]
    tools: Mapping[str, Tool]

    @property
    def ambient(self) -> float:
        """Temperature of the workshop [K], the job's or the table's."""
        return default_si("ambient") if self.job.ambient is None else self.job.ambient


def in_units(case: JobCase, system: str) -> JobCase:
    """Have what is said of a job said in `metric` or `imperial` units, whatever its book prefers."""
    return replace(case, settings=case.settings.replaced(units=system))


def load_job(book: Book, job_id: str) -> JobCase:
    """Read a job and all it names.

    Raises:
        SwarfbookError: an unknown id, a record that does not read, or steps that cannot be cut as they stand.
    """
    entry = book.get("job", job_id)
    return _resolved(book, job_id, entry.raw, entry.record)


def job_of(book: Book, job_id: str, values: Mapping[str, Any]) -> JobCase:
    """Resolve a job's values as typed, saved or not; raises as `load_job`."""
    job = records.parse("job", dict(values), where=f"jobs/{job_id}.toml")
    return _resolved(book, job_id, values, job)


def _resolved(book: Book, job_id: str, values: Mapping[str, Any], job: Job) -> JobCase:
    where = f"jobs/{job_id}.toml"
    machine = book.require("machine", job.machine, where=where, key="machine").record
    material = book.require("material", job.material, where=where, key="material").record
    row = tables.load("materials").get(material.table)
    cuttings = _cuttings(book, job, where)
    return JobCase(
        job_id=job_id,
        values=values,
        job=job,
        machine=machine,
        material=material,
        family=row.text("family"),
        iso_group=row.text("iso_group"),
        settings=book.settings,
        cuttings=cuttings,
        tools={entry.id: entry.record for entry in book.entries("tool")[0]},
    )


def _cuttings(book: Book, job: Job, where: str) -> tuple[Cutting, ...]:
    """Resolve every step; raises with the problems of all of them."""
    cuttings: list[Cutting] = []
    problems: list[Problem] = []
    features = {feature.id: feature for feature in job.features}
    for number, step in enumerate(job.steps, start=1):
        try:
            cuttings.append(_cutting(book, job, features[step.feature], StepPlace(where, number)))
        except SwarfbookError as error:
            problems += error.problems
    problems += [] if problems else list(_order_faults(cuttings, job, where))
    if problems:
        raise SwarfbookError(*problems)
    return tuple(cuttings)


def _cutting(book: Book, job: Job, feature: Feature, place: StepPlace) -> Cutting:
    step = job.steps[place.number - 1]
    if not book.has("recipe", step.recipe):
        remedy = f"no recipe of that id in this book; {did_you_mean(step.recipe, book.ids('recipe'))}"
        raise SwarfbookError(place.fault("recipe", f"'{step.recipe}'", remedy))
    case = evidence.load_case(book, step.recipe)
    faults = [place.fault("recipe", f"'{step.recipe}'", remedy) for remedy in _misfits(job, feature, case)]
    if faults:
        raise SwarfbookError(*faults)
    time = step_time(job, step, feature, case, place=place, parent=_parent(book, case))
    return Cutting(place.number, step, feature, case, check(case), time)


def _misfits(job: Job, feature: Feature, case: Case) -> Iterator[str]:
    for kind in ("machine", "material"):
        theirs, ours = getattr(case.recipe, kind), getattr(job, kind)
        if theirs != ours:
            yield f"that recipe is for {theirs}, the job's {kind} is {ours}"
    if (case.recipe.operation == "chamfer") != (feature.kind == "edge"):
        yield "an edge break is cut by a chamfer recipe, and a chamfer recipe cuts nothing else"


def _parent(book: Book, case: Case) -> Case | None:
    derived = case.recipe.derived
    if derived is None or not book.has("recipe", derived.from_):
        return None
    try:
        return cases.load_case(book, derived.from_)
    except SwarfbookError:
        return None


def _order_faults(cuttings: list[Cutting], job: Job, where: str) -> Iterator[Problem]:
    """Yield what cannot be cut in the order it stands in, or at all."""
    done: dict[tuple[str, str], int] = {}
    left = volume_of(job.stock)
    for one in cuttings:
        place, key = StepPlace(where, one.number), (one.feature.id, one.step.side)
        rank = RANKS.get(one.case.recipe.operation)
        if rank is not None and rank < done.get(key, 0):
            remedy = f"'{one.feature.id}' is finished before this step roughs it: move this step up"
            yield place.fault("recipe", f"'{one.step.recipe}'", remedy)
        done[key] = max(done.get(key, 0), rank or 0)
        left -= one.time.way.volume
        if left <= 0:
            yield place.fault("path", "", "the steps up to here take off more than the piece holds")
            return
