"""The program of one session: `python -m swarfbook.web.screen FOLDER`, started by the server."""

from __future__ import annotations

import sys
from pathlib import Path

from textual.drivers.web_driver import WebDriver
from textual.messages import ExitApp

from swarfbook.errors import SwarfbookError
from swarfbook.tui.app import run

DRIVER = f"{__package__}.screen:ScreenDriver"


class ScreenDriver(WebDriver):
    """Textual's driver for a browser, which leaves when its input ends: then the server is gone."""

    def run_input_thread(self) -> None:
        """Read until the end, then leave."""
        super().run_input_thread()
        self._app.post_message(ExitApp())


def main(folder: str) -> int:
    """Show the book in a folder; give the exit code."""
    try:
        run(Path(folder))
    except SwarfbookError as error:
        sys.stderr.writelines(f"swarfbook: {problem}\n" for problem in error.problems)
        return 2
    except BrokenPipeError:
        pass  # the server is gone, and nobody draws any more
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
