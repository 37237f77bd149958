"""The job sheet as a PDF, read back with another library: pages, words, places, sizes."""

import subprocess
import sys
from collections import Counter
from dataclasses import replace
from itertools import combinations

import pypdfium2 as pdfium
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as some

from support.clamp_cards import CARD, HOSTILE, card, dense, hostile, texts
from swarfbook.errors import SwarfbookError
from swarfbook.reports.sheets import card_pdf
from swarfbook.reports.sheets.card import Card, Stop, shown
from swarfbook.reports.sheets.card_pdf import pdf
from swarfbook.reports.sheets.page import PAPERS, Page, sheet
from swarfbook.reports.sheets.setting import Word

LETTERS = "abcdefghijklmnoprstuvwyzABDFGHMORST0123456789.,-"
EDGE = 19.0  # pt; common printers reach to within 18


def longish(most: int) -> some.SearchStrategy[str]:
    """Draw words up to a number of letters in all."""
    words = some.lists(some.text(LETTERS, min_size=1, max_size=11), min_size=1, max_size=most // 4)
    return words.map(lambda found: " ".join(found)[:most].strip())


def sheets_of(steps: int) -> some.SearchStrategy[Card]:
    """Draw sheets of so many steps: the more there are, the less each may say."""
    share = min(1.0, 8 / steps)
    numbers = some.lists(some.tuples(longish(9), longish(12)), min_size=2, max_size=4).map(tuple)
    stops = some.builds(
        Stop,
        some.just(0),
        title=longish(30),
        tool=longish(int(40 * share)),
        stickout=longish(24),
        numbers=numbers,
        hold=longish(int(60 * share)),
        leaves=longish(int(40 * share)),
        minutes=longish(8),
        warnings=some.lists(longish(int(110 * share)), max_size=2 if steps <= 8 else 1).map(tuple),
        before=some.one_of(some.just(""), longish(int(50 * share))),
    )
    several = some.lists(stops, min_size=steps, max_size=steps).map(
        lambda found: tuple(replace(stop, number=at) for at, stop in enumerate(found, 1))
    )
    facts = some.lists(some.tuples(longish(10), longish(40)), max_size=7).map(tuple)
    lines = some.lists(longish(110), max_size=2).map(tuple)
    return some.builds(
        Card,
        longish(40),
        longish(70),
        facts=facts,
        stops=several,
        warnings=lines,
        cautions=lines,
        foot=longish(90),
    )


def laid_out(drawn: Card, paper: str) -> tuple[Page, ...]:
    return sheet(card_pdf.fit(drawn), PAPERS[paper], card_pdf.measure).pages


def read(written: bytes) -> list[str]:
    """Give the text of each page as another library finds it."""
    with pdfium.PdfDocument(written) as document:
        return [page.get_textpage().get_text_bounded() for page in document]


def without_hyphens(text: str) -> str:
    """Leave out blanks and hyphens: the reader takes one at the end of a line for the parting of a word."""
    return "".join(char for char in dense(text) if char not in "-\x02\ufffe")


def letters_inside(written: bytes) -> bool:
    """Tell whether every letter stands within the pages' white edge."""
    with pdfium.PdfDocument(written) as document:
        for page in document:
            wide, high = page.get_size()
            found = page.get_textpage()
            for at in range(found.count_chars()):
                left, bottom, right, top = found.get_charbox(at)
                if left < EDGE - 1 or bottom < EDGE - 1 or right > wide - EDGE + 1 or top > high - EDGE + 1:
                    return False
    return True


def overlaps(page: Page) -> list[tuple[str, str]]:
    """Give the texts of a page that stand in each other's place by more than a tenth of a point."""
    drawn = [mark for mark in page.marks if isinstance(mark, Word)]
    return [
        (one.piece.text, other.piece.text)
        for one, other in combinations(drawn, 2)
        if _meet(one.box, other.box)
    ]


def _meet(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    across = min(one[2], other[2]) - max(one[0], other[0])
    down = min(one[3], other[3]) - max(one[1], other[1])
    return across > 0.1 and down > 0.1


@pytest.mark.parametrize("paper", sorted(PAPERS))
@pytest.mark.parametrize("steps", range(1, 13))
def test_the_clamps_stand_on_one_page_with_every_word(steps: int, paper: str):
    written = pdf(card(steps), paper)
    pages = read(written)
    assert len(pages) == 1
    for each in texts(card(steps)):
        assert dense(each) in dense(pages[0])
    assert letters_inside(written)


@pytest.mark.parametrize("paper", sorted(PAPERS))
@pytest.mark.parametrize("steps", [1, 6, 9, 12])
@settings(max_examples=4, suppress_health_check=list(HealthCheck))
@given(data=some.data())
def test_longish_texts_stand_on_one_page_and_nothing_is_clipped_or_covered(paper: str, steps: int, data):
    drawn = data.draw(sheets_of(steps))
    (page,) = laid_out(drawn, paper)
    assert overlaps(page) == []
    for mark in page.marks:
        left, top, right, bottom = (
            mark.box
            if isinstance(mark, Word)
            else (mark.x, mark.y, mark.x + mark.width, mark.y + mark.height)
        )
        assert EDGE < left <= right <= page.width - EDGE
        assert EDGE < top <= bottom <= page.height - EDGE
    (found,) = read(pdf(drawn, paper))
    for each in texts(drawn):
        assert without_hyphens(each) in without_hyphens(found)


@pytest.mark.parametrize("paper", sorted(PAPERS))
@pytest.mark.parametrize("steps", range(1, 15))
def test_type_is_never_too_small_and_with_few_steps_is_read_at_arms_length(steps: int, paper: str):
    drawn = card(steps)
    words = [mark for page in laid_out(drawn, paper) for mark in page.marks if isinstance(mark, Word)]
    assert min(word.piece.size for word in words) >= 7.0
    to_set = {value.replace(" ", "") for stop in drawn.stops for _, value in stop.numbers} | {"24mm"}
    sizes = [word.piece.size for word in words if dense(word.piece.text) in to_set and word.piece.bold]
    assert sizes
    if steps <= 6:
        assert min(sizes) >= 12.0


def test_more_than_twelve_steps_go_on_under_the_same_heading():
    first, second = read(pdf(card(14), "a4"))
    for page, mark in ((first, "1 of 2"), (second, "2 of 2")):
        assert mark in page
        assert all(dense(each) in dense(page) for each in (CARD.title, CARD.foot, *CARD.warnings))
    numerals = [
        {mark.piece.text for mark in page.marks if isinstance(mark, Word) and mark.piece.size > 14}
        for page in laid_out(card(14), "a4")
    ]
    assert [found - {CARD.title} for found in numerals] == [
        {str(step) for step in range(1, 8)},
        {str(step) for step in range(8, 15)},
    ]


@pytest.mark.parametrize("paper", sorted(PAPERS))
def test_twelve_steps_each_with_a_long_warning_still_are_one_page(paper: str):
    long = (
        "The chips pack below 10 mm of depth: keep the air on the slot, and stop at once if they turn blue."
    )
    twelve = card(12)
    warned = replace(twelve, stops=tuple(replace(stop, warnings=(long,)) for stop in twelve.stops))
    (page,) = read(pdf(warned, paper))
    assert dense(page).count(dense(long)) == 12


@pytest.mark.parametrize("words", HOSTILE)
def test_hostile_texts_are_text(words: str):
    drawn = hostile(words)
    written = pdf(drawn)
    found = dense("".join(read(written)))
    visible = dense(card_pdf.fit(drawn).title)
    # Letters that run leftwards come back from the reader in the order of the eye.
    assert visible in found or ("ש" in words and not Counter(visible) - Counter(found))
    assert "\x1b" not in found
    assert letters_inside(written)
    assert all(overlaps(page) == [] for page in laid_out(drawn, "a4"))


def test_letters_that_the_fonts_lack_are_named():
    assert card_pdf.fit(replace(CARD, title="字 h̄ ⌀")).title == "\\u5b57 h̄ ⌀"
    assert shown("字") == "字"


def test_the_same_card_gives_the_same_bytes():
    assert pdf(card(4)) == pdf(card(4))
    assert pdf(card(4)) != pdf(card(5))


@pytest.mark.parametrize(("paper", "size"), [("a4", (595.276, 841.89)), ("letter", (612, 792))])
def test_paper_has_its_size(paper: str, size: tuple[float, float]):
    with pdfium.PdfDocument(pdf(card(2), paper)) as document:
        assert document[0].get_size() == pytest.approx(size, abs=0.01)


def test_a_step_that_no_page_holds_is_refused_in_one_line():
    endless = replace(CARD.stops[0], hold="no end to it " * 2000)
    with pytest.raises(SwarfbookError, match="too long for a page") as caught:
        pdf(replace(CARD, stops=(endless,)))
    assert "\n" not in str(caught.value)


def test_it_says_what_to_install_where_reportlab_is_not_there(monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setitem(sys.modules, "reportlab.pdfgen.canvas", None)
    with pytest.raises(SwarfbookError, match=r"the PDF needs the extra: pip install 'swarfbook\[pdf\]'"):
        pdf(CARD)


def test_reportlab_is_loaded_by_a_pdf_only():
    code = (
        "import sys, swarfbook.reports.sheets.card_pdf, swarfbook.reports.sheets.card_html as page;"
        "print(any(name.startswith('reportlab') for name in sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
