"""The state of the page: chosen value, pen, judged numbers and chosen rung. No widget."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from swarfbook.book import Book
from swarfbook.decisions.check import Check, Limit
from swarfbook.decisions.following import DIMENSIONS, OTHER_FEED
from swarfbook.decisions.relief import STRAINED, Relief, relief
from swarfbook.decisions.titles import said
from swarfbook.errors import Problem
from swarfbook.quantities import QuantityError
from swarfbook.reports.ladder import Rung, relief_note, rungs
from swarfbook.reports.sentence import Piece, follows, sentence, shown
from swarfbook.tui.desk import Desk
from swarfbook.tui.draft import Draft, Values, applied
from swarfbook.tui.filed import FiledSheet
from swarfbook.tui.pens import Pen
from swarfbook.tui.sentence_view import keys_of, second_line

FIRST = "spindle_speed"
FOLLOWERS = frozenset((*DIMENSIONS, *OTHER_FEED))


class Sheet(FiledSheet):
    """What the page shows and what its keys do to it.

    Attributes:
        desk: the book and the recipes being worked on.
        key: key of the chosen value; None while there is no recipe.
        pen: what is being written; None while nothing is.
        refusal: why the pen's text is no value yet; empty where it is one.
        becomes: the value a change such as `+10 %` comes to; empty for a value typed out.
        message: what the last command has to say, until the next key.
        check: the last good check, of what is being written where that can be judged.
        problems: why what stands in the sentence cannot be judged; empty when `check` is of it.
        rungs: the rungs of `check`.
        relief: what eases the chosen rung, once it was searched for.
        on_rung: a rung was chosen last, not a value.
        unfolded: the fold below the sentence is open.
        fold_top: first line of the fold in sight.
        on_disk: the recipe's file changed since it was read.
    """

    def __init__(self, desk: Desk) -> None:
        self.desk = desk
        self.message = ""
        self.unfolded = False
        self.turn_to()

    def turn_to(self) -> None:
        """Show the recipe on top from its beginning."""
        self.key: str | None = FIRST if self.draft else None
        self.pen: Pen | None = None
        self.refusal = self.becomes = ""
        self.on_disk = self.on_rung = False
        self.fold_top = 0
        self.relief: Relief | None = None
        self._rung: str | None = None
        self.check: Check | None = None
        self.judge()

    @property
    def system(self) -> str:
        """The units shown: `metric` or `imperial`."""
        return self.desk.system

    @property
    def filed(self) -> Draft | None:
        """The recipe on top."""
        return self.draft

    @property
    def book(self) -> Book:
        """The book."""
        return self.desk.book

    @property
    def draft(self) -> Draft | None:
        """The recipe on top."""
        return self.desk.draft

    def judge(self) -> None:
        """Judge what stands in the sentence, what is being written included."""
        self._values: Values = self.draft.values if self.draft else {}
        judged, self.problems = self._judged()
        self.check = judged or self.check or (self.draft.check if self.draft else None)
        self.rungs: list[Rung] = rungs(self.check, system=self.system) if self.check else []
        self.relief = None

    def _judged(self) -> tuple[Check | None, tuple[Problem, ...]]:
        self.refusal = self.becomes = ""
        if self.draft is None:
            return None, self.desk.problems
        if self.pen is None:
            return (None if self.draft.problems else self.draft.check), self.draft.problems
        try:
            changes = self.pen.changes()
        except QuantityError as error:
            self.refusal = str(error)
            return None, ()
        if self.pen.shown()[0].lstrip()[:1] in ("+", "-"):
            self.becomes = str(next(iter(changes.values())))
        self._values = applied(self._values, changes)
        return self.draft.preview(changes)

    @property
    def stale(self) -> bool:
        """Whether the rungs are of earlier values than those in the sentence."""
        return bool(self.refusal or self.problems)

    # The sentence

    def pieces(self) -> tuple[list[Piece], list[Piece]]:
        """Say the recipe: the sentence and the line under it; both empty while there is no recipe."""
        if self.draft is None:
            return [], []
        names, facts = self.desk.names(), self.draft.facts
        first = sentence(self._values, names=names, facts=facts, system=self.desk.shown)
        return first, second_line(self.draft, on_disk=self.on_disk, unfolded=self.unfolded)

    def name(self) -> list[Piece]:
        """Give the recipe's name, which is a value like the others; empty while there is no recipe."""
        return [Piece(str(self.draft.values.get("name", "")), "name")] if self.draft else []

    def walk(self, step: int) -> None:
        """Choose the next value, or the one before."""
        self.on_rung = False
        keys = keys_of(*self.pieces(), self.name())
        if keys:
            at = keys.index(self.key) if self.key in keys else -step
            self.key = keys[(at + step) % len(keys)]

    def choose(self, key: str) -> None:
        """Choose a value."""
        self.on_rung = False
        self.key = key

    def write(self, typed: str | None = None) -> None:
        """Take a pen to the chosen value; `typed` is what it begins with, None the value as it stands."""
        if self.draft is None or self.key is None:
            return
        if self.key == "notes" and "\n" in str(self.draft.values.get("notes", "")):
            self.message = "notes of several lines are written in the file: e opens it in your editor"
            return
        self.on_rung = False
        self.pen = self.desk.pen(self.key, self._standing(self.draft, self.key), typed)
        self.judge()

    def _standing(self, draft: Draft, key: str) -> str:
        if key in draft.values:
            text = str(draft.values[key])
            return shown(text, key, self.desk.shown, figures=6) if self.desk.shown else text
        piece = follows(key, draft.values, draft.facts, self.desk.shown) if key in FOLLOWERS else None
        return piece.text if piece else ""

    def press(self, key: str, character: str | None) -> bool:
        """Give a key to the pen; False if it has no use for it."""
        if self.pen is None or not self.pen.press(key, character):
            return False
        self.judge()
        return True

    def keep(self) -> bool:
        """Put what is written into the recipe; False, with `refusal`, where it is no value."""
        if self.pen is None or self.draft is None:
            return False
        try:
            changes: Mapping[str, Any] = self.pen.changes()
        except QuantityError as error:
            self.refusal = str(error)
            return False
        self.pen = None
        self.draft.change(changes)
        self.judge()
        return True

    def give_up(self) -> None:
        """Put the pen away; the value stays as it was."""
        self.pen = None
        self.check = None
        self.judge()

    # The ladder

    @property
    def rung(self) -> int:
        """Place of the chosen rung: the tightest until another is chosen, then that one wherever it moves."""
        return next((at for at, rung in enumerate(self.rungs) if rung.limit == self._rung), 0)

    @property
    def limit(self) -> Limit | None:
        """The limit of the chosen rung."""
        if self.check is None or not self.rungs:
            return None
        name = self.rungs[self.rung].limit
        return next(limit for limit in self.check.limits if limit.name == name)

    @property
    def strained(self) -> bool:
        """Whether the chosen rung is tight or over, of the values that stand."""
        return self.limit is not None and not self.stale and self.limit.verdict in STRAINED

    def walk_rungs(self, step: int) -> None:
        """Choose the next rung, or the one before."""
        self.relief = None
        if self.rungs:
            self.on_rung = True
            self._rung = self.rungs[min(max(self.rung + step, 0), len(self.rungs) - 1)].limit

    def find_relief(self) -> list[str]:
        """Search for what eases the chosen rung, and say it; empty where there is nothing to ease."""
        if self.check is None or self.limit is None or self.stale:
            return []
        self.relief = relief(self.check, self.limit)
        return relief_note(self.limit, self.relief)

    def apply_relief(self) -> None:
        """Make the change that eases the chosen rung; it can be taken back."""
        if self.draft is None or not self.strained:
            return
        if self.relief is None:
            self.find_relief()
        found = self.relief
        if found is None:
            self.message = "no single change eases this rung without breaking another"
            return
        other = OTHER_FEED.get(found.key)
        self.draft.change({found.key: found.text, **({other: None} if other else {})})
        self.say(f"{said(found.key)} is {found.text} now; u takes it back")

    # The recipe and its file

    def discard(self) -> None:
        """Put every value back as it stands in the file."""
        if self.draft is not None and self.draft.discard():
            self.say("all changes dropped; u brings them back")

    def switch_units(self) -> None:
        """Show other units; what is written stays as it was typed."""
        system = self.desk.switch_units()
        self.say(f"shown in {system} units; the file keeps what was typed" if system else "shown as typed")

    def retire(self) -> None:
        """Set the standing to retired, or a retired one back to trial."""
        if self.draft is not None:
            standing = "trial" if self.draft.values.get("standing") == "retired" else "retired"
            self.draft.change({"standing": standing})
            self.say(f"standing is {standing} now; s saves it, u takes it back")

    def look_at_disk(self) -> bool:
        """Notice what others changed; True if the page has to be drawn.

        A machine, a cutter or a material that changed has the recipe judged again.
        """
        draft = self.draft
        if draft is None or self.pen is not None or self.on_disk:
            return False
        if self.notice():
            return True
        if draft.parts_changed_on_disk():
            draft.judge()
            self.say("judged again: the machine, the cutter or the material changed on disk")
            return True
        return False
