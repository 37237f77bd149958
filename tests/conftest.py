"""Fixtures that every part of the tests may use."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings

from support import books


@pytest.fixture
def make_book(tmp_path: Path) -> Callable[..., Path]:
    """Give a function that writes a small valid book: `make_book(**{"recipe.axial_depth": "2 mm"})`."""

    def make(name: str = "book", **changes: Any) -> Path:
        return books.make_book(tmp_path / name, **changes)

    return make


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add `--long`: the long forms of tests that draw at random."""
    parser.addoption("--long", action="store_true", help="draw many more random cases")


# Nothing is timed: a loaded machine is slower and not wrong. Short runs draw the same examples every time.
settings.register_profile("short", deadline=None, derandomize=True)
settings.register_profile("long", deadline=None, max_examples=1500)


def pytest_configure(config: pytest.Config) -> None:
    """Draw the same examples every time; with `--long` many fresh ones."""
    settings.load_profile("long" if config.getoption("--long") else "short")
