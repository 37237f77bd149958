"""What the keys of a job's values do with whole steps, features and holds."""

from __future__ import annotations

from typing import TypeVar

from swarfbook.reports.part_words import ENTRY
from swarfbook.tui import entries
from swarfbook.tui.choose_screen import Choice, ChooseScreen
from swarfbook.tui.entries import Spot
from swarfbook.tui.keyed import Keyed
from swarfbook.tui.record_sheet import RecordSheet

AnswerT = TypeVar("AnswerT")
TAKES_BACK = "u takes it back, s saves it"


class Entering(Keyed[AnswerT]):
    """A page of values as far as it adds, takes out and moves entries of a job's lists.

    Attributes:
        sheet: the values.
    """

    sheet: RecordSheet

    def draw(self) -> None:
        """Draw every part."""
        raise NotImplementedError

    @property
    def spot(self) -> Spot | None:
        """The entry that the chosen value is in; None for none."""
        return entries.spot_of(self.sheet.fact.key) if self.sheet.kind == "job" else None

    def may_move(self, step: int) -> bool:
        """Say whether the chosen entry has another on that side."""
        spot = self.spot
        held = len(entries.entries(self.sheet.draft.values, spot.list)) if spot else 0
        return spot is not None and 1 <= spot.number + step <= held

    def action_insert(self) -> None:
        """Ask whether to add a step, a feature or a hold; it begins like the chosen one."""
        spot, values = self.spot, self.sheet.draft.values
        choices = []
        for name, one in ENTRY.items():
            number = entries.like(values, name, spot)
            aside = f"like {entries.called(values, Spot(name, number))}, after it" if number else ""
            choices.append(Choice(name, f"a {one}", aside))
        chooser = ChooseScreen("Add to the job", choices, chosen=spot.list if spot else "steps")
        self.app.push_screen(chooser, self._insert)

    def _insert(self, name: str | None) -> None:
        if name is None:
            return
        held, number = entries.added(self.sheet.draft.values, name, self.spot)
        self._put(Spot(name, number), held, f"{ENTRY[name]} {number} is added")

    def action_take_out(self) -> None:
        """Take the chosen step, feature or hold out of the job."""
        spot = self.spot
        if spot is None:
            return
        held = entries.without(self.sheet.draft.values, spot)
        if held:
            told = f"{entries.called(self.sheet.draft.values, spot)} is taken out"
            self._put(Spot(spot.list, min(spot.number, len(held))), held, told)
        else:
            self.sheet.message = f"a job has one {ENTRY[spot.list]} at least; write this one over"
            self.draw()

    def action_move_up(self) -> None:
        """Put the chosen entry before the one before it."""
        self._move(-1)

    def action_move_down(self) -> None:
        """Put the chosen entry after the one after it."""
        self._move(1)

    def _move(self, step: int) -> None:
        spot = self.spot
        if spot is None or not self.may_move(step):
            return
        held = entries.moved(self.sheet.draft.values, spot, step)
        to = Spot(spot.list, spot.number + step)
        key = self.sheet.fact.key.partition("].")[2]
        self._put(to, held, f"{ENTRY[spot.list]} {spot.number} is {ENTRY[spot.list]} {to.number} now", key)

    def _put(self, spot: Spot, held: list[dict[str, object]], told: str, key: str = "") -> None:
        """Put a list in place of the one before, and choose an entry's key; empty for its first."""
        self.sheet.set({spot.list: held})
        self.sheet.choose(f"{spot.list}[{spot.number}].{key}")
        self.sheet.message = f"{told}; {TAKES_BACK}"
        self.draw()
