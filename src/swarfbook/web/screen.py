"""The program of one session: `python -m swarfbook.web.screen FOLDER`, started by the server."""

from __future__ import annotations

import sys
from contextlib import suppress
from pathlib import Path

from textual.drivers.web_driver import WebDriver
from textual.messages import ExitApp

from swarfbook.errors import SwarfbookError
from swarfbook.tui.app import run

DRIVER = f"{__package__}.screen:ScreenDriver"


class ScreenDriver(WebDriver):
    """Textual's driver for a browser, which leaves when its input ends: then the server is gone.

    What is still drawn for a server that is gone goes nowhere, and is no fault of the screen.
    """

    def write(self, data: str) -> None:
        """Write what is drawn."""
        with suppress(BrokenPipeError):
            super().write(data)

    def write_meta(self, data: dict[str, object]) -> None:
        """Write what is told beside it."""
        with suppress(BrokenPipeError):
            super().write_meta(data)

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
