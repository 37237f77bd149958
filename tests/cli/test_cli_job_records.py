"""Jobs at the command line as records: shown, copied, renamed, deleted, brought back, told of."""

from __future__ import annotations

import json

import pytest

from cli.test_cli_commands import assert_refused, call  # noqa: F401 - a fixture
from support.books import JOB, MACHINE, MATERIAL, RECIPE, TOOL, to_toml, values


@pytest.fixture
def shop(make_book):
    """Write a book of five recipes and three jobs on one machine, and one recipe and one job on another."""
    root = make_book()
    small = values("machine", {"name": "Small mill"})
    (root / "machines/small-mill.toml").write_text(to_toml(small))
    for recipe in ("a", "b", "c", "d"):
        (root / f"recipes/{recipe}.toml").write_text(to_toml(values("recipe")))
    (root / "recipes/e.toml").write_text(to_toml(values("recipe", {"machine": "small-mill"})))
    for job in (JOB, "plates", "rails"):
        (root / f"jobs/{job}.toml").write_text("# as agreed\n" + to_toml(values("job")))
    (root / "jobs/small.toml").write_text(to_toml(values("job", {"machine": "small-mill"})))
    return root


@pytest.fixture
def run(call, shop):  # noqa: F811
    """Give a function that runs `swarfbook` on that book."""
    return lambda *words: call(*words, book=shop)


def test_a_machine_says_how_many_recipes_and_jobs_use_it(run):
    assert "used by 5 recipes and 3 jobs" in run("show", f"machine:{MACHINE}").stdout
    assert "used by 1 recipe and 1 job" in run("show", "machine:small-mill").stdout
    assert "used by 6 recipes\n" in run("show", f"tool:{TOOL}").stdout
    shown = json.loads(run("show", f"material:{MATERIAL}", "--json").stdout)
    assert (shown["recipes"], shown["jobs"]) == (6, 4)
    listed = json.loads(run("list", "--kind", "machine", "--json").stdout)
    assert [(one["id"], one["recipes"], one["jobs"]) for one in listed] == [
        (MACHINE, 5, 3),
        ("small-mill", 1, 1),
    ]
    assert "used by 5 recipes and 3 jobs" in " ".join(run("list", "--kind", "machine").stdout.split())


def test_recipes_are_listed_without_jobs_and_jobs_by_their_kind(run):
    assert JOB not in run("list").stdout
    listed = " ".join(run("list", "--kind", "job").stdout.split())
    assert "4 jobs" in listed
    assert f"{JOB} Clamp plates 12 parts of {MATERIAL} on {MACHINE} plates" in listed
    rows = json.loads(run("list", "small", "--kind", "job", "--json").stdout)
    assert rows == [{"id": "small", "name": "Clamp plates"}]


def test_a_job_is_shown_as_typed(run):
    said = " ".join(run("show", f"job:{JOB}").stdout.split())
    # In the words that the screen has for the same keys.
    assert "parts ordered 12" in said
    assert said.startswith(f"Clamp plates · job {JOB} machine {MACHINE}")
    assert "stock form flat-bar thickness 12 mm" in said
    assert "feature 2 id pocket kind pocket depth 6 mm inside corner 4 mm hold 1 method vise" in said
    assert f"step 2 recipe {RECIPE} feature outline path 1.6 m" in said
    shown = json.loads(run("show", f"job:{JOB}", "--json").stdout)
    assert shown == {"kind": "job", "id": JOB, "record": values("job")}
    assert_refused(run("show", "job:plate"), "no job of that id in this book", "did you mean plates")


def test_a_job_goes_there_and_back(run, shop):
    text = (shop / f"jobs/{JOB}.toml").read_text()
    assert run("copy", f"job:{JOB}", "twin").stderr.startswith("jobs/twin.toml begun from")
    assert run("rename", "job:twin", "second").stderr == "job twin is second now\n"
    assert (shop / "jobs/second.toml").read_text() == text
    done = run("delete", "job:second")
    assert done.stderr == "job second is deleted; `swarfbook restore job:second` brings it back\n"
    assert "job:second" in run("restore").stdout
    assert run("restore", "job:second").stderr == "job second is back\n"
    assert (shop / "jobs/second.toml").read_text() == text


def test_a_rename_says_which_jobs_followed(run, shop):
    done = run("rename", f"machine:{MACHINE}", "router")
    followed = f"a, b, c, d, {RECIPE}, job:{JOB}, job:plates, job:rails"
    assert done.stderr == f"machine {MACHINE} is router now; followed by {followed}\n"
    text = (shop / f"jobs/{JOB}.toml").read_text()
    assert text == "# as agreed\n" + to_toml(values("job", {"machine": "router"}))
    assert run("list", "--problems").returncode == 0


def test_what_jobs_name_is_not_deleted(run):
    jobs = f"jobs name it: {JOB}, plates, rails, small; "
    assert_refused(run("delete", RECIPE), jobs, "set its standing to retired instead, or delete those first")
    assert_refused(
        run("delete", "machine:small-mill"), "recipes name it: e; jobs name it: small; delete those"
    )
    for one in ("job:small", "e", "machine:small-mill"):
        assert run("delete", one).returncode == 0


def test_problems_of_jobs_are_listed(run, shop):
    lost = values("job", {"machine": "lathe"})
    lost["steps"][1]["recipe"] = "wall"
    (shop / f"jobs/{JOB}.toml").write_text(to_toml(lost))
    (shop / "jobs/plates.toml").write_text(to_toml(values("job", {"quantity": "a dozen"})))
    done = run("list", "--problems")
    assert done.returncode == 1
    assert "3 problems" in done.stdout
    said = " ".join(done.stdout.split())
    assert f"jobs/{JOB}.toml machine: found 'lathe'; no machine of that id in this book" in said
    assert "steps[2].recipe: found 'wall'; no recipe of that id in this book" in said
    assert "jobs/plates.toml quantity: found 'a dozen'" in said
    listed = json.loads(run("list", "--problems", "--json").stdout)
    assert [one["key"] for one in listed] == ["machine", "steps[2].recipe", "quantity"]


def test_the_keys_of_a_jobs_entries_are_said_as_on_screen(run, shop):
    path = shop / f"jobs/{JOB}.toml"
    steps = [{"recipe": RECIPE, "feature": "pocket", "volume": "30 cm^3", "floor": "0.2 mm"}]
    path.write_text(to_toml(values("job", {"hands_off": True, "steps": steps})))
    said = " ".join(run("show", f"job:{JOB}").stdout.split())
    assert "hands off yes" in said
    assert f"step 1 recipe {RECIPE} feature pocket takes off 30 cm^3 left under it 0.2 mm" in said
