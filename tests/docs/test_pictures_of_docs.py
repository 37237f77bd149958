"""The picture in the README shows what the screen shows today."""

from __future__ import annotations

import importlib.util
import re
from html import unescape
from pathlib import Path
from types import ModuleType

import pytest

DRAW = Path(__file__).parents[2] / "docs/pictures/draw.py"
TEXT = re.compile(r"<text [^>]*>([^<]*)</text>")


@pytest.fixture
def draw(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> ModuleType:
    """Give the script that draws, with a person's own settings kept out."""
    for name in ("NO_COLOR", "COLORTERM", "TEXTUAL_THEME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TEXTUAL_ANIMATIONS", "none")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    spec = importlib.util.spec_from_file_location("draw", DRAW)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def words(svg: str) -> list[str]:
    """Give the text of a drawing, piece by piece, blanks that hold words together as plain ones."""
    pieces = (unescape(piece).replace("\u00a0", " ") for piece in TEXT.findall(svg))
    return [piece.strip() for piece in pieces if piece.strip()]


async def test_the_picture_shows_what_the_screen_shows(draw: ModuleType) -> None:
    assert words(draw.PICTURE.read_text(encoding="utf-8")) == words(await draw.drawing()), (
        "the screen has changed: run `python docs/pictures/draw.py`"
    )


def test_the_picture_shows_a_recipe_and_its_ladder(draw: ModuleType) -> None:
    shown = " ".join(words(draw.PICTURE.read_text(encoding="utf-8")))
    for part in ("Saltmarsh workshop", "6 mm one-flute end mill", "spindle power", "holds", "l list"):
        assert part in shown


def test_the_picture_fetches_nothing(draw: ModuleType) -> None:
    svg = draw.PICTURE.read_text(encoding="utf-8")
    assert re.findall(r"https?://[^\"]*", svg) == ["http://www.w3.org/2000/svg"]
    assert "url(" not in svg.replace("url(#", "")
    assert set(re.findall(r"font-family: ([^;]*);", svg)) == {"monospace"}
