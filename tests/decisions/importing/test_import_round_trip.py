"""What is exported and imported again is the same record, its values as typed."""

from __future__ import annotations

import json
from types import SimpleNamespace

import pandas as pd
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from support.books import make_book
from support.typed_records import IDS, ODD, RATIOS, recipes, tools
from swarfbook import resources
from swarfbook.book import Book
from swarfbook.book.spreadsheets.cell_text import cell_text, flattened, nested, same, value_of
from swarfbook.book.spreadsheets.reading import read_file
from swarfbook.book.spreadsheets.writing import write_table
from swarfbook.decisions.exporting import KINDS, _table, export_book, export_records, export_run_rows
from swarfbook.decisions.importing.columns import Wish, columns_of
from swarfbook.decisions.importing.planning import Asked, carry_out, plan
from swarfbook.decisions.importing.rows import taken_rows
from swarfbook.records import parse

DEMO = Book.open(resources.demo_book_dir())
NO_WISH = Wish({}, {})
SLOW = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow, HealthCheck.data_too_large]


def asked(path, **changes):
    return Asked(
        **{"file": str(path), "sheet": None, "encoding": None, "wish": NO_WISH, "fixed": {}, **changes}
    )


def through(path, what, records):
    """Write records to a file and read them back, without a book."""
    kind = KINDS[what]
    entries = [SimpleNamespace(id=record, raw=raw) for record, raw in records.items()]
    write_table(str(path), _table(what, entries, si=False, typed=False))
    sheet = read_file(str(path), kind)
    taken, problems = taken_rows(kind, sheet, columns_of(kind, sheet, NO_WISH), {})
    assert problems == []
    found = {}
    for one in taken:
        flat = {key: value for key, value in one.flat.items() if value is not None}
        found[one.id] = {"schema": f"{kind}/1", **nested(flat)}
    return found


@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
@settings(max_examples=40, deadline=None, suppress_health_check=SLOW)
@given(st.data())
def test_any_records_come_back_from_a_table_as_typed(tmp_path, ending, data):
    for what, one in (("tools", tools()), ("recipes", recipes())):
        records = data.draw(st.dictionaries(IDS, one, max_size=4))
        for raw in records.values():
            parse(KINDS[what], raw, where="x")
        assert same(through(tmp_path / f"x{ending}", what, records), records)


@pytest.mark.parametrize("ending", [".csv", ".xlsx"])
@pytest.mark.parametrize("name", ODD, ids=ascii)
def test_an_odd_name_comes_back(tmp_path, ending, name):
    raw = {"schema": "tool/1", "name": name}
    assert through(tmp_path / f"x{ending}", "tools", {"x": raw}) == {"x": raw}


@given(st.text(max_size=40))
@example("'=1")
@example("_x000D_")
def test_any_text_is_a_cell_and_back(text):
    for kind, key in (("recipe", "notes"), ("tool", "name"), ("tool", "diameter"), ("recipe", "wear")):
        cell = cell_text(kind, key, text)
        assert value_of(kind, key, cell) == text
        assert "\r" not in cell


@pytest.mark.parametrize(
    "value", [*RATIOS, [], [1.0, 1], {}, {"a": [{"b": "x;y"}]}, True, False, ["a; b"]], ids=repr
)
def test_other_values_are_cells_and_back(value):
    key = "overrides" if isinstance(value, dict) else "keep" if isinstance(value, list) else "wear"
    kind = "material" if key == "overrides" else "recipe"
    if isinstance(value, bool):
        kind, key = "job", "hands_off"
    assert same(value_of(kind, key, cell_text(kind, key, value)), value)


def test_keys_of_tables_are_dotted_and_back():
    raw = {"name": "x", "overrides": {}, "a": {"b": 1, "c": {"d": [1]}}}
    flat = flattened("material", raw)
    assert flat == {"name": "x", "overrides": {}, "a.b": 1, "a.c.d": [1]}
    assert nested(flat) == raw
    assert nested({"a.b": 1, "a": None}) == {"a": {"b": 1}}


@pytest.mark.parametrize("ending", [".csv", ".xlsx", ".json"])
def test_the_demo_book_comes_back_whole(tmp_path, ending):
    root = tmp_path / "book"
    make_book(root)
    for path in root.glob("*/*.toml"):
        path.unlink()
    book = Book.open(root)
    for what in ("machines", "materials", "tools", "recipes", "jobs"):
        path = tmp_path / f"{what}{ending}"
        count, problems = export_records(DEMO, what, str(path))
        assert (count, problems) == (len(DEMO.ids(KINDS[what])), [])
        found = plan(book, KINDS[what], asked(path))
        assert found.problems == ()
        assert len(carry_out(book, found, replace=False)) == count
        for record in DEMO.ids(KINDS[what]):
            mine, theirs = book.get(KINDS[what], record), DEMO.get(KINDS[what], record)
            assert same(mine.raw, theirs.raw)
            assert mine.record == theirs.record
        again = plan(book, KINDS[what], asked(path))
        assert {row.state for row in again.rows} == {"same"}


def test_the_whole_book_as_json_gives_every_kind_back(tmp_path):
    path = tmp_path / "book.json"
    count, _ = export_book(DEMO, str(path))
    told = json.loads(path.read_text())
    kinds = ("machine", "tool", "material", "recipe", "job")
    assert count == sum(len(DEMO.ids(kind)) for kind in kinds)
    assert told["book"]["title"] == "Saltmarsh workshop"
    assert len(told["runs"]) == sum(
        len(log.read_bytes().splitlines()) for log in (DEMO.root / "runs").glob("*.jsonl")
    )
    for kind in kinds:
        found = plan(DEMO, kind, asked(path))
        assert ({row.state for row in found.rows}, found.problems) == ({"same"}, ())


def test_parquet_has_types_and_every_text_as_typed(tmp_path):
    export_records(DEMO, "tools", str(tmp_path / "x.parquet"))
    frame = pd.read_parquet(tmp_path / "x.parquet")
    assert frame["id"].tolist() == DEMO.ids("tool")
    assert str(frame["flutes"].dtype) == "int64"
    for row in frame.to_dict("records"):
        raw = DEMO.get("tool", row["id"]).raw
        assert {key: value for key, value in row.items() if pd.notna(value)} == {
            "id": row["id"], **{key: value for key, value in raw.items() if key != "schema"}
        }  # fmt: skip


def test_parquet_keeps_lists_of_words_as_lists(tmp_path):
    export_records(DEMO, "recipes", str(tmp_path / "x.parquet"))
    frame = pd.read_parquet(tmp_path / "x.parquet").set_index("id")
    kept = {record: DEMO.get("recipe", record).raw["keep"] for record in frame[frame["keep"].notna()].index}
    assert kept
    assert {record: list(frame.loc[record, "keep"]) for record in kept} == kept


@pytest.mark.parametrize("ending", [".csv", ".xlsx", ".parquet", ".json"])
def test_si_has_the_records_numbers_with_units_in_the_headings(tmp_path, ending):
    path = tmp_path / f"x{ending}"
    export_records(DEMO, "tools", str(path), si=True)
    if ending == ".json":
        frame = pd.DataFrame(json.loads(path.read_text())["tools"])
        names = {"diameter": "diameter", "helix": "helix", "max_speed": "max_speed"}
    else:
        read = {".csv": pd.read_csv, ".xlsx": pd.read_excel, ".parquet": pd.read_parquet}[ending]
        frame = read(path)
        names = {"diameter": "diameter [m]", "helix": "helix [rad]", "max_speed": "max_speed [rev/s]"}
    for attribute, name in names.items():
        held = [getattr(DEMO.get("tool", record).record, attribute) for record in frame["id"]]
        assert frame[name].dropna().tolist() == [one for one in held if one is not None]


def test_a_sheet_read_by_pandas_has_what_the_files_have(tmp_path):
    export_records(DEMO, "tools", str(tmp_path / "x.xlsx"))
    frame = pd.read_excel(tmp_path / "x.xlsx", dtype=object)
    assert frame.columns[0] == "id"
    for row in frame.to_dict("records"):
        raw = DEMO.get("tool", row["id"]).raw
        for key, value in row.items():
            assert value == {"id": row["id"], **raw}[key] if pd.notna(value) else key not in raw


def test_a_sheet_is_neat_and_its_texts_are_texts(tmp_path):
    from openpyxl import load_workbook

    export_records(DEMO, "recipes", str(tmp_path / "x.xlsx"))
    sheet = load_workbook(tmp_path / "x.xlsx")["recipes"]
    assert sheet.freeze_panes == "B2"
    assert all(cell.font.bold for cell in sheet[1])
    widths = [one.width for one in sheet.column_dimensions.values()]
    assert len(widths) == sheet.max_column
    assert (min(widths) >= 8, max(widths) <= 60) == (True, True)
    for row in sheet.iter_rows(min_row=2):
        for cell in row:
            if isinstance(cell.value, str):
                assert (cell.data_type, cell.number_format, cell.quotePrefix) == ("s", "@", True)


def test_runs_as_sheet_and_json_have_what_the_csv_has(tmp_path):
    from swarfbook.decisions.archive import COLUMNS

    for ending in (".csv", ".xlsx", ".json"):
        assert export_run_rows(DEMO, str(tmp_path / f"x{ending}")) == len(DEMO.runs())
    plain = pd.read_csv(tmp_path / "x.csv")
    sheet = pd.read_excel(tmp_path / "x.xlsx")
    told = pd.DataFrame(json.loads((tmp_path / "x.json").read_text())["runs"])
    for frame in (sheet, told):
        assert list(frame.columns) == list(COLUMNS)
        pd.testing.assert_series_equal(frame["measured"].astype(float), plain["measured"])
        assert frame["run"].tolist() == plain["run"].tolist()
        assert (
            pd.to_datetime(frame["at"], format="ISO8601").tolist()
            == pd.to_datetime(plain["at"], format="ISO8601").tolist()
        )
