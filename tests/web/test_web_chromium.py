"""The demo in a real browser, with no way out of this machine; about 15 s where there is a Chromium."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest

from support.chromium import Browser, Tab, browsing, chromium
from swarfbook.book import create
from swarfbook.web.tokens import new_token

pytestmark = pytest.mark.skipif(
    chromium() is None, reason="needs a Chromium: apt-get install chromium, or one of its names on the PATH"
)
ENTER = 13
FIRST = "bench-3mm-brass-letters"
"""The recipe that the demo opens with."""


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    return create(tmp_path / "demo", demo=True)


@pytest.fixture
def served(demo: Path, tmp_path: Path) -> Iterator[str]:
    """Serve the demo with a token, as for other machines; give the address that holds it."""
    kept = tmp_path / "token"
    kept.touch(0o600)
    token = new_token()
    kept.write_text(token)
    words = ["serve", "--book", str(demo), "--port", "0", "--token-file", str(kept)]
    with subprocess.Popen(
        [sys.executable, "-m", "swarfbook", *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    ) as server:
        address = server.stdout.readline().strip()
        yield address + token
        server.terminate()
        said, told = server.communicate(timeout=60)
    assert (server.returncode, said) == (0, "")
    assert told == f"swarfbook: the token that ends this address is in {kept}\n"


@asynccontextmanager
async def a_browser(tmp_path: Path) -> AsyncIterator[Browser]:
    async with browsing(str(chromium()), tmp_path / "profile") as browser:
        yield browser


async def opened(browser: Browser, address: str) -> Tab:
    tab = await browser.tab(address)
    await tab.until(lambda tab: "spindle torque" in tab.drawn)
    return tab


def faults(tab: Tab) -> list[str]:
    # Chromium says of itself that it draws without a graphics card.
    return [one for one in tab.complaints if "WebGL" not in one]


async def test_keys_find_a_recipe_and_nothing_is_asked_of_others(served: str, tmp_path: Path) -> None:
    async with a_browser(tmp_path) as browser:
        tab = await opened(browser, served)
        await tab.type("l")
        await tab.until(lambda tab: "30 of 30 recipes" in tab.drawn)
        await tab.type("6082 rough")
        await tab.until(lambda tab: "6 of 30 recipes" in tab.drawn)
        assert "8 mm three-flute, 6082, clamp jaw roughing" in tab.drawn
        page = served.partition("?")[0]
        assert await tab.value("location.href") == page
        assert await tab.value("document.cookie") == ""
        assert "token" not in await tab.value("document.documentElement.outerHTML")
        paths = {address.removeprefix(page).partition("?")[0] for address in tab.asked}
        names = {f"files/{name}" for name in ("textual.js", "xterm.css", "mono.ttf", "page.css", "page.js")}
        assert names < paths
        assert tab.outside == []
        assert faults(tab) == []


async def test_what_a_page_is_told_to_fetch_elsewhere_it_does_not(served: str, tmp_path: Path) -> None:
    """The browser's side of the policy, and that the test above would see a request go out."""
    async with a_browser(tmp_path) as browser:
        tab = await opened(browser, served)
        for kind, of in (("script", "src"), ("img", "src"), ("iframe", "src")):
            made = f"made = document.createElement('{kind}'); made.{of} = 'http://192.0.2.1/x'"
            await tab.value(f"{made}; document.body.append(made)")
        await tab.value("fetch('http://192.0.2.1/x').catch(() => 0)")
        await tab.until(lambda tab: len([one for one in tab.complaints if "violates" in one]) >= 4)
        assert tab.outside == []


async def test_two_tabs_on_one_recipe_are_two_writers(served: str, demo: Path, tmp_path: Path) -> None:
    async with a_browser(tmp_path) as browser:
        page = served.partition("?")[0]
        one, other = await opened(browser, served), await opened(browser, page)
        for tab, speed, shown in ((one, "14000", "14 000"), (other, "22000", "22 000")):
            await tab.type(speed)
            await tab.press("Enter", ENTER)
            await tab.until(
                lambda tab, shown=shown: f"[{shown} rpm]" in tab.drawn and "not saved" in tab.drawn
            )
        await one.type("s")
        await other.until(lambda tab: "changed on disk (r)" in tab.drawn)
        file = demo / "recipes" / f"{FIRST}.toml"
        assert tomllib.loads(file.read_text())["spindle_speed"] == "14000 rpm"
        await other.type("s")
        await other.until(
            lambda tab: "changed on disk since it was read. Nothing was overwritten." in tab.drawn
        )
        assert tomllib.loads(file.read_text())["spindle_speed"] == "14000 rpm"
