"""What a tenth more of each number does to the limits of the recipe on the page, over it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from swarfbook.decisions.case import Case
from swarfbook.decisions.sensitivity import Sensitivity, sensitivity
from swarfbook.reports.sensitivity_page import sensitivity_lines
from swarfbook.tui.beside import Progress
from swarfbook.tui.text_screen import TextScreen
from swarfbook.tui.working import WorkedScreen


class SensitivityScreen(WorkedScreen[None], TextScreen):
    """Shows the sensitivity of a recipe as it stands in the sentence."""

    def __init__(self, case: Callable[[], Case], *, measure: Callable[[], None]) -> None:
        """Work out the sensitivity of a recipe.

        Args:
            case: gives the recipe, resolved with what is known of runs by then.
            measure: opens how to measure what is assumed.
        """
        super().__init__(f"What counts: {case().recipe.name}")
        self._measure = measure
        self._now = case
        self._found: Sensitivity | None = None

    def work_out(self) -> None:
        """Begin."""
        case = self._now()
        self.begin(Progress("working it out …"), lambda _: sensitivity(case), self._take)

    def log_read(self) -> None:
        """Work it out with what the log says now."""
        self.work_out()

    def _take(self, found: Sensitivity) -> None:
        self._found = found

    def told(self, width: int) -> Sequence[str] | None:
        """Write the table and what is worth measuring."""
        return None if self._found is None else sensitivity_lines(self._found, width=width)
