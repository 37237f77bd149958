"""Learning from measured power: dense algebra, exact fractions, a general library, workshops made up."""

from __future__ import annotations

import json
import math
import sys
import tracemalloc
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sklearn.gaussian_process import GaussianProcessRegressor
from sklearn.gaussian_process.kernels import DotProduct

from swarfbook.decisions.learning import Posterior, Priors, outlier_weight, posterior
from swarfbook.decisions.sums import Cell, Observation, Sums
from swarfbook.errors import SwarfbookError

Z95 = 1.6448536269514722
MATERIALS, TOOLS, MACHINES = ("m0", "m1", "m2"), ("t0", "t1", "t2", "t3"), ("x0", "x1")
PRIORS = Priors(
    {
        **{f"material:{name}": 0.25 for name in MATERIALS},
        **{f"tool:{name}": 0.1 for name in TOOLS},
        **{f"machine:{name}": 0.15 for name in MACHINES},
    },
    noise_sd=0.1,
)
THREES = st.tuples(st.sampled_from(MATERIALS), st.sampled_from(TOOLS), st.sampled_from(MACHINES))
RATIOS = st.floats(-3, 3)
WEIGHTS = st.floats(0.01, 1)
RUNS = st.builds(lambda three, ratio, weight: Observation(*three, ratio, weight), THREES, RATIOS, WEIGHTS)
LOGS = st.lists(RUNS, max_size=30)


def parts_of(run: Observation) -> tuple[str, str, str]:
    return f"material:{run.material}", f"tool:{run.tool}", f"machine:{run.machine}"


def learn(runs: list[Observation], priors: Priors = PRIORS) -> Posterior:
    return posterior(Sums.of(runs), priors)


def named(runs: list[Observation]) -> list[str]:
    return sorted({part for run in runs for part in parts_of(run)})


def design(runs: list[Observation]) -> np.ndarray:
    """One row a run, one column a part."""
    return np.array([[float(part in parts_of(run)) for part in named(runs)] for run in runs])


def some_runs(rng: np.random.Generator, count: int) -> list[Observation]:
    return [
        Observation(
            str(rng.choice(MATERIALS)),
            str(rng.choice(TOOLS)),
            str(rng.choice(MACHINES)),
            float(rng.normal(0.2, 0.3)),
            float(rng.uniform(0.05, 1)),
        )
        for _ in range(count)
    ]


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    if "seed" in metafunc.fixturenames:
        metafunc.parametrize("seed", range(200 if metafunc.config.getoption("--long") else 12))


# -- the same posterior in other ways --


def test_posterior_is_that_of_dense_algebra_on_the_single_runs(seed: int) -> None:
    rng = np.random.default_rng(seed)
    runs = some_runs(rng, int(rng.integers(1, 60)))
    rows, names = design(runs), named(runs)
    ratios = np.array([run.log_ratio for run in runs])
    variances = PRIORS.noise_sd**2 / np.array([run.weight for run in runs])
    prior = np.diag([PRIORS.sd(name) ** 2 for name in names])
    # In the space of the runs: conditioning of a normal, no precision anywhere.
    gain = prior @ rows.T @ np.linalg.inv(rows @ prior @ rows.T + np.diag(variances))
    found = learn(runs)
    assert found.parts == tuple(names)
    np.testing.assert_allclose(found.mean, gain @ ratios, rtol=1e-9, atol=1e-12)
    np.testing.assert_allclose(found.covariance, prior - gain @ rows @ prior, rtol=1e-9, atol=1e-12)


def test_predictions_are_those_of_a_general_library(seed: int) -> None:
    """Linear regression as a Gaussian process; `alpha` is the variance of each run, there is no jitter."""
    rng = np.random.default_rng(seed)
    runs = some_runs(rng, int(rng.integers(5, 60)))
    scale = np.array([PRIORS.sd(name) for name in named(runs)])
    library = GaussianProcessRegressor(
        kernel=DotProduct(sigma_0=0, sigma_0_bounds="fixed"),
        alpha=np.array([PRIORS.noise_sd**2 / run.weight for run in runs]),
        optimizer=None,
    ).fit(design(runs) * scale, [run.log_ratio for run in runs])
    means, sds = library.predict(design(runs) * scale, return_std=True)
    found = learn(runs)
    given = np.array([found.of(*parts_of(run)) for run in runs])
    np.testing.assert_allclose(given[:, 0], means, rtol=1e-9, atol=1e-12)
    np.testing.assert_allclose(given[:, 1], sds, rtol=1e-9)


def exactly(runs: list[Observation], priors: Priors) -> tuple[list[Fraction], list[list[Fraction]]]:
    """Mean and covariance in fractions, by elimination: nothing is ever rounded."""
    names = named(runs)
    size = len(names)
    table = [
        [Fraction(0)] * size + [Fraction(row == column) for column in range(size)] for row in range(size)
    ]
    pull = [Fraction(0)] * size
    for index, name in enumerate(names):
        table[index][index] = 1 / Fraction(priors.sd(name)) ** 2
    for run in runs:
        weight = Fraction(run.weight) / Fraction(priors.noise_sd) ** 2
        for one in map(names.index, parts_of(run)):
            pull[one] += weight * Fraction(run.log_ratio)
            for other in map(names.index, parts_of(run)):
                table[one][other] += weight
    for row in range(size):
        table[row] = [value / table[row][row] for value in table[row]]
        for other in range(size):
            if other != row:
                lead = table[other][row]
                table[other] = [a - lead * b for a, b in zip(table[other], table[row], strict=True)]
    covariance = [line[size:] for line in table]
    return [sum(a * b for a, b in zip(line, pull, strict=True)) for line in covariance], covariance


@pytest.mark.parametrize("tight", [1e-6, 0.3])
@pytest.mark.parametrize(("weight", "apart"), [(1, 1e-13), (1e3, 1e-11), (1e6, 1e-8), (1e9, 1e-5)])
def test_digits_are_kept_where_priors_are_tight_and_weights_huge(
    tight: float, weight: float, apart: float
) -> None:
    runs = [replace(run, weight=weight) for run in some_runs(np.random.default_rng(5), 15)]
    priors = Priors({**PRIORS.part_sd, "machine:x0": tight, "machine:x1": tight}, 0.1)
    names, (means, covariance) = named(runs), exactly(runs, priors)
    found = learn(runs, priors)
    # Parts that always ran together are hard to tell apart; of their sum nothing is lost.
    np.testing.assert_allclose(found.mean, np.array(means, dtype=float), atol=apart, rtol=0)
    np.testing.assert_allclose(found.covariance, np.array(covariance, dtype=float), atol=apart, rtol=0)
    for run in runs:
        picked = [names.index(part) for part in parts_of(run)]
        variance = sum(covariance[one][other] for one in picked for other in picked)
        mean, sd = found.of(*parts_of(run))
        assert mean == pytest.approx(float(sum(means[one] for one in picked)), rel=1e-13, abs=1e-14)
        assert sd == pytest.approx(math.sqrt(variance), rel=1e-13)


def test_hundreds_of_parts() -> None:
    rng = np.random.default_rng(3)
    runs = [
        Observation(f"m{rng.integers(60)}", f"t{rng.integers(240)}", f"x{rng.integers(6)}", rng.normal() / 5)
        for _ in range(2000)
    ]
    names = named(runs)
    assert len(names) > 300
    priors = Priors(dict.fromkeys(names, 0.2), 0.1)
    found, rows = learn(runs, priors), design(runs)
    precision = rows.T @ rows / 0.1**2 + np.eye(len(names)) / 0.2**2
    pull = rows.T @ [run.log_ratio for run in runs] / 0.1**2
    np.testing.assert_allclose(found.mean, np.linalg.solve(precision, pull), rtol=1e-9, atol=1e-12)
    np.testing.assert_allclose(found.covariance @ precision, np.eye(len(names)), atol=1e-9)


# -- what is asked of a posterior --


def test_no_runs_give_the_prior() -> None:
    found = learn([])
    assert found.parts == ()
    assert found.mean.shape == (0,)
    assert found.covariance.shape == (0, 0)
    assert found.spread is None
    assert found.of("material:m0") == (0.0, 0.25)
    assert found.of("material:m0", "tool:t0", "machine:x0") == (0.0, math.hypot(0.25, 0.1, 0.15))
    assert found.of() == (0.0, 0.0)
    assert found.factor("tool:t0") == (1.0, math.exp(-Z95 * 0.1), math.exp(Z95 * 0.1))
    assert found.predictive_sd("material:m0") == math.hypot(0.25, 0.1)
    assert found.runs("material:m0") == 0


def test_one_run_by_hand() -> None:
    """One run moves each part by its share of the variance."""
    found = learn([Observation("m0", "t0", "x0", 0.4, weight=0.5)])
    total = 0.25**2 + 0.1**2 + 0.15**2 + 0.1**2 / 0.5
    for part in found.parts:
        prior = PRIORS.sd(part) ** 2
        mean, sd = found.of(part)
        assert mean == pytest.approx(0.4 * prior / total, rel=1e-14)
        assert sd == pytest.approx(math.sqrt(prior - prior**2 / total), rel=1e-14)
    mean, sd = found.of("material:m0")
    wanted = (math.exp(mean), math.exp(mean - Z95 * sd), math.exp(mean + Z95 * sd))
    assert found.factor("material:m0") == pytest.approx(wanted, rel=1e-14)
    assert found.predictive_sd("material:m0") == pytest.approx(math.hypot(sd, 0.1), rel=1e-14)


def test_a_part_without_runs_keeps_its_prior_beside_those_that_have_some() -> None:
    found = learn([Observation("m0", "t0", "x0", 0.4)])
    mean, sd = found.of("material:m0", "machine:x0")
    assert found.of("material:m0", "tool:t1", "machine:x0") == (mean, pytest.approx(math.hypot(sd, 0.1)))


def test_a_part_that_nobody_has_a_prior_of_is_an_error() -> None:
    with pytest.raises(KeyError, match="tool:unheard-of"):
        learn([]).of("tool:unheard-of")
    with pytest.raises(KeyError, match="tool:unheard-of"):
        learn([Observation("m0", "unheard-of", "x0", 0.1)])


def test_a_part_that_is_known_learns_nothing_and_leaves_all_to_the_others() -> None:
    runs = some_runs(np.random.default_rng(4), 20)
    certain = learn(runs, Priors({**PRIORS.part_sd, "machine:x0": 0.0, "machine:x1": 0.0}, 0.1))
    near = learn(runs, Priors({**PRIORS.part_sd, "machine:x0": 1e-9, "machine:x1": 1e-9}, 0.1))
    assert certain.of("machine:x0") == (0.0, 0.0)
    np.testing.assert_allclose(certain.mean, near.mean, atol=1e-12)
    np.testing.assert_allclose(certain.covariance, near.covariance, atol=1e-12)


def test_runs_are_counted_by_part_whatever_their_weight() -> None:
    one = Observation("m0", "t0", "x0", 0.1, 0.2)
    found = learn([one, replace(one, log_ratio=0.3), replace(one, tool="t1", weight=1.0)])
    assert [found.runs(part) for part in ("material:m0", "tool:t0", "tool:t1", "machine:x0")] == [3, 2, 1, 3]
    assert found.runs("tool:t2") == 0


@pytest.mark.parametrize(("ratio", "weight"), [(math.nan, 1), (math.inf, 1), (0, 0), (0, -1), (0, math.nan)])
def test_an_observation_that_would_spoil_every_sum_is_an_error(ratio: float, weight: float) -> None:
    with pytest.raises(ValueError, match="not finite or weight"):
        Observation("m0", "t0", "x0", ratio, weight)


# -- the spread of the runs --


def test_spread_is_that_of_the_runs_about_the_mean() -> None:
    """Squares over what the parts leave of the runs, worked out on the single runs."""
    runs = some_runs(np.random.default_rng(7), 40)
    found, rows = learn(runs), design(runs)
    weights, ratios = np.array([[run.weight, run.log_ratio] for run in runs]).T
    hat = rows @ found.covariance @ rows.T * weights / PRIORS.noise_sd**2
    residuals = ratios - rows @ found.mean
    wanted = math.sqrt(weights @ residuals**2 / (len(runs) - np.trace(hat)))
    assert found.spread == pytest.approx(wanted, rel=1e-12)


def test_spread_is_unknown_until_there_is_a_degree_of_freedom() -> None:
    one, other = Observation("m0", "t0", "x0", 0.1), Observation("m1", "t1", "x1", 0.3)
    again = replace(one, log_ratio=0.3)
    assert learn([one]).spread is None
    assert learn([one, other]).spread is None  # two runs with no part in common: priors took up nearly all
    assert learn([one, again]).spread is not None
    # Parts of variance 0.095 take 0.95 of what the mean of two runs says, and 0.95 of a degree of freedom.
    assert learn([one, one]).spread == pytest.approx(math.sqrt(2 * 0.005**2 / 1.05), rel=1e-9)


@given(RATIOS, st.integers(2, 20))
def test_runs_that_agree_spread_by_rounding_alone(ratio: float, count: int) -> None:
    anything = Priors(dict.fromkeys(PRIORS.part_sd, 1e4), 0.1)
    assert learn([Observation("m0", "t0", "x0", ratio)] * count, anything).spread == pytest.approx(
        0, abs=1e-6
    )


# -- sums --


@given(LOGS.flatmap(lambda log: st.tuples(st.just(log), st.permutations(log))))
def test_the_order_of_runs_changes_no_bit(logs: tuple[list[Observation], list[Observation]]) -> None:
    one, other = (Sums.of(log) for log in logs)
    assert one == other
    assert json.dumps(one.to_json()) == json.dumps(other.to_json())
    assert_same_bits(posterior(one, PRIORS), posterior(other, PRIORS))


def assert_same_bits(one: Posterior, other: Posterior) -> None:
    assert one.parts == other.parts
    assert one.mean.tobytes() == other.mean.tobytes()
    assert one.covariance.tobytes() == other.covariance.tobytes()
    assert one.spread == other.spread
    assert one.counts == other.counts


@given(LOGS)
def test_sums_are_rounded_once(log: list[Observation]) -> None:
    for key, cell in Sums.of(iter(log)).cells.items():
        runs = [run for run in log if (run.material, run.tool, run.machine) == key]
        assert cell == Cell(
            math.fsum(run.weight for run in runs),
            math.fsum(run.weight * run.log_ratio for run in runs),
            math.fsum(run.weight * run.log_ratio * run.log_ratio for run in runs),
            len(runs),
        )


def test_sums_lose_nothing_where_large_ones_cancel() -> None:
    ratios = [1e16, 1.0, -1e16, 1e-9, 3.0, -1e16, 1e16] * 3
    cell = Sums.of(Observation("m0", "t0", "x0", ratio) for ratio in ratios).cells["m0", "t0", "x0"]
    assert cell.total == math.fsum(ratios) == 12.000000003


@given(LOGS, LOGS)
def test_sums_of_two_logs_are_the_sums_of_both(one: list[Observation], other: list[Observation]) -> None:
    added, both = Sums.of(one) + Sums.of(other), Sums.of(one + other)
    assert added == Sums.of(other) + Sums.of(one)
    assert added.cells.keys() == both.cells.keys()
    for key, cell in added.cells.items():
        whole = both.cells[key]
        assert cell.runs == whole.runs
        assert cell.weight == pytest.approx(whole.weight, rel=1e-12)
        assert cell.total == pytest.approx(whole.total, rel=1e-12, abs=1e-12)
        assert cell.square == pytest.approx(whole.square, rel=1e-12)
    found, wanted = posterior(added, PRIORS), posterior(both, PRIORS)
    assert found.parts == wanted.parts
    np.testing.assert_allclose(found.mean, wanted.mean, atol=1e-12, rtol=0)
    np.testing.assert_allclose(found.covariance, wanted.covariance, atol=1e-12, rtol=0)


@given(LOGS)
def test_adding_nothing_changes_nothing(log: list[Observation]) -> None:
    assert Sums.of(log) + Sums() == Sums() + Sums.of(log) == Sums.of(log)


def counted_lines(log: Iterator[Observation]) -> int:
    count = 0

    def trace(_frame, event, _arg):
        nonlocal count
        count += event == "line"
        return trace

    before = sys.gettrace()
    sys.settrace(trace)
    try:
        Sums.of(log)
    finally:
        sys.settrace(before)
    return count


def peak_bytes(log: Iterator[Observation]) -> int:
    tracemalloc.start()
    try:
        Sums.of(log)
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


def endless(count: int) -> Iterator[Observation]:
    rng = np.random.default_rng(1)
    cells = [(m, t, x) for m in MATERIALS for t in TOOLS for x in MACHINES]
    return (Observation(*cells[number % len(cells)], float(rng.normal())) for number in range(count))


def test_work_grows_with_the_runs_and_memory_with_the_cells() -> None:
    lines = [counted_lines(endless(count)) for count in (1000, 2000, 4000)]
    assert lines[2] - lines[1] == pytest.approx(2 * (lines[1] - lines[0]), rel=0.1)
    peak_bytes(endless(100))  # what is set up once is not counted
    assert peak_bytes(endless(20_000)) < 1.5 * peak_bytes(endless(1000))


@given(LOGS)
def test_sums_come_back_from_json_as_they_went(log: list[Observation]) -> None:
    sums = Sums.of(log)
    text = json.dumps(sums.to_json())
    back = Sums.from_json(json.loads(text), where="sums.json")
    assert back == sums
    assert json.dumps(back.to_json()) == text
    shuffled = Sums.from_json(json.loads(text)[::-1], where="sums.json")
    assert_same_bits(posterior(shuffled, PRIORS), posterior(sums, PRIORS))


GOOD = {
    "material": "m0",
    "tool": "t0",
    "machine": "x0",
    "weight": 1.5,
    "total": -0.2,
    "square": 0.1,
    "runs": 2,
}


def test_json_of_a_cell_by_hand() -> None:
    sums = Sums({("m0", "t0", "x0"): Cell(1.5, -0.2, 0.1, 2)})
    assert sums.to_json() == [GOOD]
    assert Sums.from_json([GOOD], where="sums.json") == sums
    assert Sums.from_json([GOOD, GOOD], where="sums.json") == sums + sums
    assert Sums.from_json([], where="sums.json") == Sums()


BAD = {
    "no list": ({"cells": []}, "cells: found {'cells': []}; write a list of cells"),
    "no object": ([GOOD, 7], "cells.2: found 7; write an object"),
    "no id": ([GOOD, {**GOOD, "tool": ""}], "cells.2.tool: write an id"),
    "id a number": ([{**GOOD, "material": 6082}], "cells.1.material: found 6082; write an id"),
    "key missing": ([{**GOOD} | {"machine": None}], "cells.1.machine: found None; write an id"),
    "weight missing": (
        [{key: value for key, value in GOOD.items() if key != "weight"}],
        "cells.1.weight: write a number above 0, up to 1e+09",
    ),
    "weight in words": (
        [{**GOOD, "weight": "two"}],
        "cells.1.weight: found two; write a number above 0, up to 1e+09",
    ),
    "weight 0": ([{**GOOD, "weight": 0}], "cells.1.weight: found 0; write a number above 0, up to 1e+09"),
    "weight beyond floats": (
        [{**GOOD, "weight": 10**400}],
        f"cells.1.weight: found 1{'0' * 58}…; write a number above 0, up to 1e+09",
    ),
    "weight true": (
        [{**GOOD, "weight": True}],
        "cells.1.weight: found True; write a number above 0, up to 1e+09",
    ),
    "total nan": (
        [{**GOOD, "total": math.nan}],
        "cells.1.total: found nan; write a number from -1e+09 to 1e+09",
    ),
    "total infinite": (
        [{**GOOD, "total": -math.inf}],
        "cells.1.total: found -inf; write a number from -1e+09 to 1e+09",
    ),
    "square negative": ([{**GOOD, "square": -1}], "cells.1.square: found -1; write a number from 0 to 1e+09"),
    "runs 0": ([{**GOOD, "runs": 0}], "cells.1.runs: found 0; write a whole number, 1 or more"),
    "runs halved": ([{**GOOD, "runs": 2.5}], "cells.1.runs: found 2.5; write a whole number, 1 or more"),
    "runs true": ([{**GOOD, "runs": True}], "cells.1.runs: found True; write a whole number, 1 or more"),
}


@pytest.mark.parametrize("case", BAD)
def test_json_that_will_not_do_gives_one_line_that_names_the_place(case: str) -> None:
    raw, line = BAD[case]
    with pytest.raises(SwarfbookError) as caught:
        Sums.from_json(raw, where="sums.json")
    assert str(caught.value) == f"sums.json: {line}"


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from([*GOOD, "x"]), inner),
    max_leaves=8,
)


@given(JSON | st.lists(st.fixed_dictionaries({key: JSON | st.just(value) for key, value in GOOD.items()})))
def test_any_json_is_read_or_refused_in_one_line(raw: object) -> None:
    try:
        sums = Sums.from_json(raw, where="sums.json")
    except SwarfbookError as refused:
        said = str(refused)
    else:
        said = "sums.json: cells"
        parts = {part: 0.2 for key in sums.cells for part in parts_of(Observation(*key, 0.0))}
        assert np.isfinite(posterior(sums, Priors(parts, 0.1)).mean).all()
    assert said.startswith("sums.json: cells")
    assert len(said.splitlines()) == 1


# -- outliers --


@given(st.floats(-20, 20), st.floats(0.01, 2), st.floats(0.5, 5))
def test_a_run_counts_in_full_inside_the_limit_and_by_its_distance_outside(
    ratio: float, prior_sd: float, limit: float
) -> None:
    found = outlier_weight(ratio, prior_sd=prior_sd, limit=limit)
    distance = abs(ratio / prior_sd)
    assert found == (1 if abs(ratio) / prior_sd <= limit else pytest.approx(limit / distance, rel=1e-14))
    assert outlier_weight(-ratio, prior_sd=prior_sd, limit=limit) == found
    assert outlier_weight(ratio * 1.1, prior_sd=prior_sd, limit=limit) <= found
    assert 0 < found <= 1


def test_weight_at_the_limit_by_hand() -> None:
    assert outlier_weight(0.5, prior_sd=0.25, limit=2) == 1
    assert outlier_weight(-2.0, prior_sd=0.25, limit=2) == 0.25


def test_one_wild_run_in_twenty_moves_less_than_it_would(seed: int) -> None:
    shop = Workshop.draw(np.random.default_rng(seed))
    runs = shop.runs(19)
    three = runs[0]
    wild = replace(three, log_ratio=2.0)
    prior_sd = math.hypot(*(shop.priors.sd(part) for part in parts_of(three)), shop.priors.noise_sd)
    tame = replace(wild, weight=outlier_weight(wild.log_ratio, prior_sd=prior_sd, limit=2.0))
    without, moved, less = (learn([*runs, *more], shop.priors) for more in ([], [wild], [tame]))
    before = without.of(*parts_of(three))[0]
    full, part = (abs(found.of(*parts_of(three))[0] - before) for found in (moved, less))
    assert 0 < part < 0.75 * full


# -- more runs --


@given(LOGS, RUNS, st.lists(st.sampled_from(sorted(PRIORS.part_sd)), min_size=1, max_size=9, unique=True))
def test_another_run_never_makes_a_sum_less_certain(
    log: list[Observation], run: Observation, parts: list[str]
) -> None:
    before, after = learn(log), learn([*log, run])
    assert after.of(*parts)[1] <= before.of(*parts)[1] * (1 + 1e-12)
    assert after.predictive_sd(*parts) >= PRIORS.noise_sd


@given(LOGS, RUNS)
def test_another_run_of_the_same_makes_it_more_certain(log: list[Observation], run: Observation) -> None:
    assert learn([*log, run]).of(*parts_of(run))[1] < learn(log).of(*parts_of(run))[1]


# -- workshops made up --


@dataclass(frozen=True)
class Workshop:
    """A workshop whose true parts, `true`, are drawn from its priors."""

    rng: np.random.Generator
    priors: Priors
    true: dict[str, float]
    materials: list[str]
    tools: list[str]
    machines: list[str]

    @classmethod
    def draw(cls, rng: np.random.Generator) -> Workshop:
        materials, tools, machines = (
            [f"{letter}{number}" for number in range(rng.integers(low, high + 1))]
            for letter, low, high in (("m", 3, 5), ("t", 4, 6), ("x", 2, 3))
        )
        sds = {
            **{f"material:{name}": float(rng.uniform(0.15, 0.35)) for name in materials},
            **{f"tool:{name}": float(rng.uniform(0.05, 0.15)) for name in tools},
            **{f"machine:{name}": float(rng.uniform(0.05, 0.2)) for name in machines},
        }
        priors = Priors(sds, noise_sd=0.1)
        true = {part: float(rng.normal(0, sd)) for part, sd in sds.items()}
        return cls(rng, priors, true, materials, tools, machines)

    def run(self, three: tuple[str, str, str]) -> Observation:
        blank = Observation(*three, 0.0)
        mean = sum(self.true[part] for part in parts_of(blank))
        return replace(blank, log_ratio=float(self.rng.normal(mean, self.priors.noise_sd)))

    def runs(self, count: int) -> list[Observation]:
        """Runs of any three but those of `held_back`."""
        return [self.run(self._three()) for _ in range(count)]

    def _three(self) -> tuple[str, str, str]:
        while True:
            three = tuple(
                str(self.rng.choice(names)) for names in (self.materials, self.tools, self.machines)
            )
            if three not in self.held_back():
                return three

    def held_back(self) -> list[tuple[str, str, str]]:
        """The first material never runs under the first two cutters."""
        return [(self.materials[0], tool, machine) for tool in self.tools[:2] for machine in self.machines]


@dataclass(frozen=True)
class Seen:
    """What became of the predictions of unseen runs after some runs: whether bands held, and their log sd."""

    held: list[bool]
    sds: list[float]

    def take(self, found: Posterior, unseen: list[Observation]) -> None:
        for run in unseen:
            sd = found.predictive_sd(*parts_of(run))
            self.held.append(abs(run.log_ratio - found.of(*parts_of(run))[0]) <= Z95 * sd)
            self.sds.append(sd)

    @property
    def share(self) -> float:
        return float(np.mean(self.held))

    @property
    def width(self) -> float:
        return float(np.mean(self.sds))


STAGES = (0, 5, 20, 80)


@pytest.fixture(scope="module")
def stages(pytestconfig: pytest.Config) -> dict[int, dict[str, Seen]]:
    """By the number of runs: predictions of runs like them, and of cutters new to a material."""
    totals = {count: {"like": Seen([], []), "neighbour": Seen([], [])} for count in STAGES}
    for seed in range(3000 if pytestconfig.getoption("--long") else 300):
        shop = Workshop.draw(np.random.default_rng([11, seed]))
        runs = shop.runs(STAGES[-1])
        unseen = {"like": shop.runs(20), "neighbour": [shop.run(three) for three in shop.held_back()]}
        for count, kinds in totals.items():
            found = learn(runs[:count], shop.priors)
            for kind, later in unseen.items():
                kinds[kind].take(found, later)
    return totals


@pytest.mark.parametrize("kind", ["like", "neighbour"])
@pytest.mark.parametrize("count", STAGES)
def test_bands_hold_what_they_say(stages: dict[int, dict[str, Seen]], count: int, kind: str) -> None:
    assert stages[count][kind].share == pytest.approx(0.9, abs=0.025)


def test_bands_narrow_towards_the_scatter(stages: dict[int, dict[str, Seen]]) -> None:
    widths = [stages[count]["like"].width for count in STAGES]
    assert widths == sorted(widths, reverse=True)
    assert widths[0] > 0.29
    assert widths[1] < 0.8 * widths[0]
    assert 0.1 < widths[3] < 0.11


def test_what_one_cutter_learns_informs_its_neighbours(stages: dict[int, dict[str, Seen]]) -> None:
    widths = [stages[count]["neighbour"].width for count in STAGES]
    assert widths == sorted(widths, reverse=True)
    assert widths[3] < 0.5 * widths[0]


def test_a_cutter_that_never_ran_takes_over_what_its_material_has_shown() -> None:
    found = learn([Observation("m0", "t0", "x0", 0.4)] * 20)
    mean, sd = found.of("material:m0", "tool:t1", "machine:x0")
    assert 0.3 < mean < found.of("material:m0", "tool:t0", "machine:x0")[0]
    assert sd < 0.6 * learn([]).of("material:m0", "tool:t1", "machine:x0")[1]
    assert sd > found.of("material:m0", "tool:t0", "machine:x0")[1]


def test_spread_is_right_on_average(pytestconfig: pytest.Config) -> None:
    squares = []
    for seed in range(20_000 if pytestconfig.getoption("--long") else 3000):
        shop = Workshop.draw(np.random.default_rng([13, seed]))
        squares.append(learn(shop.runs(20), shop.priors).spread ** 2)
    assert np.mean(squares) == pytest.approx(0.1**2, rel=0.025)
