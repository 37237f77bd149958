"""Many cuts in one call: the same numbers as cut by cut, few evaluations, and memory that does not grow."""

import os
import subprocess
import sys
import threading
import tracemalloc
from dataclasses import fields, replace
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from support.milling import Cut, Linear, random_cuts
from swarfbook.physics import fast, harmonic, parts, turn
from swarfbook.physics.engagement import immersion
from swarfbook.physics.helical import arc_cuts
from swarfbook.physics.laws import LinearEdge
from swarfbook.physics.turn import Loads, loads, loads_in_parts

ALUMINIUM = Linear()
HARD = Linear(1319.41, 788.83, 48.75, 19.65, 26.77, 2.05)
RUBBING = Linear(ktc=0.0, krc=0.0, kac=0.0)


class AngleByAngle(LinearEdge):
    """The linear law without its harmonics: every edge is asked for at every angle."""

    __slots__ = ()

    def harmonics(self, feed_per_tooth):  # noqa: ARG002
        return None


def table(got: Loads) -> np.ndarray:
    return np.stack([np.asarray(getattr(got, field.name)) for field in fields(got)])


def many(number: int, seed: int, **same) -> dict:
    """Cuts of one law that differ in everything else, as arguments of `loads`."""
    cuts = [replace(cut, forces=ALUMINIUM, **same) for cut in random_cuts(number, seed=seed)]
    inputs = [cut.inputs() for cut in cuts]
    return {"law": inputs[0]["law"]} | {
        name: np.array([each[name] for each in inputs]) for name in inputs[0] if name != "law"
    }


def sweep(number: int, seed: int = 4) -> dict:
    """One cutter at many depths, widths and feeds."""
    rng = np.random.default_rng(seed)
    return Cut(flutes=3, climb=False).inputs() | {
        "axial_depth": rng.uniform(1e-4, 13e-3, number),
        "radial_width": rng.uniform(1e-4, 6e-3, number),
        "feed_per_tooth": rng.uniform(0, 15e-5, number),
    }


def slowly(inputs: dict) -> Loads:
    return loads(**inputs | {"law": AngleByAngle(*inputs["law"].coefficients())})


@pytest.mark.parametrize("forces", [ALUMINIUM, HARD, RUBBING])
@pytest.mark.parametrize("flutes", [1, 2, 3, 4, 5, 8])
@pytest.mark.parametrize("samples", [2, 16, 21])
def test_summing_the_teeth_first_is_the_same_sum(forces, flutes, samples):
    inputs = many(150, seed=flutes, flutes=flutes) | {"law": forces.law(), "samples": samples}
    assert table(loads(**inputs)) == pytest.approx(table(slowly(inputs)), rel=1e-11)


@pytest.mark.parametrize("share", [0.0, 0.25, 0.5, 0.999999, 1.0, 1.000001, 2.0, 3.7])
def test_it_is_the_same_sum_where_events_fall_together(share):
    """Lags of whole and half pitches, arcs of whole pitches, slots, straight flutes."""
    pitch = np.pi / 2
    arc = np.array([0.3, pitch, 2 * pitch])
    depth = 12e-3
    inputs = Cut(forces=HARD, flutes=4, depth=12.0).inputs() | {
        "helix": np.arctan(share * pitch * 6e-3 / 2 / depth),
        "radial_width": 3e-3 * (1 - np.cos(arc)),
        "climb": np.array([[True], [False]]),
    }
    assert table(loads(**inputs)) == pytest.approx(table(slowly(inputs)), rel=1e-8)


def test_a_law_that_differs_from_cut_to_cut_is_each_cut_s_own():
    inputs = many(60, seed=2)
    apart = inputs["law"].scaled(np.linspace(0.5, 2, 60))
    whole = table(loads(**inputs))
    assert table(loads(**inputs | {"law": apart})) == pytest.approx(
        whole * np.linspace(0.5, 2, 60), rel=1e-12
    )


def test_more_teeth_and_more_angles_cost_no_further_sines(monkeypatch):
    """Both ends of the arc; of each stretch two ends and a step; where several teeth cut, the pitch."""
    asked = []
    plain = harmonic.unit
    monkeypatch.setattr(harmonic, "unit", lambda angle: asked.append(np.size(angle)) or plain(angle))
    counts = {}
    for flutes, samples in ((1, 16), (2, 16), (2, 64), (8, 16), (8, 64)):
        asked.clear()
        loads(**sweep(500) | {"flutes": flutes, "samples": samples})
        counts[flutes, samples] = sum(asked) / 500
    assert counts[1, 16] <= 14
    assert counts[2, 16] == counts[2, 64] <= 14
    assert counts[8, 16] == counts[8, 64] <= 14 + 4


def test_parabolas_are_laid_only_where_they_can_be_highest(monkeypatch):
    laid = []
    plain = harmonic._parabola_tops
    monkeypatch.setattr(
        harmonic, "_parabola_tops", lambda heights: laid.append(heights.shape[1]) or plain(heights)
    )
    loads(**sweep(2000))
    assert 0 < sum(laid) < 2000 * 5 * 1.5


@pytest.mark.parametrize("law", [ALUMINIUM.law(), AngleByAngle(*ALUMINIUM.law().coefficients())])
@pytest.mark.parametrize("number", [97, 640, 641])
def test_parts_side_by_side_are_the_whole(monkeypatch, law, number):
    inputs = sweep(number) | {"law": law}
    whole = table(loads(**inputs))
    monkeypatch.setattr(parts, "PART", 64)
    monkeypatch.setattr(parts, "processors", lambda: 3)
    assert table(loads(**inputs)) == pytest.approx(whole, rel=1e-12)


def test_a_grid_in_parts_is_the_grid_and_is_never_spread_out(monkeypatch):
    inputs = sweep(1) | {
        "axial_depth": np.linspace(1e-3, 9e-3, 11)[:, None, None],
        "radial_width": np.asfortranarray(np.linspace(1e-3, 6e-3, 35).reshape(5, 7)),
        "feed_per_tooth": np.linspace(1e-5, 9e-5, 7),
        "flutes": np.array([3.0]),
        "law": ALUMINIUM.law().scaled(np.linspace(1, 2, 5)[:, None]),
    }
    whole = table(loads(**inputs))
    monkeypatch.setattr(parts, "PART", 16)
    sizes, plain = [], turn.arc_cuts

    def counting(**arguments):
        sizes.append(max(np.size(value) for value in arguments.values()))
        return plain(**arguments)

    monkeypatch.setattr(turn, "arc_cuts", counting)
    found = list(loads_in_parts(**inputs))
    assert max(sizes) == 16
    assert np.hstack([table(part) for _, part in found]) == pytest.approx(whole.reshape(6, -1), rel=1e-12)
    assert [(rows.start, rows.stop) for rows, _ in found[:2]] == [(0, 16), (16, 32)]
    assert found[-1][0].stop == whole[0].size


def test_no_more_parts_are_worked_on_than_the_reader_can_take(monkeypatch):
    monkeypatch.setattr(parts, "PART", 1)
    begun = []

    def work(*, number, **_):
        begun.append(threading.get_ident())
        return np.asarray(number)

    reader = parts.in_parts(work, parts.sets_of(ALUMINIUM.law(), number=np.arange(50.0)), at_once=2)
    next(reader)
    assert len(begun) <= 4
    assert [int(found[0]) for _, found in reader] == list(range(1, 50))
    assert threading.get_ident() not in begun


def test_what_goes_wrong_in_a_part_ends_the_work(monkeypatch):
    monkeypatch.setattr(parts, "PART", 1)

    def work(*, number, **_):
        if number[0] == 3:
            raise ZeroDivisionError
        return number

    with pytest.raises(ZeroDivisionError):
        list(parts.in_parts(work, parts.sets_of(ALUMINIUM.law(), number=np.arange(99.0)), at_once=2))


def test_a_part_keeps_the_caller_s_way_with_errors(monkeypatch):
    monkeypatch.setattr(parts, "PART", 1)
    zeros = parts.sets_of(ALUMINIUM.law(), number=np.zeros(6))
    with np.errstate(divide="raise"), pytest.raises(FloatingPointError):
        list(parts.in_parts(lambda *, number, **_: 1 / number, zeros, at_once=2))


def test_memory_does_not_grow_with_the_number_of_sets():
    """Of a grid of a hundred million cuts, a dozen parts: what is at hand stays that of a few parts."""
    grid = sweep(1) | {
        "axial_depth": np.linspace(1e-3, 9e-3, 1000)[:, None, None],
        "radial_width": np.linspace(1e-3, 6e-3, 1000)[:, None],
        "feed_per_tooth": np.linspace(1e-5, 9e-5, 100),
    }
    tracemalloc.start()
    try:
        reader = loads_in_parts(**grid)
        highest = max(float(part.force_peak.max()) for _, (_, part) in zip(range(12), reader, strict=False))
        reader.close()
        _, most = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert highest > 0
    assert most < 40e6 * (parts.processors() + 1)


# ------------------------------------------------------------------------------------------- compiled


def interpreted(monkeypatch):
    """The compiled kernel as plain Python, numba's place taken by what compiles nothing."""
    monkeypatch.setitem(sys.modules, "numba", SimpleNamespace(njit=lambda **_: lambda function: function))
    spec = spec_from_file_location("interpreted", Path(fast.__file__).with_name("compiled.py"))
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def laid_out(inputs: dict):
    sides = {name: inputs[name] for name in ("radial_width", "diameter", "climb")}
    entry, leave = immersion(**sides)
    rest = {name: value for name, value in inputs.items() if name not in ("radial_width", "climb")}
    cuts, _ = arc_cuts(**rest, entry=entry, exit=leave)
    return cuts, cuts.law.harmonics(cuts.feed_per_tooth)


@pytest.mark.parametrize("forces", [ALUMINIUM, HARD, RUBBING])
@pytest.mark.parametrize("samples", [3, 16])
def test_the_code_that_is_compiled_finds_the_same_peaks(monkeypatch, forces, samples):
    inputs = many(40, seed=6) | {"law": forces.law()}
    cuts, harmonics = laid_out(inputs)
    with np.errstate(divide="ignore", invalid="ignore"):
        found = interpreted(monkeypatch).peaks(cuts, harmonics, samples=samples)
    assert found == pytest.approx(harmonic.peaks(cuts, harmonics, samples=samples), rel=1e-12)


def test_the_code_that_is_compiled_blanks_what_is_not_known(monkeypatch):
    law = replace(ALUMINIUM.law(), kac=np.nan)
    cuts, harmonics = laid_out(sweep(3) | {"law": law, "axial_depth": np.array([1e-3, -1e-3, 2e-3])})
    with np.errstate(divide="ignore", invalid="ignore"):
        found = interpreted(monkeypatch).peaks(cuts, harmonics, samples=4)
    assert np.isnan(found).tolist() == [[False, True, False]] * 4 + [[True] * 3]


@pytest.mark.parametrize("climb", [True, False])
def test_what_numba_makes_of_it_agrees(climb):
    pytest.importorskip("numba")
    from swarfbook.physics.fast import compiled

    cuts, harmonics = laid_out(many(3000, seed=9, climb=climb))
    found = compiled.peaks(cuts, harmonics, samples=16)
    assert found == pytest.approx(harmonic.peaks(cuts, harmonics, samples=16), rel=1e-12)


@pytest.mark.parametrize(
    ("asked", "sets", "compiled"),
    [(None, fast.SETS - 1, False), (None, fast.SETS, True), ("0", 10 * fast.SETS, False), ("1", 1, True)],
)
def test_only_large_calls_or_whoever_asks_get_the_compiled_one(monkeypatch, asked, sets, compiled):
    monkeypatch.delenv(fast.VARIABLE, raising=False)
    if asked is not None:
        monkeypatch.setenv(fast.VARIABLE, asked)
    monkeypatch.setattr(fast, "_compiled", lambda: "compiled")
    assert fast.peaks_for(sets) == ("compiled" if compiled else harmonic.peaks)


ASKING = """
import sys
{before}
import numpy as np
from swarfbook.physics import fast, harmonic
from swarfbook.physics.laws import LinearEdge
from swarfbook.physics.turn import loads
found = loads(law=LinearEdge(631e6, 99e6, 273e6, 13e3, 10e3, 2.8e3), diameter=6e-3, flutes=2, helix=0.5,
    axial_depth=np.linspace(1e-3, 5e-3, 9), radial_width=2e-3, feed_per_tooth=5e-5, climb=True)
print(repr(float(found.force_peak.sum())), fast.peaks_for(1) is harmonic.peaks, "numba" in sys.modules)
"""
BROKEN = """
import types
def njit(**options):
    raise RuntimeError("no compiler here")
sys.modules["numba"] = types.SimpleNamespace(njit=njit)
"""


def asking(before: str, word: str | None) -> list[str]:
    """Answer of a fresh interpreter: a sum of forces, whether numpy's way serves, whether numba was met."""
    environment = {name: value for name, value in os.environ.items() if name != fast.VARIABLE}
    environment |= {} if word is None else {fast.VARIABLE: word}
    words = [sys.executable, "-c", ASKING.format(before=before)]
    done = subprocess.run(words, env=environment, capture_output=True, text=True, timeout=120, check=True)
    assert not done.stderr
    return done.stdout.split()


def test_without_numba_numpy_serves():
    assert asking('sys.modules["numba"] = None', "1")[1:] == ["True", "True"]


def test_a_compiler_that_fails_is_as_none():
    assert asking(BROKEN, "1")[1:] == ["True", "True"]


def test_a_plain_call_never_meets_numba():
    plain = asking("", None)
    assert plain[1:] == ["True", "False"]
    assert asking('sys.modules["numba"] = None', "1")[0] == plain[0]
