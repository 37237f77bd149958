"""The run log as columns: what models say, said in arrays; kept backstage, and never wrong for it."""

from __future__ import annotations

import json
import os
import tracemalloc
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from support.books import MACHINE, RECIPE, RUN
from support.long_logs import demo_lines, long_book
from swarfbook.book import Book, kept_columns, months, runlog
from swarfbook.book.columns import Builder
from swarfbook.book.table import Table
from swarfbook.errors import SwarfbookError
from swarfbook.records import parse
from swarfbook.records.quick import QuickReader

NOON = "2026-11-02T12:00:00+00:00"
ODD = st.one_of(
    st.none(), st.booleans(), st.integers(-3, 10**18), st.floats(allow_nan=False), st.text(max_size=9),
    st.sampled_from(["2026-11-02", "2026-11-02T10:00:00+05:30", "clean", "chatter", "a-b", "310 W"]),
    st.fixed_dictionaries({"value": st.floats(-1e3, 1e3), "unit": st.sampled_from(["W", "degC", "mm"])}),
    st.fixed_dictionaries({"value": st.just(1), "unit": st.just("W"), "side": st.sampled_from(["shaft", 1])}),
    st.lists(st.integers(), max_size=2), st.dictionaries(st.text(max_size=3), st.integers(), max_size=2),
)  # fmt: skip
KEYS = [*RUN, "power_peak", "withdrawn", "unheard-of"]


@given(st.sampled_from(demo_lines()), st.dictionaries(st.sampled_from(KEYS), ODD, max_size=3))
def test_a_line_reads_quickly_as_it_reads_with_care(line, changes):
    raw = line | changes
    quick = QuickReader()
    for found in (quick.read(raw), quick.read(raw)):
        try:
            careful = dict(parse("run", raw, where=""))
        except SwarfbookError:
            assert found is None
        else:
            assert found == careful


NAMES = [f"r{number}" for number in range(6)]
LINES = st.builds(
    lambda name, replaces, withdrawn, month: (
        {"id": name, "withdrawn": withdrawn, "month": month} | ({"replaces": replaces} if replaces else {})
    ),
    st.sampled_from(NAMES),
    st.one_of(st.none(), st.none(), st.sampled_from(NAMES)),
    st.sampled_from([False, False, True]),
    st.sampled_from(["2026-10", "2026-11"]),
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(LINES, max_size=12))
def test_the_same_runs_count_whatever_was_corrected_in_which_month(tmp_path_factory, told):
    root = tmp_path_factory.mktemp("book")
    (root / "runs").mkdir()
    for line in told:
        text = json.dumps(RUN | {"at": f"{line['month']}-03T12:00:00+00:00"} | line)
        with (root / f"runs/{line['month']}.jsonl").open("a") as file:
            file.write(text + "\n")
    table = runlog.read_log(root, None, None, True).table
    whole = runlog.read_log(root)
    assert [table.name(row) for row in table.counts] == [run.id for run in whole.in_force]
    assert list(table.runs(table.counts.tolist())) == list(whole.in_force)


def test_corrections_hold_where_two_names_have_the_same_hash(monkeypatch):
    monkeypatch.setattr("swarfbook.book.columns.hash_of", len)
    lines = [RUN | {"id": "a"}, RUN | {"id": "b"}, RUN | {"id": "c", "replaces": "a"}, RUN | {"id": "b"}]
    builder = Builder()
    for line in lines:
        builder.read(line, "", 0, 0)
    table = Table.of_runs([parse("run", line, where="") for line in lines])
    assert [table.name(row) for row in table.counts] == ["b", "c"]


def test_a_renamed_record_is_followed_as_far_as_it_bore_that_name(make_book):
    book = Book.open(make_book())
    book.log(RUN | {"id": "old", "at": "2020-01-01T00:00:00+00:00", "recipe": RECIPE})
    book.rename("recipe", RECIPE, "anew")
    book.rename("machine", MACHINE, "other-machine")
    book.log(RUN | {"id": "new", "at": "2099-01-01T00:00:00+00:00", "recipe": RECIPE})
    fresh = Book.open(book.root)
    table = fresh.light_log().table
    assert [table.recipes[place] for place in table.recipe] == ["anew", RECIPE]
    runs = Book.open(book.root).run_log().lines
    assert list(table.runs([0, 1])) == list(runs)
    assert [table.snapshots[place] for place in table.snapshot] == [run.snapshot for run in runs]
    assert [table.at(row) for row in (0, 1)] == [run.at for run in runs]


@pytest.mark.parametrize(("second", "now"), [(-1, "anew"), (0, "anew"), (1, RECIPE)])
def test_a_run_of_the_moment_of_a_rename_bore_the_old_name(make_book, second, now):
    book = Book.open(make_book())
    moment = datetime.fromisoformat(NOON)
    rename = {"schema": "rename/1", "at": NOON, "kind": "recipe", "from": RECIPE, "to": "anew"}
    (book.root / "renames.jsonl").write_text(json.dumps(rename) + "\n")
    book.log(RUN | {"at": (moment + timedelta(seconds=second)).isoformat(), "recipe": RECIPE})
    table = book.light_log().table
    assert table.recipes[table.recipe[0]] == now
    assert Book.open(book.root).runs()[0].recipe == now


def test_moments_keep_their_offset(make_book):
    book = Book.open(make_book())
    for name, at in enumerate(("2026-11-02T12:00:00+05:30", "2026-11-02T12:00:00.25-08:00", "2026-11-02")):
        book.log(RUN | {"id": f"r{name}", "at": at})
    table, runs = book.light_log().table, Book.open(book.root).run_log().lines
    assert [table.at(row).isoformat() for row in table.every] == [run.at.isoformat() for run in runs]


# -- what is kept backstage --


@pytest.fixture
def keeping(monkeypatch):
    """Keep short months as well, and trust what was kept at once."""
    monkeypatch.setattr(months, "LEAST", 1)
    monkeypatch.setattr(months, "MORE", 3000)


def state(log):
    table = log.table
    return (
        list(table.runs(table.every.tolist())),
        [table.name(row) for row in table.counts.tolist()],
        [str(problem) for problem in log.problems],
        table.recipe.tolist(),
        [table.power(row) for row in table.every.tolist()],
        [table.columns.pools["model"][one] for one in table.rows["model"].tolist()],
    )


def read_again(root):
    return state(runlog.read_log(root, None, None, True))


def read_plain(root):
    whole = runlog.read_log(root)
    found = state(whole)
    assert list(whole.lines) == found[0]
    assert [run.id for run in whole.in_force] == found[1]
    return found


def restored(path, before):
    """Put back the time of the last writing, once the time of the last change has moved on."""
    while path.stat().st_ctime_ns == before.st_ctime_ns:
        os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))


class Shop:
    """A log that other programs write to as well."""

    def __init__(self, root):
        self.root, self.count = root, 0
        (root / "runs").mkdir(parents=True)
        self.month("2026-10").write_bytes(b"")

    def month(self, name):
        return self.root / f"runs/{name}.jsonl"

    def line(self, **changes):
        self.count += 1
        return json.dumps(RUN | {"id": f"run-{self.count:04d}", "minutes": 10} | changes).encode() + b"\n"

    def append(self, draw, month):
        number = draw(st.integers(1, 6))
        with self.month(month).open("ab") as file:
            file.write(b"".join(self.line() for _ in range(number)))

    def correct(self, draw, month):
        with self.month(month).open("ab") as file:
            file.write(self.line(replaces=f"run-{draw(st.integers(1, 9)):04d}"))

    def tear(self, draw, month):
        with self.month(month).open("ab") as file:
            file.write(self.line()[: draw(st.integers(1, 400))])

    def edit(self, draw, month):
        """Edit an old line in place, equally long, and put the times back."""
        path = self.month(month)
        data = path.read_bytes() if path.exists() else b""
        places = [place for place in range(len(data)) if data.startswith(b'"minutes": 1', place)]
        if places:
            before, place = path.stat(), draw(st.sampled_from(places)) + len(b'"minutes": 1')
            with path.open("r+b") as file:
                file.seek(place)
                file.write(str((int(data[place : place + 1]) + draw(st.integers(1, 9))) % 10).encode())
            restored(path, before)

    def truncate(self, draw, month):
        path = self.month(month)
        if path.exists():
            os.truncate(path, draw(st.integers(0, path.stat().st_size)))

    def replace(self, draw, month):
        path = self.month(month)
        other = path.with_name("other")
        other.write_bytes(b"".join(self.line() for _ in range(draw(st.integers(0, 5)))))
        if path.exists():
            os.utime(other, ns=(path.stat().st_atime_ns, path.stat().st_mtime_ns))
        other.replace(path)

    def shuffle(self, draw, month):
        path = self.month(month)
        if path.exists():
            before, lines = path.stat(), path.read_bytes().splitlines(keepends=True)
            path.write_bytes(b"".join(draw(st.permutations(lines))))
            restored(path, before)

    def remove(self, _draw, month):
        self.month(month).unlink(missing_ok=True)

    def kept(self):
        return sorted((self.root / ".swarfbook/log").glob("*.*"))

    def forget(self, draw, _month):
        if files := self.kept():
            draw(st.sampled_from(files)).unlink()

    def damage(self, draw, _month):
        files = [path for path in self.kept() if path.stat().st_size]
        if files:
            path = draw(st.sampled_from(files))
            data = bytearray(path.read_bytes())
            for _ in range(draw(st.integers(1, 3))):
                data[draw(st.integers(0, len(data) - 1))] ^= 1 << draw(st.integers(0, 7))
            path.write_bytes(bytes(data[: draw(st.integers(len(data) // 2, len(data)))]))


DEEDS = [Shop.append, Shop.correct, Shop.tear, Shop.edit, Shop.truncate, Shop.replace, Shop.shuffle,
         Shop.remove, Shop.forget, Shop.damage]  # fmt: skip


@pytest.mark.usefixtures("keeping")
@pytest.mark.parametrize("settled", [2 * 10**9, -(10**15)], ids=["hashed", "trusted"])
def test_what_is_kept_never_tells_other_than_the_log(monkeypatch, tmp_path_factory, settled):
    monkeypatch.setattr(kept_columns, "SETTLED", settled)

    @settings(max_examples=60, deadline=None)
    @given(st.data())
    def check(data):
        shop = Shop(tmp_path_factory.mktemp("book"))
        for deed in data.draw(st.lists(st.sampled_from(DEEDS), min_size=2, max_size=9)):
            before = {path: path.stat() for path in (shop.root / "runs").glob("*.jsonl")}
            deed(shop, data.draw, data.draw(st.sampled_from(["2026-10", "2026-11"])))
            # A change in the same tick of the clock is what `SETTLED` is for; here nothing waits for it.
            for path, was in before.items():
                now = path.stat() if path.exists() else was
                if settled < 0 and now.st_mtime_ns != was.st_mtime_ns:
                    while path.stat().st_ctime_ns == was.st_ctime_ns:
                        os.utime(path)
            if data.draw(st.booleans()):
                assert read_again(shop.root) == read_plain(shop.root)
        assert read_again(shop.root) == read_plain(shop.root)

    check()


@pytest.fixture
def work(monkeypatch):
    """Count files of the log that are opened, and lines that are read."""
    done = {"opened": [], "lines": 0, "hashed": 0}
    opened, read, begins = months.open_regular, Builder.read, months.begins_with

    def count_opened(path, **told):
        done["opened"].append(Path(path).name)
        return opened(path, **told)

    def count_read(self, *given):
        done["lines"] += 1
        return read(self, *given)

    def count_hashed(*given):
        done["hashed"] += 1
        return begins(*given)

    monkeypatch.setattr(months, "open_regular", count_opened)
    monkeypatch.setattr(months, "begins_with", count_hashed)
    monkeypatch.setattr(Builder, "read", count_read)
    return done


@pytest.mark.usefixtures("keeping")
def test_a_long_log_that_has_not_changed_is_not_opened(monkeypatch, tmp_path, work):
    monkeypatch.setattr(kept_columns, "SETTLED", -(10**15))
    root = long_book(tmp_path / "book", 40)
    Book.open(root).light_log()
    assert work == {"opened": ["2020-01.jsonl", "2020-02.jsonl"], "lines": 40, "hashed": 0}
    Book.open(root).light_log()
    assert work == {"opened": ["2020-01.jsonl", "2020-02.jsonl"], "lines": 40, "hashed": 0}


@pytest.mark.usefixtures("keeping")
def test_of_a_month_that_grew_the_new_lines_are_read_alone(tmp_path, work):
    root = long_book(tmp_path / "book", 40)
    Book.open(root).light_log()
    with (root / "runs/2020-02.jsonl").open("a") as file:
        file.write(json.dumps(RUN | {"id": "more"}) + "\n")
    work.update(opened=[], lines=0)
    Book.open(root).light_log()
    assert work == {"opened": ["2020-01.jsonl", "2020-02.jsonl"], "lines": 1, "hashed": 2}


@pytest.mark.usefixtures("keeping")
def test_a_month_that_was_written_of_late_is_hashed_and_not_trusted(tmp_path, work):
    root = long_book(tmp_path / "book", 40)
    Book.open(root).light_log()
    assert not (root / ".swarfbook/log/trust.json").exists()
    Book.open(root).light_log()
    assert (work["hashed"], work["lines"]) == (2, 40)


@pytest.mark.usefixtures("keeping")
def test_a_short_log_leaves_nothing_backstage_and_neither_does_the_demo(make_book, monkeypatch):
    from swarfbook import resources

    Book.open(resources.demo_book_dir()).light_log()
    assert not (resources.demo_book_dir() / ".swarfbook").exists()
    monkeypatch.setattr(months, "LEAST", 256 * 1024)
    book = Book.open(make_book())
    book.log(RUN)
    Book.open(book.root).light_log()
    assert not (book.root / ".swarfbook").exists()


@pytest.mark.usefixtures("keeping")
def test_a_folder_that_cannot_be_written_costs_only_time(monkeypatch, tmp_path):
    root = long_book(tmp_path / "book", 10)

    def refuse(*_given):
        raise OSError(30, "Read-only file system")

    monkeypatch.setattr(kept_columns, "backstage", refuse)
    assert len(Book.open(root).light_log().table.rows) == 10


@pytest.mark.usefixtures("keeping")
def test_what_is_kept_is_ignored_by_version_control_and_holds_no_pickle(tmp_path):
    import numpy as np

    root = long_book(tmp_path / "book", 10)
    Book.open(root).light_log()
    assert (root / ".swarfbook/.gitignore").read_text() == "*\n"
    with np.load(root / ".swarfbook/log/2020-01.jsonl.npz", allow_pickle=False) as file:
        assert len(file["rows"]) == 5


def peak(work):
    tracemalloc.start()
    try:
        work()
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


def test_fifty_thousand_lines_take_little_memory(tmp_path):
    root = long_book(tmp_path / "book", 50_000, months=12)
    first = peak(lambda: Book.open(root).light_log().table.counts)
    again = peak(lambda: Book.open(root).light_log().table.counts)
    # A row takes some 150 bytes; as models the same lines take more than 2 kB each.
    assert first < 500 * 50_000
    assert again < 400 * 50_000


def test_a_run_is_read_from_its_own_line_and_a_file_changed_meanwhile_is_told(make_book):
    book = Book.open(make_book())
    for name in ("aa", "bb", "cc"):
        book.log(RUN | {"id": name})
    table = book.light_log().table
    assert [run.id for run in table.runs([2, 0])] == ["cc", "aa"]
    path = book.root / "runs/2026-11.jsonl"
    path.write_bytes(path.read_bytes().replace(b'"aa"', b'"dd"'))
    with pytest.raises(SwarfbookError, match="changed while it was read"):
        list(table.runs([0]))
