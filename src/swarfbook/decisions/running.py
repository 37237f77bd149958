"""Writing a run down: the line that goes into the log, with what was cut as it was cut."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any, cast

from swarfbook import quantities, records
from swarfbook.book import Book
from swarfbook.decisions import case as cases
from swarfbook.decisions.case import Case
from swarfbook.decisions.evidence import model_of
from swarfbook.decisions.meter import Cutting
from swarfbook.decisions.past import Cut, Past, TrackRecord, track_record
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.records import Record, Run

if TYPE_CHECKING:
    from swarfbook.records import Machine, Material, Tool

RECENT = 1024 * 1024  # bytes of each of the last two months that are looked through when a run is logged
LARGEST_OVERRIDE = 3.0
MOST_SPANS = 200  # of a trace, kept in the line; the picture shows them all
KINDS = ("machine", "tool", "material")
READINGS = ("power", "power_peak", "idle_power")
TEMPERATURES = ("stock_temperature", "ambient")


@dataclass(frozen=True, slots=True)
class Metering:
    """A meter's file that goes with a run.

    Attributes:
        data: the file.
        picture: what was used of it, drawn as text.
        found: the cuts in it and their power.
    """

    data: bytes
    picture: str
    found: Cutting


@dataclass(frozen=True, slots=True)
class Report:
    """What a person says of a run.

    Attributes:
        minutes: time in the cut [min].
        outcome: the outcome's word.
        feed_override, speed_override: what the controls stood at, 1 for as programmed.
        cutter: which cutter of its kind; empty where nobody says.
        power, power_peak, idle_power: meter readings as typed, empty where there are none.
        side: side of the motor the powers were read on.
        stock_temperature, ambient: as typed.
        note: anything else.
        meter: a meter's file behind the powers; None where there is none.
    """

    minutes: float
    outcome: str
    feed_override: float = 1.0
    speed_override: float = 1.0
    cutter: str = ""
    power: str = ""
    power_peak: str = ""
    idle_power: str = ""
    side: str = "input"
    stock_temperature: str = ""
    ambient: str = ""
    note: str = ""
    meter: Metering | None = None


@dataclass(frozen=True, slots=True)
class Logged:
    """A run that was written down.

    Attributes:
        line: the line as written.
        run: the run as it reads.
        case: what was cut, at the overrides used, by the law as it is tabulated.
        track_record: what the recipe's recent runs have earned it, this one among them.
        promoted: whether its file was changed from trial to proven.
        trouble: why that could not be done where it was earned; empty otherwise.
    """

    line: Mapping[str, Any]
    run: Run
    case: Case
    track_record: TrackRecord
    promoted: bool
    trouble: str


def log_run(book: Book, recipe_id: str, report: Report, *, at: datetime) -> Logged:
    """Write a run down, and call its recipe proven where that is earned.

    Args:
        book: the book.
        recipe_id: id of the recipe that was cut.
        report: what is said of the run.
        at: when it ended.

    Raises:
        SwarfbookError: an unknown recipe, a value that will not do, or the disk refuses: nothing is logged.
    """
    entry = book.get("recipe", recipe_id)
    line, case = run_line(book, recipe_id, report, at=at)
    files = {} if report.meter is None else {"csv": report.meter.data, "txt": report.meter.picture.encode()}
    run = book.log(line, files=files)
    earned = _earned(book, recipe_id, run)
    if earned.earned != "proven" or entry.record.standing != "trial":
        return Logged(line, run, case, earned, promoted=False, trouble="")
    try:
        book.save("recipe", recipe_id, {"standing": "proven"}, seen=entry.sha)
    except SwarfbookError as error:  # the run stands in the log all the same
        return Logged(line, run, case, earned, promoted=False, trouble=str(error))
    return Logged(line, run, case, earned, promoted=True, trouble="")


def run_line(book: Book, recipe_id: str, report: Report, *, at: datetime) -> tuple[dict[str, Any], Case]:
    """Give the line of a run of a recipe as it stands, and what was cut; errors as of `log_run`."""
    entry = book.get("recipe", recipe_id)
    _check_overrides(report)
    where = f"recipes/{recipe_id}.toml"
    machine, tool, material = book.resolve(entry.record, raw=entry.raw, where=where)
    values = _as_cut(entry.raw, report.feed_override, report.speed_override)
    snapshot = {
        "recipe": _without_notes(values),
        **{kind: _without_notes(book.get(kind, getattr(entry.record, kind)).raw) for kind in KINDS},
    }
    case = cases.of_parts(recipe_id, values, (machine, tool, material), book.settings)
    line = _head(recipe_id, records.digest(entry.record), at) | {"snapshot": snapshot} | _told(report)
    line |= {"meter": _meter(report.meter, line["id"])} if report.meter else {}
    return _with_model(line, case), case


def corrected_line(book: Book, run: Run, report: Report) -> dict[str, Any]:
    """Give the line that replaces a run: other words about the same cut; errors as of `log_run`.

    What was cut is taken from the run's own snapshot, however the recipe has changed since; other overrides
    change the numbers in it.
    """
    _check_overrides(report)
    snapshot, feed = dict(run.snapshot), report.feed_override / run.feed_override
    if isinstance(snapshot.get("recipe"), dict):
        snapshot["recipe"] = _as_cut(snapshot["recipe"], feed, report.speed_override / run.speed_override)
    line = _head(run.recipe, run.digest, run.at) | {"replaces": run.id, "snapshot": snapshot} | _told(report)
    line |= {"meter": run.meter} if run.meter else {}
    return _with_model(line, case_of_snapshot(book, run.recipe, snapshot))


def report_of(run: Run, changes: Mapping[str, Any]) -> Report:
    """Give what was said of a run, with what is said otherwise now in its place."""
    readings = {name: getattr(run, name) for name in READINGS + TEMPERATURES}
    said = {name: quantities.write(one.number, one.unit) for name, one in readings.items() if one is not None}
    side = next((one.side for one in readings.values() if one is not None and one.side), "input")
    before: dict[str, Any] = {
        "minutes": run.minutes,
        "outcome": run.outcome,
        "feed_override": run.feed_override,
        "speed_override": run.speed_override,
        "cutter": run.cutter or "",
        "side": side,
        "note": run.note,
        **said,
    }
    return Report(**before | dict(changes))


def withdrawn_line(run: Run) -> dict[str, Any]:
    """Give the line that takes a run out of what counts."""
    told = {"minutes": run.minutes, "outcome": run.outcome}
    return _head(run.recipe, run.digest, run.at) | told | {"replaces": run.id, "withdrawn": True}


def case_of_snapshot(book: Book, recipe: str, snapshot: Mapping[str, Any]) -> Case | None:
    """Resolve what was cut from a run's snapshot; None where that does not hold enough of it."""
    try:
        machine, tool, material = (_part(book, snapshot, kind) for kind in KINDS)
        parts = (cast("Machine", machine), cast("Tool", tool), cast("Material", material))
        return cases.of_parts(recipe, snapshot["recipe"], parts, book.settings)
    except (SwarfbookError, KeyError, TypeError):
        return None


def _part(book: Book, snapshot: Mapping[str, Any], kind: str) -> Record:
    raw = snapshot.get(kind)
    record = snapshot["recipe"][kind]
    return book.get(kind, record).record if raw is None else records.parse(kind, raw, where=record)


def _head(recipe_id: str, digest: str | None, at: datetime) -> dict[str, Any]:
    head = {"schema": "run/1", "id": _name(at), "at": at.isoformat(timespec="seconds"), "recipe": recipe_id}
    return head | ({"digest": digest} if digest else {})


def _with_model(line: dict[str, Any], case: Case | None) -> dict[str, Any]:
    """Add what the formulas say of the cut; reading the line finds what will not do in it."""
    run = records.parse("run", line, where="run")
    return line if case is None else line | {"model": model_of(case, run)}


def _name(at: datetime) -> str:
    # Runs of several machines and copies of a book come together one day: no two may share a name.
    return f"{at:%Y-%m-%d-%H%M%S}-{secrets.token_hex(2)}"


def _told(report: Report) -> dict[str, Any]:
    """Give what was said, without what was not."""
    line: dict[str, Any] = {
        "feed_override": report.feed_override,
        "speed_override": report.speed_override,
        "cutter": report.cutter,
        "minutes": report.minutes,
        "outcome": report.outcome,
    }
    for name in READINGS:
        line[name] = _reading(name, getattr(report, name), "power", report.side)
    for name in TEMPERATURES:
        line[name] = _reading(name, getattr(report, name), "temperature", "")
    line["note"] = report.note
    return {key: value for key, value in line.items() if value not in ("", None)}


def _meter(meter: Metering, run: str) -> dict[str, Any]:
    found = meter.found
    return {
        "file": f"meters/{run}.csv",
        "idle": found.idle,
        "idle_given": found.idle_given,
        "mean": found.mean,
        "peak": found.peak,
        "seconds": found.time,
        "spans": [list(span) for span in found.spans[:MOST_SPANS]],
        "apparent": found.apparent,
    }


def _reading(name: str, typed: str, dimension: str, side: str) -> dict[str, Any] | None:
    if not typed:
        return None
    try:
        shown = quantities.read(typed, dimension)
    except quantities.QuantityError as error:
        raise SwarfbookError(Problem(_option(name), "", typed, str(error))) from None
    return {"value": shown.number, "unit": shown.unit} | ({"side": side} if side else {})


def _option(name: str) -> str:
    return f"--{name.replace('_', '-')}"


def _check_overrides(report: Report) -> None:
    for name in ("feed_override", "speed_override"):
        value = getattr(report, name)
        if not 0 < value <= LARGEST_OVERRIDE:
            remedy = "an override lies above 0 % and up to 300 %; 100 % is as programmed"
            raise SwarfbookError(Problem(_option(name), "", f"{value:.4g}", remedy))


def _as_cut(values: Mapping[str, Any], feed: float, speed: float) -> dict[str, Any]:
    """Put overrides of feed and speed into a recipe's numbers."""
    factors = {"spindle_speed": speed, "feed_rate": feed, "feed_per_tooth": feed / speed}
    changed = {
        key: _times(values[key], key, factor)
        for key, factor in factors.items()
        if key in values and factor != 1.0
    }
    return {**values, **changed}


def _times(typed: object, key: str, factor: float) -> str:
    shown = quantities.read(typed, records.dimension("recipe", key) or "")
    return quantities.write(float(f"{shown.number * factor:.12g}"), shown.unit)


def _without_notes(values: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in values.items() if key != "notes"}


def _earned(book: Book, recipe_id: str, run: Run) -> TrackRecord:
    """Say what a recipe's recent runs have earned it: however long the log, logging stays as quick."""
    thresholds = book.settings.thresholds
    recent = [one for one in book.recent_runs(RECENT) if one.recipe == recipe_id]
    cuts = tuple(_bare_cut(one) for one in sorted(recent, key=lambda one: one.at))
    return track_record(
        Past(cuts),
        recipe_id,
        run.digest or "",
        clean_time=thresholds.clean_time,
        clean_runs=thresholds.clean_runs,
    )


def _bare_cut(run: Run) -> Cut:
    return Cut(
        run=run.id,
        recipe=run.recipe,
        numbers=run.digest or "",
        as_programmed=run.feed_override == 1.0 and run.speed_override == 1.0,
        at=run.at,
        outcome=run.outcome,
        minutes=run.minutes,
        stickout=0.0,
        demands={},
    )
