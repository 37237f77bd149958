"""A whole book goes into one file and comes out of it again: nothing is lost, not even a comment."""

from __future__ import annotations

import json
import re
from copy import deepcopy

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from support.books import RECIPE, RUN, TOOL, values
from support.typed_records import IDS, recipes, tools
from swarfbook import resources
from swarfbook.book import Book
from swarfbook.book.editing import new_document
from swarfbook.book.spreadsheets.cell_text import same
from swarfbook.book.starting import create
from swarfbook.decisions.exporting import export_book, export_records
from swarfbook.decisions.importing.columns import Wish
from swarfbook.decisions.importing.planning import Asked, carry_out, plan
from swarfbook.decisions.importing.whole import carry_out_whole, plan_whole
from swarfbook.errors import SwarfbookError
from swarfbook.records import record_keys

DEMO = Book.open(resources.demo_book_dir())
SLOW = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow, HealthCheck.data_too_large]
HELD = ("*.toml", "*/*.toml", "runs/*.jsonl", "runs/meters/*", "renames.jsonl")


def held(root):
    """Give every file of a book that says anything, byte for byte."""
    return {path.relative_to(root).as_posix(): path.read_bytes() for held in HELD for path in root.glob(held)}


def empty(folder):
    return Book.open(create(folder, demo=False))


def exported(book, path):
    export_book(book, str(path))
    return json.loads(path.read_text())


def put(path, told):
    path.write_text(json.dumps(told))
    return str(path)


def taken(book, file, *, replace=False):
    found = plan_whole(book, file)
    assert found.problems == ()
    carry_out_whole(book, found, replace=replace)
    return Book.open(book.root)


def test_the_demo_comes_back_byte_for_byte(tmp_path):
    exported(DEMO, tmp_path / "x.json")
    book = taken(empty(tmp_path / "book"), str(tmp_path / "x.json"))
    assert held(book.root) == held(DEMO.root)
    again = plan_whole(book, str(tmp_path / "x.json"))
    assert ({one.state for one in again.records}, again.settings.text, again.lines) == ({"same"}, None, {})
    assert again.known == len(exported(DEMO, tmp_path / "x.json")["runs"])
    assert [one.how for one in book.history.states("tool", book.ids("tool")[0])] == ["saved"]


def test_no_record_has_a_key_of_the_name_its_text_has():
    for kind in ("book", "machine", "tool", "material", "recipe", "job"):
        assert not {"text", "id"} & set(record_keys(kind))


def test_renames_meters_and_odd_files_come_back(make_book, tmp_path):
    root = make_book()
    path = root / f"tools/{TOOL}.toml"
    path.write_bytes(b"\xef\xbb\xbf# meins: \xc3\xb8\r\n" + path.read_bytes().replace(b"\n", b"\r\n"))
    book = Book.open(root)
    book.log({**RUN, "recipe": RECIPE, "id": "one"}, files={"csv": b"t;W\n1;\xb5\n", "txt": b"x\n"})
    book.rename("recipe", RECIPE, "called-otherwise")
    exported(book, tmp_path / "x.json")
    back = taken(empty(tmp_path / "back"), str(tmp_path / "x.json"))
    assert held(back.root) == held(root)
    assert {"renames.jsonl", "runs/meters/one.csv"} <= held(root).keys()
    assert [run.recipe for run in back.runs()] == ["called-otherwise"]


def typed_book(root, data):
    """Write a book of random records as `create` does, with comments where they like to stand."""
    book = empty(root)
    parts = {"machine": {"long-bed-router": values("machine")}, "material": {"6082-t6": values("material")}}
    parts["tool"] = {TOOL: values("tool"), **data.draw(st.dictionaries(IDS, tools(), max_size=3))}
    parts["recipe"] = data.draw(st.dictionaries(IDS, recipes(), max_size=3))
    for kind, records in parts.items():
        for record, raw in records.items():
            mark = data.draw(st.sampled_from(["", "# mine\n", "\n\n#\n"]))
            book.path(kind, record).write_bytes((mark + new_document(kind, raw)).encode())
    return Book.open(root)


@settings(max_examples=25, deadline=None, suppress_health_check=SLOW)
@given(st.data())
def test_any_records_come_back_with_their_text_and_without(tmp_path_factory, data):
    folder = tmp_path_factory.mktemp("any")
    book = typed_book(folder / "book", data)
    told = exported(book, folder / "x.json")
    assert held(taken(empty(folder / "texts"), str(folder / "x.json")).root) == held(book.root)
    for name in ("machines", "materials", "tools", "recipes"):
        for one in told[name]:
            del one["text"]
    del told["book"]["text"]
    back = taken(empty(folder / "bare"), put(folder / "bare.json", told))
    for kind in ("machine", "material", "tool", "recipe"):
        assert back.ids(kind) == book.ids(kind)
        for record in book.ids(kind):
            assert same(back.get(kind, record).raw, book.get(kind, record).raw)


@settings(max_examples=25, deadline=None, suppress_health_check=SLOW)
@given(st.data())
def test_any_records_of_a_kind_come_back_from_json_as_typed(tmp_path_factory, data):
    folder = tmp_path_factory.mktemp("kind")
    book = typed_book(folder / "book", data)
    back = typed_book(folder / "back", data)
    for what, kind in (("tools", "tool"), ("recipes", "recipe")):
        export_records(book, what, str(folder / "x.json"))
        found = plan(back, kind, Asked(str(folder / "x.json"), None, None, Wish({}, {}), {}))
        assert found.problems == ()
        carry_out(back, found, replace=True)
        back = Book.open(back.root)
        for record in book.ids(kind):
            assert same(back.get(kind, record).raw, book.get(kind, record).raw)


def test_a_book_with_some_of_it_gets_the_rest_and_each_run_once(tmp_path):
    exported(DEMO, tmp_path / "x.json")
    book = Book.open(create(tmp_path / "book", demo=True))
    for path in (
        book.path("job", "mast-clamps"),
        book.path("tool", "em-6mm-3f"),
        book.root / "runs/2026-11.jsonl",
    ):
        path.unlink()
    lines = (book.root / "runs/2026-10.jsonl").read_text().splitlines(keepends=True)
    (book.root / "runs/2026-10.jsonl").write_text("".join(lines[:3]))
    found = plan_whole(Book.open(book.root), str(tmp_path / "x.json"))
    assert (found.known, found.new_runs) == (
        3,
        len(lines) - 3 + len(DEMO.root.joinpath("runs/2026-11.jsonl").read_text().splitlines()),
    )
    assert held(taken(Book.open(book.root), str(tmp_path / "x.json")).root) == held(DEMO.root)


def test_settings_come_only_where_the_book_has_none_of_its_own(make_book, tmp_path):
    exported(DEMO, tmp_path / "x.json")
    root = make_book(**{"book.thresholds.tight": 0.7})
    (root / "book.toml").write_text("# mine\n" + (root / "book.toml").read_text())
    found = plan_whole(Book.open(root), str(tmp_path / "x.json"))
    assert found.settings.kept == ("title", "thresholds.tight")
    assert "units" in found.settings.taken
    carry_out_whole(Book.open(root), found, replace=True)
    text = (root / "book.toml").read_text()
    assert text.startswith("# mine\n")
    assert 'title = "Test workshop"' in text
    assert Book.open(root).settings.thresholds.tight == 0.7
    assert Book.open(root).settings.thresholds.clean_runs == DEMO.settings.thresholds.clean_runs


def test_what_differs_is_replaced_only_where_somebody_says_so_and_by_the_text(make_book, tmp_path):
    root = make_book()
    exported(Book.open(root), tmp_path / "x.json")
    before = held(root)
    path = root / f"tools/{TOOL}.toml"
    path.write_text(path.read_text().replace("50 mm", "51 mm"))
    found = plan_whole(Book.open(root), str(tmp_path / "x.json"))
    (one,) = found.of("differs")
    assert (one.id, one.changes) == (TOOL, (("overall_length", "51 mm", "50 mm"),))
    carry_out_whole(Book.open(root), found, replace=False)
    assert held(root) != before
    carry_out_whole(Book.open(root), found, replace=True)
    assert held(root) == before


def test_a_change_meanwhile_is_told_and_nothing_is_written(tmp_path):
    exported(DEMO, tmp_path / "x.json")
    book = empty(tmp_path / "book")
    found = plan_whole(book, str(tmp_path / "x.json"))
    book.path("tool", "em-6mm-3f").write_text("# somebody\n")
    before = held(book.root)
    with pytest.raises(SwarfbookError, match="the file changed on disk since it was read"):
        carry_out_whole(book, found, replace=False)
    assert held(book.root) == before


def changed(told, path, value):
    told = deepcopy(told)
    *places, last = path
    at = told
    for place in places:
        at = at[place]
    at[last] = value
    return told


@pytest.mark.parametrize(
    ("path", "value", "problem"),
    [
        (("tools", 0, "text"), 'schema = "tool/1"', r"tools\[1\]: text: this text does not hold"),
        (("tools", 0, "text"), "x = ", r"tools\[1\], text: .*broken TOML"),
        (("tools", 0, "text"), "\ud800", r"tools\[1\]: text: this holds what no file can"),
        (("tools", 0, "text"), "#" * 300_000, r"tools\[1\]: text: this is larger than"),
        (("tools", 0, "id"), "../x", r"tools\[1\]: id: found '../x'"),
        (("tools", 0, "id"), 7, r"tools\[1\]: id: write the id"),
        (("tools", 1, "id"), "ball-6mm-2f", r"tools\[2\]: id: found .*; tools\[1\] has that id"),
        (("tools", 0, "diameter"), "6 furlong", r"tools\[1\].*"),
        (("machines",), [], r"recipes\[1\]: machine: found 'bench-router'; no machine of that id"),
        (("recipes",), [], r"jobs\[1\]: steps\[1\].recipe: .*no recipe of that id"),
        (("book", "units"), "furlongs", r"book.*"),
        (("runs", 0), [], r"runs\[1\]: write the object of a run"),
        (("runs", 0, "outcome"), "fell-over", r"runs\[1\]: outcome"),
        (("meters",), {"../x.csv": ""}, r"meters: found '../x.csv'"),
        (("meters",), {"x.csv": "?"}, r"meters: found 'x.csv'"),
        (("renames",), [{"schema": "rename/1"}], r"renames\[1\]"),
    ],
)  # fmt: skip
def test_every_problem_is_told_with_its_place_and_nothing_is_planned_away(tmp_path, path, value, problem):
    told = changed(exported(DEMO, tmp_path / "x.json"), path, value)
    found = plan_whole(empty(tmp_path / "book"), put(tmp_path / "bad.json", told))
    assert any(re.search(problem, str(one)) for one in found.problems), found.problems


@pytest.mark.parametrize(
    "told", [{}, [], {"schema": "export/1", "tools": []}, {"schema": "export/1", "book": {}, "runs": 1}]
)
def test_what_is_no_whole_book_is_refused(tmp_path, told):
    with pytest.raises(SwarfbookError, match=r"no whole book in it|write a list"):
        plan_whole(empty(tmp_path / "book"), put(tmp_path / "x.json", told))


def test_another_run_of_an_id_the_book_has_is_refused(tmp_path):
    told = exported(DEMO, tmp_path / "x.json")
    book = taken(empty(tmp_path / "book"), str(tmp_path / "x.json"))
    told["runs"][4]["note"] = "otherwise"
    found = plan_whole(book, put(tmp_path / "x.json", told))
    (problem,) = found.problems
    assert "runs[5]: id" in str(problem)
