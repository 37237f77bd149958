"""Two to four recipes side by side, over the page: what differs first, the rest folded."""

from __future__ import annotations

from collections.abc import Sequence

from swarfbook.decisions.case import case_of
from swarfbook.decisions.check import check
from swarfbook.decisions.compare import Comparison, compare
from swarfbook.reports.side_by_side import side_by_side
from swarfbook.tui.desk import Desk
from swarfbook.tui.lines import Line
from swarfbook.tui.text_screen import Reading


class CompareScreen(Reading[None]):
    """Shows a comparison, folded to what differs or unfolded."""

    MODE = "compare"

    def __init__(self, comparison: Comparison, *, system: str | None) -> None:
        """Show a comparison, in a system's units or as typed."""
        super().__init__("Side by side", [])
        self._comparison = comparison
        self._system = system
        self.unfolded = False

    def _wrapped(self, width: int) -> list[Line]:
        self.text = list(
            side_by_side(self._comparison, width=width - 1, system=self._system, unfolded=self.unfolded)
        )
        return super()._wrapped(width)

    def action_fold(self) -> None:
        """Unfold the rest, or fold it."""
        self.unfolded = not self.unfolded
        self.draw()


def compare_screen(desk: Desk, recipes: Sequence[str]) -> CompareScreen:
    """Set recipes side by side as they stand on the desk; raises SwarfbookError for one that will not do."""
    cases = [case_of(desk.book, recipe, desk.catalogue.values(recipe)) for recipe in recipes]
    return CompareScreen(compare([check(desk.logbook.judged(case)) for case in cases]), system=desk.shown)
