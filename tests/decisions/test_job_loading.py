"""Jobs that cannot be cut as they stand: one clear line each."""

from __future__ import annotations

import pytest

from support.books import RECIPE
from support.jobs import job_book
from swarfbook.decisions.jobs.loading import load_job
from swarfbook.errors import SwarfbookError

CUT = {"recipe": RECIPE, "feature": "window", "volume": "20 cm^3"}
FINISH = {"operation": "finish", "radial_width": "0.2 mm", "allowance": None}
AT = "jobs/plates.toml: "


def refused(path, recipes=None, **different):
    """Give the lines a job is refused with."""
    book = job_book(path, {"plates": different}, recipes)
    with pytest.raises(SwarfbookError) as caught:
        load_job(book, "plates")
    return [str(problem) for problem in caught.value.problems]


def test_a_good_job_is_resolved(tmp_path):
    case = load_job(job_book(tmp_path), "plates")
    assert [(one.number, one.feature.id, one.step.recipe) for one in case.cuttings] == [(1, "window", RECIPE)]
    assert (case.family, case.iso_group, list(case.tools)) == ("wrought-aluminium", "N", ["em-6mm-1f"])
    assert case.ambient == pytest.approx(293.15)


BAD = {
    "a step without a recipe": (
        {"steps": [{"feature": "window", "volume": "20 cm^3"}]},
        'jobs/plates.toml: steps[1].recipe: missing; write for example recipe = "long-bed-6mm-6082-rough" '
        "under [[steps]]",
    ),
    "a recipe that is not there": (
        {"steps": [CUT | {"recipe": "long-bed-6mm-6082-ruff"}]},
        AT + "steps[1].recipe: found 'long-bed-6mm-6082-ruff'; no recipe of that id in this book; "
        "did you mean long-bed-6mm-6082-rough?",
    ),
    "a hold with no area": (
        {"holds": [{"method": "tape", "length": "300 mm"}]},
        AT + "holds[1].width: tape cannot be judged without its width",
    ),
    "clamps without a force": (
        {"holds": [{"method": "clamps", "count": 4}]},
        AT + "holds[1].force: clamps needs its force, or a bolt with its torque",
    ),
    "more volume than stock": (
        {"steps": [CUT | {"volume": "150 cm^3"}, CUT | {"volume": "150 cm^3"}]},
        AT + "steps[2].volume: found '150 cm^3'; the steps up to here take off more than the piece holds",
    ),
    "a path that takes more than the stock": (
        {"steps": [CUT | {"volume": None, "path": "80 m", "air": 0.0}]},
        AT + "steps[1].path: the steps up to here take off more than the piece holds",
    ),
    "a side nobody holds": (
        {"steps": [CUT | {"side": "second"}], "flip": {"locate": "pins"}},
        AT + "steps[1].side: found 'second'; nothing holds that side; write a hold with side = \"second\"",
    ),
    "back to the first side": (
        {
            "steps": [CUT | {"side": "second"}, CUT],
            "flip": {"locate": "pins"},
            "holds": [
                {"method": "vise", "force": "4 kN"},
                {"method": "vise", "force": "4 kN", "side": "second"},
            ],
        },
        AT + "steps[2].side: the piece is on its second side by then; move this step up",
    ),
    "a second side without saying how it is found": (
        {
            "steps": [CUT | {"side": "second"}],
            "holds": [{"method": "vise", "force": "4 kN", "side": "second"}],
        },
        AT + "steps[1].side: found 'second'; a second side needs [flip] with how the piece is located again",
    ),
    "less taken than there is": (
        {"steps": [CUT | {"allowance": "0.2 mm"}, CUT | {"allowance": "0.5 mm"}]},
        AT + "steps[2].allowance: found '0.5 mm'; an earlier step on this feature leaves less than that",
    ),
    "a feature that is not there": (
        {"steps": [CUT | {"feature": "windw"}]},
        AT + "steps[1].feature: found 'windw'; no feature of that id; did you mean window?",
    ),
    "a pocket without path or volume": (
        {"steps": [{"recipe": RECIPE, "feature": "window"}]},
        AT + "steps[1].path: write how long its path is, or its volume, or both",
    ),
    "no steps": (
        {"steps": []},
        AT + "steps: found a list; write at least one: [[steps]] on a line of its own and its keys below it",
    ),
    "two features of one id": (
        {"features": [{"id": "window", "kind": "face", "depth": "1 mm"}] * 2},
        AT + "features[2].id: found 'window'; there is a feature of that id already; choose another id",
    ),
    "deeper than the stock": (
        {"features": [{"id": "window", "kind": "pocket", "depth": "13 mm"}]},
        AT + "features[1].depth: found '13 mm'; deeper than the stock is thick",
    ),
    "a bar without a width": (
        {"stock": {"form": "flat-bar", "thickness": "12.7 mm", "length": "300 mm"}},
        AT + "stock.width: a bar, plate, sheet or board needs its width",
    ),
    "a chamfer's feature cut by another recipe": (
        {"features": [{"id": "window", "kind": "edge", "depth": "0.5 mm"}]},
        AT + f"steps[1].recipe: found '{RECIPE}'; an edge break is cut by a chamfer recipe, and a "
        "chamfer recipe cuts nothing else",
    ),
}


@pytest.mark.parametrize(("different", "line"), BAD.values(), ids=BAD.keys())
def test_a_bad_job_gets_one_clear_line(tmp_path, different, line):
    steps = different.get("steps")
    if steps is not None:
        different = different | {
            "steps": [{key: value for key, value in step.items() if value is not None} for step in steps]
        }
    assert refused(tmp_path, **different) == [line]


def test_roughing_what_is_finished_is_an_order_nobody_can_cut(tmp_path):
    steps = [CUT | {"recipe": "fine", "volume": "1 cm^3"}, CUT]
    assert refused(tmp_path, {"fine": FINISH}, steps=steps) == [
        AT + f"steps[2].recipe: found '{RECIPE}'; 'window' is finished before this step roughs it: "
        "move this step up"
    ]


def test_a_recipe_of_another_machine_is_told(tmp_path):
    book = job_book(tmp_path, {"plates": {}}, {"other": {"machine": "small-mill"}})
    text = book.path("machine", "long-bed-router").read_text()
    book.path("machine", "small-mill").write_text(text)
    job_book_text = book.path("job", "plates").read_text().replace(f'"{RECIPE}"', '"other"')
    book.path("job", "plates").write_text(job_book_text)
    with pytest.raises(SwarfbookError) as caught:
        load_job(book, "plates")
    assert [str(problem) for problem in caught.value.problems] == [
        AT + "steps[1].recipe: found 'other'; that recipe is for small-mill, the job's machine is "
        "long-bed-router"
    ]


def test_the_problems_of_all_steps_are_told_at_once(tmp_path):
    lines = refused(tmp_path, steps=[CUT | {"recipe": "a"}, CUT, CUT | {"recipe": "b"}])
    assert [line.split(":")[1].strip() for line in lines] == ["steps[1].recipe", "steps[3].recipe"]
