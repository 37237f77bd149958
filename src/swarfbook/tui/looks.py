"""Other looks at the recipe on the page, as texts over it: an inside corner, chatter."""

from __future__ import annotations

from collections.abc import Callable

from textual.app import App

from swarfbook import quantities
from swarfbook.decisions.case import Case
from swarfbook.decisions.check import Check
from swarfbook.decisions.corner import corner
from swarfbook.decisions.dynamics import stability
from swarfbook.errors import SwarfbookError
from swarfbook.reports.chatter_page import chatter_lines
from swarfbook.reports.corner_page import corner_lines
from swarfbook.tui.prompt_screen import PromptScreen
from swarfbook.tui.text_screen import TextScreen


def ask_corner(app: App[None], check: Check, *, system: str) -> None:
    """Ask for the radius of an inside corner, and show what it does to a recipe.

    Args:
        app: the program on screen.
        check: the recipe, judged.
        system: units shown, and taken where a number is typed without one.
    """
    unit = quantities.preferred_unit("length", system)

    def show(text: str | None) -> None:
        if text is not None:
            first, *lines = _corner(check.case, text, unit=unit, system=system)
            app.push_screen(TextScreen(first, lines))

    app.push_screen(
        PromptScreen(
            "Radius of an inside corner of the part",
            hint=f"A length, {unit} where no unit is written; larger than the cutter's own radius.",
            check=refusing(lambda text: _corner(check.case, text, unit=unit, system=system)),
        ),
        show,
    )


def _corner(case: Case, text: str, *, unit: str, system: str) -> list[str]:
    radius = quantities.read(text, "length", default_unit=unit).si
    return corner_lines(corner(case, radius=radius), system=system)


def refusing(work: Callable[[str], object]) -> Callable[[str], str]:
    """Give a prompt's check: what a text is refused with when something is made of it, empty for nothing."""

    def check(text: str) -> str:
        try:
            work(text)
        except quantities.QuantityError as error:
            return str(error)
        except SwarfbookError as error:
            return error.problems[0].remedy
        return ""

    return check


def show_chatter(app: App[None], check: Check, *, system: str) -> None:
    """Show where a recipe begins to chatter, a guess where no modes are known; see `ask_corner`."""
    found = stability(check.case, estimate=True)
    first, *lines = chatter_lines(check.case, found, system=system)
    app.push_screen(TextScreen(first, lines))
