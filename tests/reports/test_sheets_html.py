"""The job sheet as a page: all its words as text, nothing from outside, one page when a browser prints it."""

import re
import shutil
import subprocess
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pypdfium2 as pdfium
import pytest

from support.clamp_cards import CARD, HOSTILE, card, dense, hostile, texts
from swarfbook.reports.sheets.card import shown
from swarfbook.reports.sheets.card_html import html

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
TAGS = {"html", "head", "meta", "title", "style", "body", "main", "header", "section", "div"}
TAGS |= {"h1", "h2", "p", "b", "span", "i", "dl", "dt", "dd", "ul", "li"}


class Reader(HTMLParser):
    """Reads a page as a browser would: tags with their attributes, and the text of each."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.attributes: set[str] = set()
        self.open: list[str] = []
        self.text = ""
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}
        if tag != "meta":
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.text += "" if self.open[-1:] == ["style"] else data


@pytest.mark.parametrize("steps", [0, 1, 4, 12, 20])
def test_every_word_stands_on_the_page(steps: int):
    page = Reader(html(card(steps)))
    assert page.open == []
    for each in texts(card(steps)):
        assert dense(each) in dense(page.text)


@pytest.mark.parametrize("words", HOSTILE)
def test_hostile_texts_are_text(words: str):
    written = html(hostile(words))
    page = Reader(written)
    assert page.tags <= TAGS
    assert page.attributes <= {"lang", "charset", "name", "content", "class"}
    assert dense(shown(words)) in dense(page.text)
    assert all(char.isprintable() or char in "\n\u00a0" for char in written)


def test_nothing_comes_from_outside():
    written = html(card(4))
    assert not re.search(r"https?:|//|url\(|@import|<link|<script|<img|src=|href=", written)
    assert "PRINTED" not in written


def test_what_would_turn_the_text_around_it_is_kept_to_itself():
    assert "unicode-bidi: isolate" in html(card(1))


def test_sizes_in_print_go_down_with_the_steps_and_not_below_seven_points():
    sizes = {}
    for steps in (1, 6, 12):
        printed = html(card(steps)).partition("@media print")[2]
        sizes[steps] = {name: float(size) for name, size in re.findall(r"--(\w+): ([\d.]+)pt", printed)}
    assert all(size[name] >= 7.0 for size in sizes.values() for name in ("small", "text", "head", "number"))
    assert sizes[1]["number"] > sizes[12]["number"]
    assert sizes[6]["number"] >= 12.0


def printed(page: str, folder: Path) -> list[str]:
    """Print a page with a browser that has no window, and give the text of each sheet."""
    source, target = folder / "sheet.html", folder / "sheet.pdf"
    source.write_text(page, encoding="utf-8")
    assert BROWSER
    command = [BROWSER, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer"]
    command += [f"--user-data-dir={folder / 'profile'}", f"--print-to-pdf={target}", source.as_uri()]
    subprocess.run(command, check=True, capture_output=True)
    with pdfium.PdfDocument(target) as document:
        return [sheet.get_textpage().get_text_bounded() for sheet in document]


@pytest.mark.skipif(BROWSER is None, reason="no browser here")
@pytest.mark.parametrize("size", ["A4", "letter"])
@pytest.mark.parametrize("steps", [1, 6, 7, 12])
def test_a_browser_prints_it_on_one_page(
    request: pytest.FixtureRequest, tmp_path: Path, steps: int, size: str
):
    if not request.config.getoption("--long"):
        pytest.skip("asked for with --long")
    sheets = printed(html(card(steps)).replace("@page {", f"@page {{ size: {size};"), tmp_path)
    assert len(sheets) == 1
    for each in texts(card(steps)):
        assert dense(each) in dense(sheets[0])


@pytest.mark.skipif(BROWSER is None, reason="no browser here")
def test_a_browser_prints_long_texts_on_one_page(request: pytest.FixtureRequest, tmp_path: Path):
    if not request.config.getoption("--long"):
        pytest.skip("asked for with --long")
    long = (
        "The chips pack below 10 mm of depth: keep the air on the slot, and stop at once if they turn blue."
    )
    stops = tuple(replace(stop, warnings=(long, long)) for stop in card(8).stops)
    assert len(printed(html(replace(CARD, stops=stops)), tmp_path)) == 1
