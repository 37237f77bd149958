"""Books and units for tests of the Python API."""

from __future__ import annotations

import json
import sys

import pint
import pytest

import swarfbook
from swarfbook.cli import main
from swarfbook.resources import demo_book_dir

DEMO = str(demo_book_dir())


@pytest.fixture(scope="session")
def demo():
    return swarfbook.Book.demo()


@pytest.fixture
def book(make_book):
    return swarfbook.Book.open(make_book())


@pytest.fixture(scope="session")
def ureg():
    return pint.UnitRegistry()


@pytest.fixture
def printed(monkeypatch, capsys):
    """Give what a command prints on the demo."""

    def run(*words):
        monkeypatch.setenv("COLUMNS", "80")
        monkeypatch.setattr(sys, "argv", ["swarfbook", *words, "--book", DEMO])
        main.run_words()
        return capsys.readouterr().out

    return run


@pytest.fixture
def as_json(printed):
    """Give the object a command prints on the demo."""
    return lambda *words: json.loads(printed(*words, "--json"))
