"""`swarfbook.sweep`: many values at once, by the kernel of a single check and equal to it."""

from __future__ import annotations

import numpy as np
import pytest

import swarfbook
from support.books import RECIPE
from swarfbook.decisions import sweep as decisions

ROUGH = "long-bed-6mm-6082-rough"


@pytest.mark.parametrize(
    "recipe", [ROUGH, "mill-8mm-6082-max", "mill-8mm-6082-bore", "bench-6mm-6082-slot-too-deep"]
)
def test_every_row_is_the_check_at_its_values(demo, recipe):
    depths, speeds = ["0.7 mm", "1.9 mm", "4 mm"], ["9000 rpm", "12 000 rpm", "14000 rpm"]
    table = swarfbook.sweep(demo, recipe, axial_depth=depths, spindle_speed=speeds)
    for row, (depth, speed) in enumerate(zip(depths, speeds, strict=True)):
        check = swarfbook.check(demo, recipe, axial_depth=depth, spindle_speed=speed)
        told = table.iloc[row]
        for name, value in check.quantities.items():
            if name in table:
                assert told[name] == pytest.approx(value.value, rel=1e-12), name
                assert table.attrs["units"][name] == value.unit
        for name, limit in check.limits.items():
            if limit.use is not None:
                assert told[f"use_{name.replace('-', '_')}"] == pytest.approx(limit.use, rel=1e-12)
        assert told["tightest"] == check.tightest.name
        assert told["verdict"] == check.verdict


def test_arrays_of_pint_broadcast_against_each_other(demo, ureg):
    depths = np.array([1.0, 2.0, 3.0])[:, None] * ureg.mm
    widths = np.array([0.05, 0.1]) * ureg.inch
    table = swarfbook.sweep(demo, ROUGH, axial_depth=depths, radial_width=widths)
    assert table["axial_depth"].tolist() == pytest.approx([1, 1, 2, 2, 3, 3])
    assert table["radial_width"].tolist() == pytest.approx([1.27, 2.54] * 3)
    assert (table["feed_per_tooth"] == 0.05).all()
    assert table["material_removal_rate"].tolist() == pytest.approx(
        (table["axial_depth"] * table["radial_width"] * table["feed_rate"] / 1000).tolist()
    )


def test_one_call_of_the_kernel_serves_all_values(demo, ureg, monkeypatch):
    calls = []
    real = decisions.evaluate
    monkeypatch.setattr(decisions, "evaluate", lambda case, knobs: calls.append(1) or real(case, knobs))
    table = swarfbook.sweep(demo, ROUGH, axial_depth=np.linspace(0.1, 15, 5000) * ureg.mm)
    assert (len(table), len(calls)) == (5000, 1)
    assert set(table["verdict"]) == {"holds", "tight", "over"}


def test_what_no_formula_reaches_is_never_taken_to_hold(demo):
    table = swarfbook.sweep(demo, ROUGH, radial_width=["1 mm", "8 mm"])
    assert table["verdict"].tolist() == ["holds", "not judged"]
    assert table["tightest"].tolist()[1] == ""


@pytest.mark.parametrize(
    "given", [{}, {"stickout": "20 mm"}, {"axial_depth": 3.0}, {"axial_depth": [1.0, 2.0]}]
)
def test_what_cannot_be_swept_is_a_type_error(demo, given):
    with pytest.raises(TypeError):
        swarfbook.sweep(demo, ROUGH, **given)


def test_bare_arrays_are_told_to_bring_units(demo):
    with pytest.raises(TypeError, match=r"axial_depth: .*pint"):
        swarfbook.sweep(demo, ROUGH, axial_depth=np.linspace(1, 2, 3))


def test_values_that_will_not_do_are_named(demo, ureg):
    with pytest.raises(swarfbook.SwarfbookError, match=r"axial_depth: .*above 0"):
        swarfbook.sweep(demo, ROUGH, axial_depth=["1 mm", "0 mm"])
    with pytest.raises(swarfbook.SwarfbookError, match="axial_depth"):
        swarfbook.sweep(demo, ROUGH, axial_depth=["1 mm", "2 rpm"])
    with pytest.raises(swarfbook.SwarfbookError, match="axial_depth"):
        swarfbook.sweep(demo, ROUGH, axial_depth=np.arange(1, 3) * ureg.s)
    with pytest.raises(swarfbook.SwarfbookError, match="broadcast"):
        swarfbook.sweep(demo, ROUGH, axial_depth=["1 mm", "2 mm"], radial_width=["1 mm", "2 mm", "3 mm"])


def test_a_small_book_sweeps_too(book):
    table = swarfbook.sweep(book, RECIPE, axial_depth=("0.5 mm", "3 mm"))
    assert table["verdict"].tolist() == ["holds", "over"]
