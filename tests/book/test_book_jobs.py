"""Jobs in a book: saved with what a person wrote, followed by renames, in the way of deletes."""

from __future__ import annotations

import json
import tomllib

import pytest

from support.books import JOB, MACHINE, MATERIAL, RECIPE, TOOL, to_toml, values
from swarfbook.book import Book, renaming
from swarfbook.book.mentions import dangling
from swarfbook.decisions.troubles import troubles
from swarfbook.errors import ConflictError, SwarfbookError
from swarfbook.records.job import Job

TYPED = f"""\
# plates of the mast clamp
schema = "job/1"
name = "Clamp plates"
machine = "{MACHINE}"   # not the small one
material = "{MATERIAL}"
quantity = 12

[stock]   # from the rack
form = "flat-bar"
thickness = "1/2 in"
width = "4 in"
length = "305 mm"

[part]
thickness = "12 mm"
width = "90 mm"
length = "280 mm"

# what is cut
[[features]]
id = "outline"
kind = "outside"
depth = "12 mm"

# four of them
[[features]]   # for the bolts
id = "pocket"
kind = "pocket"
depth = "6 mm"

[[holds]]
method = "vise"
force = "4 kN"   # by feel

# the cutting

# roughing leaves a skin
[[steps]]
recipe = "{RECIPE}"   # slow
feature = "pocket"
path = "3 m"

# then round it
[[steps]]   # once
recipe = "other"
feature = "outline"   # with tabs
path = "5 ft"
# done
"""
FIRST = {"recipe": RECIPE, "feature": "pocket", "path": "3 m"}
SECOND = {"recipe": "other", "feature": "outline", "path": "5 ft"}
THIRD = {"recipe": RECIPE, "feature": "outline", "path": "2 m"}
FIRST_TEXT = TYPED[TYPED.index("# roughing") : TYPED.index("# then")]
SECOND_TEXT = TYPED[TYPED.index("# then") :]
THIRD_TEXT = f'[[steps]]\nrecipe = "{RECIPE}"\nfeature = "outline"\npath = "2 m"\n'


@pytest.fixture
def book(make_book):
    root = make_book()
    (root / f"recipes/{RECIPE}.toml").rename(root / "recipes/other.toml")
    (root / f"recipes/{RECIPE}.toml").write_text(to_toml(values("recipe")))
    (root / f"jobs/{JOB}.toml").write_text(TYPED)
    return Book.open(root)


def typed(book, job=JOB):
    return book.path("job", job).read_bytes().decode()


def saved(book, changes):
    return book.save("job", JOB, changes, seen=book.get("job", JOB).sha)


def test_a_job_is_read_listed_and_there(book):
    entry = book.get("job", JOB)
    assert isinstance(entry.record, Job)
    assert entry.record.steps[1].path == pytest.approx(5 * 0.3048)
    assert (book.ids("job"), book.has("job", JOB), book.has("job", "none")) == ([JOB], True, False)
    entries, problems = book.entries("job")
    assert ([one.id for one in entries], problems) == ([JOB], [])
    with pytest.raises(SwarfbookError, match=f"no job of that id in this book; did you mean {JOB}"):
        book.get("job", "clamp-plate")


# Saving


@pytest.mark.parametrize(
    ("changes", "after"),
    [
        ({"steps": [FIRST, SECOND]}, TYPED),
        ({"steps": ({**FIRST, "pause": None}, SECOND)}, TYPED),
        ({"quantity": 8}, TYPED.replace("quantity = 12", "quantity = 8")),
        ({"steps": [{**FIRST, "path": "4 m"}, SECOND]}, TYPED.replace('"3 m"', '"4 m"')),
        (
            {"steps": [FIRST, {"recipe": "other", "feature": "outline", "volume": "9 cm^3"}]},
            TYPED.replace('path = "5 ft"\n', 'volume = "9 cm^3"\n'),
        ),
        ({"steps": [FIRST, SECOND, THIRD]}, f"{TYPED}\n{THIRD_TEXT}"),
        ({"steps": [FIRST, THIRD, SECOND]}, TYPED.replace("# then", f"{THIRD_TEXT}\n# then")),
        ({"steps": [SECOND]}, TYPED.replace(FIRST_TEXT, "")),
        ({"steps": [FIRST]}, TYPED.replace("\n" + SECOND_TEXT, "")),
        (
            {"steps": [SECOND, FIRST]},
            TYPED.replace(FIRST_TEXT + SECOND_TEXT, f"{SECOND_TEXT}\n{FIRST_TEXT.strip()}\n"),
        ),
        (
            {"machine": "m", "notes": "two\nlines", "holds": [{"method": "vise", "force": "5 kN"}]},
            TYPED.replace(f'"{MACHINE}"', '"m"')
            .replace("quantity = 12\n", 'quantity = 12\nnotes = """two\nlines"""\n')
            .replace('"4 kN"', '"5 kN"'),
        ),
        (
            {"flip": {"error": "0.1 mm", "locate": "pins"}},
            f'{TYPED}\n[flip]\nlocate = "pins"\nerror = "0.1 mm"\n',
        ),
    ],
    ids=lambda value: "-".join(value) if isinstance(value, dict) else "",
)
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_what_is_not_changed_stays_as_typed(book, changes, after, ends):
    book.path("job", JOB).write_bytes(TYPED.replace("\n", ends).encode())
    saved(book, changes)
    assert typed(book) == after.replace("\n", ends)


def test_remarks_that_stand_alone_stay_when_the_entries_beside_them_go(book):
    saved(book, {"steps": [THIRD]})
    assert "# the cutting\n" in typed(book)


def test_lists_that_stand_apart_and_texts_that_look_like_headers_stay_where_they_are(book):
    odd = TYPED.replace("quantity = 12\n", 'quantity = 12\nnotes = """\n[[steps]]\n# no remark\n"""\n')
    odd += '\n[[holds]]   # and\nmethod = "friction-fit"\nforce = "1 kN"\n'
    book.path("job", JOB).write_text(odd)
    saved(book, {"machine": "m", "steps": [{**FIRST, "recipe": "other"}, SECOND]})
    assert typed(book) == odd.replace(f'"{MACHINE}"', '"m"').replace(
        f'recipe = "{RECIPE}"', 'recipe = "other"'
    )


def test_lists_on_one_line_are_changed_in_place(book):
    raw = tomllib.loads(TYPED)
    inline = TYPED[: TYPED.index("[stock]")] + (
        'steps = [  # in order\n  { recipe = "other", feature = "outline", path = "1 m" },  # mind\n'
        '  { recipe = "x", feature = "outline", path = "1 m" },\n]\n'
    )
    rest = to_toml({key: raw[key] for key in ("stock", "part", "features", "holds")})
    book.path("job", JOB).write_text(inline + rest)
    saved(book, {"steps": [{"recipe": "y", "feature": "outline", "path": "1 m"}] * 2})
    assert typed(book) == (inline + rest).replace('"other"', '"y"').replace('"x"', '"y"')


def test_a_new_job_has_its_lists_under_headers_and_its_keys_in_order(book):
    raw = values("job")
    shuffled = {key: raw[key] for key in reversed(raw)}
    shuffled["steps"] = [{key: step[key] for key in reversed(step)} for step in raw["steps"]]
    entry = book.save("job", "new", shuffled, seen=None)
    assert entry.raw == raw
    assert typed(book, "new") == to_toml(raw)


def test_a_job_that_will_not_do_is_not_written(book):
    with pytest.raises(SwarfbookError, match=r"steps\[1\]\.feature: found 'groove'; no feature of that id"):
        saved(book, {"steps": [{**FIRST, "feature": "groove"}]})
    assert typed(book) == TYPED
    seen = book.get("job", JOB).sha
    book.path("job", JOB).write_text(TYPED + "# theirs\n")
    with pytest.raises(ConflictError):
        book.save("job", JOB, {"quantity": 3}, seen=seen)


def test_a_job_is_copied_renamed_deleted_and_brought_back(book):
    twin = book.duplicate("job", JOB, "twin", {"quantity": 2})
    assert typed(book, "twin") == TYPED.replace("quantity = 12", "quantity = 2")
    assert twin.record.quantity == 2
    assert book.rename("job", "twin", "second").followed == ()
    assert book.ids("job") == [JOB, "second"]
    assert not (book.root / "renames.jsonl").exists()
    book.delete("job", "second")
    assert [(one.kind, one.id) for one in book.deleted()] == [("job", "second")]
    book.restore("job", "second")
    assert book.get("job", "second").record.quantity == 2
    assert list(Book.open(book.root).run_log().problems) == []


# Who names what


@pytest.fixture
def shop(book):
    """Add to the two recipes three more on the machine, and two more jobs."""
    for recipe in ("third", "fourth", "fifth"):
        book.save("recipe", recipe, values("recipe"), seen=None)
    for job in ("plates", "rails"):
        book.save("job", job, values("job"), seen=None)
    return book


def called(users):
    return [user.called for user in users]


JOBS = [f"job:{JOB}", "job:plates", "job:rails"]
RECIPES = ["fifth", "fourth", RECIPE, "other", "third"]


def test_users_are_recipes_and_jobs(shop):
    assert called(shop.users("machine", MACHINE)) == [*RECIPES, *JOBS]
    assert called(shop.users("material", MATERIAL)) == [*RECIPES, *JOBS]
    assert called(shop.users("tool", TOOL)) == RECIPES
    assert called(shop.users("recipe", RECIPE)) == JOBS
    assert called(shop.users("recipe", "other")) == [f"job:{JOB}"]
    assert shop.users("recipe", "third") == shop.users("job", JOB) == []


@pytest.mark.parametrize(
    ("kind", "record", "said"),
    [
        (
            "machine",
            MACHINE,
            f"recipes name it: {', '.join(RECIPES)}; jobs name it: {JOB}, plates, rails; delete",
        ),
        (
            "recipe",
            "other",
            f"jobs name it: {JOB}; set its standing to retired instead, or delete those first",
        ),
    ],
)
def test_what_a_job_names_is_kept_and_the_job_is_said(shop, kind, record, said):
    with pytest.raises(SwarfbookError) as caught:
        shop.delete(kind, record)
    assert said in str(caught.value)
    assert shop.has(kind, record)
    for job in shop.ids("job"):
        shop.delete("job", job)
    if kind == "recipe":
        shop.delete(kind, record)


@pytest.mark.parametrize(
    ("kind", "old"), [("machine", MACHINE), ("material", MATERIAL), ("recipe", RECIPE), ("recipe", "other")]
)
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_a_job_follows_a_rename_and_nothing_else_of_it_changes(shop, kind, old, ends):
    shop.path("job", JOB).write_bytes(TYPED.replace("\n", ends).encode())
    done = shop.rename(kind, old, "another")
    assert typed(shop) == TYPED.replace(f'= "{old}"', '= "another"').replace("\n", ends)
    assert set(called(done.followed)) >= ({f"job:{JOB}"} if old == "other" else set(JOBS))
    assert list(troubles(shop)) == []


def test_a_renamed_cutter_leaves_jobs_alone_even_those_that_do_not_read(shop):
    shop.path("job", "plates").write_text(f'name = "{TOOL}')
    assert called(shop.rename("tool", TOOL, "six").followed) == RECIPES
    shop.path("job", "plates").write_text(f'name = "{MACHINE}')
    with pytest.raises(SwarfbookError, match=r"jobs/plates\.toml: mend this file first"):
        shop.rename("machine", MACHINE, "another")


def test_a_job_whose_other_values_will_not_do_follows_too(shop):
    bad = TYPED.replace('"305 mm"', '"2 furlongs"').replace("[[holds]]", "[[holds]]\nmore = 1")
    shop.path("job", JOB).write_text(bad)
    shop.rename("recipe", "other", "another")
    assert typed(shop) == bad.replace('"other"', '"another"')
    shop.path("job", JOB).write_text(f'steps = [3, {{ recipe = "{RECIPE}" }}]\nmachine = 3\n')
    shop.path("job", "rails").write_text('steps = "none"\n')
    shop.rename("recipe", RECIPE, "first")
    assert tomllib.loads(typed(shop)) == {"steps": [3, {"recipe": "first"}], "machine": 3}


def test_a_record_may_be_called_by_any_id(book):
    book.rename("recipe", "other", "another")
    assert called(book.users("recipe", "another")) == [f"job:{JOB}"]


def test_a_job_that_comes_back_names_its_records_as_they_are_called_now(shop):
    shop.delete("job", JOB)
    shop.rename("machine", MACHINE, "router")
    shop.rename("recipe", "other", "another")
    shop.restore("job", JOB)
    assert typed(shop) == TYPED.replace(f'"{MACHINE}"', '"router"').replace('"other"', '"another"')


# Cut off


class KilledError(BaseException):
    """In place of a power cut."""


def dying(patch, step):
    taken: list[str] = []

    def last_breath(name, work):
        def breath(*args, **kwargs):
            if len(taken) == step:
                raise KilledError
            taken.append(name)
            return work(*args, **kwargs)

        return breath

    for name in ("write_atomically", "add_rename", "flush_folder"):
        patch.setattr(renaming, name, last_breath(name, getattr(renaming, name)))
    return taken


STEPS = {
    "machine": ["write_atomically"] * (2 + 5 + 3) + ["add_rename", "flush_folder"],
    "recipe": ["write_atomically"] * (2 + 3) + ["add_rename", "flush_folder"],
    "job": ["write_atomically"] * 2 + ["flush_folder"],
}


@pytest.mark.parametrize(
    ("kind", "old", "step"),
    [
        (kind, old, step)
        for kind, old in (("machine", MACHINE), ("recipe", RECIPE), ("job", JOB))
        for step in range(len(STEPS[kind]) + 1)
    ],
)
def test_a_rename_with_jobs_that_was_cut_off_is_finished_or_never_was(shop, monkeypatch, kind, old, step):
    with monkeypatch.context() as patch:
        taken = dying(patch, step)
        try:
            shop.rename(kind, old, "another")
        except KilledError:
            assert step < len(STEPS[kind])
        assert taken == STEPS[kind][:step]
    # At every moment each name leads somewhere ...
    assert list(troubles(Book(shop.root, shop.settings))) == []
    # ... and opening the book finishes what was begun.
    again, begun = Book.open(shop.root), step > 0
    assert (again.has(kind, "another"), again.has(kind, old)) == (begun, not begun)
    if kind != "job":
        now = "another" if begun else old
        assert len([user for user in again.users(kind, now) if user.kind == "job"]) == 3
        assert typed(again) == TYPED.replace(f'= "{old}"', f'= "{now}"')
    assert not (shop.root / ".swarfbook/renaming.json").exists()
    assert list(troubles(again)) == []


def test_a_rename_that_a_version_before_jobs_left_is_finished(book):
    data = book.path("recipe", RECIPE).read_text()
    follower = {"recipe": RECIPE, "before": renaming.sha256(data.encode()), "text": f"{data}# followed\n"}
    machine = book.path("machine", MACHINE).read_bytes()
    plan = {"at": "2026-11-01T12:00:00+00:00", "kind": "machine", "old": MACHINE, "new": "another"}
    left = {"schema": "renaming/1", **plan, "sha": renaming.sha256(machine), "followers": [follower]}
    (book.root / ".swarfbook").mkdir()
    (book.root / ".swarfbook/renaming.json").write_text(json.dumps(left))
    assert Book.open(book.root).ids("machine") == ["another"]
    assert book.path("recipe", RECIPE).read_text().endswith("# followed\n")


@pytest.mark.parametrize("other", [{"kind": "machine"}, {"kind": ["job"]}, {"id": "../../book"}, {"more": 1}])
def test_a_note_that_names_other_files_writes_nothing(book, other):
    follower = {"kind": "job", "id": JOB, "before": renaming.sha256(TYPED.encode()), "text": "", **other}
    plan = {"at": "", "kind": "machine", "old": "x", "new": "y", "sha": "", "followers": [follower]}
    (book.root / ".swarfbook").mkdir()
    (book.root / ".swarfbook/renaming.json").write_text(json.dumps({"schema": "renaming/2", **plan}))
    with pytest.raises(SwarfbookError, match="take the file away"):
        Book.open(book.root)
    assert typed(book) == TYPED


# What does not fit


def test_names_that_lead_nowhere_are_told_with_their_places(book):
    assert list(dangling(book, book.get("job", JOB))) == []
    changes = {"machine": "lathe", "material": "6082", "steps": [FIRST, {**SECOND, "recipe": "othr"}]}
    saved(book, changes)
    found = list(dangling(book, book.get("job", JOB)))
    assert [(one.where, one.key) for one in found] == [
        (f"jobs/{JOB}.toml", key) for key in ("machine", "material", "steps[2].recipe")
    ]
    assert str(found[2]).endswith("found 'othr'; no recipe of that id in this book; did you mean other?")
    assert "no material of that id in this book; did you mean 6082-t6" in str(found[1])


def test_jobs_are_among_the_troubles_of_a_book(book):
    saved(book, {"machine": "lathe"})
    book.path("job", "bad").write_text(TYPED.replace('"3 m"', '"3 miles an hour"'))
    book.path("job", "torn").write_text("name = ")
    (book.root / "runs/2026-11.jsonl").write_text("not a run\n")
    assert [(one.where, one.key) for one in troubles(book)] == [
        ("jobs/bad.toml", "steps[1].path"),
        (f"jobs/{JOB}.toml", "machine"),
        ("jobs/torn.toml", ""),
        ("runs/2026-11.jsonl line 1", ""),
    ]
