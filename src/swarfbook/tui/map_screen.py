"""The map of a recipe, over the page: where its limits lie over two of its numbers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from swarfbook.decisions.case import Case
from swarfbook.decisions.cutmap import KNOBS, CutMap, chosen_axes, cut_map
from swarfbook.decisions.dynamics import measured_modes
from swarfbook.decisions.lobe_map import LobeMap, lobe_map
from swarfbook.decisions.ran import ran
from swarfbook.reports.cutmap_page import cut_map_lines
from swarfbook.reports.lobe_page import lobe_map_lines
from swarfbook.tui.beside import Progress
from swarfbook.tui.desk import Desk
from swarfbook.tui.working import Step, WorkedScreen

POINTS = 60  # along each side of a map
AT_ONCE = 6 * POINTS  # points between two looks whether Escape was pressed
LEGEND = 3  # rows of what the letters mean that are to be seen with the drawing
SPEEDS = 600  # along the lobes: a line needs no square of them


class MapScreen(WorkedScreen[None]):
    """Shows the map of a recipe as it stands in the sentence.

    Attributes:
        x, y: the numbers that go along and up.
        lobes: stable depth over speed is shown in its place.
    """

    MODE = "map"

    def __init__(self, desk: Desk, case: Callable[[], Case]) -> None:
        """Map a recipe.

        Args:
            desk: the book and what is open.
            case: gives the recipe, resolved with what is known of runs by then.
        """
        super().__init__(f"Map: {case().recipe.name}")
        self.x, self.y = chosen_axes(case())
        self.lobes = False
        self._desk = desk
        self._now = case
        self._found: CutMap | LobeMap | None = None

    def work_out(self) -> None:
        """Begin to work out what is to be shown."""
        self._found = None
        if self.lobes:
            self.begin(Progress("working it out …"), partial(_lobes, self._now()), self._take)
        else:
            progress = Progress("working it out: rows", POINTS)
            self.begin(progress, partial(self._map, self._now(), progress), self._take)

    def log_read(self) -> None:
        """Map it with what the log says now."""
        self._work_anew()

    def _map(self, case: Case, progress: Progress, step: Step) -> CutMap:
        def watch(done: int, _: int) -> None:
            step()
            progress.done = done

        # Runs are drawn in once the log was read: here it would be read a second time.
        runs = ran(self._desk.book, case) if self._desk.logbook.known else ()
        return cut_map(case, self.x, self.y, POINTS, ran=runs, at_once=AT_ONCE, watch=watch)

    def _take(self, found: CutMap | LobeMap) -> None:
        self._found = found

    def told(self, width: int) -> Sequence[str] | None:
        """Draw what was worked out."""
        if self._found is None:
            return None
        height = self._height() - LEGEND
        if isinstance(self._found, LobeMap):
            return lobe_map_lines(self._found, width=width, height=height, system=self._desk.system)
        return cut_map_lines(self._found, width=width, height=height, system=self._desk.system)

    # Keys

    def usable(self, action: str) -> bool:
        """Say whether a command can do anything now: lobes are drawn where modes are measured."""
        return action != "lobes" or measured_modes(self._now()) is not None

    def action_across(self) -> None:
        """Put the next number along the map."""
        self._turn(_next(self.x, but=self.y), self.y)

    def action_upwards(self) -> None:
        """Put the next number up the map."""
        self._turn(self.x, _next(self.y, but=self.x))

    def _turn(self, x: str, y: str) -> None:
        self.x, self.y, self.lobes = x, y, False
        self._work_anew()

    def action_lobes(self) -> None:
        """Show the stable depth over speed, or the map again."""
        self.lobes = not self.lobes
        self._work_anew()

    def _work_anew(self) -> None:
        self.work_out()
        self.draw()


def _next(knob: str, *, but: str) -> str:
    others = [one for one in KNOBS if one != but]
    return others[(others.index(knob) + 1) % len(others)]


def _lobes(case: Case, _: Step) -> LobeMap:
    return lobe_map(case, SPEEDS)
