"""Runs for the log of a workshop that tests open on screen."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from support.books import RECIPE
from swarfbook.book import Book
from swarfbook.decisions.running import Logged, Report, log_run

NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)


def run(
    root: Path, recipe: str = RECIPE, *, day: int = 0, outcome: str = "clean", name: str = "", **told: Any
) -> Logged:
    """Log a run of ten minutes, or of what is told, some days after a Monday in November.

    Its name has letters drawn at random in it, unless another is given.
    """
    report = Report(**{"minutes": 10.0, "outcome": outcome, **told})
    at = NOON + timedelta(days=day)
    logged = log_run(Book.open(root), recipe, report, at=at)
    if name:
        path = root / f"runs/{at:%Y-%m}.jsonl"
        path.write_text(path.read_text().replace(str(logged.line["id"]), name))
    return logged
