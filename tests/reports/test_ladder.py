"""The ladder: places on the scale, columns, words, notes, at every width and in plain characters."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import pytest

from support import books
from swarfbook.book import Book
from swarfbook.decisions.case import load_case
from swarfbook.decisions.check import Check, check
from swarfbook.decisions.relief import relief
from swarfbook.decisions.titles import title
from swarfbook.reports.ladder import (
    DRAWN,
    PLAIN,
    Layout,
    Rung,
    heading,
    ladder_text,
    percent,
    relief_note,
    row,
    rule,
    rung_note,
    rungs,
    standing_note,
)
from swarfbook.reports.sentence import NO_BREAK
from swarfbook.reports.words import counted

EIGHTY = Layout(80)


@pytest.fixture
def judged(make_book: Callable) -> Callable[..., Check]:
    def judge(**changes: object) -> Check:
        return check(load_case(Book.open(make_book(**changes)), books.RECIPE))

    return judge


def rung(use: float, **changes: object) -> Rung:
    values: dict[str, object] = {
        "limit": "bending", "title": "bending", "asks": "231", "of": "650", "unit": "N/mm²", "use": use,
        "low": use, "high": use, "mark": None, "verdict": "holds", "advice": False, "assumed": False,
    }  # fmt: skip
    return Rung(**{"disputed": False, **values, **changes})


@pytest.mark.parametrize(
    ("use", "drawn"),
    [
        (0.0, "●·····┼·····┼·····┼·····┃   "),
        (0.5, "······┼·····●·····┼·····┃   "),
        (0.86, "······┼·····┼·····┼··●··┃   "),
        (0.999, "······┼·····┼·····┼····●┃   "),
        (1.0, "······┼·····┼·····┼····●┃   "),
        (1.001, "······┼·····┼·····┼·····┃●  "),
        (1.1, "······┼·····┼·····┼·····┃ ● "),
        (40.0, "······┼·····┼·····┼·····┃  ●"),
    ],
)
def test_the_dot_stands_in_its_place_and_right_of_the_bar_when_over(use: float, drawn: str) -> None:
    assert rule(rung(use), EIGHTY) == drawn


def test_the_mark_stands_under_the_dot_only_where_there_is_one() -> None:
    assert rule(rung(0.86, mark=0.72), EIGHTY) == "······┼·····┼····▲┼··●··┃   "
    assert rule(rung(0.5, mark=0.5), EIGHTY).count("▲") == 0


def test_the_band_is_drawn_where_there_is_room_and_leaves_the_bar() -> None:
    wide = Layout(120)
    drawn = rule(rung(0.9, low=0.6, high=1.5), wide)
    assert drawn.index("─") == round(0.6 * wide.rule)
    assert drawn[wide.rule] == "┃"
    assert drawn.endswith("───")
    assert "─" not in rule(rung(0.9, low=0.6, high=1.5), EIGHTY)


def test_plain_characters_only() -> None:
    plain = Layout(120, PLAIN)
    text = row(rung(0.86, mark=0.5, low=0.7, high=0.95, of="≥ 1.8", unit="um"), plain, chosen=True)
    assert text.isascii()
    assert ">= 1.8" in text
    assert heading(plain).isascii()


@pytest.mark.parametrize("width", [60, 71, 72, 80, 100, 120, 200])
def test_every_line_fits_and_the_columns_stand_under_each_other(
    width: int, judged: Callable[..., Check]
) -> None:
    shown = rungs(judged())
    layout = Layout(width)
    lines = [row(one, layout) for one in shown]
    assert all(len(line) <= width for line in [heading(layout), *lines])
    asks = heading(layout).index("asks") + 4
    assert {line[asks - 1] != " " and line[asks] == " " for line in lines} == {True}
    of = heading(layout).index("of") + 2
    assert {line[of - 1] != " " and line[of] == " " for line in lines} == {True}


def test_at_sixty_columns_the_rule_goes_and_the_words_stay() -> None:
    line = row(rung(1.64, verdict="over"), Layout(60))
    assert "┃" not in line
    assert line.split() == ["bending", "231", "650", "N/mm²", "over", "1.64"]
    assert row(rung(857.0, verdict="over"), Layout(60)).endswith("> 99")


def test_the_bar_is_under_the_one(judged: Callable[..., Check]) -> None:
    bar = {row(one, EIGHTY).index(DRAWN.limit) for one in rungs(judged())}
    assert bar == {heading(EIGHTY).index("1 limit")}


def test_the_tightest_stands_first_and_numbers_have_three_figures(judged: Callable[..., Check]) -> None:
    one = judged()
    shown = rungs(one)
    assert [item.use for item in shown] == sorted((item.use for item in shown), reverse=True)
    depth = next(item for item in shown if item.limit == "cut-depth")
    assert (depth.asks, depth.of, depth.unit) == ("3.00", "16.0", "mm")
    speed = next(item for item in shown if item.limit == "spindle-speed-low")
    assert (speed.asks, speed.of) == (f"18{NO_BREAK}000", "≥ 6000")
    assert speed.use == pytest.approx(1 / 3)


def test_small_lengths_are_shown_in_the_finer_unit(judged: Callable[..., Check]) -> None:
    thin = {
        system: next(r for r in rungs(judged(), system=system) if r.limit == "chip-thin")
        for system in ("metric", "imperial")
    }
    assert thin["metric"].unit == "µm"
    assert thin["imperial"].unit == "thou"
    assert float(thin["metric"].asks) == pytest.approx(float(thin["imperial"].asks) * 25.4, rel=0.01)


def test_stars_and_brackets_are_explained(judged: Callable[..., Check]) -> None:
    text = ladder_text(judged(**{"recipe.spindle_speed": "22000 rpm", "machine.tool_tip.stiffness": None}))
    assert "deflection*" in text
    assert "* an assumed value inside" in text
    assert "(over)" in text or "(tight)" in text
    assert "advice only" in text
    assert "estimates" in text


def test_what_is_not_judged_stands_at_the_end_with_what_to_give(judged: Callable[..., Check]) -> None:
    text = ladder_text(judged(**{"recipe.allowance": None, "tool.max_speed": None}), width=60)
    assert "deflection is not judged: give the recipe a tolerance" in text
    assert "cutter speed is not judged: give the cutter's max_speed" in " ".join(text.split())
    assert all(len(line) <= 60 for line in text.splitlines())


def test_a_note_says_what_asks_of_what_and_what_eases_it(judged: Callable[..., Check]) -> None:
    one = judged()
    thrust = next(limit for limit in one.limits if limit.name == "axis-thrust")
    assert thrust.verdict == "over"
    asked, relief, sure = (text.replace(NO_BREAK, " ") for text in rung_note(one, thrust)[:3])
    assert asked.startswith("axis thrust: asks ")
    assert " of 125 N; " in asked
    assert relief.startswith("Relief: ")
    assert sure.startswith("90 % of likely cuts ask ")
    low, high = (
        figure for figure in sure.removeprefix("90 % of likely cuts ask ").split(" N;")[0].split(" to ")
    )
    assert float(low) < thrust.demand < float(high)


def test_a_minimum_is_said_as_one(judged: Callable[..., Check]) -> None:
    one = judged()
    thin = next(limit for limit in one.limits if limit.name == "chip-thin")
    assert " where at least " in standing_note(one, thin)[0]


def test_a_limit_that_holds_has_no_relief_and_one_that_nothing_eases_says_so(
    judged: Callable[..., Check],
) -> None:
    one = judged(**{"recipe.spindle_speed": "500 rpm"})
    holding = next(limit for limit in one.limits if limit.verdict == "holds")
    assert relief_note(holding, relief(one, holding)) == []
    low = next(limit for limit in one.limits if limit.name == "spindle-speed-low")
    assert relief_note(low, relief(one, low)) == [
        "No single change of spindle speed eases it without breaking another limit."
    ]


def test_an_unjudged_limit_has_a_note_too(judged: Callable[..., Check]) -> None:
    one = judged(**{"tool.max_speed": None})
    unknown = next(limit for limit in one.limits if limit.use is None)
    assert rung_note(one, unknown) == [
        "cutter speed is not judged: give the cutter's max_speed, as its maker marks it."
    ]


@pytest.mark.parametrize(
    ("chance", "text"),
    [
        (0.0, "0 %"), (1e-5, "below 0.1 %"), (0.0042, "0.4 %"), (0.14, "14 %"), (0.9995, "above 99.9 %"),
        (1.0, "100 %"),
    ],
)  # fmt: skip
def test_chances_do_not_claim_more_than_they_know(chance: float, text: str) -> None:
    assert percent(chance) == text


def test_titles_fit_their_column_with_a_star(judged: Callable[..., Check]) -> None:
    assert all(len(title(limit.name)) <= 14 for limit in judged().limits)
    assert title("new-limit") == "new limit"
    assert (counted(1, "recipe"), counted(2, "recipe"), counted(0, "die", "dice")) == (
        "1 recipe", "2 recipes", "0 dice",
    )  # fmt: skip


def test_a_limit_outside_its_formula_is_not_drawn_but_told(judged: Callable[..., Check]) -> None:
    one = judged()
    bending = next(limit for limit in one.limits if limit.name == "bending")
    broken = replace(one, limits=(replace(bending, use=math.nan, demand=math.nan), one.limits[0]))
    assert [item.limit for item in rungs(broken)] == [one.limits[0].name]
    text = " ".join(ladder_text(broken).split())
    assert "bending is not judged: these numbers are outside what its formula covers" in text
    assert rung_note(broken, broken.limits[0]) == [
        "bending is not judged: these numbers are outside what its formula covers."
    ]
