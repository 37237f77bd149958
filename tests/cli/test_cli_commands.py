"""Every command as a person calls it: exit codes, what stands on stdout and on stderr, and nothing else."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from support.books import RECIPE
from swarfbook.cli.main import COMMANDS
from swarfbook.cli.text import indented

STRONG = {"machine.axes.thrust": "900 N"}  # nothing of the small book is over with it


@pytest.fixture
def call(make_book, run_cli):
    """Give a function that runs `swarfbook`, on the small book unless `book` names one or is False."""

    def run(*words, changes=None, book=None, cwd=None):
        if book is None:
            book = make_book(**{**STRONG, **(changes or {})})
        return run_cli(*words, *(["--book", str(book)] if book else []), cwd=cwd)

    return run


def assert_refused(done, *parts):
    assert done.returncode == 2, done
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    for part in parts:
        assert part in done.stderr
    assert all(line.startswith("swarfbook: ") for line in done.stderr.splitlines())


def test_check_prints_the_page_and_leaves_with_nothing_over(call):
    done = call("check", RECIPE)
    assert done.returncode == 0
    assert done.stderr == ""
    assert "Rough 6082-T6 flat bar with the 6 mm one-flute end mill" in done.stdout
    assert "spindle power" in done.stdout


def test_a_number_and_its_per_cent_stay_on_one_line():
    lines = list(indented(["beyond by 78 % in bending, 48 % in deflection"], 31))
    assert [line.replace("\u00a0", " ") for line in lines] == [
        " beyond by 78 % in bending,",
        "   48 % in deflection",
    ]


def test_check_leaves_with_one_when_a_hard_limit_is_over(call):
    done = call(
        "check",
        RECIPE,
        "--json",
        changes={"machine.spindle.max_speed": "17000 rpm", "machine.spindle.rated_speed": "17000 rpm"},
    )
    assert done.returncode == 1
    said = json.loads(done.stdout)
    assert said["tightest"] == "spindle-speed"
    assert said["verdict"] == "over"


def test_advice_over_is_not_an_error(call):
    done = call(
        "check",
        RECIPE,
        "--json",
        changes={"recipe.feed_per_tooth": "0.12 mm", "machine.axes.thrust": "2 kN"},
    )
    over = [limit["name"] for limit in json.loads(done.stdout)["limits"] if limit["verdict"] == "over"]
    assert over == ["chip-thick"]
    assert done.returncode == 0


def test_numbers_in_json_are_not_rounded(call):
    said = json.loads(call("check", RECIPE, "--json").stdout)
    assert len(repr(said["quantities"]["cutting_power"]["value"])) > 12


def test_list_says_standing_tightest_and_verdict(call):
    done = call("list")
    assert done.returncode == 0
    line = next(line for line in done.stdout.splitlines() if RECIPE in line)
    assert "max-effort" in line
    assert line.rstrip().endswith(("holds", "tight"))


def test_list_finds_words_in_any_order(call):
    assert RECIPE in call("list", "bulk", "6082").stdout
    assert RECIPE not in call("list", "6082", "brass").stdout
    assert json.loads(call("list", "--json", "router").stdout)[0]["recipe"] == RECIPE


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("long flat", True),
        ("6MM 1F", True),
        ("bed-rou", True),
        ("bed router max", True),
        ("outer", False),
        ("ffort", False),
        ("one-flute, 6082", True),
    ],
)
def test_list_finds_the_beginnings_of_words_of_names_and_ids(call, words, found):
    assert (RECIPE in call("list", *words.split()).stdout) == found


def test_a_broken_record_does_not_hide_the_others(call, make_book):
    folder = make_book()
    (folder / "recipes" / "broken.toml").write_text("name = 3\n")
    done = call("list", book=folder)
    assert done.returncode == 2
    assert RECIPE in done.stdout
    assert "recipes/broken.toml" in done.stderr


def test_show_gives_bands_and_origins(call):
    done = call("show", RECIPE, "--units", "imperial", changes={"tool.edge_radius": None})
    assert done.returncode == 0
    assert "in/min" in done.stdout
    assert "edge_radii.csv" in done.stdout
    said = json.loads(call("show", RECIPE, "--json").stdout)
    assert said["record"]["axial_depth"] == "3 mm"
    assert said["inputs"]["flute_length"]["from"] == "tool"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("show", RECIPE, "--corner", "1 in"), "inside corner of radius 1.00 in"),
        (("show", RECIPE, "--turn"), "over one turn: 38.7 lbf"),
        (("show", RECIPE, "--chatter"), "stable to 0.0845 in deep"),
        (("derate", RECIPE, "--margin", "25%"), " lbf -> "),
    ],
)
def test_a_book_in_inches_is_told_in_inches_everywhere(call, words, told):
    done = call(*words, changes={"book.units": "imperial"})
    assert done.returncode == 0
    assert told in done.stdout
    text = done.stdout.replace("6 mm one-flute", "")  # the cutter's name
    assert " mm" not in text
    assert " N " not in text


def test_derate_saves_the_child_and_says_where_on_stderr(call, make_book):
    folder = make_book(**STRONG)
    done = call("derate", RECIPE, "--margin", "25 %", "--save", "careful", "--json", book=folder)
    assert done.returncode == 0
    assert json.loads(done.stdout)["reached"] is True
    assert done.stderr == "saved recipes/careful.toml\n"
    text = (folder / "recipes" / "careful.toml").read_text()
    assert f'from = "{RECIPE}"' in text
    assert call("check", "careful", book=folder).returncode == 0


def test_derate_that_does_not_reach_saves_nothing(call, make_book):
    folder = make_book()
    done = call(
        "derate",
        RECIPE,
        "--margin",
        "25%",
        "--by",
        "speed",
        "--save",
        "slow",
        "--json",
        "--book",
        str(folder),
        book=False,
    )
    assert done.returncode == 1
    said = json.loads(done.stdout)
    assert said["reached"] is False
    assert said["note"]
    assert not (folder / "recipes" / "slow.toml").exists()


def test_compare_lists_what_differs(call, make_book):
    folder = make_book(**STRONG)
    call("derate", RECIPE, "--margin", "25%", "--save", "careful", book=folder)
    done = call("compare", RECIPE, "careful", book=folder)
    assert done.returncode == 0
    assert "cutting power" in done.stdout
    said = json.loads(call("compare", RECIPE, "careful", "--json", book=folder).stdout)
    assert [one["recipe"] for one in said["recipes"]] == [RECIPE, "careful"]


def test_an_option_before_the_command_is_told_its_place(call):
    assert_refused(call("--book", "shop", "list", book=False), "no such option '--book'; options go behind")


def test_what_is_missing_is_named_with_where_to_look(call):
    assert_refused(call("check"), "missing argument 'RECIPE'; `swarfbook check --help` says what it takes")


def test_init_starts_an_empty_book_that_lists(call, tmp_path):
    target = tmp_path / "shop"
    assert call("init", str(target), book=False).returncode == 0
    done = call("list", book=target)
    assert done.returncode == 0
    assert "0 recipes" in done.stdout
    assert done.stderr.startswith("no recipe yet: `swarfbook open` begins")


def test_init_copies_the_demo_and_refuses_a_second_time(call, tmp_path):
    target = tmp_path / "shop"
    assert call("init", str(target), "--demo", book=False).returncode == 0
    assert len(json.loads(call("list", "--json", book=target).stdout)) >= 16
    assert_refused(call("init", str(target), book=False), "there is a book in this folder")


def test_without_a_book_the_demo_is_shown_and_said(call, tmp_path):
    done = call("list", "--json", book=False, cwd=tmp_path)
    assert len(json.loads(done.stdout)) >= 16
    assert "demo" in done.stderr


def test_the_book_is_found_upwards_and_in_the_environment(call, make_book, tmp_path, monkeypatch):
    folder = make_book()
    assert RECIPE in call("list", book=False, cwd=folder / "recipes").stdout
    monkeypatch.setenv("SWARFBOOK_BOOK", str(folder))
    assert RECIPE in call("list", book=False, cwd=tmp_path).stdout


def test_the_built_in_demo_is_not_written_to(call, tmp_path):
    done = call(
        "derate", "long-bed-6mm-6082-max", "--margin", "25%", "--save", "mine", book=False, cwd=tmp_path
    )
    assert done.returncode == 2
    assert "init --demo" in done.stderr


def test_open_without_a_terminal_says_so(call):
    assert_refused(call("open"), "terminal")


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_with_an_example_that_parses(call, command):
    done = call(command, "--help", book=False)
    assert done.returncode == 0
    assert f"Example: swarfbook {command}" in done.stdout
    assert COMMANDS[command].split(":")[0].split(",")[0].split()[0].lower() in done.stdout.lower()


@pytest.mark.parametrize(
    ("words", "parts"),
    [
        (["check"], ["issing argument"]),
        (["check", "long-bed-6mm-6082-roug"], ["did you mean long-bed-6mm-6082-rough?"]),
        (["check", "../book.toml"], ["not a path"]),
        (["check", "/etc/passwd"], ["not a path"]),
        (["check", ""], ["an id is"]),
        (["chek", RECIPE], ["did you mean check"]),
        (["check", RECIPE, "--units", "furlongs"], ["--units"]),
        (["check", RECIPE, "--jsn"], ["--jsn"]),
        (["derate", RECIPE], ["--margin"]),
        *[(["derate", RECIPE, "--margin", margin], ["0 % "]) for margin in ("96%", "1.2", "-5%", "25")],
        *[(["derate", RECIPE, "--margin", margin], ["--margin"])
          for margin in ("nan", "inf", "a quarter", "", "0,25", "25 mm", "２５%", "0x19", "10**9")],
        (["derate", RECIPE, "--margin", "25%", "--by", "magic"], ["--by"]),
        (["derate", RECIPE, "--margin", "25%", "--save", "../evil"], ["--save", "not a path"]),
        (["derate", RECIPE, "--margin", "25%", "--save", RECIPE], ["--save", "exists"]),
        (["compare", RECIPE], ["two or more"]),
        (["compare", RECIPE, "nope", "nada"], ["nope", "nada"]),
        (["open", "nope"], ["nope"]),
    ],
)  # fmt: skip
def test_bad_words_get_a_line_and_nothing_else(call, words, parts):
    assert_refused(call(*words), *parts)


def test_a_folder_that_is_no_book(call, tmp_path):
    assert_refused(call("list", book=tmp_path), "not a book")
    assert_refused(call("list", book=tmp_path / "nowhere"), "no such folder")


@pytest.mark.parametrize(
    ("changes", "parts"),
    [
        ({"recipe.axial_depth": "3,5 mm"}, ["axial_depth", "3.5"]),
        ({"recipe.axial_depth": 3}, ["axial_depth", "unit"]),
        ({"recipe.axial_depth": "3"}, ["axial_depth", "mm"]),
        ({"recipe.axial_depth": "3 rpm"}, ["axial_depth", "mm"]),
        ({"recipe.axial_depth": "-3 mm"}, ["axial_depth"]),
        ({"recipe.axial_depth": "0 mm"}, ["axial_depth"]),
        ({"recipe.axial_depth": "nan mm"}, ["axial_depth"]),
        ({"recipe.axial_depth": "0x3 mm"}, ["axial_depth"]),
        ({"recipe.axial_depth": "３ mm"}, ["axial_depth"]),
        ({"recipe.axial_depth": "3\u0007 mm"}, ["axial_depth"]),
        ({"recipe.feed_rate": "900 mm/min"}, ["feed"]),
        ({"recipe.feed_per_tooth": None}, ["feed_per_tooth", "feed_rate"]),
        ({"recipe.axial_dept": "3 mm"}, ["did you mean axial_depth"]),
        ({"recipe.radial_width": "6.5 mm"}, ["radial_width"]),
        ({"recipe.stickout": "60 mm"}, ["stickout"]),
        ({"recipe.axial_depth": "3,5 mm", "recipe.stickout": None, "recipe.colour": "red"},
         ["axial_depth", "stickout", "colour"]),
    ],
)  # fmt: skip
def test_bad_records_get_a_line_for_each_problem(call, changes, parts):
    done = call("check", RECIPE, changes=changes)
    assert_refused(done, *parts, f"recipes/{RECIPE}.toml")


@pytest.mark.parametrize(
    ("content", "part"),
    [(b"", "empty"), (b"name = \xff\xfe", "UTF-8"), (b"name = [", "broken TOML"), (b"x" * 300_000, "256")],
)
def test_files_that_are_no_records(call, make_book, content, part):
    folder = make_book()
    (folder / "recipes" / f"{RECIPE}.toml").write_bytes(content)
    assert_refused(call("check", RECIPE, book=folder), f"recipes/{RECIPE}.toml", part)


def test_a_reader_that_leaves_is_no_error(make_book):
    book = make_book(**STRONG)
    words = f"{sys.executable} -m swarfbook check {RECIPE} --json --book {book}"
    command = words + " | head -c 1; echo ${PIPESTATUS[0]}"
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, timeout=60, check=True)
    assert done.stderr == ""
    assert done.stdout == "{0\n"


def test_the_console_script_is_installed(make_book):
    script = Path(sys.executable).with_name("swarfbook")
    words = [script, "check", RECIPE, "--book", make_book(**STRONG)]
    assert subprocess.run(words, capture_output=True, timeout=60, check=False).returncode == 0


def test_show_says_why(call):
    done = call("show", RECIPE, "--why", "axis-thrust")
    assert done.returncode == 0
    assert "held against" in done.stdout
    said = json.loads(call("show", RECIPE, "--why", "force_peak", "--json").stdout)
    assert {"name", "value", "formula", "rests_on", "rows"} <= set(said)
    assert_refused(call("show", RECIPE, "--why", "forse_peak"), "did you mean force_peak")


def test_show_works_out_a_corner(call):
    assert "engaged as in a cut" in call("show", RECIPE, "--corner", "8 mm").stdout
    said = json.loads(call("show", RECIPE, "--corner", "1/4 in", "--json").stdout)
    assert said["radial_width"] > 1.5
    assert_refused(call("show", RECIPE, "--corner", "2 mm"), "--corner", "wider than the cutter")
    assert_refused(call("show", RECIPE, "--corner", "8"), "--corner", "mm")


def test_show_works_out_an_outside_arc(call):
    said = call("show", RECIPE, "--corner", "6 mm", "--outside").stdout
    assert "On an outside arc of radius 6.00 mm" in said
    assert "may run at 1.50 of the feed" in said
    assert not json.loads(call("show", RECIPE, "--corner", "2 mm", "--outside", "--json").stdout)["inside"]
    assert_refused(call("show", RECIPE, "--outside"), "--outside", "radius")


def test_show_guesses_chatter_only_when_asked_and_says_so(call):
    assert "estimate from the cutter's own bending" in call("show", RECIPE, "--chatter").stdout
    said = json.loads(call("show", RECIPE, "--chatter", "--json").stdout)
    assert said["estimate"] is True
    mode = {"axis": "x", "frequency": "310 Hz", "damping": 0.03, "stiffness": "6 N/um"}
    measured = call("show", RECIPE, "--chatter", "--json", changes={"machine.tool_tip.modes": [mode]})
    assert json.loads(measured.stdout)["estimate"] is False
    assert "chatter" not in call("check", RECIPE).stdout


def test_measure_lists_its_pages_and_prints_one(call):
    assert "run-out" in call("measure", book=False).stdout
    assert "It goes to machines/ID.toml" in call("measure", "thrust", book=False).stdout
    assert_refused(call("measure", "thrus", book=False), "did you mean thrust")
