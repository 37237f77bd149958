"""The page after a bad run: numbers, no blame, and it fits."""

from __future__ import annotations

import json
import re

import pytest

from swarfbook import resources
from swarfbook.book import Book
from swarfbook.decisions.aftermath import aftermath
from swarfbook.decisions.case import load_case
from swarfbook.decisions.next_steps import RULES
from swarfbook.decisions.titles import title
from swarfbook.reports.aftermath_json import aftermath_json
from swarfbook.reports.aftermath_page import aftermath_lines

DEMO = Book.open(resources.demo_book_dir())
RECIPES = ("long-bed-6mm-6082-rough", "bench-6mm-6082-slot-too-deep", "bench-3mm-brass-letters")
BLAME = ("blame", "fault", "mistake", "wrong", "should have", "careless", "guilt", "operator",
         "you did", "failed", "bad", "too hard", "too fast", "too deep", "your", "because", "caused",
         "must have")  # fmt: skip


@pytest.fixture(scope="module", params=RECIPES)
def case(request):
    return load_case(DEMO, request.param)


@pytest.mark.parametrize("outcome", RULES)
def test_the_page_has_three_numbered_steps_with_numbers_and_blames_nobody(case, outcome):
    found = aftermath(case, outcome, minutes=30.0)
    for width, system in ((60, "imperial"), (80, "metric"), (120, None)):
        lines = aftermath_lines(found, width=width, system=system)
        text = "\n".join(lines)
        assert all(len(line) <= width for line in lines), max(lines, key=len)
        steps = re.split(r"^ [123]  ", text.partition("Three next steps:")[2], flags=re.MULTILINE)[1:]
        assert len(steps) == 3
        assert all(re.search(r"\d", step) for step in steps)
        assert not [word for word in BLAME if re.search(rf"\b{word}\b", text.casefold())]
        assert "estimated" in text
        assert "nan" not in text.split()


def test_the_closest_limits_stand_in_the_table(case):
    found = aftermath(case, "cutter-broke")
    lines = aftermath_lines(found, width=80)
    top = next(at for at, line in enumerate(lines) if line.startswith(" closest limits"))
    for line, limit in zip(lines[top + 1 :], found.closest, strict=False):
        assert line.strip().startswith(title(limit.name))
        assert f"{limit.use:.2f}" in line


def test_imperial_pages_speak_imperial(case):
    text = "\n".join(aftermath_lines(aftermath(case, "stalled"), width=80, system="imperial"))
    assert not re.search(r"\b(mm|µm|kW|N·m|m/min)\b", text)


def test_a_cut_with_nothing_near_says_so():
    found = aftermath(load_case(DEMO, "long-bed-6mm-hdpe-plunge"), "work-moved")
    text = " ".join(aftermath_lines(found, width=80))
    assert "No limit that bears on what happened stood near" in text


def test_a_step_by_hand_has_its_caution(case):
    for outcome, words in {"work-moved": "stand aside", "cutter-broke": "Stop the spindle"}.items():
        assert words in " ".join(aftermath_lines(aftermath(case, outcome), width=80))


def test_a_step_that_leaves_a_limit_over_says_so():
    found = aftermath(load_case(DEMO, "bench-6mm-6082-slot-too-deep"), "stalled")
    assert found.steps[0].still_over == ("axis-thrust",)
    assert "Still over after it: axis thrust." in " ".join(aftermath_lines(found, width=200))


def test_json_has_everything_and_reads_back(case):
    found = aftermath(case, "stalled")
    told = json.loads(json.dumps(aftermath_json(found), allow_nan=False))
    assert [one["name"] for one in told["closest"]] == [limit.name for limit in found.closest]
    assert told["closest"][0]["use"] == found.closest[0].use
    assert [one["changes"] for one in told["steps"]] == [dict(step.changes) for step in found.steps]
    assert all(one["says"] and one["numbers"] for one in told["steps"])
    assert told["least_known"][0]["name"] == found.least_known[0].name
