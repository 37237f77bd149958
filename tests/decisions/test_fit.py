"""The fit of a book: parts and bands, runs against them, and what other logs add."""

from __future__ import annotations

import json
import math

import pytest

from swarfbook import resources
from swarfbook.book import Book
from swarfbook.decisions.evidence import evidence
from swarfbook.decisions.fit import fit, fit_json, fit_with
from swarfbook.decisions.learning import posterior
from swarfbook.decisions.merging import Added, Share, read_added, read_share, share_text
from swarfbook.decisions.sums import Observation, Sums
from swarfbook.errors import SwarfbookError
from swarfbook.reports.fit_page import fit_lines, fit_picture

DEMO = Book.open(resources.demo_book_dir())
FOUND = fit(DEMO)


def test_every_part_with_a_reading_has_a_factor_and_a_band():
    told = fit_json(FOUND)
    parts = {part["part"]: part for part in told["parts"]}
    assert {"material:6082-t6", "tool:em-6mm-1f", "machine:long-bed-router"} <= parts.keys()
    assert all(part["low"] < part["factor"] < part["high"] for part in parts.values())
    assert sum(part["runs"] for name, part in parts.items() if name.startswith("material:")) == len(
        FOUND.runs
    )


def test_readings_stand_beside_predictions_in_the_order_of_the_log():
    order = [run.id for run in DEMO.runs()]
    places = [order.index(one.run) for one in FOUND.runs]
    assert places == sorted(places)
    told = fit_json(FOUND)["runs"][0]
    assert told["ratio"] == pytest.approx(told["measured"] / told["predicted"])
    assert told["low"] < told["fitted"] < told["high"]


def test_most_readings_lie_in_their_band():
    assert 0.8 <= fit_json(FOUND)["inside_band"] <= 1.0


def test_fits_of_two_logs_combine_to_the_fit_of_both():
    read = [(three, one) for three, _, one in evidence(DEMO).metered()]
    observed = [
        Observation(material, tool, machine, one.log_ratio, one.weight)
        for (machine, tool, material), one in read
    ]
    half = Sums.of(observed[::2]) + Sums.of(observed[1::2])
    together = posterior(half, evidence(DEMO).learning().priors)
    assert together.mean == pytest.approx(FOUND.posterior.mean, abs=1e-12)
    assert together.covariance == pytest.approx(FOUND.posterior.covariance, abs=1e-12)


def test_sums_without_names_merge_as_twice_the_runs():
    saved = read_share(share_text(Share(loose=FOUND.sums)).encode(), where="sums.json")
    assert saved.sums == FOUND.sums
    twice, _ = fit_with(DEMO, [Added("sums.json", share=saved)])
    assert twice.posterior.runs("material:6082-t6") == 2 * FOUND.posterior.runs("material:6082-t6")
    assert twice.posterior.of("material:6082-t6")[1] < FOUND.posterior.of("material:6082-t6")[1]


def demo_log(path):
    path.write_bytes(b"".join(one.read_bytes() for one in sorted((DEMO.root / "runs").glob("*.jsonl"))))
    return path


def test_a_log_merges_and_runs_that_are_known_count_once(tmp_path):
    log = read_added(demo_log(tmp_path / "log.jsonl"), where="log")
    again, _ = fit_with(DEMO, [log, log])
    assert fit_json(again) == fit_json(FOUND)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "neither sums nor a log of runs; give a file of fit --save"),
        (b"# a page", "neither sums nor a log of runs"),
        (b"\xff\xfe", "not UTF-8"),
        (b'{"schema": "sums/1"}', "sums.json: cells"),
        (b'{"schema": "sums/1", "cells": [{"material": "a"}]}', "sums.json: "),
        (b'{"schema": "sums/1", "cells": []', "sums.json: broken JSON"),
    ],
)
def test_what_is_no_log_is_refused(tmp_path, data, said):
    (tmp_path / "sums.json").write_bytes(data)
    with pytest.raises(SwarfbookError, match=said):
        read_added(tmp_path / "sums.json", where="sums.json")


def test_a_part_that_this_book_has_not_is_refused():
    strange = Sums.of([Observation("moon-rock", "em-6mm-1f", "long-bed-router", 0.1)])
    with pytest.raises(SwarfbookError, match="moon-rock"):
        fit(DEMO, strange)


def test_a_damaged_line_teaches_nothing(tmp_path):
    whole = next(
        line for path in (DEMO.root / "runs").glob("*.jsonl") for line in path.read_text().splitlines()
        if '"measured"' in line
    )  # fmt: skip
    good = json.loads(whole)
    for name, value in (("measured", 1e308), ("predicted", 10**400), ("weight", -1), ("measured", "x")):
        bad = json.dumps(good | {"model": good["model"] | {name: value}})
        (tmp_path / "log.jsonl").write_text(bad.replace(good["id"], "another"))
        _, share = fit_with(DEMO, [read_added(tmp_path / "log.jsonl", where="log")])
        assert share.sums == FOUND.sums


@pytest.mark.parametrize("width", [60, 80, 120])
def test_the_page_fits_the_width_and_is_ascii_when_plain(width):
    assert max(map(len, fit_lines(FOUND, width=width))) <= width
    assert "\n".join(fit_lines(FOUND, width=width, plain=True)).isascii()


def test_a_book_without_readings_says_what_to_do(make_book):
    text = "\n".join(fit_lines(fit(Book.open(make_book())), width=80))
    assert "--power" in text


def test_the_picture_is_a_png(tmp_path):
    fit_picture(FOUND, tmp_path / "fit.png")
    assert (tmp_path / "fit.png").read_bytes().startswith(b"\x89PNG")
    with pytest.raises(SwarfbookError, match="--png"):
        fit_picture(FOUND, tmp_path / "no/fit.png")


def test_a_spread_of_nothing_is_none_and_not_a_number():
    assert FOUND.posterior.spread is None or math.isfinite(FOUND.posterior.spread)
