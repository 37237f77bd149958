"""The page of a new book: what was assumed, place by place, and what comes next."""

from swarfbook.book.starting import Begun
from swarfbook.decisions.first.book import FirstBook
from swarfbook.reports.first_page import assumed_lines, none_lines

TOOL = Begun(
    "tool",
    "em",
    {"flutes": 2, "helix": "30 deg", "flute_length": "18 mm"},
    {
        "helix": "assumed; measure it",
        "flutes": "assumed, as nothing was said",
        "flute_length": "assumed; measure it",
    },
)


def test_keys_of_one_place_stand_together():
    assert assumed_lines([TOOL], width=80)[1:] == [
        "",
        "  tools/em.toml",
        "    helix angle 30 deg, flute length 18 mm: measure it",
        "    flutes 2: assumed, as nothing was said",
    ]


def test_a_record_without_notes_is_not_listed():
    assert len(assumed_lines([Begun("recipe", "x", {}, {})], width=120)) == 1


def test_no_line_is_wider_than_the_page():
    first = FirstBook((TOOL,), {}, "", "a reason that goes on " * 8, "what would do " * 8)
    lines = [*assumed_lines([TOOL], width=60), *none_lines(first, "my shop", width=60)]
    assert max(map(len, lines)) <= 60
    assert "Next, in the book's folder (cd 'my shop'):" in lines
    assert lines[-1] == "    swarfbook open"
