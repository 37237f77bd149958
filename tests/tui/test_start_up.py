"""What the screen loads: nothing heavy that it does not show with."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

HEAVY = {"pandas", "pint", "scipy", "matplotlib", "tomlkit"}
OPENED = """
import asyncio, pathlib, sys
from swarfbook.book import Book
from swarfbook.tui.app import SwarfbookApp

async def main():
    app = SwarfbookApp(Book.open(pathlib.Path(sys.argv[1])))
    async with app.run_test() as pilot:
        await pilot.press("tab", "l", "escape", "tab", "1", "escape")
    assert app.desk.draft is not None

asyncio.run(main())
print(*{name.partition(".")[0] for name in sys.modules})
"""


def test_opening_walking_and_listing_load_nothing_heavy(workshop: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", OPENED, str(workshop)], capture_output=True, text=True, check=True, timeout=120
    )
    loaded = set(done.stdout.split())
    assert "textual" in loaded
    assert not loaded & HEAVY
