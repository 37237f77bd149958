"""Draw the screen for the README: `python docs/pictures/draw.py` writes `page.svg` beside this file.

The picture is the screen's own drawing of the demo's page. Fonts that it would fetch are left out of it: any
monospaced font of the machine it is looked at on will do.
"""

from __future__ import annotations

import asyncio
import os
import re
import tempfile
from pathlib import Path

from textual.pilot import Pilot

from swarfbook.book import create
from swarfbook.tui.app import SwarfbookApp

PICTURE = Path(__file__).with_name("page.svg")
RECIPE = "long-bed-6mm-6082-rough"
SIZE = (100, 30)
TITLE = "swarfbook open"
LOOKS, PAUSE = 5, 0.1  # looks at the screen that have to be the same, and seconds between two
LEFT_OUT = re.compile(r"\s*@font-face \{[^}]*\}|\s*<!--.*?-->|\s*<circle [^>]*/>", re.DOTALL)
FONT = re.compile(r"font-family: (?!monospace)[^;]*;")
NUMBER = re.compile(r"terminal-\d+")
MONOSPACE = "font-family: monospace;"
WINDOW = re.compile(r'(?<=clip-terminal">)(\s*<rect [^>]*height=")([\d.]+)')
BELOW = 4  # of the picture's points: what hangs below the last row's letters


async def drawing() -> str:
    """Open the demo's page as somebody who has just begun sees it, and give it as SVG."""
    with tempfile.TemporaryDirectory() as folder:
        root = create(Path(folder) / "saltmarsh", demo=True)
        app = SwarfbookApp(root, RECIPE)
        async with app.run_test(size=SIZE) as pilot:
            return whole(await still(app, pilot))


async def still(app: SwarfbookApp, pilot: Pilot[None]) -> str:
    """Look at the screen until it stays as it is, and give that."""
    same, before = 0, ""
    while same < LOOKS:
        await app.workers.wait_for_complete()
        await pilot.pause(PAUSE)
        now = without_addresses(app.export_screenshot(title=TITLE))
        same, before = (same + 1 if now == before else 0), now
    return before


def whole(svg: str) -> str:
    """Let the window reach to the end of the last row, whose letters it would cut."""
    return WINDOW.sub(lambda found: f"{found[1]}{float(found[2]) + BELOW:g}", svg)


def without_addresses(svg: str) -> str:
    """Take addresses, the window's buttons and what changes from run to run out of a picture."""
    return NUMBER.sub("terminal-0", FONT.sub(MONOSPACE, LEFT_OUT.sub("", svg)))


def main() -> None:
    """Write the picture."""
    for name in ("NO_COLOR", "COLORTERM", "TEXTUAL_THEME"):
        os.environ.pop(name, None)
    os.environ["TEXTUAL_ANIMATIONS"] = "none"
    with tempfile.TemporaryDirectory() as settings:
        os.environ["XDG_CONFIG_HOME"] = settings
        PICTURE.write_text(asyncio.run(drawing()), encoding="utf-8")


if __name__ == "__main__":
    main()
