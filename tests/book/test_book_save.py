# ruff: noqa: E501 - a table reads better with a row a line
"""Saving: what a person wrote stays, what is wrong is not written, what others wrote is not lost."""

from __future__ import annotations

import fcntl
import os
import stat
import subprocess
import sys
import tomllib
from copy import deepcopy
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from support.books import MACHINE, RECIPE, TOOL, values
from swarfbook import resources
from swarfbook.book import Book, create, saving
from swarfbook.book.history import History
from swarfbook.errors import ConflictError, SwarfbookError
from swarfbook.records.examples import EXAMPLES

TYPED = """\
# bulk roughing, second shift
schema = "recipe/1"   # do not touch
name = '6 mm one-flute, 6082'

machine = "long-bed-router"
tool = "em-6mm-1f"
material = "6082-t6"
standing = "max-effort"
operation = "rough"
spindle_speed = "18 000 rpm"  # dial 4
feed_per_tooth = "0.002 in/tooth"
axial_depth = "1/8 in"    # eighth
radial_width = "1.50 mm"
direction = "climb"
stickout = "24 mm"
cooling = "air-blast"
keep = [
    "radial_width", # the width is what was left
]
# remark about nothing

# where it came from
[derived]   # parent
from = "long-bed-6mm-6082-max"
parent_digest = "sha256:%s"

# least removal lost
method = "least-time"
margin = 0.250
# end
""" % ("0" * 64)


@pytest.fixture
def book(make_book):
    root = make_book()
    (root / f"recipes/{RECIPE}.toml").write_text(TYPED)
    return Book.open(root)


def saved(book, changes, record=RECIPE):
    entry = book.get("recipe", record)
    return book.save("recipe", record, changes, seen=entry.sha)


def test_one_value_changes_and_nothing_else(book):
    entry = saved(book, {"axial_depth": "2.5 mm"})
    assert entry.path.read_text() == TYPED.replace('"1/8 in" ', '"2.5 mm" ')
    assert entry.record.axial_depth == 0.0025
    assert not book.changed(entry)
    assert book.get("recipe", RECIPE) is entry


@pytest.mark.parametrize(
    ("changes", "old", "new"),
    [
        ({}, "", ""),
        ({"axial_depth": "1/8 in", "derived": {"margin": 0.25}}, "", ""),
        ({"derived": {"margin": 0.3}}, "margin = 0.250", "margin = 0.3"),
        ({"derived": {"method": "depth"}}, '"least-time"', '"depth"'),
        ({"wear": 1.2}, 'cooling = "air-blast"\n', 'cooling = "air-blast"\nwear = 1.2\n'),
        (
            {"tolerance": "0.1 mm", "allowance": "0.5 mm"},
            'cooling = "air-blast"\n',
            'cooling = "air-blast"\nallowance = "0.5 mm"\ntolerance = "0.1 mm"\n',
        ),
        ({"notes": "mind\nthe tape"}, "left\n]\n", 'left\n]\nnotes = """mind\nthe tape"""\n'),
        (
            {"feed_per_tooth": None, "feed_rate": "900 mm/min"},
            'rpm"  # dial 4\nfeed_per_tooth = "0.002 in/tooth"\n',
            'rpm"  # dial 4\nfeed_rate = "900 mm/min"\n',
        ),
        (
            {"keep": ["axial_depth"]},
            TYPED[TYPED.index("keep") : TYPED.index("# remark")],
            'keep = ["axial_depth"]\n',
        ),
        ({"keep": ("radial_width",)}, "", ""),
        ({"notes": None}, "", ""),
    ],
)
def test_comments_order_and_units_stay(book, changes, old, new):
    assert saved(book, changes).path.read_text() == TYPED.replace(old, new, 1)


def test_a_table_can_go_and_come(book):
    without = saved(book, {"derived": None})
    assert without.record.derived is None
    assert "# remark about nothing" in without.path.read_text()
    again = saved(book, {"derived": EXAMPLES["recipe"]["derived"]})
    assert again.record.derived.margin == 0.25
    assert again.path.read_text().rstrip().endswith("margin = 0.25")


def test_windows_line_ends_and_a_missing_last_one_stay(book):
    path = book.path("recipe", RECIPE)
    path.write_bytes(TYPED.replace("\n", "\r\n").encode())
    data = saved(book, {"wear": 1.2, "axial_depth": "2 mm"}).path.read_bytes()
    assert data == TYPED.replace("\n", "\r\n").encode().replace(b'"1/8 in"', b'"2 mm"').replace(
        b'cooling = "air-blast"\r\n', b'cooling = "air-blast"\r\nwear = 1.2\r\n'
    )
    path.write_text('title = "x"\n')
    path.write_text(TYPED[: TYPED.index("keep")].rstrip("\n"))
    assert saved(book, {"wear": 1.2}).path.read_text().endswith('cooling = "air-blast"\nwear = 1.2\n')


@pytest.mark.parametrize(
    "text",
    [
        TYPED.replace("[derived]   # parent\n", "")
        .replace("from =", "derived.from =")
        .replace("parent_digest =", "derived.parent_digest =")
        .replace("method =", "derived.method =")
        .replace("margin =", "derived.margin ="),
        TYPED[: TYPED.index("# where")].replace(
            "# remark",
            f'derived = {{ from = "x", parent_digest = "sha256:{"0" * 64}", method = "depth", margin = 0.1 }} #',
        ),
    ],
    ids=["dotted", "inline"],
)
def test_tables_may_be_dotted_or_on_one_line(book, text):
    book.path("recipe", RECIPE).write_text(text)
    entry = saved(book, {"derived": {"margin": 0.4, "method": "speed"}, "wear": 1.5})
    assert (entry.record.derived.margin, entry.record.derived.method, entry.record.wear) == (
        0.4,
        "speed",
        1.5,
    )
    assert "# eighth" in entry.path.read_text()


def test_a_key_that_cannot_be_placed_tidily_is_placed_somewhere(make_book):
    book = Book.open(make_book())
    path = book.path("machine", MACHINE)
    tables = path.read_text().replace("[axes]\n", "").split("\n\n")
    dotted = "\n".join(f"axes.{line}" for line in tables[2].split("\n") if line and "thrust" not in line)
    path.write_text("\n\n".join([tables[0], dotted, tables[1], tables[3]]))
    entry = book.get("machine", MACHINE)
    assert entry.record.axes.thrust is None
    entry = book.save("machine", MACHINE, {"axes": {"thrust": "200 N"}}, seen=entry.sha)
    assert tomllib.loads(path.read_text()) == entry.raw
    assert entry.record.axes.thrust == 200.0


@pytest.mark.parametrize("kind", ["machine", "tool", "material", "recipe"])
def test_a_new_record_has_the_order_of_its_kind_whatever_the_order_given(make_book, kind):
    raw = deepcopy(EXAMPLES[kind])
    for key in {
        "tool": ("corner_radius", "point_angle", "tip_diameter", "taper"),
        "recipe": ("feed_rate", "hole_diameter", "stock_offset", "ramp_angle"),
    }.get(kind, ()):
        del raw[key]
    turned = {
        key: dict(reversed(value.items())) if isinstance(value, dict) else value
        for key, value in reversed(raw.items())
        if key != "schema"
    }
    entry = Book.open(make_book()).save(kind, "new-one", turned | {"nothing": None}, seen=None)
    on_disk = tomllib.loads(entry.path.read_text())
    assert on_disk == entry.raw == raw
    assert list(on_disk) == list(raw)
    assert all(list(on_disk[key]) == list(raw[key]) for key in raw if isinstance(raw[key], dict))
    assert entry.path.read_text().startswith(f'schema = "{kind}/1"\nname = ')


def test_what_is_wrong_is_not_written(book):
    before = book.path("recipe", RECIPE).read_bytes()
    with pytest.raises(SwarfbookError) as caught:
        saved(book, {"axial_depth": "3", "depth": "1 mm", "wear": float("nan")})
    assert sorted(problem.key for problem in caught.value.problems) == ["axial_depth", "depth", "wear"]
    with pytest.raises(SwarfbookError, match="stickout: missing"):
        book.save("recipe", "new", values("recipe", {"stickout": None}), seen=None)
    assert book.path("recipe", RECIPE).read_bytes() == before
    assert book.ids("recipe") == [RECIPE]


@pytest.mark.parametrize("name", ["../x", "a/b", "", "X", "x.toml"])
def test_a_new_id_is_not_a_path(book, name):
    with pytest.raises(SwarfbookError, match="not a path"):
        book.save("recipe", name, values("recipe"), seen=None)


def test_a_new_record_takes_no_others_place(book):
    with pytest.raises(SwarfbookError, match="there is one of that id already; choose another id"):
        book.save("recipe", RECIPE, values("recipe"), seen=None)
    assert book.path("recipe", RECIPE).read_text() == TYPED


def test_a_record_changed_by_someone_else_is_not_overwritten(book):
    entry = book.get("recipe", RECIPE)
    theirs = TYPED.replace("# eighth", "# mine")
    entry.path.write_text(theirs)
    with pytest.raises(ConflictError, match="toml: the file changed on disk since it was read"):
        book.save("recipe", RECIPE, {"axial_depth": "1 mm"}, seen=entry.sha)
    assert entry.path.read_text() == theirs
    entry.path.unlink()
    with pytest.raises(ConflictError, match="taken away"):
        book.save("recipe", RECIPE, {"axial_depth": "1 mm"}, seen=entry.sha)
    assert not entry.path.exists()


def test_saves_one_after_another_need_no_reading_in_between(book):
    entry = saved(book, {"axial_depth": "2 mm"})
    entry = book.save("recipe", RECIPE, {"axial_depth": "1 mm"}, seen=entry.sha)
    assert entry.record.axial_depth == 0.001


def test_the_demo_is_not_written_to(make_book, monkeypatch):
    root = make_book()
    monkeypatch.setattr(resources, "demo_book_dir", lambda: root)
    book = Book.open(root)
    assert book.built_in
    with pytest.raises(SwarfbookError, match="`swarfbook init --demo DIR` makes a copy"):
        saved(book, {"axial_depth": "2 mm"})
    copy = Book.open(create(root.parent / "copy", demo=True))
    assert not copy.built_in
    assert saved(copy, {"axial_depth": "2 mm"}).record.axial_depth == 0.002


class BrokenError(Exception):
    """Stands for a power cut."""


@pytest.mark.parametrize("step", ["os.fsync", "os.fchmod", "pathlib.Path.replace"])
@pytest.mark.parametrize(
    ("error", "told"),
    [(BrokenError(), BrokenError), (OSError(28, "No space left on device"), SwarfbookError)],
)
def test_a_save_that_breaks_leaves_the_file_as_it_was(book, monkeypatch, step, error, told):
    entry = book.get("recipe", RECIPE)

    def fail(*_args, **_kwargs):
        raise error

    monkeypatch.setattr(step, fail)
    with pytest.raises(told):
        book.save("recipe", RECIPE, {"axial_depth": "2 mm"}, seen=entry.sha)
    monkeypatch.undo()
    assert entry.path.read_text() == TYPED
    assert [path.name for path in entry.path.parent.iterdir()] == [entry.path.name]
    assert saved(book, {"axial_depth": "2 mm"}).record.axial_depth == 0.002


def test_a_full_disk_is_one_line(book, monkeypatch):
    def fail(*_args, **_kwargs):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", fail)
    with pytest.raises(SwarfbookError, match=r"toml: this cannot be written: no space left on device$"):
        saved(book, {"axial_depth": "2 mm"})


def test_a_temporary_file_left_by_a_power_cut_is_no_record(book):
    (book.root / f"recipes/.{RECIPE}.toml.1234.tmp").write_text("half a rec")
    assert book.ids("recipe") == [RECIPE]
    assert book.entries("recipe")[1] == []


def test_the_file_is_flushed_before_it_takes_the_name_and_the_folder_after(book, monkeypatch):
    steps = []
    flush, rename = os.fsync, Path.replace

    def fsync(handle):
        steps.append("folder" if stat.S_ISDIR(os.fstat(handle).st_mode) else "file")
        flush(handle)

    def replace(self, target):
        steps.append("rename")
        return rename(self, target)

    monkeypatch.setattr("os.fsync", fsync)
    monkeypatch.setattr("pathlib.Path.replace", replace)
    monkeypatch.setattr(History, "_keep", lambda *_: None)  # which writes another file in the same way
    saved(book, {"axial_depth": "2 mm"})
    assert steps == ["file", "rename", "folder"]


@pytest.mark.parametrize("mode", [0o600, 0o644, 0o664])
def test_the_mode_of_a_file_stays(book, mode):
    book.path("recipe", RECIPE).chmod(mode)
    assert stat.S_IMODE(saved(book, {"wear": 1.1}).path.stat().st_mode) == mode


@pytest.mark.parametrize(("mask", "mode"), [(0o022, 0o644), (0o077, 0o600), (0o002, 0o664)])
def test_a_new_file_has_the_usual_mode(book, mask, mode):
    before = os.umask(mask)
    try:
        path = book.save("recipe", "new", values("recipe"), seen=None).path
    finally:
        os.umask(before)
    assert stat.S_IMODE(path.stat().st_mode) == mode


def test_a_link_within_the_book_stays_a_link(book):
    path = book.path("recipe", RECIPE)
    elsewhere = book.root / "shared.toml"
    path.rename(elsewhere)
    path.symlink_to(elsewhere)
    saved(book, {"axial_depth": "2 mm"})
    assert path.is_symlink()
    assert '"2 mm"' in elsewhere.read_text()


def free(root):
    """Say whether the book's lock can be had."""
    with (root / ".lock").open() as file:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
    return True


def test_the_lock_is_held_from_the_comparison_to_the_rename(book, monkeypatch):
    held = []
    for name in ("sha256", "write_atomically"):
        step = getattr(saving, name)
        monkeypatch.setattr(
            saving, name, lambda *a, step=step: (held.append(not free(book.root)), step(*a))[1]
        )
    saved(book, {"axial_depth": "2 mm"})
    assert len(held) >= 2
    assert all(held)
    assert free(book.root)


def test_two_processes_lose_nothing(make_book):
    root = make_book()
    code = (
        "import sys; from pathlib import Path; from swarfbook.book import Book; "
        "from swarfbook.errors import ConflictError\n"
        "book, done = Book.open(Path(sys.argv[1])), 0\n"
        "while done < 15:\n"
        f"    entry = book.get('tool', '{TOOL}')\n"
        "    try: book.save('tool', entry.id, {'name': entry.raw['name'] + sys.argv[2]}, seen=entry.sha)\n"
        "    except ConflictError: continue\n"
        "    done += 1\n"
    )
    writers = [subprocess.Popen([sys.executable, "-c", code, str(root), mark]) for mark in "ab"]
    assert [writer.wait(60) for writer in writers] == [0, 0]
    name = Book.open(root).get("tool", TOOL).record.name.removeprefix(values("tool")["name"])
    assert (name.count("a"), name.count("b"), len(name)) == (15, 15, 30)


texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=30)
leaves = {
    "notes": st.none() | texts,
    "name": texts,
    "wear": st.none() | st.floats(0.1, 9) | st.integers(1, 9),
    "axial_depth": st.sampled_from(["1 mm", "1/16 in", "0.05 in"]),
    "allowance": st.none() | st.just("0 mm"),
    "keep": st.none() | st.lists(st.sampled_from(["radial_width", "axial_depth"]), max_size=2),
    "derived": st.none()
    | st.fixed_dictionaries({}, optional={"margin": st.floats(0, 0.95), "method": st.just("speed")}),
}


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.fixed_dictionaries({}, optional=leaves), min_size=1, max_size=4))
def test_any_edits_are_written_exactly_or_not_at_all(book, edits):
    path = book.path("recipe", RECIPE)
    path.write_text(TYPED)
    for changes in edits:
        before = path.read_bytes()
        try:
            entry = saved(book, changes)
        except SwarfbookError:
            assert path.read_bytes() == before
        else:
            on_disk = tomllib.loads(path.read_text(encoding="utf-8"))
            assert on_disk == entry.raw
            for key, value in changes.items():
                if key != "derived":
                    assert on_disk.get(key) == value
            assert path.read_text(encoding="utf-8").startswith(TYPED[: TYPED.index("name")])


def test_any_notes_that_may_stand_can_be_saved(book):
    for notes in (
        "\nfirst line blank",
        'three """ quotes\nand \\ more',
        'ends with quote"\n"',
        "a\r\nb",
        "\t\n\n",
    ):
        assert saved(book, {"notes": notes}).record.notes == notes


def test_a_dial_position_can_be_added_to_a_machine(make_book):
    book = Book.open(make_book())
    entry = book.get("machine", MACHINE)
    entry = book.save(
        "machine", MACHINE, {"spindle": {"speeds": ["10000 rpm"], "rating": None}}, seen=entry.sha
    )
    assert entry.record.spindle.rating is None
    assert 'max_speed = "24000 rpm"\nspeeds = ["10000 rpm"]\nefficiency = 0.8\n' in entry.path.read_text()
