"""`swarfbook init`: what it asks, what it takes as options, and what it leaves where somebody stops it."""

import os
import re
import subprocess
import sys

import pytest
from click.testing import CliRunner

from swarfbook.book import Book, starting
from swarfbook.cli import init_command, init_questions

FULL = ("--machine", "trim router", "--spindle", "800 W", "--tool", "6 mm one-flute", "--material", "6082")
ON_ITS_TERMINAL = (
    "import fcntl, termios; fcntl.ioctl(0, termios.TIOCSCTTY, 0); from swarfbook.cli.main import run; run()"
)
"""The program with stdin's terminal as its own, so that Ctrl+C reaches it."""
RECIPE = "em-6mm-1f-aluminium-6082-t6-rough"


@pytest.fixture
def at_terminal(monkeypatch, tmp_path):
    """Give a function that answers the questions of `init DIR` as typed."""
    monkeypatch.setattr(init_command, "_at_terminal", lambda: True)
    monkeypatch.chdir(tmp_path)

    def answered(*lines, words=("shop",)):
        typed = "".join(f"{line}\n" for line in lines)
        return CliRunner().invoke(init_command.command, list(words), input=typed, standalone_mode=False)

    return answered


def files(root):
    return sorted(str(path.relative_to(root)) for path in root.rglob("*") if path.is_file())


def test_options_make_a_book_with_a_first_recipe(run_cli, tmp_path):
    done = run_cli("init", "shop", *FULL, "--rating", "input", cwd=tmp_path)
    assert done.returncode == 0
    assert done.lines[0] == "A book is in shop."
    assert "6 mm one-flute end mill, rough: a first try" in done.stdout
    book = Book.open(tmp_path / "shop")
    assert book.ids("recipe") == [RECIPE]
    assert book.get("machine", "bench-router").record.spindle.rated_power == 800.0
    assert book.get("machine", "bench-router").record.spindle.rating == "input"
    assert book.get("recipe", RECIPE).record.standing == "trial"
    assert run_cli("verify", "--book", tmp_path / "shop").returncode == 0


def test_it_prints_the_recipe_as_check_does(run_cli, tmp_path):
    made = run_cli("init", "shop", *FULL, cwd=tmp_path)
    page = run_cli("check", RECIPE, "--book", "shop", cwd=tmp_path)
    assert page.stdout.strip() in made.stdout


def test_what_was_assumed_stands_beside_the_key_and_in_the_list(run_cli, tmp_path):
    done = run_cli("init", "shop", *FULL, cwd=tmp_path)
    text = (tmp_path / "shop/machines/bench-router.toml").read_text()
    assert 'rated_power = "800 W"\n' in text
    assert 'min_speed = "10000 rpm" # assumed; read it off' in text
    assert "lowest speed 10000 rpm, highest speed 30000 rpm: read it off" in " ".join(done.stdout.split())
    assert "flute length 18 mm" in done.stdout
    assert "rated power" not in done.stdout.split("Assumed until")[1].split("tools/")[0]


def test_the_next_steps_are_commands_that_work(run_cli, tmp_path):
    done = run_cli("init", "my shop", *FULL, cwd=tmp_path)
    steps = [line.split("swarfbook ")[1] for line in done.lines if line.startswith("    swarfbook ")]
    assert [step.split()[0] for step in steps] == ["measure", "sensitivity", "check", "log", "open"]
    assert "(cd 'my shop')" in done.stdout
    for step in steps[:-1]:
        assert run_cli(*step.split(), cwd=tmp_path / "my shop").returncode == 0


def test_a_step_that_is_too_long_goes_on_below_as_a_shell_takes_it(run_cli, tmp_path):
    words = [
        {"6 mm one-flute": "1/4 in two-flute", "6082": "free-cutting brass"}.get(one, one) for one in FULL
    ]
    done = run_cli("init", "shop", *words, cwd=tmp_path)
    assert max(map(len, done.lines)) <= 80
    at = done.lines.index("    swarfbook log em-1-4in-2f-free-cutting-brass-rough \\")
    assert done.lines[at + 1] == "      --minutes 6 --outcome clean"


def test_inside_the_folder_no_step_names_it(run_cli, tmp_path):
    done = run_cli("init", *FULL, cwd=tmp_path)
    assert done.returncode == 0
    assert "\nNext:\n" in done.stdout


def test_inches_make_a_book_that_shows_inches(run_cli, tmp_path):
    words = ["small-mill" if word == "trim router" else word for word in FULL]
    words[words.index("6 mm one-flute")] = '1/4" 2 flute HSS'
    done = run_cli("init", "shop", *words, cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    assert Book.open(tmp_path / "shop").settings.units == "imperial"
    tool = (tmp_path / "shop/tools/em-1-4in-2f-hss.toml").read_text()
    assert 'diameter = "1/4 in"' in tool
    assert 'flute_length = "0.75 in"' in tool


def test_a_cutter_in_inches_makes_a_recipe_in_inches(run_cli, tmp_path):
    words = [{"6 mm one-flute": "1/4 in two-flute", "6082": "birch ply"}.get(word, word) for word in FULL]
    assert run_cli("init", "shop", *words, cwd=tmp_path).returncode == 0
    recipe = (tmp_path / "shop/recipes/em-1-4in-2f-birch-plywood-rough.toml").read_text()
    assert "mm" not in recipe
    assert 'radial_width = "0.2375 in"' in recipe
    assert 'allowance = "0.012 in"' in recipe


TAKEN = "taken as: 6 mm one-flute end mill; not understood: diamant"


def test_words_that_say_nothing_of_a_cutter_are_told(run_cli, tmp_path):
    words = [{"6 mm one-flute": "6 mm one-flute Diamant bit"}.get(word, word) for word in FULL]
    assert run_cli("init", "shop", *words, cwd=tmp_path).stderr == f"--tool is {TAKEN}\n"


def test_words_that_say_nothing_of_a_cutter_are_told_at_a_terminal(at_terminal):
    assert TAKEN in at_terminal("", "", "6 mm one-flute Diamant bit", "").stderr


def test_a_number_that_is_not_in_the_list_is_told_how_many_there_are(at_terminal):
    assert "5: write a number from 1 to 4, or words" in at_terminal("5", "", "", "", "").stderr


def test_neither_terminal_nor_options_make_an_empty_book_and_say_so(run_cli, tmp_path):
    done = run_cli("init", "shop", cwd=tmp_path)
    assert done.returncode == 0
    assert "it is empty; to begin with a machine" in done.stderr
    assert Book.open(tmp_path / "shop").ids("machine") == []


def test_empty_asks_nothing_at_a_terminal(at_terminal, tmp_path):
    done = at_terminal(words=("shop", "--empty"))
    assert done.return_value == 0
    assert Book.open(tmp_path / "shop").ids("machine") == []


def test_without_a_terminal_what_is_missing_is_named(run_cli, tmp_path):
    done = run_cli("init", "shop", "--machine", "mill", cwd=tmp_path)
    assert done.returncode == 2
    assert [line.split()[1] for line in done.stderr.splitlines()] == ["--tool:", "--material:"]
    assert not (tmp_path / "shop").exists()


@pytest.mark.parametrize(
    ("option", "text", "said"),
    [
        ("--machine", "router", "--machine: found router; 3 fit: Bench router, Router with air-cooled"),
        ("--machine", "lathe", "--machine: found lathe; nothing here is called that"),
        ("--material", "brass", "--material: found brass; 2 fit: Free-cutting brass, Brass without lead"),
        ("--material", "acetl", "did you mean Acetal"),
        ("--tool", "two-flute", "--tool: found two-flute; write the cutting diameter with its unit"),
        ("--tool", "6 m two-flute", "write the cutting diameter with its unit"),
        ("--tool", "90 deg chamfer 6 mm", "begin with a square or a ball end mill"),
        ("--spindle", "6.5 A", "--spindle: found 6.5 A; write watts"),
        ("--spindle", "1,5 kW", "write 1.5 with a decimal point"),
        ("--spindle", "800 W 24.000 rpm", "found 24.000 rpm; write 24000 without a point"),
        ("--spindle", "6.000-24.000 rpm", "write 6000 without a point"),
        ("--tool", "6,3 mm one-flute", "write 6.3 with a decimal point"),
    ],
)
def test_an_answer_that_will_not_do_is_one_line_and_makes_nothing(option, text, said, run_cli, tmp_path):
    words = list(FULL)
    words[words.index(option) + 1] = text
    done = run_cli("init", "shop", *words, cwd=tmp_path)
    assert done.returncode == 2
    assert said in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert not (tmp_path / "shop").exists()


def test_demo_empty_and_answers_do_not_go_together(run_cli, tmp_path):
    for words in (("--demo", "--empty"), ("--demo", *FULL), ("--empty", *FULL)):
        done = run_cli("init", "shop", *words, cwd=tmp_path)
        assert done.returncode == 2
        assert "do not go together" in done.stderr
    assert not (tmp_path / "shop").exists()


def test_four_answers_at_a_terminal(at_terminal, tmp_path):
    done = at_terminal("4", "1 hp 300-6000 rpm", "shaft", "8 mm 3 flute", "mild steel")
    assert done.return_value == 0
    machine = Book.open(tmp_path / "shop").get("machine", "small-mill").record
    assert machine.spindle.max_speed == pytest.approx(100.0)
    assert machine.spindle.rating == "shaft"
    assert "1 of 4" in done.stderr
    assert "1 of 4" not in done.stdout
    assert "taken as: 8 mm three-flute end mill" in done.stderr


def test_enter_takes_what_stands_in_brackets(at_terminal, tmp_path):
    done = at_terminal("", "", "", "")
    assert done.return_value == 0
    text = (tmp_path / "shop/machines/bench-router.toml").read_text()
    assert 'rated_power = "700 W" # assumed' in text
    assert 'rating = "input" # assumed' in text
    assert Book.open(tmp_path / "shop").ids("recipe") == ["em-6mm-2f-aluminium-6082-t6-rough"]


def test_only_the_rest_is_asked(at_terminal):
    done = at_terminal("6082", words=("shop", *FULL[:6], "--rating", "unknown"))
    assert done.return_value == 0
    assert "4 of 4" in done.stderr
    assert not [number for number in "123" if f"{number} of 4" in done.stderr]


def test_a_bad_answer_is_told_and_asked_again_and_several_are_numbered(at_terminal, tmp_path):
    done = at_terminal("lathe", "router", "2", "6.5 A", "1.5 kW", "9", "input", "6", "brass", "2")
    assert done.return_value == 0
    assert "lathe: nothing here is called that" in done.stderr
    assert "write watts" in done.stderr
    assert "2  Router with air-cooled spindle" in done.stderr
    book = Book.open(tmp_path / "shop")
    assert book.ids("machine") == ["air-cooled-router"]
    assert book.ids("material") == ["brass-without-lead"]


def test_the_end_of_input_leaves_nothing(at_terminal, tmp_path):
    done = at_terminal("1", "800 W", "1", "6 mm")
    assert type(done.exception).__name__ == "Abort"
    assert "nothing was made" in done.stderr
    assert not (tmp_path / "shop").exists()


@pytest.mark.parametrize(
    ("typed", "made"), [("4\n\n8 mm 3 flute\nmild steel\n", True), ("4\n\n\x04", False), ("4\n\x03", False)]
)
def test_a_real_terminal_is_asked_and_its_end_and_interrupt_leave_nothing(typed, made, tmp_path):
    pty = pytest.importorskip("pty")
    ours, theirs = pty.openpty()
    program = subprocess.Popen(
        [sys.executable, "-c", ON_ITS_TERMINAL, "init", "shop"],
        cwd=tmp_path,
        stdin=theirs,
        stderr=theirs,
        stdout=subprocess.PIPE,
        start_new_session=True,
    )
    os.close(theirs)
    shown = b""
    for line in re.findall(r"[^\n\x03\x04]*[\n\x03\x04]", typed):
        while not shown.endswith(b"] > "):
            shown += os.read(ours, 1024)
        shown = b""
        os.write(ours, line.encode())
    page, _ = program.communicate(timeout=120)
    os.close(ours)
    assert program.returncode == (0 if made else 130)
    assert (b"8 mm three-flute end mill, rough" in page) == made
    assert (tmp_path / "shop/book.toml").exists() == made
    assert (tmp_path / "shop").exists() == made


def test_ctrl_c_leaves_nothing(at_terminal, tmp_path, monkeypatch):
    def stopped(text, **where):
        raise KeyboardInterrupt(text, where)

    monkeypatch.setattr(init_questions, "read_cutter", stopped)
    done = at_terminal("1", "800 W", "1", "6 mm", "6082")
    assert done.exit_code != 0
    assert not (tmp_path / "shop").exists()


@pytest.mark.parametrize("there", [False, True])
def test_a_disk_that_refuses_half_way_leaves_nothing(there, run_cli, tmp_path, monkeypatch):
    root = tmp_path / "deep/shop"
    if there:
        root.mkdir(parents=True)
    write = starting._write

    def full(path, text):
        if path.parent.name == "recipes":
            raise OSError(28, "No space left on device")
        write(path, text)

    monkeypatch.setattr(starting, "_write", full)
    done = run_cli("init", root, *FULL, cwd=tmp_path)
    assert done.returncode == 2
    assert "no space left" in done.stderr
    assert list(tmp_path.rglob("*")) == ([root.parent, root] if there else [])


def test_a_folder_that_is_a_book_is_refused_before_anything_is_asked(at_terminal, run_cli, tmp_path):
    assert run_cli("init", "shop", "--empty", cwd=tmp_path).returncode == 0
    before = files(tmp_path / "shop")
    done = run_cli("init", "shop", *FULL, cwd=tmp_path)
    assert done.returncode == 2
    assert "there is a book in this folder" in done.stderr
    assert files(tmp_path / "shop") == before
    assert "1 of 4" not in at_terminal("1").stderr


def test_git_init_may_come_first_and_nothing_else(run_cli, tmp_path):
    (tmp_path / "shop/.git").mkdir(parents=True)
    (tmp_path / "shop/.git/HEAD").write_text("ref: refs/heads/main\n")
    assert run_cli("init", "shop", *FULL, cwd=tmp_path).returncode == 0
    (tmp_path / "other").mkdir()
    (tmp_path / "other/notes.txt").write_text("mine")
    done = run_cli("init", "other", *FULL, cwd=tmp_path)
    assert done.returncode == 2
    assert "not empty" in done.stderr
    assert files(tmp_path / "other") == ["notes.txt"]


def test_a_book_without_a_first_recipe_says_why_and_what_would_do(run_cli, tmp_path):
    words = list(FULL)
    words[words.index("6 mm one-flute")] = "20 mm HSS"
    words[words.index("6082")] = "stainless 304"
    done = run_cli("init", "shop", *words, cwd=tmp_path)
    assert done.returncode == 1
    assert "No first recipe: the slowest spindle speed, 10" in done.stdout
    assert "What would do:" in " ".join(done.stdout.split())
    assert Book.open(tmp_path / "shop").ids("recipe") == []
    assert Book.open(tmp_path / "shop").ids("tool") == ["em-20mm-2f-hss"]
    assert run_cli("verify", "--book", "shop", cwd=tmp_path).returncode == 0


@pytest.mark.parametrize("words", [("list",), ("check", RECIPE), ("open",)])
def test_commands_point_to_init_where_the_named_folder_is_no_book(words, run_cli, tmp_path):
    done = run_cli(*words, "--book", tmp_path)
    assert done.returncode == 2
    assert "`swarfbook init DIR` starts one" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_where_there_is_no_book_one_line_points_to_init(run_cli, tmp_path):
    done = run_cli("list", cwd=tmp_path)
    assert "`swarfbook init DIR` starts your own" in done.stderr
    assert len(done.stderr.splitlines()) == 1
