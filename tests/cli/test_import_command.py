"""`swarfbook import`: the mapping first, every problem with its place, and all is written or nothing."""

from __future__ import annotations

import json
import tomllib
from itertools import takewhile

import pytest

from support.books import MACHINE, MATERIAL, RECIPE, TOOL
from support.cut_off import KilledError, dying
from support.sheets import xlsx
from swarfbook.book import Book, unfinished

DRAWER = "Name;Shape;DC;ZEFP;FHA;APMX;DMM;OAL;LF;Maker\n6 mm two-flute;Flat;6;2;30;22;6;57;;Anyone\n"
ROW = "6 mm two-flute;Flat;6;2;30;22;6;57;;Anyone\n"
SET = ("--set", "substrate=carbide")


@pytest.fixture
def root(make_book):
    return make_book()


@pytest.fixture
def run(run_cli, root, tmp_path, monkeypatch):
    """Give a function that imports a text as CSV, or a file."""
    monkeypatch.setenv("COLUMNS", "120")

    def run(text, *words, what="tools", name="t.csv"):
        if text is not None:
            (tmp_path / name).write_text(text)
        return run_cli("import", what, name, *words, "--book", root, cwd=tmp_path)

    return run


def line_of(done, word):
    """Give the line of a column, with the lines it goes on in."""
    (at,) = (at for at, line in enumerate(done.lines) if line.startswith(f"  {word} "))
    more = takewhile(lambda line: line.startswith(" " * 20), done.lines[at + 1 :])
    return " ".join(" ".join([done.lines[at], *more]).split())


def files(root):
    return {path: path.read_bytes() for path in root.rglob("*.toml")}


def test_the_mapping_is_shown_and_nothing_is_written_unasked(run, root):
    before = files(root)
    done = run(DRAWER, *SET)
    assert done.returncode == 1
    assert done.lines[0] == "t.csv · 1 row, separated by semicolons"
    assert line_of(done, "Shape") == 'Shape shape "square"'
    assert line_of(done, "DC") == 'DC diameter mm "6 mm" cutting diameter, mm as ISO 13399 has it'
    assert line_of(done, "FHA") == 'FHA helix deg "30 deg" flute helix angle, deg as ISO 13399 has it'
    assert line_of(done, "LF").startswith("LF left out: functional length of ISO 13399")
    assert line_of(done, "Maker") == "Maker left out: no such key"
    assert line_of(done, "every") == 'every row substrate "carbide" --set'
    assert "  no column for the id: it is made of the name" in done.lines
    assert "  1 new: 6-mm-two-flute" in done.lines
    assert "1 tool to write; nothing is written without --yes" in done.stderr
    assert files(root) == before


def test_with_yes_it_is_written_and_then_the_same(run, root):
    assert run(DRAWER, *SET, "--yes").returncode == 0
    path = root / "tools/6-mm-two-flute.toml"
    assert tomllib.loads(path.read_text()) == {
        "schema": "tool/1", "name": "6 mm two-flute", "shape": "square", "diameter": "6 mm", "flutes": 2,
        "helix": "30 deg", "flute_length": "22 mm", "shank_diameter": "6 mm", "overall_length": "57 mm",
        "substrate": "carbide",
    }  # fmt: skip
    path.write_text("# mine\n" + path.read_text())
    before = files(root)
    done = run(None, *SET, "--yes")
    assert (done.returncode, files(root)) == (0, before)
    assert "  1 same as in the book: 6-mm-two-flute" in done.lines


def test_rows_that_differ_are_written_with_replace_only_and_keep_their_comments(run, root):
    run(DRAWER, *SET, "--yes")
    path = root / "tools/6-mm-two-flute.toml"
    path.write_text("# mine\n" + path.read_text() + 'rake = "10 deg"  # by the box\n')
    before = files(root)
    other = DRAWER.replace(";57;", ";58;") + ROW.replace("6 mm two", "7 mm two")
    done = run(other, *SET, "--yes")
    assert (done.returncode, files(root)) == (1, before)
    assert '  differs: 6-mm-two-flute: overall_length "57 mm" -> "58 mm"' in done.lines
    assert "--replace takes them" in done.stderr
    done = run(None, *SET, "--yes", "--replace")
    assert (done.returncode, done.stderr) == (0, "2 tools (1 replaced) written\n")
    assert path.read_text() == before[path].decode().replace("57 mm", "58 mm")
    states = Book.open(root).history.states("tool", "6-mm-two-flute")
    assert [one.data for one in states][-2:] == [before[path], path.read_bytes()]


def test_a_cleared_cell_takes_the_key_out_and_a_key_without_a_column_stays(run, root):
    text = "id,name,max_speed\nem-6mm-1f,6 mm one-flute end mill,\n"
    done = run(text, "--yes", "--replace")
    assert '  differs: em-6mm-1f: max_speed "30000 rpm" -> nothing' in done.lines
    raw = Book.open(root).get("tool", TOOL).raw
    assert "max_speed" not in raw
    assert raw["edge_radius"] == "5 um"


def test_every_problem_of_the_file_is_told_with_row_and_column_and_nothing_is_written(run, root):
    before = files(root)
    bad = [
        "x1;Flat;6,5;2;30;22;6;57;;",
        "x2;Flat;6 furlong;x;95;22;6;57;;",
        "x3;Cone;6;2;30;22;6;;;",
        "x4;Flat;6;2;30;22;6;20;;",
        ";Flat;6;2;30;22;6;57;;",
        "x1;Flat;6;2;30;22;6;57;;",
        "x3;ball;6;2;30;22;6;57;;",
    ]
    done = run(DRAWER + "\n".join(bad), "--yes")
    assert done.returncode == 2
    expected = [
        f"swarfbook: t.csv{line}"
        for line in (
            ": substrate: no column for it, and it must stand; --map 'COLUMN=substrate', or for all rows "
            "--set 'substrate=carbide'",
            ", row 3, column DC: found '6,5'; write 6.5 with a decimal point",
            ", row 4, column DC: found '6 furlong'; 'furlong' is not a unit known here; a length takes "
            "mm, in, um, cm, m, thou, ft",
            ", row 4, column ZEFP: found 'x'; write a whole number from 1 to 24",
            ", row 4, column FHA: found '95 deg'; write an angle above -80 deg and below 80 deg",
            ", row 5, column Shape: found 'Cone'; known: ball, chamfer, corner-radius, square, tapered",
            ', row 5, column OAL: missing; write for example overall_length = "50 mm"',
            ", row 6, column APMX: found '22 mm'; write a length not above overall_length",
            ", row 7: no id and no name; write one of them",
            ", row 8: id: found 'x1'; row 3 has that id already; give each an id of its own",
            ", row 9: id: found 'x3'; row 5 has that id already; give each an id of its own",
        )
    ]
    *told, last = done.stderr.splitlines()
    assert (told, last) == (expected, "swarfbook: nothing is written")
    assert files(root) == before


def test_a_bare_number_without_a_unit_is_refused_until_its_column_has_one(run):
    text = DRAWER.replace("DC;", "Diameter;")
    done = run(text, *SET)
    assert done.returncode == 2
    assert (
        "t.csv, row 2, column Diameter: found '6'; no unit; write '6 mm', or give the column one: [mm] in "
        "its heading, or --unit 'Diameter=mm'"
    ) in done.stderr
    done = run(None, *SET, "--unit", "Diameter=mm")
    assert line_of(done, "Diameter") == 'Diameter diameter mm "6 mm" as --unit says'
    for heading in ("Diameter [mm]", "diameter (mm)", "DIA mm", "dia, mm", "dia_mm", "⌀ (mm)"):
        (line,) = (line for line in run(text.replace("Diameter", heading), *SET).lines if heading in line)
        assert " ".join(line.removeprefix(f"  {heading}").split()) == 'diameter mm "6 mm"'


def test_a_column_goes_where_map_says_or_nowhere(run):
    done = run(DRAWER, *SET, "--map", "Maker=name", "--map", "Name=", "--map", "OAL=")
    assert done.returncode == 2
    assert line_of(done, "Maker") == 'Maker name "Anyone" as --map says'
    assert line_of(done, "Name") == "Name as --map says: left out"
    assert "t.csv: overall_length: no column for it" in done.stderr


def test_an_id_has_to_be_one(run):
    done = run(DRAWER.replace("6 mm two", "con").replace("-flute", ""), "--map", "Name=id", *SET)
    assert "t.csv, row 2, column Name: found 'con'; some systems keep that name for a device" in done.stderr
    done = run(DRAWER, "--map", "Name=id", *SET)
    assert "t.csv, row 2, column Name: found '6 mm two-flute'; an id is lower-case letters" in done.stderr


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--map", "Nme=name"), "--map: found 'Nme'; no such column; did you mean Name?"),
        (("--map", "Maker=nme"), "--map: found 'nme'; no such key; did you mean name?"),
        (
            ("--map", "Maker=name"),
            "column Maker: it goes to name, as Name does; leave one out with --map 'Maker='",
        ),
        (("--map", "Maker"), "--map: write two words with = between them"),
        (("--unit", "Name=mm"), "column Name: name takes no unit"),
        (("--unit", "DC=deg"), "column DC: deg is an angle; a length takes mm"),
        (("--set", "substrate=wood"), "--set: substrate: found 'wood'; known: carbide"),
        (("--set", "sub=wood"), "--set: found 'sub'; no such key"),
    ],
)
def test_what_is_said_of_columns_has_to_fit(run, words, told):
    done = run(DRAWER, *words)
    assert done.returncode == 2
    assert told in done.stderr


def test_a_heading_that_is_nearly_a_key_is_asked_about(run):
    done = run(DRAWER.replace("Maker", "helixx"), *SET)
    assert line_of(done, "helixx") == "helixx left out: no such key; nearest helix"


def test_a_unit_in_brackets_that_will_not_do_is_told(run):
    done = run(DRAWER.replace("DC;", "DC [furlong];"), *SET)
    assert done.returncode == 2
    assert "t.csv, column DC [furlong]: 'furlong' is not a unit known here" in done.stderr


def test_recipes_name_what_the_book_has(run, root):
    head = "name,RPM,Feed mm/min,ap [mm],ae [mm],cutter,machine,material,op,status,direction,stickout (mm)"
    head += ",coolant,notes"
    good = f'a,18000,900,3,1.5,{TOOL},{MACHINE},{MATERIAL},Rough,trial,Climb,24,Air blast,"two\nlines"'
    done = run(f"{head}\n{good}\n", "--yes", what="recipes")
    assert done.returncode == 0, done.stderr
    raw = Book.open(root).get("recipe", "a").raw
    assert (raw["feed_rate"], raw["cooling"], raw["notes"]) == ("900 mm/min", "air-blast", "two\nlines")
    bad = good.replace(TOOL, "em-6mm").replace("a,", "b,", 1)
    wide = good.replace(",1.5,", ",7,").replace("a,", "c,", 1)
    done = run(f"{head}\n{bad}\n{wide}\n", "--yes", what="recipes")
    assert done.returncode == 2
    assert (
        f"t.csv, row 2, column cutter: found 'em-6mm'; no tool of that id in this book; did you mean {TOOL}"
        in done.stderr
    )
    assert "t.csv, row 3, column ae [mm]: found '7 mm'; write a length not above the diameter" in done.stderr
    assert Book.open(root).ids("recipe") == ["a", RECIPE]


def test_feed_goes_by_its_unit(run):
    head = "id,feed ({unit})\nlong-bed-6mm-6082-rough,1\n"
    for unit, key in (("mm/min", "feed_rate"), ("mm", "feed_per_tooth"), ("in/min", "feed_rate")):
        done = run(head.format(unit=unit), what="recipes")
        assert line_of(done, f"feed ({unit})").split()[2] == key


def test_an_xlsx_drawer_and_its_sheet_in_the_message(run, tmp_path):
    xlsx(tmp_path / "t.xlsx")
    done = run(None, "--yes", name="t.xlsx")
    assert (done.returncode, done.lines[0]) == (0, "t.xlsx, sheet Drawer · 2 rows")
    assert "  2 new: 6-mm-two-flute, 8-mm-ball" in done.lines

    def change(page):
        page["C3"] = "=B2"

    xlsx(tmp_path / "t.xlsx", change=change)
    done = run(None, name="t.xlsx")
    assert (
        "t.xlsx, sheet Drawer, row 3, column DC [mm]: found a formula; its value was not kept" in done.stderr
    )


def test_json_says_the_same(run):
    told = json.loads(run(DRAWER + "x;Cone;6;2;30;22;6;57;;\n", *SET, "--json").stdout)
    assert [row["state"] for row in told["rows"]] == ["new"]
    assert {one["heading"]: one["key"] for one in told["columns"]}["Maker"] is None
    assert len(told["problems"]) == 1


def test_a_crowd_of_problems_is_told_in_fifty_lines(run):
    done = run(DRAWER + "".join(f"x{at};Cone;6;2;30;22;6;57;;\n" for at in range(80)), *SET)
    lines = done.stderr.splitlines()
    assert len(lines) == 52
    assert lines[-2:] == ["swarfbook: t.csv: and 30 problems more", "swarfbook: nothing is written"]


@pytest.mark.parametrize(("answer", "written"), [("y\n", True), ("n\n", False), ("", False)])
def test_at_a_terminal_it_asks(run, root, monkeypatch, answer, written):
    import io
    import sys

    class Terminal(io.StringIO):
        def isatty(self):
            return True

    monkeypatch.setattr(sys, "stdin", Terminal(answer))
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    done = run(DRAWER, *SET)
    assert "write 1 tool?" in done.stdout
    assert Book.open(root).has("tool", "6-mm-two-flute") == written
    assert done.returncode == (0 if written else 130 if not answer else 1)


def test_cut_off_half_way_all_of_it_is_there_at_the_next_opening(run, root, monkeypatch):
    text = DRAWER + ROW.replace("6 mm two", "7 mm two") + ROW.replace("6 mm two", "8 mm two")
    with monkeypatch.context() as patch:
        dying(patch, (unfinished,), ("write_atomically",), 2)
        with pytest.raises(KilledError):
            run(text, *SET, "--yes")
    assert len(list((root / "tools").glob("*two*"))) == 1
    assert len([one for one in Book.open(root).ids("tool") if "two" in one]) == 3


def test_a_change_meanwhile_is_told_and_nothing_is_written(root, tmp_path):
    from swarfbook.decisions.importing.columns import Wish
    from swarfbook.decisions.importing.planning import Asked, carry_out, plan
    from swarfbook.errors import ConflictError, SwarfbookError

    (tmp_path / "t.csv").write_text("id,name,max_speed\nem-6mm-1f,x,\nother,x,\n")
    (tmp_path / "t.csv").write_text("id,name,max_speed\nem-6mm-1f,x,\n")
    book = Book.open(root)
    found = plan(book, "tool", Asked(str(tmp_path / "t.csv"), None, None, Wish({}, {}), {}))
    path = book.path("tool", TOOL)
    path.write_text(path.read_text() + "# mine\n")
    with pytest.raises((ConflictError, SwarfbookError), match="the file changed on disk since it was read"):
        carry_out(book, found, replace=True)
    assert path.read_text().endswith("# mine\n")


def test_the_demo_that_travels_along_is_not_written(run_cli, tmp_path):
    (tmp_path / "t.csv").write_text(DRAWER)
    done = run_cli("import", "tools", "t.csv", *SET, "--yes", cwd=tmp_path)
    assert (done.returncode, "the demo book is not written to" in done.stderr) == (2, True)


WIDE = DRAWER.replace("Name", "Name (as it stands on the box in the drawer)").replace(
    "two-flute", "two-flute end mill for aluminium alloys, polished"
)


@pytest.mark.parametrize("columns", [60, 80, 120])
def test_the_mapping_is_as_wide_as_the_terminal_and_nothing_of_it_is_lost(run, monkeypatch, columns):
    run(WIDE, *SET)
    monkeypatch.setenv("COLUMNS", str(columns))
    done = run(None, *SET)
    assert max(map(len, done.lines)) <= columns
    assert max(map(len, done.lines)) > columns - 30
    whole = " ".join(done.stdout.split())
    for told in (
        "cutting diameter, mm as ISO 13399 has it",
        "LF left out: functional length of ISO 13399; from the gauge line, not the overall length",
        'FHA helix deg "30 deg"',
        "no column for the id: it is made of the name",
        "1 new: 6-mm-two-flute-end-mill-for-aluminium-alloys-polished",
    ):
        assert told in whole


NONE = "Name;Shape;DC;ZEFP;FHA;APMX;DMM;OAL;RE;Point angle;Taper\n"


def test_a_zero_that_another_shape_would_have_says_that_there_is_none(run, root):
    rows = "a;Flat;6;2;30;22;6;57;0;0;0\nb;Ball;6;2;30;22;6;57;0.0;;0 deg\nc;Bull nose;6;2;30;22;6;57;0.5;;\n"
    done = run(NONE + rows, *SET, "--yes")
    assert (done.returncode, done.stderr) == (0, "3 tools written\n")
    whole = " ".join(done.stdout.split())
    assert "RE corner_radius mm" in whole
    assert "corner radius, mm as ISO 13399 has it; 0 in 2 rows of another shape: taken as none" in whole
    assert "0 in 1 row of another shape: taken as none" in whole
    own = {"corner_radius", "point_angle", "taper"}
    book = Book.open(root)
    assert [own & book.get("tool", one).raw.keys() for one in "abc"] == [set(), set(), {"corner_radius"}]
    assert "3 same as in the book: a, b, c" in run(None, *SET).stdout
    assert "2 same as in the book: a, b" in run("id,RE\na,0\nb,0\n").stdout


def test_what_is_not_zero_is_still_another_shape_s(run):
    done = run(NONE + "a;Flat;6;2;30;22;6;57;0.5;;\n", *SET)
    assert done.returncode == 2
    assert "column RE: found '0.5 mm'; leave it out: only a corner-radius cutter has it" in done.stderr
    done = run(NONE + "a;V-bit;6;2;30;22;6;57;;0;\n", *SET)
    assert (done.returncode, "column Point angle" in done.stderr) == (2, True)


def test_a_whole_book_goes_from_one_folder_to_another(run_cli, root, tmp_path):
    run_cli("export", "book", "x.json", "--book", root, cwd=tmp_path)
    run_cli("init", "--empty", "other", cwd=tmp_path)
    words = ("import", "book", "x.json", "--book", "other")
    done = run_cli(*words, cwd=tmp_path)
    assert (done.returncode, done.lines[0]) == (1, "x.json · a whole book")
    assert f"  tools: 1 new: {TOOL}" in done.lines
    assert "4 records, 1 setting to write; nothing is written without --yes" in done.stderr
    told = json.loads(run_cli(*words, "--json", cwd=tmp_path).stdout)
    assert ({one["state"] for one in told["rows"]}, told["settings"]["taken"]) == ({"new"}, ["title"])
    done = run_cli(*words, "--yes", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "4 records, 1 setting written\n")
    assert {path.name: data for path, data in files(tmp_path / "other").items()} == {
        path.name: data for path, data in files(root).items()
    }
    path = tmp_path / f"other/tools/{TOOL}.toml"
    path.write_text(path.read_text().replace("50 mm", "51 mm"))
    done = run_cli(*words, "--yes", cwd=tmp_path)
    assert (done.returncode, "--replace takes them" in done.stderr) == (1, True)
    assert f'  tool differs: {TOOL}: overall_length "51 mm" -> "50 mm"' in done.lines


def test_a_whole_book_has_no_columns_and_is_json(run):
    assert "a whole book has no sheets" in run(None, "--set", "shape=ball", what="book", name="x.json").stderr
    assert "ends in .json" in run(DRAWER, what="book").stderr
