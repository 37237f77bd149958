"""A solved recipe in inches: plain steps, and every promise kept by the numbers as they are written."""

from __future__ import annotations

import pytest

from swarfbook import quantities
from swarfbook.book import Book
from swarfbook.book.starting import create
from swarfbook.decisions.check import check
from swarfbook.decisions.evidence import case_of
from swarfbook.decisions.first_values import Wishes
from swarfbook.decisions.settable import in_inches, is_imperial, rounded
from swarfbook.decisions.solve import solve_in_book
from swarfbook.errors import SwarfbookError

MARGIN = 0.2
INCH = ("axial_depth", "radial_width", "feed_per_tooth", "stickout", "allowance")


@pytest.fixture(scope="module")
def books(tmp_path_factory):
    """Give the demo in mm and the same in inches."""
    found = {}
    for system in ("metric", "imperial"):
        root = create(tmp_path_factory.mktemp(system) / "book", demo=True)
        path = root / "book.toml"
        path.write_text(path.read_text().replace('units = "metric"', f'units = "{system}"'))
        found[system] = Book.open(root)
    return found


def solved(book, tool, operation, **wishes):
    ids = ("long-bed-router", tool, "6082-t6")
    hole = {"hole_diameter": 0.0095} if operation == "bore" else {}
    return solve_in_book(book, ids, operation, Wishes(margin=MARGIN, **hole, **wishes))


@pytest.mark.parametrize("tool", ["em-6mm-1f", "em-quarter-inch-2f"])
@pytest.mark.parametrize("operation", ["face-rough", "rough", "slot", "finish", "bore", "plunge"])
def test_a_book_in_inches_gets_inches_that_keep_every_promise(books, tool, operation):
    try:
        before = solved(books["metric"], tool, operation)
    except SwarfbookError:
        with pytest.raises(SwarfbookError):
            solved(books["imperial"], tool, operation)
        return
    found = solved(books["imperial"], tool, operation)
    for key in INCH:
        text = found.values.get(key)
        if text is None or text == "6 mm":
            continue  # as wide as the cutter, and that is in mm
        read = quantities.read(text, "length")
        assert read.unit == "in", (key, text)
        steps = read.number / (1e-4 if key == "feed_per_tooth" else 1e-3)
        assert read.number < 0.01 or abs(steps - round(steps)) < 1e-6, (key, text)
        assert len(text.removesuffix(" in").lstrip("0.").replace(".", "")) <= 4, (key, text)
    judged = check(case_of(books["imperial"], "first-try", found.values))
    assert not judged.over
    assert before.removal_rate * 0.8 < found.removal_rate < before.removal_rate * 1.1


def test_a_cutter_typed_in_inches_is_enough_and_a_metric_one_stays_metric(books):
    assert solved(books["metric"], "em-quarter-inch-2f", "rough").values["axial_depth"].endswith(" in")
    assert solved(books["metric"], "em-6mm-1f", "rough").values["axial_depth"].endswith(" mm")
    assert is_imperial("metric", '1/4"')
    assert not is_imperial(None, "6.35 mm")


def test_what_was_asked_in_whole_millimetres_stays_so(books):
    found = solved(books["imperial"], "em-6mm-1f", "finish", depth=0.012, width=0.0254 / 100, stickout=0.025)
    assert (found.values["axial_depth"], found.values["radial_width"]) == ("12 mm", "0.01 in")
    assert found.values["stickout"] == "25 mm"


def test_lengths_and_steps_by_hand():
    exact = in_inches({"stickout": "25.4 mm", "name": "1 mm"}, frozenset())
    assert exact == {"stickout": "1 in", "name": "1 mm"}
    assert in_inches({"stickout": "24 mm"}, frozenset({"stickout"})) == {"stickout": "0.945 in"}
    assert in_inches({"stickout": "24 mm"}, frozenset()) == {"stickout": "24 mm"}
    inch = 0.0254
    assert rounded(0.12345 * inch, "axial_depth", "in") == pytest.approx(0.123 * inch)
    assert rounded(0.12345 * inch, "axial_depth", "in", lower=1) == pytest.approx(0.122 * inch)
    assert rounded(0.004567 * inch, "feed_per_tooth", "in") == pytest.approx(0.0045 * inch)
    assert rounded(0.0004567 * inch, "feed_per_tooth", "in") == pytest.approx(0.00045 * inch)
    assert rounded(0.004567 * inch, "feed_per_tooth", "in", plain=False) == pytest.approx(0.004567 * inch)
