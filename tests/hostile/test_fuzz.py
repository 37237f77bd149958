"""Every reader against inputs nobody meant well by: problems of one line each, or a good value.

The short form gives each reader some hundred inputs, the same ones every time, counts the calls that each
takes, and watches that nothing is written outside the book. `pytest --long tests/hostile/test_fuzz.py` gives
them 1,000,000 in all.
"""

from __future__ import annotations

# ruff: noqa: E501, PT017 - lists of what is tried; an error need not be raised, and if it is it is looked at
import json
import random
import zlib
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from support.books import JOB, MACHINE, MATERIAL, RECIPE, RUN, TOOL
from support.hostile import ODD, PIECES, in_zip, other_json, refused_or_read, spoilt, writes_only_in
from support.hostile_tables import TABLES
from support.jobs import job_book, job_values
from swarfbook import quantities, resources
from swarfbook.book import Book, jsonl, kept_columns, months
from swarfbook.book.locating import find_book
from swarfbook.book.reading import parse_toml
from swarfbook.decisions.evidence import evidence
from swarfbook.decisions.merging import combined, read_added, read_share, share_of, share_text
from swarfbook.decisions.trace import read_trace
from swarfbook.decisions.verifying import opened, verify
from swarfbook.records import check_id, parse
from swarfbook.tui.screen_file import read_settings, screen_file

SHORT, LONG = 300, 1_000_000
FEW = 60
"""Inputs of the short form for readers of whole books, which look at many files for one input."""
DEMO = resources.demo_book_dir()
KINDS = {"machine": "machines", "tool": "tools", "material": "materials", "recipe": "recipes", "job": "jobs"}
METERS = (
    b"time,power (W)\n0,90\n1,240.5\n2,251\n3,88\n",
    b"sep=;\r\nMeter 3\r\nTime [ms];Current [A];Voltage [V]\r\n0;0,4;230\r\n250;1,1;229,8\r\n500;1,2;230\r\n",
    b"timestamp\tpower kW\n2026-11-02T14:30:00Z\t0.09\n2026-11-02T14:30:00Z\t0.24\n2026-11-02T14:30:02Z\t.25\n",
)
TYPED = (
    b"6 mm",
    b"1 1/4 in",
    b"18 000 rpm",
    b"0,05 mm",
    "0.05\u00a0mm/tooth".encode(),
    b"1e-3 m",
    b"20 degC",
    b"3 N/um",
)
SUMS = share_text(share_of(evidence(Book.open(DEMO)))).encode()
RENAME = (
    b'{"schema": "rename/1", "at": "2026-11-02T14:30:00+00:00", "kind": "tool", "from": "a", "to": "b"}\n'
)
SCREEN = b'theme = "daylight"\n[keys]\n"page.derate" = "D"\n"list.open" = ["o", "f5"]\n'
LINES = (DEMO / "runs/2026-11.jsonl").read_bytes().splitlines(keepends=True)


def _quantity(data: bytes) -> None:
    text = data.decode("utf-8", "surrogateescape")
    for dimension in quantities.DIMENSIONS:
        try:
            quantities.read(text, dimension)
        except quantities.QuantityError as error:
            assert "\n" not in str(error)


def _record(kind: str) -> Callable[[bytes], object]:
    return lambda data: parse(kind, parse_toml(data, where="x.toml"), where="x.toml")


def _line(data: bytes) -> None:
    raw = jsonl._object(data, where="x line 1", what="run")
    parse("rename" if raw.get("schema") == "rename/1" else "run", raw, where="x line 1")


def _sums(data: bytes) -> object:
    share = read_share(data, where="x")
    return combined([("", share), ("x", share)]).sums.to_json()


def demo_files(folder: str) -> list[bytes]:
    return [path.read_bytes() for path in sorted((DEMO / folder).glob("*.toml"))]


PURE: dict[str, tuple[list[bytes], Callable[[bytes, random.Random], bytes], Callable[[bytes], object]]] = {
    "quantity": (list(TYPED), spoilt, _quantity),
    **{kind: (demo_files(folder), spoilt, _record(kind)) for kind, folder in KINDS.items()},
    "book": ([(DEMO / "book.toml").read_bytes()], spoilt, _record("book")),
    "run's values": ([*LINES[:20], json.dumps(RUN).encode(), RENAME], other_json, _line),
    "meter": (list(METERS), spoilt, lambda data: read_trace(data, where="x.csv")),
    "sums": ([SUMS], spoilt, _sums),
    "sums' values": ([SUMS], other_json, _sums),
    **TABLES,
}


def given_to(name: str, seeds: range, *, counted: bool) -> int:
    """Give a reader an input for each seed; say how many read."""
    goods, spoil, read = PURE[name]
    good = 0
    for seed in seeds:
        draw = random.Random(f"{name} {seed}")
        data = spoil(draw.choice(goods), draw)
        try:
            good += refused_or_read(read, data, counted=counted)
        except Exception as error:
            error.add_note(f"{name}, seed {seed}: {data[:2000]!r}")
            raise
    return good


@pytest.mark.parametrize("name", PURE)
def test_what_is_spoilt_is_refused_in_plain_lines_or_reads(name, tmp_path, request):
    long = request.config.getoption("--long")
    many = -(-LONG // len(PURE)) if long else SHORT
    with writes_only_in(tmp_path):
        good = given_to(name, range(many), counted=not long)
    # All of them or none would mean that nothing is tried.
    assert 0 < good < many or name == "quantity"


@given(st.text())
@example("con")
def test_a_text_is_an_id_or_refused_in_a_line(text):
    try:
        assert check_id(text) == text
    except ValueError as error:
        assert "\n" not in str(error)
    else:
        assert len(text) <= 80
        assert set(text) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")


@pytest.mark.parametrize("value", ODD, ids=lambda value: repr(value)[:20])
def test_any_value_anywhere_is_refused_or_read(value):
    """Every key of every record with values of other kinds, as a TOML or JSON reader might give them."""
    from swarfbook.records import record_keys
    from swarfbook.records.examples import EXAMPLES

    for kind in (*KINDS, "run", "rename", "book"):
        for dotted in record_keys(kind):
            raw = json.loads(json.dumps(EXAMPLES.get(kind, {}))) | {"schema": f"{kind}/1"}
            at = raw
            *tables, last = dotted.split(".")
            for name in tables:
                at = at.setdefault(name, {}) if isinstance(at.get(name, {}), dict) else {}
            at[last] = value
            refused_or_read(lambda _, kind=kind, raw=raw: parse(kind, raw, where="x"), b"", counted=False)


# Files of a book


@pytest.fixture
def root(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    # So that the columns of a short log are kept, and trusted at once.
    monkeypatch.setattr(months, "LEAST", 0)
    monkeypatch.setattr(months, "MORE", 0)
    monkeypatch.setattr(kept_columns, "SETTLED", -(10**12))
    root = job_book(tmp_path / "book").root
    book = Book.open(root)
    book.save("tool", TOOL, {"name": "Another name"}, seen=book.get("tool", TOOL).sha)
    (root / "runs").mkdir(exist_ok=True)
    (root / "runs/2026-11.jsonl").write_bytes(b"".join(LINES[:6]))
    (root / "renames.jsonl").write_bytes(RENAME)
    list(Book.open(root).index.look())
    Book.open(root).light_log()
    return root


PLAN = {
    "schema": "renaming/2", "at": "2026-11-02T14:30:00+00:00", "kind": "tool", "old": TOOL, "new": "b", "sha": "0" * 64,
    "followers": [{"kind": "recipe", "id": RECIPE, "before": "0" * 64, "text": "x"}],
}  # fmt: skip


def whole_book(root: Path) -> None:
    """Do with a book what looks at all of its files."""
    book, _findings = opened(root)
    if book is not None:
        list(verify(book))
        list(book.index.look())
        book.runs()
        evidence(book)
        for kind in KINDS:
            for record in book.ids(kind):
                book.history.now(kind, record)
        book.history.states("tool", TOOL)
        book.deleted()


MANY_CHANGES = {"changes": [{"kind": "recipe", "id": "b", "before": None, "text": "x"}]}
MANY = {"schema": "importing/1", **MANY_CHANGES}
"""What a save of many records leaves, where it is cut off."""

WHOLE = {
    "schema": "taking-in/1",
    **MANY_CHANGES,
    "settings": "x",
    "settings_before": None,
    "meters": {"b.csv": "eA=="},
    "lines": {"runs/2026-11.jsonl": [{"id": "b"}], "renames.jsonl": [{"from": "b"}]},
}
"""What taking a whole book in leaves, where it is cut off."""

IN_BOOK = {
    "run log": "runs/2026-11.jsonl",
    "renames": "renames.jsonl",
    "settings": "book.toml",
    "recipe": f"recipes/{RECIPE}.toml",
    "machine": f"machines/{MACHINE}.toml",
    "tool": f"tools/{TOOL}.toml",
    "material": f"materials/{MATERIAL}.toml",
    "job": f"jobs/{JOB}.toml",
    "index": ".swarfbook/recipes.json",
    "unfinished rename": ".swarfbook/renaming.json",
    "unfinished import": ".swarfbook/renaming.json",
    "unfinished taking in": ".swarfbook/renaming.json",
    "attributes": ".gitattributes",
}


def _in_history(good: bytes, draw: random.Random) -> bytes:
    """Spoil a state, or the text of the lines, and pack it well."""
    lines = zlib.decompress(good).splitlines()
    if draw.random() < 0.3:
        return zlib.compress(spoilt(b"\n".join(lines), draw))
    at = draw.randrange(len(lines))
    return zlib.compress(
        b"\n".join(other_json(line, draw) if n == at else line for n, line in enumerate(lines))
    )


WITHIN = {
    "unfinished rename": other_json,
    "unfinished import": other_json,
    "unfinished taking in": other_json,
    "trust": other_json,
    "columns": in_zip,
    "history": _in_history,
}


@pytest.mark.parametrize("name", [*IN_BOOK, "history", "columns", "trust"])
def test_a_book_with_a_spoilt_file_is_told_of(root, name, request):
    if name in IN_BOOK:
        path = root / IN_BOOK[name]
    else:
        found = {"history": "history/tool/*", "columns": "**/*.npz", "trust": "**/*trust*"}[name]
        path = next(iter(sorted((root / ".swarfbook").glob(found))), root / f".swarfbook/{name}")
        assert path.exists()
    left = {"unfinished rename": PLAN, "unfinished import": MANY, "unfinished taking in": WHOLE}.get(name)
    good = json.dumps(left).encode() if left else path.read_bytes() if path.exists() else b"x"
    for seed in range(FEW * (10 if request.config.getoption("--long") else 1)):
        draw = random.Random(f"{name} {seed}")
        data = WITHIN[name](good, draw) if name in WITHIN and seed % 2 else spoilt(good, draw)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
        try:
            with writes_only_in(root):
                refused_or_read(lambda _: whole_book(root), b"", counted=False)
        except Exception as error:
            error.add_note(f"{name}, seed {seed}: {data[:2000]!r}")
            raise


@pytest.mark.parametrize("seed", range(40))
def test_the_file_of_ones_own_keys_is_read_or_told(seed, tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    path = screen_file()
    path.parent.mkdir(parents=True)
    for part in range(SHORT // 40 + 1):
        draw = random.Random(seed * 1000 + part)
        path.write_bytes(spoilt(SCREEN, draw))
        for problem in read_settings(("daylight",)).problems:
            assert str(problem).isprintable()


@pytest.mark.parametrize("seed", range(10))
def test_a_file_that_goes_into_a_fit_is_read_or_refused(seed, tmp_path):
    path = tmp_path / "x.json"
    for part in range(SHORT // 10):
        draw = random.Random(seed * 1000 + part)
        path.write_bytes(spoilt(draw.choice([SUMS, b"".join(LINES[:5])]), draw))
        refused_or_read(lambda _: read_added(path, where="x.json"), b"", counted=False)


NAMES = [
    "",
    ".",
    "..",
    "/",
    "~",
    "~nobody-of-that-name/x",
    "/dev/null",
    "/dev/stdin",
    "a" * 300,
    "a/" * 3000,
    "\udcff",
    "\x1b[2J",
]


@pytest.mark.parametrize("name", NAMES)
def test_an_odd_folder_in_the_environment_is_refused_in_a_line(name, tmp_path):
    root, _ = find_book(None, {"SWARFBOOK_BOOK": name}, tmp_path)
    refused_or_read(lambda _: Book.open(root), b"")


@pytest.mark.parametrize("piece", PIECES, ids=lambda piece: repr(piece)[:20])
def test_an_odd_settings_file_above_is_no_book(piece, tmp_path):
    (tmp_path / "book.toml").write_bytes(b"schema = " + piece * 20)
    (tmp_path / "a").mkdir()
    find_book(None, {}, tmp_path / "a")


ENVIRONMENTS = [
    {"COLUMNS": "0"}, {"COLUMNS": "-5"}, {"COLUMNS": "9" * 40}, {"COLUMNS": "x"}, {"COLUMNS": "\x1b[2J"},
    {"NO_COLOR": "\x1b"}, {"TERM": ""}, {"TERM": "dumb"}, {"TERM": "../../x"}, {"LANG": "xx_YY.nonsense"},
    {"EDITOR": "'"}, {"LC_ALL": "\udcff"}, {"LINES": "x"}, {"SWARFBOOK_FAST": "x"},
]  # fmt: skip


@pytest.mark.parametrize("odd", ENVIRONMENTS, ids=str)
@pytest.mark.parametrize("words", [("list",), ("show", RECIPE), ("table",)], ids=str)
def test_odd_values_in_the_environment_change_no_exit(odd, words, root, run_cli, monkeypatch):
    for name, value in odd.items():
        monkeypatch.setenv(name, value)
    done = run_cli(*words, *([] if words == ("table",) else ["--book", root]))
    assert done.returncode in (0, 1)
    assert "\x1b" not in done.stdout


# Found by the above


@pytest.mark.parametrize(
    "given", [{"form": "plate", "length": "x"}, {"form": "plate", "width": "1 mm", "thickness": []}]
)
def test_a_job_whose_stock_has_a_form_and_does_not_read_is_told_of(given):
    raw = job_values(stock=given)
    assert not refused_or_read(lambda _: parse("job", raw, where="x"), b"")


def test_sums_whose_names_have_more_than_64_bits_are_refused():
    raw = json.loads(SUMS) | {"replaced": {"-1": "f" * 30}}
    assert not refused_or_read(_sums, json.dumps(raw).encode())


@pytest.mark.parametrize(
    "raw", [1, "x", None, [], PLAN | {"at": "x"}, PLAN | {"sha": 1}, PLAN | {"followers": [1]}]
)
def test_a_note_of_a_rename_of_another_kind_is_refused(root, raw):
    (root / ".swarfbook/renaming.json").write_text(json.dumps(raw))
    assert not refused_or_read(lambda _: Book.open(root), b"")


def test_the_settings_above_are_read_within_bounds(tmp_path):
    (tmp_path / "book.toml").write_bytes(b"a = " + b"[" * 100_000)
    root, note = find_book(None, {}, tmp_path)
    assert (root, bool(note)) == (DEMO, True)
