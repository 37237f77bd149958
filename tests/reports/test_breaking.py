"""No line of a page begins with a unit whose number ends the line before it."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from swarfbook import quantities, resources
from swarfbook.cli import main
from swarfbook.reports.breaking import wrap

DEMO = resources.demo_book_dir()
KNOWN = {unit for of in quantities.DIMENSIONS for unit in quantities.units(of) if unit}
FIRST = re.compile(r"[\s│]*(\S+)")
NUMBER = re.compile(r"(?:^|\s)[(<>±]?\d[\d.,]*$")
PAGES = (
    ("job", "mast-clamps"),
    ("job", "mast-clamps", "--units", "imperial"),
    ("job", "mast-clamps", "--reply"),
    ("job", "mast-clamps-cool"),
    ("show", "long-bed-6mm-6082-max"),
    ("show", "bench-3mm-brass-letters", "--units", "imperial"),
    ("show", "long-bed-6mm-6082-rough", "--why", "force_peak"),
    ("show", "long-bed-6mm-6082-rough", "--why", "deflection_total"),
    ("check", "bench-6mm-6082-slot-too-deep"),
    ("check", "mill-10mm-6082-face"),
    ("derate", "long-bed-6mm-6082-max", "--margin", "25%"),
    ("derate", "long-bed-6mm-6082-max", "--risk", "1%"),
    ("derate", "long-bed-6mm-6082-rough", "--margin", "20%", "--job", "mast-clamps"),
    ("pick", "--material", "6082-t6", "--operation", "rough"),
    ("sensitivity", "long-bed-6mm-6082-max"),
    ("fit",),
)


def parted(lines):
    """Give the lines that begin with the unit of a number at the end of the line before."""
    return [
        (before, line)
        for before, line in pairwise(lines)
        if NUMBER.search(before)
        and (first := FIRST.match(line))
        and first[1].rstrip(".,;:)") in KNOWN | {"%", "°"}
    ]


def troubled():
    """Name the demo's runs that did not go clean."""
    from swarfbook.book import Book

    return [run.id for run in Book.demo().runs() if not run.clean]


@pytest.mark.parametrize("words", [*PAGES, *(("runs", "--run", run) for run in troubled())], ids=" ".join)
def test_no_number_is_parted_from_its_unit_at_any_width(words, monkeypatch, capsys):
    for width in range(60, 121, 7):
        monkeypatch.setenv("COLUMNS", str(width))
        monkeypatch.setattr("sys.argv", ["swarfbook", *words, "--book", str(DEMO)])
        assert main.run_words() in (0, 1)
        assert parted(capsys.readouterr().out.splitlines()) == [], width


def test_every_unit_is_held_to_its_number():
    for unit in KNOWN | {"%", "°", "µm", "kg", "bar"}:
        for width in range(40, 60):
            text = f"{'word ' * 8}and then 1 250.5 {unit} of it, at 12 {unit}; the rest"
            lines = wrap(text, width)
            assert parted(lines) == []
            assert " ".join(lines) == text


def test_a_number_before_a_word_is_a_number_alone():
    assert wrap("it ran 12 minutes", 9) == ["it ran 12", "minutes"]
    assert wrap("steps 2 to 13 hold", 13) == ["steps 2 to 13", "hold"]
