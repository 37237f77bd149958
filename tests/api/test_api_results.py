"""Results in Python: the object of the command's JSON, its page, tables, and a view in notebooks."""

from __future__ import annotations

import html
from html.parser import HTMLParser

import pandas as pd
import pytest

import swarfbook
from swarfbook.api.result import html_table

ROUGH, MAX = "long-bed-6mm-6082-rough", "long-bed-6mm-6082-max"
SOLVED = {"machine": "small-mill", "tool": "em-8mm-3f", "material": "6082-t6", "operation": "rough"}
WISHED = ["--margin", "30%", "--tolerance", "0.1 mm"]
CASES = {
    "check": (lambda book: swarfbook.check(book, ROUGH), ["check", ROUGH]),
    "derate": (lambda book: swarfbook.derate(book, MAX, margin=0.25), ["derate", MAX, "--margin", "25%"]),
    "depth": (
        lambda book: swarfbook.derate(book, MAX, margin="10%", by="depth"),
        ["derate", MAX, "--margin", "10%", "--by", "depth"],
    ),
    "risk": (lambda book: swarfbook.derate(book, MAX, risk=0.01), ["derate", MAX, "--risk", "1%"]),
    "in-job": (
        lambda book: swarfbook.derate(book, ROUGH, margin="10%", job="mast-clamps"),
        ["derate", ROUGH, "--margin", "10%", "--job", "mast-clamps"],
    ),
    "pick": (
        lambda book: swarfbook.pick(book, material="6082-t6", operation="rough", wall="14 mm", minutes=30),
        ["pick", "--material", "6082-t6", "--operation", "rough", "--wall", "14 mm", "--minutes", "30"],
    ),
    "solve": (
        lambda book: swarfbook.solve(book, **SOLVED, margin=0.3, tolerance="0.1 mm"),
        ["solve", *(word for key, value in SOLVED.items() for word in (f"--{key}", value)), *WISHED],
    ),
    "compare": (lambda book: swarfbook.compare(book, MAX, ROUGH), ["compare", MAX, ROUGH]),
    "job": (lambda book: swarfbook.job(book, "mast-clamps"), ["job", "mast-clamps"]),
    "fit": (swarfbook.fit, ["fit"]),
}


@pytest.fixture(params=CASES)
def case(request, demo):
    make, words = CASES[request.param]
    return make(demo), words


def test_to_dict_is_exactly_the_json_of_the_command(case, as_json):
    result, words = case
    assert result.to_dict() == as_json(*words)


def test_a_result_as_text_is_the_page_of_the_command(case, printed, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    result, words = case
    assert f"{result}\n" == printed(*words)


def test_a_page_in_the_other_units_and_in_ascii(case, printed, monkeypatch):
    monkeypatch.setenv("COLUMNS", "80")
    result, words = case
    page = result.page(units="imperial", plain=True)
    assert page.isascii()
    assert f"{page}\n" == printed(*words, "--units", "imperial", "--plain")


def test_a_result_is_short_at_the_prompt_and_a_table_in_pandas(case):
    result, _ = case
    assert repr(result).startswith(f"<{type(result).__name__} ")
    assert len(repr(result)) < 120
    table = result.table()
    assert isinstance(table, pd.DataFrame)
    assert len(table)


class Tags(HTMLParser):
    def __init__(self, text):
        super().__init__()
        self.open, self.seen = [], set()
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        assert not attrs
        self.open.append(tag)
        self.seen.add(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


def test_in_a_notebook_a_result_is_a_plain_table(case):
    tags = Tags(case[0]._repr_html_())
    assert tags.seen == {"table", "caption", "thead", "tbody", "tr", "th", "td"}
    assert not tags.open


def test_the_notebook_shows_the_words_and_numbers_of_the_ladder(demo):
    result = swarfbook.check(demo, ROUGH)
    cells = html.unescape(result._repr_html_())
    for text in ("<td>axis thrust</td>", "<td>146</td>", "<td>≥ 1.88</td>", "<td>µm</td>", "<td>0.70</td>"):
        assert text in cells


def test_text_of_a_file_is_no_markup_in_a_notebook():
    hostile = "<script>alert(1)</script>&\u202e"
    shown = html_table(hostile, [hostile], [[hostile]])
    assert "<script" not in shown
    assert "\u202e" not in shown
    assert shown.count("&lt;script&gt;alert(1)&lt;/script&gt;&amp;") == 3


def test_values_and_limits_by_name_are_tables_and_say_the_nearest_name(demo):
    result = swarfbook.check(demo, ROUGH)
    for named in (result.limits, result.quantities):
        assert list(named.table().index) == list(named)
        Tags(named._repr_html_())
        assert len(repr(named).splitlines()) == len(named)
    with pytest.raises(KeyError, match="did you mean cutting_power"):
        result.quantities["power"]
