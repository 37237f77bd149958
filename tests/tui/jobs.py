"""Jobs for the book of a workshop that tests open on screen."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from support import books

JOB = "clamp-plates"
STEPS = [
    {"recipe": books.RECIPE, "feature": "pocket", "volume": "30 cm^3"},
    {"recipe": books.RECIPE, "feature": "outline", "path": "12 m", "floor": "0.4 mm"},
]
GLUED = {
    "name": "Glued plates",
    "holds": [{"method": "glue-tape", "length": "300 mm", "width": "90 mm"}],
    "ambient": "30 degC",
}
"""A job held by something that minds the heat."""

BOTH = {
    "name": "Plates from both sides",
    "holds": [{"method": "vise", "force": "4 kN"}, {"side": "second", "method": "vise", "force": "4 kN"}],
    "flip": {"locate": "edges"},
    "steps": [
        {"recipe": books.RECIPE, "feature": "pocket", "volume": "30 cm^3", "allowance": "0.05 mm"},
        {"recipe": books.RECIPE, "feature": "pocket", "path": "2 m", "side": "second"},
    ],
}
"""A job whose second side is not covered by what the first one leaves."""


def job_values(**changes: Any) -> dict[str, Any]:
    """Give a job as typed, with top-level keys replaced; None takes one out."""
    values = books.values("job") | {"steps": STEPS} | changes
    return {key: value for key, value in values.items() if value is not None}


def make_job(root: Path, job: str = JOB, **changes: Any) -> Path:
    """Write a job into a book, and give its file."""
    path = root / f"jobs/{job}.toml"
    path.write_text(books.to_toml(job_values(**changes)), encoding="utf-8")
    return path
