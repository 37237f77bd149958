"""The state of backing a recipe off: the margin being typed, what each method gives, the name. No widget."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count

from swarfbook import quantities
from swarfbook.decisions.check import Check
from swarfbook.decisions.derate import LARGEST_MARGIN, MOVES, Derating, percent_text
from swarfbook.errors import SwarfbookError
from swarfbook.tui.desk import READ_ONLY, Desk
from swarfbook.tui.line_edit import LineEdit

FIRST_MARGIN = 0.25
STEP = 0.05
METHODS = tuple(MOVES)
MARGIN_KEYS = frozenset("0123456789.% ")


class BackingOff:
    """What the derating screen shows and what its keys do to it.

    Attributes:
        desk: the book and what is open.
        parent: the recipe that is backed off, checked.
        margin: the last margin that was one.
        typed: the margin as it stands on screen.
        refusal: why what was typed is no margin; empty where it is one.
        deratings: what each method gives; None while it is worked out.
        method: the chosen method, from 0.
        name: the name for the child while it is asked for.
        message: what the last key has to say.
        round: counts the margins, so that answers to an old one are known.
    """

    def __init__(self, desk: Desk, parent: Check) -> None:
        self.desk = desk
        self.parent = parent
        self.margin = FIRST_MARGIN
        self.typed = percent_text(FIRST_MARGIN)
        self.refusal = ""
        self.deratings: dict[str, Derating | None] = dict.fromkeys(METHODS)
        self.method = 0
        self.name: LineEdit | None = None
        self.message = ""
        self.round = 0
        self._fresh = True

    @property
    def label(self) -> str:
        """The chosen method, as it is said."""
        return METHODS[self.method].replace("-", " ")

    @property
    def chosen(self) -> Derating | None:
        """What the chosen method gives; None while it is worked out."""
        return self.deratings[METHODS[self.method]]

    def take(self, round_: int, derating: Derating) -> bool:
        """Put an answer in; False if it answers a margin that has moved on."""
        if round_ != self.round:
            return False
        self.deratings[derating.method] = derating
        return True

    def walk(self, step: int) -> None:
        """Choose another method, unless a name is being typed."""
        if self.name is None:
            self.method = (self.method + step) % len(METHODS)

    # The margin

    def press(self, key: str, character: str | None) -> bool:
        """Type the margin, the first character in place of what stands; False if the key is not for it."""
        if key == "backspace":
            self._set(self.typed.removesuffix("%").strip()[:-1])
        elif character is not None and character in MARGIN_KEYS:
            self._set(character if self._fresh else self.typed + character)
        else:
            return False
        self._fresh = False
        return True

    def step(self, direction: int) -> None:
        """Take a margin one step of 5 % larger or smaller."""
        if self.name is None:
            margin = round(self.margin / STEP + direction) * STEP
            self._set(percent_text(min(max(margin, 0.0), LARGEST_MARGIN)))
            self._fresh = True

    def _set(self, text: str) -> None:
        self.typed = text
        self.round += 1
        self.deratings = dict.fromkeys(METHODS)
        try:
            # A bare number is a percentage here: nobody types a margin of 0.25 %.
            margin = quantities.read(text, "ratio", default_unit="%").si
        except quantities.QuantityError as error:
            self.refusal = str(error)
            return
        within = 0 <= margin <= LARGEST_MARGIN
        self.refusal = "" if within else "a margin lies between 0 % and 95 %"
        self.margin = margin if within else self.margin

    # The child

    def take_it(self) -> str | None:
        """Ask for a name, or save the child under it; its id once it is saved."""
        derating = self.chosen
        if self.refusal or derating is None:
            self.message = "" if self.refusal else "still working it out"
        elif not derating.reached:
            self.message = f"{self.label} does not keep the promise: nothing to save"
        elif self.desk.book.built_in:
            self.message = READ_ONLY
        elif self.name is None:
            self.name = LineEdit.holding(self._proposal())
        else:
            return self._save(derating, self.name.text.strip())
        return None

    def _save(self, derating: Derating, name: str) -> str | None:
        try:
            return self.desk.book.save("recipe", name, derating.values, seen=None).id
        except SwarfbookError as error:
            self.message = f"not saved: {error.problems[0].remedy}"
            return None

    def _proposal(self) -> str:
        taken = set(self.desk.book.ids("recipe"))
        return next(name for name in self._names() if name not in taken)

    def _names(self) -> Iterator[str]:
        stem = f"{self.parent.case.recipe_id[:60]}-{100 * self.margin:.0f}-off"
        yield stem
        yield from (f"{stem}-{number}" for number in count(2))
