"""Fits of several logs put together: bit for bit the fit of all their lines, however they are split."""

from __future__ import annotations

import json

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from support.long_logs import demo_lines, long_book
from swarfbook import resources
from swarfbook.book import Book
from swarfbook.decisions.evidence import evidence
from swarfbook.decisions.fit import fit, fit_json, fit_with
from swarfbook.decisions.merging import (
    Added,
    Block,
    Share,
    combined,
    read_added,
    read_share,
    share_of,
    share_text,
)
from swarfbook.decisions.sums import Observation, Sums
from swarfbook.errors import SwarfbookError

DEMO = Book.open(resources.demo_book_dir())
LINES = demo_lines()
WHOLE = share_of(evidence(DEMO))
TEXT = share_text(WHOLE)
RATIOS = st.lists(
    st.tuples(st.sampled_from("ab"), st.floats(-3, 3), st.floats(1e-3, 1.0)), min_size=1, max_size=30
)


def added(path, lines):
    path.write_text("".join(json.dumps(line) + "\n" for line in lines), encoding="utf-8")
    return read_added(path, where=path.name)


def of_lines(path, lines):
    """Give the share of some lines alone, saved and read back."""
    empty = Book.open(path.parent / "empty")
    _, share = fit_with(empty, [added(path, lines)]) if lines else (None, Share())
    return read_share(share_text(share).encode(), where=path.name)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("logs")
    long_book(folder / "empty", 0)
    return folder


@given(RATIOS, st.data())
def test_sums_are_the_same_bit_for_bit_however_they_are_split_and_in_any_order(told, data):
    seen = [Observation(part, "t", "x", ratio, weight) for part, ratio, weight in told]
    whole = json.dumps(Sums.of(seen).to_json())
    places = data.draw(st.lists(st.integers(0, 3), min_size=len(seen), max_size=len(seen)))
    logs = [[one for one, place in zip(seen, places, strict=True) if place == log] for log in range(4)]
    back = [Sums.from_json(json.loads(json.dumps(Sums.of(log).to_json())), where="") for log in logs]
    total = Sums()
    for sums in data.draw(st.permutations(back)):
        total = total + sums
    assert json.dumps(total.to_json()) == whole


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_saved_logs_merge_to_the_file_of_the_whole_log(folder, data):
    places = data.draw(st.lists(st.integers(0, 2), min_size=len(LINES), max_size=len(LINES)))
    logs = [[line for line, place in zip(LINES, places, strict=True) if place == log] for log in range(3)]
    shares = [(str(log), of_lines(folder / f"{log}.jsonl", lines)) for log, lines in enumerate(logs)]
    assert share_text(combined(data.draw(st.permutations(shares)))) == TEXT
    found, share = fit_with(Book.open(folder / "empty"), [Added(*one) for one in shares])
    assert share_text(share) == TEXT
    assert parts(found) == parts(fit(DEMO))


def parts(found):
    told = fit_json(found)
    return told["parts"], told["spread"]


@settings(max_examples=25, deadline=None)
@given(st.data())
def test_corrections_hold_across_logs_that_are_merged(folder, tmp_path_factory, data):
    known = [line["id"] for line in LINES]
    more = [
        data.draw(st.sampled_from(LINES))
        | {"id": f"more-{number}", "replaces": data.draw(st.sampled_from(known))}
        | {"withdrawn": data.draw(st.booleans())}
        for number in range(data.draw(st.integers(1, 6)))
    ]
    lines = [*LINES, *data.draw(st.lists(st.sampled_from(LINES), max_size=4)), *more]
    cuts = sorted(data.draw(st.lists(st.integers(0, len(lines)), min_size=2, max_size=2)))
    book = long_book(tmp_path_factory.mktemp("book") / "b", 0)
    (book / "runs/2026-10.jsonl").write_text("".join(json.dumps(line) + "\n" for line in lines[: cuts[0]]))
    others = [added(folder / "x.jsonl", lines[cuts[0] : cuts[1]])] if cuts[1] > cuts[0] else []
    others += [added(folder / "y.jsonl", lines[cuts[1] :])] if len(lines) > cuts[1] else []
    merged, _ = fit_with(Book.open(book), others)
    (book / "runs/2026-10.jsonl").write_text("".join(json.dumps(line) + "\n" for line in lines))
    assert parts(merged) == parts(fit(Book.open(book)))


def test_a_file_of_the_book_itself_or_of_an_earlier_day_adds_nothing(folder):
    saved = read_share(TEXT.encode(), where="a.json")
    earlier = of_lines(folder / "e.jsonl", LINES[:20])
    for others in ([saved], [saved, saved], [earlier], [earlier, saved, earlier]):
        found, share = fit_with(DEMO, [Added("a.json", share=one) for one in others])
        assert share_text(share) == TEXT
        assert fit_json(found) == fit_json(fit(DEMO))


def test_a_later_copy_of_the_books_log_adds_what_it_has_more(folder, tmp_path):
    book = long_book(tmp_path / "b", 0)
    (book / "runs/2026-10.jsonl").write_text("".join(json.dumps(line) + "\n" for line in LINES[:20]))
    _, share = fit_with(Book.open(book), [Added("a.json", share=WHOLE)])
    assert share_text(share) == TEXT
    del folder


@pytest.mark.parametrize(
    ("first", "second", "said"),
    [
        (
            LINES[:20],
            LINES[10:30],
            "it has some of the runs of 2026-1[01] that count already; merge the logs",
        ),
        (
            LINES,
            [LINES[0] | {"id": "z", "replaces": LINES[0]["id"]}],
            "a run of 2026-10 is corrected in another log; merge the logs",
        ),
        (
            [LINES[0] | {"id": "z", "replaces": "q"}],
            [LINES[1] | {"id": "y", "replaces": "q"}],
            "a run was corrected otherwise in another log; merge the logs",
        ),
        (
            LINES[:1],
            [LINES[0] | {"model": LINES[0]["model"] | {"measured": 99.0}}],
            "the same runs of 2026-10 as in .* have other sums; merge the logs",
        ),
    ],
)
def test_what_sums_cannot_tell_apart_is_refused_in_either_order(folder, first, second, said):
    shares = [
        ("a.json", of_lines(folder / "a.jsonl", first)),
        ("b.json", of_lines(folder / "b.jsonl", second)),
    ]
    for order in (shares, shares[::-1]):
        with pytest.raises(SwarfbookError, match=said) as error:
            combined(order)
        assert len(str(error.value).splitlines()) == 1


GOOD = json.loads(TEXT)
MONTH = GOOD["months"][0]


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"months": 7}, "a.json: months: write a list of months"),
        ({"months": [7]}, "a.json: months.1: write an object with a month of its own"),
        ({"months": [MONTH, MONTH]}, "a.json: months.2: write an object with a month of its own"),
        ({"months": [MONTH | {"names": "?"}]}, "months.1.names: not the names of as many runs"),
        ({"months": [MONTH | {"names": MONTH["names"][:-12]}]}, "months.1.names: not the names of as many"),
        ({"months": [MONTH | {"cells": [{}]}]}, "a.json: months.1: cells.1.material: write an id"),
        ({"months": GOOD["months"][:1]}, "a.json: cells: not the sums of its months; save the sums anew"),
        ({"replaced": []}, "a.json: replaced: write an object of names"),
        ({"replaced": {"x": "y"}}, "a.json: replaced: write an object of names"),
        ({"schema": "sums/2"}, 'a.json: schema: write "sums/1"'),
        ({"cells": [GOOD["cells"][0] | {"rest": {"weight": []}}]}, "cells.1.rest: .*write lists of numbers"),
        (
            {"cells": [GOOD["cells"][0] | {"rest": {"weight": [1e300], "total": [], "square": []}}]},
            "cells.1.rest: .*write lists of numbers",
        ),
    ],
)  # fmt: skip
def test_a_bad_file_of_sums_is_one_clear_line(changes, said):
    with pytest.raises(SwarfbookError, match=said) as error:
        read_share(json.dumps(GOOD | changes).encode(), where="a.json")
    assert len(str(error.value).splitlines()) == 1


def test_a_file_names_its_runs_by_hashes_in_order():
    share = read_share(TEXT.encode(), where="a.json")
    assert share_text(share) == TEXT
    keys = np.concatenate([block.keys for block in share.months.values()])
    assert len(set(keys.tolist())) == len(fit(DEMO).runs)
    assert not any(line["id"] in TEXT for line in LINES)


def test_merged_files_merge_again_and_what_is_saved_is_all_of_it():
    other = Sums.of([Observation("6082-t6", "em-6mm-1f", "long-bed-router", 0.1)])
    block = Share({"2025-01": Block(other, np.array([5], dtype=np.uint64))})
    _, once = fit_with(DEMO, [Added("b.json", share=block)])
    back = read_share(share_text(once).encode(), where="c.json")
    _, twice = fit_with(DEMO, [Added("c.json", share=back), Added("b.json", share=block)])
    assert share_text(twice) == share_text(once)
    assert twice.sums == WHOLE.sums + other
