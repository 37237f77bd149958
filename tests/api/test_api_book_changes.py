"""What the Python API writes: children, first recipes, runs; and what it refuses."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime

import pytest

import swarfbook
from support.books import MACHINE, MATERIAL, RECIPE, TOOL
from swarfbook.resources import demo_book_dir

MAX = "long-bed-6mm-6082-max"


@pytest.fixture
def copy(tmp_path):
    shutil.copytree(demo_book_dir(), tmp_path / "book")
    return swarfbook.Book.open(tmp_path / "book")


def test_a_child_is_saved_as_it_was_shown(copy):
    child = swarfbook.derate(copy, MAX, margin=0.25)
    assert (child.parent, child.margin, child.reached, child.note) == (MAX, 0.25, True, "")
    path = child.save("my-first-run")
    assert path == copy.path("recipe", "my-first-run")
    saved = swarfbook.check(copy, "my-first-run")
    assert saved.to_dict()["quantities"] == child.check.to_dict()["quantities"]
    assert copy.recipes["my-first-run"].derived.from_ == MAX
    with pytest.raises(swarfbook.SwarfbookError, match="my-first-run"):
        child.save("my-first-run")


def test_a_margin_that_is_not_reached_is_not_saved(copy):
    child = swarfbook.derate(copy, MAX, margin=0.25, by="speed")
    assert not child.reached
    with pytest.raises(swarfbook.SwarfbookError, match="nothing is saved: speed cannot reach 25 %"):
        child.save("never")
    assert "never" not in copy.recipes


def test_the_demo_that_travels_along_is_not_written_to(demo):
    with pytest.raises(swarfbook.SwarfbookError, match="demo"):
        swarfbook.derate(demo, MAX, margin=0.25).save("mine")


@pytest.mark.parametrize("given", [{}, {"margin": 0.1, "risk": 0.1}])
def test_a_derating_takes_a_margin_or_a_risk(demo, given):
    with pytest.raises(TypeError, match=r"margin=0.25"):
        swarfbook.derate(demo, MAX, **given)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"margin": 25}, "margin: found 25; a margin lies between"),
        ({"margin": "a lot"}, "margin: found a lot"),
        ({"risk": 0.7}, "risk: found 0.7; a risk lies above"),
        ({"margin": 0.1, "by": "prayer"}, "choose one of"),
        ({"margin": 0.1, "job": "mast-clamp"}, "did you mean mast-clamps"),
    ],
)
def test_what_a_derating_cannot_be(demo, given, said):
    with pytest.raises(swarfbook.SwarfbookError, match=said):
        swarfbook.derate(demo, MAX, **given)


def test_a_first_recipe_is_saved_on_trial(book, ureg):
    found = swarfbook.solve(
        book, machine=MACHINE, tool=TOOL, material=MATERIAL, operation="rough", margin=0.4, depth=4 * ureg.mm
    )
    found.save("first")
    assert book.recipes["first"].standing == "trial"
    assert book.recipes["first"].axial_depth <= 0.004
    assert found.limited_by
    assert swarfbook.check(book, "first").verdict in ("holds", "tight")


def test_what_is_asked_is_named_as_the_argument(book, ureg):
    asked = {"material": MATERIAL, "operation": "rough"}
    with pytest.raises(swarfbook.SwarfbookError, match=r"^inside_corner: found -4 mm"):
        swarfbook.pick(book, **asked, inside_corner="-4 mm")
    with pytest.raises(TypeError, match=r"^wall: a unit is needed, for example '14 mm'"):
        swarfbook.pick(book, **asked, wall=14)
    with pytest.raises(swarfbook.SwarfbookError, match=r"^wall: found 3 second"):
        swarfbook.pick(book, **asked, wall=3 * ureg.s)


def test_lengths_by_pint_and_by_text_pick_alike(demo, ureg):
    asked = {"material": "6082-t6", "operation": "finish", "hands_off": True, "minutes": "0.5 h"}
    typed = swarfbook.pick(demo, **asked, wall="14 mm", finish="Ra 1.6 um")
    given = swarfbook.pick(demo, **asked, wall=14 * ureg.mm, finish=1.6 * ureg.um)
    assert typed.to_dict() == given.to_dict()
    assert typed.to_dict()["asked"]["minutes"] == 30
    assert [one.recipe for one in typed.checks] == [one["recipe"] for one in typed.to_dict()["candidates"]]


def test_a_run_is_written_down_as_told(book, ureg):
    line = swarfbook.log(
        book,
        RECIPE,
        minutes=42,
        outcome="clean",
        feed_override=0.8,
        power=310 * ureg.W,
        stock_temperature="41 degC",
        ambient=ureg.Quantity(20, "degC"),
        cutter="no. 3",
        at=datetime(2026, 11, 2, 14, 30, tzinfo=UTC),
    )
    assert (line["minutes"], line["outcome"], line["feed_override"], line["cutter"]) == (
        42.0,
        "clean",
        0.8,
        "no. 3",
    )
    assert (line["power"]["value"], line["power"]["unit"]) == (310.0, "W")
    (run,) = book.runs()
    assert run.id == line["id"]
    assert swarfbook.check(book, RECIPE).limits["spindle-power"].mark is not None
    assert swarfbook.fit(book).table().loc[f"material:{MATERIAL}", "runs"] == 1


def test_a_run_without_an_outcome_that_is_one_is_not_written(book):
    with pytest.raises(swarfbook.SwarfbookError, match=r"^outcome: found fine"):
        swarfbook.log(book, RECIPE, minutes=4, outcome="fine")
    assert not book.runs()


def test_recipes_of_a_comparison_are_two_or_more(demo):
    with pytest.raises(TypeError, match="two recipes or more"):
        swarfbook.compare(demo, MAX)


def test_a_comparison_tells_every_problem_of_all_its_recipes(book):
    book.path("recipe", "broken").write_text('schema = "recipe/1"\n')
    with pytest.raises(swarfbook.SwarfbookError) as caught:
        swarfbook.compare(book, "nowhere", RECIPE, "broken")
    told = "\n".join(map(str, caught.value.problems))
    assert "found 'nowhere'" in told
    assert "recipes/broken.toml: name: missing" in told


def test_a_job_has_its_reply_and_its_minutes(demo, as_json, printed):
    job = swarfbook.job(demo, "mast-clamps")
    told = as_json("job", "mast-clamps")
    assert (job.verdict, job.minutes) == (told["verdict"], told["minutes"])
    assert f"{job.reply()}\n" == printed("job", "mast-clamps", "--reply")
    assert list(job.table()["minutes"]) == [step["minutes"] for step in told["steps"]]
