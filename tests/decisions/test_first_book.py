"""Any sensible answers give a book without a fault, whose first recipe holds."""

from pathlib import Path
from tempfile import TemporaryDirectory

from hypothesis import given, settings
from hypothesis import strategies as some

from swarfbook import tables
from swarfbook.book import Book, create
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import check
from swarfbook.decisions.first.book import Answers, first_book
from swarfbook.decisions.first.cutter import read_cutter
from swarfbook.decisions.first.machine import Plate, machines_named, read_plate
from swarfbook.decisions.first.material import materials_named
from swarfbook.decisions.verifying import verify

DIAMETERS = (
    "1 mm",
    "2.5 mm",
    "3 mm",
    "1/8 in",
    "4 mm",
    "3/16 in",
    "6 mm",
    "1/4 in",
    "8 mm",
    "3/8 in",
    "10 mm",
    "12 mm",
)
PLATES = ("", "500 W", "710 W 10000-30000 rpm", "1 hp", "1.5 kW 24000 rpm", "2.2 kW 6000 to 24000 rpm")


def cutters():
    return some.builds(
        lambda size, flutes, made, end: read_cutter(f"{size} {flutes} {made} {end}"),
        some.sampled_from(DIAMETERS),
        some.sampled_from(("", "one-flute", "2F", "three flute", "4-flute")),
        some.sampled_from(("", "carbide", "HSS", "HSS-Co")),
        some.sampled_from(("", "ball", "down-cut", "straight")),
    )


def plates():
    return some.builds(
        lambda plate, rating: Plate(plate.power, plate.slowest, plate.fastest, rating),
        some.sampled_from([read_plate(text) for text in PLATES]),
        some.sampled_from(("shaft", "input", "unknown")),
    )


ANSWERS = some.builds(
    Answers,
    machine=some.sampled_from(tables.load("first_machines").rows),
    plate=plates(),
    cutter=cutters(),
    material=some.sampled_from(tables.load("materials").rows),
)


@settings(max_examples=10, deadline=None)
@given(ANSWERS)
def test_any_answers_make_a_book_that_verifies_and_a_recipe_that_holds(answers):
    first = first_book(answers)
    with TemporaryDirectory() as folder:
        root = create(Path(folder) / "shop", demo=False, records=first.records, settings=first.settings)
        book = Book.open(root)
        assert [str(one.problem) for one in verify(book)] == []
        if not first.recipe:
            assert first.why_none
            return
        judged = check(load_case(book, first.recipe))
        assert [one.name for one in judged.limits if one.verdict == "over"] == []
        assert judged.case.recipe.standing == "trial"
        assert judged.case.recipe.axial_depth <= judged.case.tool.diameter * (1 + 1e-9)


def answers(machine, plate, cutter, material):
    return Answers(
        machines_named(machine)[0], read_plate(plate), read_cutter(cutter), materials_named(material)[0]
    )


def test_the_usual_answers_find_a_recipe():
    for machine, cutter, material in (
        ("trim", "6 mm", "6082"),
        ("trim", "1/8 in", "birch ply"),
        ("water", "6 mm one-flute", "6061"),
        ("mill", "8 mm three-flute", "mild steel"),
        ("mill", "10 mm HSS", "free-cutting brass"),
        ("air", "6 mm", "mdf"),
    ):
        assert first_book(answers(machine, "", cutter, material)).recipe


def test_a_limit_that_is_used_up_reads_tight_and_not_over_by_a_rounding(tmp_path):
    # The chip is as thick as the table has it; its feed to four figures came out one last place above.
    first = first_book(answers("mill", "1 hp", "1/4 in 2 flute", "free-cutting brass"))
    book = Book.open(create(tmp_path / "shop", demo=False, records=first.records))
    thick = next(one for one in check(load_case(book, first.recipe)).limits if one.name == "chip-thick")
    assert 0.99 < thick.use <= 1
    assert thick.verdict == "tight"


def test_the_same_answers_give_the_same_book():
    told = answers("trim", "800 W", "6 mm", "acetal")
    assert first_book(told).records[3].values == first_book(told).records[3].values


def test_where_no_speed_suits_the_line_says_so_and_what_would_do():
    found = first_book(answers("trim", "", "20 mm HSS", "304"))
    assert found.recipe == ""
    # 10 000 rpm at 20 mm: 628 m/min, and down to the table's speed for high-speed steel in 304
    assert found.why_none.startswith("the slowest spindle speed, 10\u00a0000 rpm, is 628 m/min at the edge")
    assert found.instead.startswith("a carbide cutter of ")
    assert "--tool em-20mm-2f-hss" in found.instead
    assert len(found.records) == 3
