"""Files of tables as they come: read as text, or refused in a line with the place."""

from __future__ import annotations

import zipfile
from datetime import datetime

import pytest

from support.sheets import DRAWER, other_part, xlsx
from swarfbook.book.spreadsheets import read_xlsx, sheet
from swarfbook.book.spreadsheets.read_csv import csv_sheet
from swarfbook.book.spreadsheets.reading import read_file
from swarfbook.book.spreadsheets.sheet import Bad, letters
from swarfbook.errors import SwarfbookError

SHEET1 = "xl/worksheets/sheet1.xml"


def csv(text, **more):
    return csv_sheet(text.encode() if isinstance(text, str) else text, where="t.csv", **more)


def cells(found):
    return [row.cells for row in found.rows]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("a,b\n1,2\n", "commas"),
        ("a;b\n1;2\n", "semicolons"),
        ("a\tb\n1\t2\n", "tabs"),
        ("\ufeffa,b\n1,2\n", "commas"),
        ("sep=;\na;b\n1;2\n", "semicolons"),
        ('"a";"b"\r\n"1";"2"\r\n', "semicolons"),
        ("a,b\n\n,,\n1,2\n,\n", "commas"),
    ],
)
def test_separators_marks_and_empty_rows(text, told):
    found = csv(text)
    assert (found.headings, cells(found), found.told) == (("a", "b"), [("1", "2")], f"separated by {told}")


def test_rows_are_numbered_as_a_program_of_tables_shows_them():
    assert [row.number for row in csv('a,b\n"x\ny",2\n\nz,3\n').rows] == [2, 4]
    assert [row.number for row in csv("sep=,\na,b\n1,2\n").rows] == [3]


@pytest.mark.parametrize("encoding", ["utf-16", "utf-8-sig"])
def test_marked_encodings_are_known(encoding):
    assert csv("é,b\n1,2\n".encode(encoding)).headings == ("é", "b")


def test_latin_1_is_read_where_it_is_said():
    data = "Ø,b\n1,2\n".encode("latin-1")
    with pytest.raises(
        SwarfbookError, match=r"t\.csv: not UTF-8 \(line 1\); save it as CSV in UTF-8, or .*latin-1"
    ):
        csv(data)
    assert csv(data, encoding="latin-1").headings == ("Ø", "b")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "nothing stands here"),
        (",,\n\n", "nothing stands here"),
        ("a,b\0\n", "NUL"),
        ('a,b\n"x,1\n', "broken CSV near line 2"),
        ("a,A \n1,2\n", r"row 1, column B: found 'A '; column A has the same heading"),
        ("a,,c\n1,2,3\n", "row 1, column B: write a heading here"),
        ("a," + "x" * (1 << 18), "broken CSV near line 1"),
    ],
    ids=lambda text: ascii(text[:20]),
)
def test_what_is_no_table_is_refused(text, told):
    with pytest.raises(SwarfbookError, match=told):
        csv(text)


def test_too_many_rows_and_columns_are_refused(monkeypatch):
    monkeypatch.setattr("swarfbook.book.spreadsheets.read_csv.MOST_ROWS", 3)
    monkeypatch.setattr(sheet, "MOST_ROWS", 3)
    with pytest.raises(SwarfbookError, match="found 4 rows; at most 3 are read at once"):
        csv("a\n1\n2\n3\n4\n")
    with pytest.raises(SwarfbookError, match="more than 6 rows"):
        csv("a\n" * 9)
    with pytest.raises(SwarfbookError, match="found 1201 columns; at most 300 columns are read"):
        csv("a" + "," * 1200)
    with pytest.raises(SwarfbookError, match="found 301 columns"):
        csv(",".join(f"c{at}" for at in range(301)))


def test_columns_have_letters():
    assert [letters(at) for at in (0, 25, 26, 701, 702)] == ["A", "Z", "AA", "ZZ", "AAA"]


# XLSX


def test_a_sheet_has_what_a_person_sees(tmp_path):
    def change(page):
        page["C3"].number_format = "0.0%"
        page["C3"] = 0.255
        page["D3"] = True

    found = read_file(str(xlsx(tmp_path / "t.xlsx", change=change)), "tool")
    assert found.where.endswith("t.xlsx, sheet Drawer")
    assert found.headings == DRAWER[0]
    assert found.rows[0] == (
        2,
        ("6 mm two-flute", "Flat", "6", "2", "30", "22", "6", "57", "Carbide", "Anyone"),
    )
    assert found.rows[1].cells[2:4] == ("25.5 %", "true")


def test_formulas_dates_and_errors_are_told(tmp_path):
    def change(page):
        page["C2"], page["D2"], page["E2"] = "=3*2", datetime(2026, 4, 1), "#N/A"

    row = read_file(str(xlsx(tmp_path / "t.xlsx", change=change)), "tool").rows[0]
    assert [type(cell) for cell in row.cells[2:5]] == [Bad, Bad, Bad]
    assert [cell.found for cell in row.cells[2:5]] == [
        "a formula",
        "a date or time, 2026-04-01 00:00:00",
        "'#N/A'",
    ]


def test_a_formula_whose_value_was_kept_is_its_value(tmp_path):
    path = xlsx(tmp_path / "t.xlsx", [("a",), ("=3*2",)])
    with zipfile.ZipFile(path) as packed:
        part = packed.read(SHEET1)
    assert b"<f>3*2</f><v />" in part or b"<f>3*2</f><v></v>" in part
    kept = part.replace(b"<f>3*2</f><v />", b"<f>3*2</f><v>6</v>").replace(b"<v></v>", b"<v>6</v>")
    assert cells(read_file(str(other_part(path, {SHEET1: kept})), "tool")) == [("6",)]


def test_of_several_sheets_one_is_named(tmp_path):
    path = str(xlsx(tmp_path / "t.xlsx", change=lambda page: page.parent.create_sheet("Other")))
    with pytest.raises(SwarfbookError, match="say which sheet: --sheet with one of Drawer, Other"):
        read_file(path, "tool")
    with pytest.raises(SwarfbookError, match=r"found 'Drawr'; no such sheet; did you mean Drawer\?"):
        read_file(path, "tool", sheet="Drawr")
    assert len(read_file(path, "tool", sheet="Drawer").rows) == 2


def test_merged_cells_are_refused_with_their_place(tmp_path):
    path = xlsx(tmp_path / "t.xlsx", change=lambda page: page.merge_cells("B2:C2"))
    with pytest.raises(SwarfbookError, match="sheet Drawer: found merged B2:C2; unmerge these cells"):
        read_file(str(path), "tool")


def test_a_cell_far_out_is_refused_before_the_rows_between(tmp_path):
    path = xlsx(tmp_path / "t.xlsx", change=lambda page: page.cell(1_048_576, 16_384, "x"))
    with pytest.raises(SwarfbookError, match="found 1048576 rows and 16384 columns; at most 10000 rows"):
        read_file(str(path), "tool")
    path = xlsx(tmp_path / "t.xlsx", change=lambda page: page.cell(19_000, 1_000, "x"))
    with pytest.raises(SwarfbookError, match="at most 500000 cells are read"):
        read_file(str(path), "tool")


def test_a_file_that_unpacks_too_large_is_not_unpacked(tmp_path, monkeypatch):
    path = other_part(xlsx(tmp_path / "t.xlsx"), {SHEET1: b" " * (65 * 1024 * 1024)})
    assert path.stat().st_size < 200_000
    monkeypatch.setattr(zipfile.ZipFile, "read", None)
    with pytest.raises(SwarfbookError, match=r"found 65 MiB in \d+ parts; more than 64 MiB"):
        read_file(str(path), "tool")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
def test_a_file_that_declares_entities_is_not_read(tmp_path, encoding):
    text = '<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "lol"><!ENTITY b "&a;&a;">]><x>&b;</x>'
    path = other_part(xlsx(tmp_path / "t.xlsx"), {SHEET1: text.encode(encoding)})
    with pytest.raises(SwarfbookError, match="it declares entities"):
        read_file(str(path), "tool")


@pytest.mark.parametrize("data", [b"", b"PK", b"a,b\n1,2\n", b"PK\x05\x06" + b"\0" * 18])
def test_what_is_no_xlsx_is_refused(tmp_path, data):
    path = tmp_path / "t.xlsx"
    path.write_bytes(data)
    with pytest.raises(SwarfbookError, match="XLSX file"):
        read_file(str(path), "tool")


def test_without_openpyxl_a_line_says_how_to_get_it(tmp_path, monkeypatch):
    path = xlsx(tmp_path / "t.xlsx")
    monkeypatch.setitem(__import__("sys").modules, "openpyxl", None)
    with pytest.raises(SwarfbookError, match=r"it needs more: pip install 'swarfbook\[spreadsheets\]'"):
        read_xlsx.xlsx_sheet(path.read_bytes(), where="t.xlsx")


# Others


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("t.xls", "save it as .xlsx or .csv"),
        ("t.ods", "save it as .xlsx or .csv"),
        ("t.toml", "give a file that ends in .csv, .xlsx or .json"),
        ("missing.csv", "this cannot be read: no such file"),
        ("a\0b.csv", "no file can have that name"),
    ],
)
def test_other_files_are_refused(tmp_path, monkeypatch, name, told):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(SwarfbookError, match=told):
        read_file(name, "tool")


def test_a_folder_and_a_large_file_are_refused(tmp_path):
    (tmp_path / "t.csv").mkdir()
    with pytest.raises(SwarfbookError, match="this is not a file"):
        read_file(str(tmp_path / "t.csv"), "tool")
    large = tmp_path / "large.csv"
    with large.open("wb") as file:
        file.truncate(33 * 1024 * 1024)
    with pytest.raises(SwarfbookError, match="found 33 MiB; at most 32 MiB are read"):
        read_file(str(large), "tool")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "this is no JSON"),
        ("[" * 100_000, "this is no JSON"),
        ("NaN", "nan is no number"),
        ("[]", "no list of tools in it"),
        ('{"tools": []}', "no list of tools in it"),
        ('{"schema": "export/1", "tools": {}}', "no list of tools in it"),
        ('{"schema": "export/1", "tools": [1]}', r"tools\[1\]: write an object"),
        ('{"schema": "export/1", "tools": [{"a": [[[[[[[[[[1]]]]]]]]]]}]}', "nested deeper"),
    ],
)
def test_json_that_no_export_wrote_is_refused(tmp_path, text, told):
    path = tmp_path / "t.json"
    path.write_text(text)
    with pytest.raises(SwarfbookError, match=told):
        read_file(str(path), "tool")
