"""The rows that fit a list, with the chosen one always among them."""

from __future__ import annotations

import pytest

from swarfbook.tui.shelf import Row, Shelf


def shelf(count: int, *, groups: int = 3) -> Shelf:
    rows = [
        Row(f"r{at:03}", f"group {at * groups // count}", f"name {at}", "trial", f" r{at:03} {at:03}")
        for at in range(count)
    ]
    made = Shelf()
    made.fill(rows, None)
    return made


@pytest.mark.parametrize("height", [1, 2, 5, 12, 80])
@pytest.mark.parametrize("place", [0, 1, 19, 20, 38, 39])
def test_the_chosen_row_is_always_in_sight(height: int, place: int) -> None:
    one = shelf(40)
    one.move(place)
    lines = list(one.lines(height))
    assert len(lines) == min(height, 43)
    assert place in lines


def test_every_group_is_headed_once() -> None:
    lines = list(shelf(6, groups=3).lines(20))
    assert lines == ["group 0", 0, 1, "group 1", 2, 3, "group 2", 4, 5]


def test_what_is_chosen_stays_chosen_as_others_are_found_and_judged() -> None:
    one = shelf(40)
    one.move(21)
    one.press("r", "r")
    assert one.chosen == "r021"
    one.judge({"r021": "feed rate 0.50  holds"})
    assert one.chosen == "r021"
    assert one.hits[one.place].judged == "feed rate 0.50  holds"
    for character in "030":
        one.press(character, character)
    assert one.chosen == "r030"


def test_an_empty_list_has_no_lines_and_nothing_chosen() -> None:
    one = Shelf()
    one.move(1)
    assert list(one.lines(10)) == []
    assert one.chosen is None
