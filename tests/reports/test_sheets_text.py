"""The job sheet in letters: all of it, to the width, and nothing that drives a terminal."""

from dataclasses import replace

import pytest

from support.clamp_cards import CARD, HOSTILE, card, dense, hostile, texts
from swarfbook.records.run import OUTCOMES as RUN_OUTCOMES
from swarfbook.reports.sheets.card import OUTCOMES, kept, sentence, shown, stressed
from swarfbook.reports.sheets.card_text import text


@pytest.mark.parametrize("columns", [60, 80, 120])
@pytest.mark.parametrize("steps", [0, 1, 4, 12, 20])
def test_everything_stands_on_the_sheet_and_no_line_is_too_long(steps: int, columns: int):
    sheet = card(steps)
    written = text(sheet, columns)
    assert max(len(line) for line in written.splitlines()) <= columns
    for each in texts(sheet):
        assert dense(each) in dense(written)


def test_a_step_at_eighty_columns():
    written = text(card(1), 80)
    assert " 1  Rough the outline with the 6 mm one-flute end mill, 24 mm out of the collet.\n" in written
    assert "    spindle 16 000 rpm   feed 800 mm/min   depth 2.2 mm   width 2.4 mm\n" in written
    assert "took ______ of 14 min" in written


def test_a_number_is_never_parted_from_its_unit_or_its_name():
    for columns in range(40, 121):
        written = text(card(4), columns)
        for number in ("1.5 mm a turn", "feed 1 140 mm/min", "8 N·m", "16 000 rpm", "depth 2.2 mm"):
            assert number in written, columns


@pytest.mark.parametrize("words", HOSTILE)
@pytest.mark.parametrize("columns", [60, 120])
def test_what_would_act_on_a_terminal_is_shown_instead(words: str, columns: int):
    written = text(hostile(words), columns)
    assert all(char.isprintable() or char == "\n" for char in written)
    assert max(len(line) for line in written.splitlines()) <= columns
    assert dense(shown(words)) in dense(written)


def test_controls_and_turns_of_direction_become_escapes_and_blanks_stay():
    assert shown("a\x1b[31m\u202eb\u2066\n\u2028") == r"a\x1b[31m\u202eb\u2066\n\u2028"
    assert shown("16\u202f000\u00a0rpm, 2\u2009mm h̄ ⌀") == "16\u202f000\u00a0rpm, 2\u2009mm h̄ ⌀"
    assert shown("depth ≤ 字", lambda char: char != "字") == r"depth ≤ \u5b57"


@pytest.mark.parametrize(
    ("tool", "stickout", "said"),
    [
        ("saw", "20 mm out", "Slit with the saw, 20 mm out."),
        ("saw", "", "Slit with the saw."),
        ("", "20 mm out", "Slit, 20 mm out."),
        ("", "", "Slit."),
    ],
)
def test_a_step_is_one_sentence_whatever_is_left_out(tool: str, stickout: str, said: str):
    stop = replace(CARD.stops[0], title="Slit", tool=tool, stickout=stickout)
    assert " ".join(words for words, _ in sentence(stop)) == said


def test_numbers_are_bold_with_their_units():
    assert stressed(kept("leave 0.3 mm on 12 walls of M6, 16 000 rpm")) == (
        ("leave", False),
        ("0.3\u00a0mm", True),
        ("on", False),
        ("12", True),
        ("walls of", False),
        ("M6, 16\u00a0000\u00a0rpm", True),
    )


def test_words_to_tick_are_words_of_a_run():
    assert {word.replace(" ", "-") for word in OUTCOMES} <= set(RUN_OUTCOMES)


def test_what_is_empty_leaves_no_label_behind():
    stop = replace(CARD.stops[0], hold="", leaves="", before="", minutes="")
    written = text(replace(CARD, stops=(stop,), cautions=()), 80)
    assert not any(word in written for word in ("hold ", "leaves", "FIRST"))
    assert "took ______ min" in written
