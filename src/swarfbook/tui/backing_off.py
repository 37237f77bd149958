"""The state of backing a recipe off: margin or risk being typed, what each method gives, the name."""

from __future__ import annotations

from collections.abc import Callable

from swarfbook import quantities
from swarfbook.decisions.check import Check
from swarfbook.decisions.derate import LARGEST_MARGIN, MOVES, Derating, percent_text
from swarfbook.decisions.past import HAIR
from swarfbook.decisions.risk import LARGEST_RISK, Risk
from swarfbook.decisions.titles import said
from swarfbook.tui.desk import Desk
from swarfbook.tui.naming import Naming

FIRST_MARGIN, FIRST_RISK = 0.25, 0.01
STEP = 0.05
RISKS = (0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5)
"""What a risk is stepped through."""
METHODS = tuple(MOVES)
SHARE_KEYS = frozenset("0123456789.% ")


class Share:
    """A share being typed: a margin or a risk.

    Attributes:
        value: the last one that would do.
        typed: what stands on screen.
        refusal: why that will not do; empty where it does.
    """

    def __init__(self, first: float, *, takes: Callable[[float], bool], says: str) -> None:
        """Begin with a share.

        Args:
            first: the share.
            takes: says whether one would do.
            says: which ones would.
        """
        self.value = first
        self.typed = percent_text(first)
        self.refusal = ""
        self._takes, self._says = takes, says
        self._fresh = True

    def press(self, key: str, character: str | None) -> bool:
        """Type it, the first character in place of what stands; False if the key is not for it."""
        if key == "backspace":
            self._set(self.typed.removesuffix("%").strip()[:-1])
        elif character is not None and character in SHARE_KEYS:
            self._set(character if self._fresh else self.typed + character)
        else:
            return False
        self._fresh = False
        return True

    def put(self, value: float) -> None:
        """Put another in its place."""
        self._set(percent_text(value))
        self._fresh = True

    def _set(self, text: str) -> None:
        self.typed = text
        try:
            # A bare number is a percentage here: nobody types a margin of 0.25 %.
            value = quantities.read(text, "ratio", default_unit="%").si
        except quantities.QuantityError as error:
            self.refusal = str(error)
            return
        self.refusal = "" if self._takes(value) else self._says
        self.value = value if self._takes(value) else self.value


class BackingOff:
    """What the derating screen shows and what its keys do to it.

    Attributes:
        desk: the book and what is open.
        parent: the recipe that is backed off, checked.
        margin: the margin, and a risk in its place.
        risk: see above.
        by_risk: the risk is asked for, and the margin is what it takes.
        deratings: what each method gives; None while it is worked out.
        risks: what it comes to where a risk was asked for.
        method: the chosen method, from 0.
        naming: the name for the child while it is asked for, and what the last key has to say.
        round: counts what was asked for, so that answers to something older are known.
    """

    def __init__(self, desk: Desk, parent: Check) -> None:
        self.desk = desk
        self.parent = parent
        self.margin = Share(
            FIRST_MARGIN,
            takes=lambda one: 0 <= one <= LARGEST_MARGIN,
            says="a margin lies between 0 % and 95 %",
        )
        self.risk = Share(
            FIRST_RISK, takes=lambda one: 0 < one <= LARGEST_RISK, says="a risk lies above 0 % and up to 50 %"
        )
        self.by_risk = False
        self.deratings: dict[str, Derating | None] = dict.fromkeys(METHODS)
        self.risks: dict[str, Risk] = {}
        self.method = 0
        self.naming = Naming(desk)
        self.round = 0

    @property
    def asked(self) -> Share:
        """What is asked for and typed."""
        return self.risk if self.by_risk else self.margin

    @property
    def refusal(self) -> str:
        """Why what was typed will not do; empty where it does."""
        return self.asked.refusal

    @property
    def label(self) -> str:
        """The chosen method, as it is said."""
        return said(METHODS[self.method])

    @property
    def chosen(self) -> Derating | None:
        """What the chosen method gives; None while it is worked out."""
        return self.deratings[METHODS[self.method]]

    @property
    def order(self) -> tuple[str, ...]:
        """The methods, the chosen one first: a risk takes a while."""
        return (*METHODS[self.method :], *METHODS[: self.method])

    def take(self, round_: int, derating: Derating, risk: Risk | None = None) -> bool:
        """Put an answer in; False if it answers something that was asked before."""
        if round_ != self.round:
            return False
        self.deratings[derating.method] = derating
        if risk is not None:
            self.risks[derating.method] = risk
        return True

    def walk(self, step: int) -> None:
        """Choose another method."""
        self.method = (self.method + step) % len(METHODS)

    # The margin and the risk

    def press(self, key: str, character: str | None) -> bool:
        """Type what is asked for; False if the key is not for it."""
        pressed = self.asked.press(key, character)
        if pressed:
            self._ask_anew()
        return pressed

    def switch(self) -> None:
        """Ask for a risk in place of a margin, or for a margin again."""
        self.by_risk = not self.by_risk
        self._ask_anew()

    def step(self, direction: int) -> None:
        """Take a margin one step of 5 % larger or smaller, or the next risk."""
        if self.by_risk:
            self.risk.put(_stepped(self.risk.value, direction))
        else:
            margin = round(self.margin.value / STEP + direction) * STEP
            self.margin.put(min(max(margin, 0.0), LARGEST_MARGIN))
        self._ask_anew()

    def _ask_anew(self) -> None:
        self.round += 1
        self.deratings = dict.fromkeys(METHODS)
        self.risks = {}

    # The child

    def take_it(self) -> str | None:
        """Ask for a name, or save the child under it; its id once it is saved."""
        derating = self.chosen
        if self.refusal or derating is None:
            self.naming.message = "" if self.refusal else "still working it out"
        elif not derating.reached:
            self.naming.message = f"{self.label} does not keep the promise: nothing to save"
        else:
            return self.naming.take(derating.values, self._stem(derating.margin))
        return None

    def _stem(self, margin: float) -> str:
        return f"{self.parent.case.recipe_id[:60]}-{100 * margin:.0f}-off"


def _stepped(risk: float, direction: int) -> float:
    if direction > 0:
        return next((one for one in RISKS if one > risk * (1 + HAIR)), RISKS[-1])
    return next((one for one in reversed(RISKS) if one < risk * (1 - HAIR)), RISKS[0])
