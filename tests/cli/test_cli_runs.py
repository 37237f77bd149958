"""log, runs, correct, fit and derate --risk at the command line."""

from __future__ import annotations

import json

import pytest

from support.books import RECIPE
from swarfbook import resources
from swarfbook.records import OUTCOMES

DEMO = resources.demo_book_dir()
METER = "time (s),power (W)\n" + "".join(f"{t},{90 if t < 60 or t > 300 else 300}\n" for t in range(360))


@pytest.fixture
def root(make_book):
    return make_book(**{"recipe.standing": "trial"})


@pytest.fixture
def say(run_cli, root):
    def run(*words):
        return run_cli(*words, "--book", str(root))

    return run


def logged(say, *words):
    done = say("log", RECIPE, "--minutes", "10", "--outcome", "clean", *words, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_logging_prints_the_line_as_written(say, root):
    line = logged(say, "--feed-override", "80%", "--cutter", "no. 3, reground", "--note", "ran well")
    assert line == json.loads((root / f"runs/{line['at'][:7]}.jsonl").read_text())
    assert (line["feed_override"], line["cutter"], line["note"]) == (0.8, "no. 3, reground", "ran well")


def test_logging_says_what_is_earned(say, root):
    for _ in range(2):
        say("log", RECIPE, "--minutes", "12", "--outcome", "clean")
    done = say("log", RECIPE, "--minutes", "0.2 h", "--outcome", "clean")
    assert "ran clean 3 times, 36 min" in done.stdout
    assert "makes it proven" in done.stdout
    assert 'standing = "proven"' in (root / f"recipes/{RECIPE}.toml").read_text()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--outcome", "clean"), "--minutes: missing; write the time in the cut"),
        (("--minutes", "x", "--outcome", "clean"), "--minutes: found x"),
        (("--minutes", "inf", "--outcome", "clean"), "--minutes: found inf"),
        (("--minutes", "5", "--outcome", "chater"), "did you mean chatter? the words are clean, chatter,"),
        (("--minutes", "5", "--outcome", "xx"), "--outcome: found xx; the words are clean, chatter,"),
        (("--minutes", "5", "--outcome", "clean", "--power", "3 mm"), "--power: found 3 mm"),
        (("--minutes", "5", "--outcome", "clean", "--at", "noon"), "--at: found noon; write a time like"),
        (("--outcome", "clean", "--meter", "no.csv"), "no.csv: this cannot be read"),
        (("--minutes", "5", "--outcome", "clean", "--feed-override", "0"), "an override lies above 0 %"),
    ],
)
def test_a_mistake_is_one_line_and_nothing_is_logged(say, root, words, told):
    done = say("log", RECIPE, *words)
    assert done.returncode == 2
    assert told in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1
    assert not list((root / "runs").glob("*.jsonl"))


def test_a_meters_file_tells_time_power_and_idle_and_is_kept(say, root, tmp_path):
    (tmp_path / "m.csv").write_text(METER)
    done = say("log", RECIPE, "--outcome", "clean", "--meter", str(tmp_path / "m.csv"), "--json")
    line = json.loads(done.stdout)
    assert line["power"]["value"] == pytest.approx(300, rel=0.01)
    assert line["idle_power"]["value"] == pytest.approx(90, rel=0.01)
    assert line["minutes"] == pytest.approx(4.0, rel=0.02)
    assert (root / "runs" / line["meter"]["file"]).read_text() == METER
    assert "idle" in (root / "runs" / line["meter"]["file"]).with_suffix(".txt").read_text()


def test_a_meters_file_and_a_typed_power_are_one_too_many(say, tmp_path):
    (tmp_path / "m.csv").write_text(METER)
    done = say("log", RECIPE, "--outcome", "clean", "--meter", str(tmp_path / "m.csv"), "--power", "300 W")
    assert (done.returncode, "give one of them" in done.stderr) == (2, True)


@pytest.mark.parametrize("data", ["", "a,b\n1,2\n", "time,power\n" + "1,90\n" * 3])
def test_a_bad_meters_file_is_refused_with_a_reason(say, root, tmp_path, data):
    (tmp_path / "m.csv").write_text(data)
    done = say("log", RECIPE, "--outcome", "clean", "--meter", str(tmp_path / "m.csv"))
    assert done.returncode == 2
    assert "m.csv: " in done.stderr
    assert not list((root / "runs").glob("*.jsonl"))


def test_the_demo_is_not_written_to(run_cli):
    done = run_cli(
        "log", "long-bed-6mm-6082-rough", "--minutes", "5", "--outcome", "clean", "--book", str(DEMO)
    )
    assert done.returncode == 2
    assert "swarfbook init --demo" in done.stderr


def test_runs_are_listed_filtered_and_summed(run_cli):
    def told(*words):
        return run_cli("runs", *words, "--book", str(DEMO)).stdout

    assert told().splitlines()[-1].startswith("46 runs")
    rough = told("long-bed-6mm-6082-rough").splitlines()
    assert all("long-bed-6mm-6082" in line for line in rough[:-2])
    assert "0 clean" in told("--outcome", "bad")
    assert told("--last", "3").splitlines()[-1].startswith("3 runs")
    assert told("--since", "2026-11-18").splitlines()[-1].startswith("1 run")
    assert "6-1 no. 5" in told("--cutters", "--tool", "em-6mm-1f")
    both = json.loads(told("--machine", "small-mill", "--material", "6082-t6", "--json"))["runs"]
    assert {run["snapshot"]["recipe"]["machine"] for run in both} == {"small-mill"}


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("nope",), "nope"),
        (("--machine", "nope"), "--machine: found nope"),
        (("--outcome", "fine"), "--outcome"),
        (("--since", "now"), "--since"),
        (("--run", "zzzz"), "no such run"),
    ],
)
def test_what_nobody_knows_is_told(run_cli, words, told):
    done = run_cli("runs", *words, "--book", str(DEMO))
    assert (done.returncode, told in done.stderr) == (2, True)


def test_a_run_is_corrected_and_withdrawn_by_lines(say, root):
    line = logged(say)
    month = root / f"runs/{line['at'][:7]}.jsonl"
    before = month.read_bytes()
    assert say("correct", line["id"], "--outcome", "chatter").returncode == 0
    assert month.read_bytes().startswith(before)
    assert "chatter" in say("runs").stdout
    [now] = json.loads(say("runs", "--json").stdout)["runs"]
    assert say("correct", now["id"][-4:], "--withdraw").returncode == 0
    assert say("runs").stdout.strip().startswith("0 runs")
    assert say("runs", "--all").stdout.strip().splitlines()[-1].startswith("3 runs")
    assert say("correct", "none", "--withdraw").returncode == 2
    assert say("correct", now["id"]).returncode == 2


@pytest.mark.parametrize("outcome", [word for word in OUTCOMES if word != "clean"])
def test_any_bad_outcome_is_logged_and_said_plainly(say, outcome):
    done = say("log", RECIPE, "--minutes", "3", "--outcome", outcome)
    assert done.returncode == 0
    assert outcome.replace("-", " ") in done.stdout


def test_check_tells_marks_covered_and_record(say):
    logged(say)
    told = json.loads(say("check", RECIPE, "--json").stdout)
    assert told["covered"] is True
    assert told["beyond"] == []
    assert told["track_record"]["clean_runs"] == 1
    power = next(limit for limit in told["limits"] if limit["name"] == "spindle-power")
    assert power["mark"] == pytest.approx(power["demand"], rel=1e-12)
    assert (power["mark_disputed_by"], power["beyond_mark"]) == (None, 0.0)
    text = say("check", RECIPE).stdout
    assert "ran clean once" in text
    assert "covered: every demand" in text


def test_the_list_says_covered_where_it_holds_and_all_of_it_ran(run_cli):
    lines = run_cli("list", "--book", str(DEMO)).stdout.splitlines()
    [rough] = [one for one in lines if "long-bed-6mm-6082-rough" in one]
    assert rough.endswith("covered")


def test_compare_tells_marks_that_differ(run_cli):
    words = ("compare", "long-bed-6mm-6082-max", "long-bed-6mm-6082-finish", "--book", str(DEMO))
    told = json.loads(run_cli(*words, "--json").stdout)
    assert any(row["name"].startswith("mark of ") for row in told["differences"])
    assert "What has run clean" in run_cli(*words).stdout


def test_fit_prints_json_saves_sums_and_draws(run_cli, tmp_path):
    sums, picture = tmp_path / "sums.json", tmp_path / "fit.png"
    words = ("fit", "--save", str(sums), "--png", str(picture), "--book", str(DEMO))
    done = run_cli(*words, "--json")
    assert {"parts", "spread", "runs"} <= json.loads(done.stdout).keys()
    assert picture.read_bytes().startswith(b"\x89PNG")
    merged = run_cli("fit", "--merge", str(sums), "--book", str(DEMO))
    assert "21 runs" in merged.stdout  # the same runs, and each counts once
    assert "44 runs" not in merged.stdout


def test_derate_to_a_risk_leaves_as_reached_or_not(run_cli):
    words = ("derate", "long-bed-6mm-6082-max", "--by", "depth", "--book", str(DEMO))
    done = run_cli(*words, "--risk", "1%", "--json")
    told = json.loads(done.stdout)
    assert (done.returncode, told["reached"], told["risk"]) == (0, True, 0.01)
    assert max(told["chances"].values()) <= 0.01
    speed = run_cli("derate", "long-bed-6mm-6082-max", "--by", "speed", "--risk", "1%", "--book", str(DEMO))
    assert (speed.returncode, "not reached" in speed.stdout) == (1, True)
    assert max(map(len, speed.stdout.splitlines())) <= 80


def test_a_risk_is_told_within_the_page(run_cli):
    done = run_cli("derate", "long-bed-6mm-6082-max", "--risk", "1%", "--book", str(DEMO))
    assert done.lines[0].startswith("At 39.4 %, the smallest such margin, no limit on a load")
    assert max(map(len, done.lines)) <= 80


@pytest.mark.parametrize(
    ("words", "told"),
    [((), "--margin: missing"), (("--margin", "10%", "--risk", "1%"), "not both"),
     (("--risk", "1"), "for 1 % write 1%"), (("--risk", "x"), "--risk: found x")],
)  # fmt: skip
def test_a_risk_or_a_margin_and_not_both(run_cli, words, told):
    done = run_cli("derate", "long-bed-6mm-6082-max", *words, "--book", str(DEMO))
    assert (done.returncode, told in done.stderr) == (2, True)


def test_a_log_cannot_drive_the_terminal(say, root):
    line = logged(say)
    line["snapshot"]["recipe"]["tool"] = "\x1b]0;owned\x07"
    (root / f"runs/{line['at'][:7]}.jsonl").write_text(json.dumps(line) + "\n")
    for words in (
        ("runs",),
        ("runs", "--cutters"),
        ("runs", "--run", line["id"]),
        ("fit",),
        ("check", RECIPE),
    ):
        done = say(*words)
        assert "\x1b" not in done.stdout + done.stderr, words


def test_logging_a_clean_run_never_reads_the_whole_log(say, monkeypatch):
    def refuse(*_given):
        raise AssertionError("the whole log was read")

    monkeypatch.setattr("swarfbook.book.runlog.read_log", refuse)
    assert say("log", RECIPE, "--minutes", "10", "--outcome", "clean").returncode == 0


@pytest.mark.parametrize("command", ["check", "show"])
def test_a_check_says_that_its_forces_are_as_measured(run_cli, say, command):
    told = " ".join(run_cli(command, "long-bed-6mm-6082-rough", "--book", str(DEMO)).stdout.split())
    assert "of the tables', as the measured power of 21 runs says" in told
    assert "their spread went from 25 % to 12 %" in told
    assert "of the tables'" not in say(command, RECIPE).stdout


def test_a_spread_that_was_not_narrowed_is_not_told_as_if_it_was(run_cli, tmp_path):
    book = ("--book", str(tmp_path / "demo"))
    assert run_cli("init", book[1], "--demo").returncode == 0
    run = ("--minutes", "5", "--outcome", "clean", "--power", "140 W")
    assert run_cli("log", "mill-3mm-brass-slot", *run, *book).returncode == 0
    told = " ".join(run_cli("check", "bench-3mm-brass-letters", *book).stdout.split())
    assert "the measured power of 1 run says; their spread stays 25 %" in told


@pytest.mark.parametrize(
    ("power", "side", "told"),
    [
        ("1.5 kW", "input", "1500 W before the motor is "),
        ("1.5 kW", "shaft", "1500 W at the shaft is "),
        ("20 W", "input", "20 W before the motor is only "),
    ],
)
def test_a_power_far_from_the_model_is_told_and_taken_all_the_same(run_cli, make_book, power, side, told):
    root = make_book()
    log = ("log", RECIPE, "--minutes", "4", "--outcome", "clean", "--power", power, "--side", side)
    done = run_cli(*log, "--json", "--book", root)
    line = json.loads(done.stdout)
    (said,) = done.stderr.splitlines()
    other = "input" if side == "shaft" else "shaft"
    assert said.startswith(f"swarfbook: {told}")
    assert said.endswith(f"swarfbook correct {line['id']} --power POWER, or --side {other}")
    done = run_cli("correct", line["id"], "--power", "185 W", "--side", "input", "--book", root)
    assert (done.returncode, done.stderr) == (0, "")
