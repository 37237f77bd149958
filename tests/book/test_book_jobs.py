"""Jobs in a book: read, listed, and saved with all that a person wrote."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.books import JOB, MACHINE, RECIPE, to_toml, values
from support.typed_job import FIRST, SECOND, TYPED, job_book, typed
from swarfbook.book import Book
from swarfbook.book.editing import edit
from swarfbook.errors import ConflictError, SwarfbookError
from swarfbook.records.job import Job

THIRD = {"recipe": RECIPE, "feature": "outline", "path": "2 m"}
FIRST_TEXT = TYPED[TYPED.index("# roughing") : TYPED.index("# then")]
SECOND_TEXT = TYPED[TYPED.index("# then") :]
THIRD_TEXT = f'[[steps]]\nrecipe = "{RECIPE}"\nfeature = "outline"\npath = "2 m"\n'


@pytest.fixture
def book(make_book):
    return job_book(make_book)


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


# Drawn at random

STEPS = st.lists(
    st.fixed_dictionaries(
        {"recipe": st.sampled_from("pqrstuvw"), "feature": st.sampled_from("ab")},
        optional={"path": st.sampled_from(["1 m", "2 m"])},
    ),
    min_size=1,
    max_size=6,
    unique_by=lambda step: step["recipe"],
)


@given(before=STEPS, after=STEPS, apart=st.booleans(), ends=st.sampled_from(["\n", "\r\n"]))
def test_whatever_steps_become_those_that_stay_keep_their_lines(before, after, apart, ends):
    blocks = [
        f"# of {step['recipe']}\n[[steps]]   # {at}\n"
        + "".join(f'{k} = "{v}"  # {at}\n' for k, v in step.items())
        for at, step in enumerate(before)
    ]
    middle = '\n# alone\n\n[stock]\nform = "plate"\n\n' if apart else "\n# alone\n\n"
    text = 'schema = "job/1"\n\n' + middle.join(
        ["\n".join(blocks[:3]), "\n".join(blocks[3:])][: 1 + (len(blocks) > 3)]
    )
    done = edit("job", text.replace("\n", ends), {"steps": after}, where="", tidy=True)
    assert tomllib.loads(done) == {**tomllib.loads(text), "steps": after}
    for step, block in zip(before, blocks, strict=True):
        assert block.replace("\n", ends) in done or step not in after
    assert done.count("# alone") == text.count("# alone")
    assert done.count("\r") == (done.count("\n") if ends == "\r\n" else 0)
