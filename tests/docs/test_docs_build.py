"""The built documentation: no warning, every public name, and nothing that a page loads from elsewhere."""

from __future__ import annotations

import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import pytest

import swarfbook

ROOT = Path(__file__).parents[2]
LOADS = {"link": "href", "script": "src", "img": "src", "iframe": "src", "source": "src", "object": "data"}
STYLE_LOADS = re.compile(r"(?:url\(\s*['\"]?|@import\s+['\"])(?!data:|#)([^'\")]+)")


class Loading(HTMLParser):
    """Collects what a page loads by itself, and where it links to."""

    def __init__(self, text):
        super().__init__()
        self.loads, self.links, self.ids = [], [], set()
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        told = dict(attrs)
        if told.get("id"):
            self.ids.add(told["id"])
        if tag in LOADS and told.get(LOADS[tag]):
            self.loads.append(told[LOADS[tag]])
        if tag == "a" and told.get("href"):
            self.links.append(told["href"])
        if told.get("style"):
            self.loads += STYLE_LOADS.findall(told["style"])


@pytest.fixture(scope="module")
def built(request, tmp_path_factory):
    if not request.config.getoption("--long"):
        pytest.skip("the documentation is built with --long, and by `make docs`")
    pytest.importorskip("sphinx")
    out = tmp_path_factory.mktemp("docs")
    words = [sys.executable, "-m", "sphinx", "-b", "html", "-W", "--keep-going", "-q", "-j", "2"]
    done = subprocess.run(
        [*words, "-d", str(out / "doctrees"), str(ROOT / "docs"), str(out / "html")],
        capture_output=True,
        text=True,
        timeout=1200,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return out / "html"


@pytest.fixture(scope="module")
def pages(built):
    return {path: Loading(path.read_text()) for path in built.rglob("*.html")}


@pytest.mark.long
def test_no_page_loads_anything_from_elsewhere(built, pages):
    for path, page in pages.items():
        for address in page.loads:
            assert ":" not in address, (path, address)
            assert not address.startswith("//"), (path, address)
            assert (path.parent / address.partition("?")[0].partition("#")[0]).exists(), (path, address)
    for style in built.rglob("*.css"):
        for address in STYLE_LOADS.findall(style.read_text()):
            assert ":" not in address, (style, address)


@pytest.mark.long
def test_every_link_within_the_pages_leads_somewhere(pages):
    for path, page in pages.items():
        for link in page.links:
            name, _, place = link.partition("#")
            if ":" in name or link.startswith("//"):
                continue
            target = (path.parent / name).resolve() if name else path
            assert target.exists(), (path, link)
            if place and target in pages:
                assert place in pages[target].ids, (path, link)


@pytest.mark.long
def test_every_public_name_and_the_physics_have_a_page(built):
    for name in swarfbook.__all__:
        assert (built / "generated" / f"swarfbook.{name}.html").exists(), name
    turn = (built / "generated" / "swarfbook.physics.turn.html").read_text()
    assert 'id="swarfbook.physics.turn.loads"' in turn
    assert "Altintas, Manufacturing Automation" in turn
