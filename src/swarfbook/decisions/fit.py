"""The fit of a book: what measured power teaches of materials, cutters and machines, and how well it fits."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from swarfbook.book import Book
from swarfbook.decisions.evidence import Three, evidence
from swarfbook.decisions.learning import Observation, Posterior, Sums, part_names
from swarfbook.decisions.observing import Metered, read_metered
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.records import Run

Z95 = 1.6448536269514722  # standard normal quantile of 0.95: the band from 5 % to 95 %
SCHEMA = "sums/1"
KINDS = ("material", "tool", "machine")


@dataclass(frozen=True, slots=True)
class Fitted:
    """One run whose power was read.

    Attributes:
        run: its name in the log.
        recipe: id of its recipe.
        predicted: cutting power by the tables alone [W].
        measured: cutting power behind the reading [W].
        fitted: cutting power by what has been learnt of its material, cutter and machine [W].
        low, high: 5 % and 95 % points of such a run [W].
        weight: what the run counts for [1].
    """

    run: str
    recipe: str
    predicted: float
    measured: float
    fitted: float
    low: float
    high: float
    weight: float

    @property
    def ratio(self) -> float:
        """Measured over predicted [1]."""
        return self.measured / self.predicted

    @property
    def inside(self) -> bool:
        """Whether the reading lies in the band."""
        return self.low <= self.measured <= self.high


@dataclass(frozen=True, slots=True)
class Idle:
    """No-load readings of one machine, apart from cutting.

    Attributes:
        machine: its id.
        readings: how many there are.
        mean: of them [W].
        told: what its file says [W]; None where it says nothing.
    """

    machine: str
    readings: int
    mean: float
    told: float | None


@dataclass(frozen=True, slots=True)
class Fit:
    """What is learnt, and from what.

    Attributes:
        sums: of all runs, merged ones among them.
        posterior: what is thought of each part now.
        runs: this book's runs beside the fit, in the order of the log.
        idle: no-load readings by machine.
        unread: runs with a power reading that teaches nothing: under the floor, or nothing to predict from.
    """

    sums: Sums
    posterior: Posterior
    runs: tuple[Fitted, ...]
    idle: tuple[Idle, ...]
    unread: int


def fit(book: Book, merged: Sums | None = None) -> Fit:
    """Fit a book's runs, and what other logs add.

    Args:
        book: the book.
        merged: sums of other logs; materials, cutters and machines are known by their ids.

    Raises:
        SwarfbookError: the merged sums name a part that this book does not have.
    """
    known = evidence(book)
    learning = known.learning()
    sums = learning.sums + merged if merged else learning.sums
    posterior = learning.again(sums) if merged else learning.posterior
    fitted = [_fitted(posterior, three, run, read) for three, run, read in known.metered()]
    read = sum(1 for run in known.runs if run.power is not None)
    return Fit(sums, posterior, tuple(fitted), tuple(_idle(book, known.runs)), read - len(fitted))


def _fitted(posterior: Posterior, three: Three, run: Run, read: Metered) -> Fitted:
    machine, tool, material = three
    parts = part_names((material, tool, machine))
    mean, _ = posterior.of(*parts)
    reach = math.exp(Z95 * posterior.predictive_sd(*parts))
    centre = read.predicted * math.exp(mean)
    return Fitted(
        run=run.id,
        recipe=run.recipe,
        predicted=read.predicted,
        measured=read.measured,
        fitted=centre,
        low=centre / reach,
        high=centre * reach,
        weight=read.weight,
    )


def _idle(book: Book, runs: Iterable[Run]) -> Iterator[Idle]:
    readings: dict[str, list[float]] = {}
    for run in runs:
        recipe = run.snapshot.get("recipe")
        if run.idle_power is not None and run.idle_power.side != "shaft" and isinstance(recipe, dict):
            readings.setdefault(str(recipe.get("machine")), []).append(run.idle_power.si)
    for machine, powers in sorted(readings.items()):
        told = (
            book.get("machine", machine).record.spindle.idle_power if book.has("machine", machine) else None
        )
        yield Idle(machine, len(powers), math.fsum(powers) / len(powers), told)


def sums_text(sums: Sums) -> str:
    """Write sums as a file for `fit --merge`."""
    return json.dumps({"schema": SCHEMA, "cells": sums.to_json()}, indent=1) + "\n"


def read_sums(data: bytes, *, where: str, known: frozenset[str]) -> Sums:
    """Read what another log adds: a file of sums, or the log itself.

    Args:
        data: the file.
        where: the file, as messages name it.
        known: names of runs that count already; the same run in two logs counts once.

    Raises:
        SwarfbookError: neither sums nor a log.
    """
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise SwarfbookError(
            Problem(where, "", "", "not UTF-8; give a file of fit --save, or a log")
        ) from None
    whole = _object(text)
    if whole is not None and whole.get("schema") == SCHEMA:
        return Sums.from_json(whole.get("cells"), where=where)
    lines = [_object(line) for line in text.splitlines() if line.strip()]
    runs = [line for line in lines if line is not None and line.get("schema") == "run/1"]
    if not runs:
        raise SwarfbookError(Problem(where, "", "", "neither a file of fit --save nor a log of runs"))
    return Sums.of(filter(None, (_observation(line) for line in runs if line.get("id") not in known)))


def _object(text: str) -> dict[str, Any] | None:
    try:
        value = json.loads(text)
    except (ValueError, RecursionError):
        return None
    return value if isinstance(value, dict) else None


def _observation(line: Mapping[str, Any]) -> Observation | None:
    """Read a line of another log by what its day made of it; None where that teaches nothing."""
    model, snapshot = line.get("model"), line.get("snapshot")
    recipe = snapshot.get("recipe") if isinstance(snapshot, dict) else None
    read = read_metered(model) if isinstance(model, dict) else None
    names = [recipe.get(kind) for kind in KINDS] if isinstance(recipe, dict) else []
    if read is None or line.get("withdrawn") or len(names) < len(KINDS):
        return None
    material, tool, machine = map(str, names)
    return Observation(material, tool, machine, read.log_ratio, read.weight)


def fit_json(found: Fit) -> dict[str, Any]:
    """Give a fit as one object."""
    posterior = found.posterior
    return {
        "parts": [_part_json(posterior, part) for part in posterior.parts],
        "spread": posterior.spread,
        "run_to_run": posterior.priors.noise_sd,
        "runs": [_run_json(one) for one in found.runs],
        "inside_band": _share_inside(found.runs),
        "idle": [asdict(one) | {"unit": "W"} for one in found.idle],
        "runs_that_teach_nothing": found.unread,
    }


def _part_json(posterior: Posterior, part: str) -> dict[str, Any]:
    factor, low, high = posterior.factor(part)
    return {"part": part, "factor": factor, "low": low, "high": high, "runs": posterior.runs(part)}


def _run_json(one: Fitted) -> dict[str, Any]:
    return {
        "id": one.run,
        "recipe": one.recipe,
        "predicted": one.predicted,
        "measured": one.measured,
        "ratio": one.ratio,
        "fitted": one.fitted,
        "low": one.low,
        "high": one.high,
        "weight": one.weight,
    }


def _share_inside(runs: Sequence[Fitted]) -> float | None:
    return sum(one.inside for one in runs) / len(runs) if runs else None
