"""The rows that fit a list, with the chosen one always among them."""

from __future__ import annotations

import pytest

from swarfbook.tui.shelf import GROUPS, Row, Shelf, Told


def shelf(count: int, *, groups: int = 3) -> Shelf:
    made = Shelf(grouped="machine")
    made.take(
        Row(
            id=f"r{at:03}",
            name=f"name {at:03}",
            machine=f"group {at * groups // count}",
            tool=f"tool {at % 2}",
            standing=("trial", "proven")[at % 2],
            words=f" r{at:03} {at:03}",
        )
        for at in range(count)
    )
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
    one.judge({"r021": Told("feed rate", 0.5, "holds")})
    assert one.chosen == "r021"
    assert one.told["r021"].verdict == "holds"
    for character in "030":
        one.press(character, character)
    assert one.chosen == "r030"


def test_an_empty_list_has_no_lines_and_nothing_chosen() -> None:
    one = Shelf()
    one.move(1)
    assert list(one.lines(10)) == []
    assert one.chosen is None


def ids(one: Shelf) -> list[str]:
    return [row.id for row in one.rows]


def test_the_tightest_come_first_and_those_not_judged_last_whatever_comes_in_when() -> None:
    one = shelf(4, groups=1)
    one.order = "tightest first"
    one.move(1)
    assert one.chosen == "r001"
    one.judge({"r002": Told("bending", 0.4, "holds")})
    assert ids(one) == ["r002", "r000", "r001", "r003"]
    one.judge({"r003": Told("bending", 1.4, "over"), "r000": Told(trouble="no such cutter")})
    assert ids(one) == ["r003", "r002", "r000", "r001"]
    assert one.chosen == "r001"


def test_orders_and_groupings_go_round() -> None:
    one = shelf(6, groups=3)
    one.next_order()
    one.next_order()
    assert one.arrangement == "by machine · in order of standing"
    assert ids(one) == ["r000", "r001", "r002", "r003", "r004", "r005"]
    one.next_group()
    assert one.arrangement == "by cutter · in order of standing"
    assert list(one.lines(20)) == ["tool 0", 0, 1, 2, "tool 1", 3, 4, 5]
    seen = {one.grouped}
    while len(seen) < len(GROUPS):
        one.next_group()
        seen.add(one.grouped)
    assert seen == set(GROUPS)
    one.grouped = "nothing"
    one.arrange(None)
    assert list(one.lines(20)) == [0, 1, 2, 3, 4, 5]
    assert [row.standing for row in one.rows] == ["trial"] * 3 + ["proven"] * 3


def test_marks_stay_as_others_are_found_and_go_with_their_rows() -> None:
    one = shelf(40)
    one.mark()
    one.mark()
    assert one.chosen == "r002"
    for character in "r03":
        one.press(character, character)
    one.mark_found()
    assert one.marked() == ["r000", "r001", *(f"r03{at}" for at in range(10))]
    one.keep(["r000", "r030", "r005"])
    assert one.marked() == ["r000", "r030"]
    assert ids(one) == ["r000", "r005", "r030"]
    one.open("r005")
    assert (one.marked(), one.chosen, one.find.text) == ([], "r005", "")


class Counting(str):
    __slots__ = ()
    looked = 0

    def __contains__(self, word: str) -> bool:
        Counting.looked += 1
        return super().__contains__(word)


def test_a_word_that_goes_on_is_looked_for_among_what_was_found_only() -> None:
    one = Shelf()
    one.take(Row(id=f"r{at}", name="", words=Counting(f" r{at}")) for at in range(10_000))
    Counting.looked = 0
    one.press("r", "r")
    assert Counting.looked == 10_000
    one.press("9", "9")
    one.press("8", "8")
    assert Counting.looked == 30_000 - (10_000 - 1_111)
    one.press("backspace", None)
    assert len(one.hits) == 1_111
    assert len(list(one.lines(20))) == 20
