"""Rows of outside values: reading them, and holding what the program computes against what was printed."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np
import pytest

FOLDER = Path(__file__).parents[1] / "published"
SOURCE_KINDS = ("published", "memory", "derived")

Form = Callable[..., dict[str, Any]]


@dataclass(frozen=True)
class Row:
    """One outside value: what went in, what was printed, and where."""

    id: str
    form: str
    source: str
    locator: str
    source_kind: str
    inputs: dict[str, Any]
    printed: dict[str, Any]
    within: dict[str, str] = field(default_factory=dict)
    reason: str = ""
    note: str = ""


def rows(topic: str) -> list[Row]:
    """The rows of one file beside the tests."""
    text = (FOLDER / f"{topic}.toml").read_text(encoding="utf-8")
    return [Row(**raw) for raw in tomllib.loads(text)["row"]]


def topics() -> list[str]:
    return sorted(path.stem for path in FOLDER.glob("*.toml"))


def each(topic: str) -> pytest.MarkDecorator:
    """Run a test once for each row of a file."""
    return pytest.mark.parametrize("row", [pytest.param(row, id=row.id) for row in rows(topic)])


def half_digit(printed: str) -> float:
    """Half of the last digit of a number as it was printed."""
    exponent = Decimal(printed).as_tuple().exponent
    assert isinstance(exponent, int)
    return float(Decimal((0, (5,), exponent - 1)))


def tolerance(printed: str, within: str | None) -> float:
    """How far a computed value may be from the printed one: half its last digit, or as the row says."""
    if within is None:
        return half_digit(printed)
    if within.endswith("%"):
        return abs(float(printed)) * float(within.removesuffix("%")) / 100
    return float(within)


def hold(row: Row, forms: dict[str, Form]) -> None:
    """Compute a row by its form and assert every printed value."""
    computed = forms[row.form](**row.inputs)
    for name, printed in row.printed.items():
        texts = printed if isinstance(printed, list) else [printed]
        values = np.ravel(computed[name])
        assert len(values) == len(texts), name
        for text, value in zip(texts, values, strict=True):
            allowed = tolerance(text, row.within.get(name)) * (1 + 1e-9)
            assert value == pytest.approx(float(text), rel=0, abs=allowed), f"{row.id} {name}"
