"""Backing a recipe off, over the page: margin or risk, what each method gives, child beside parent."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import shorten, wrap

from textual import on, work
from textual.app import ComposeResult
from textual.message import Message
from textual.timer import Timer
from textual.worker import get_current_worker

from swarfbook.decisions.check import Check
from swarfbook.decisions.derate import Derating, derate, percent_text
from swarfbook.decisions.risk import Risk, derate_to_risk, load_chances
from swarfbook.reports.derating import beside, method_table, risk_text
from swarfbook.reports.ladder import percent
from swarfbook.tui.backing_off import METHODS, BackingOff
from swarfbook.tui.commands import footer
from swarfbook.tui.desk import Desk
from swarfbook.tui.keyed import Over
from swarfbook.tui.lines import Line, Lines

ROOMY = 24  # rows from which there is room for a blank
OTHER_ROWS = 5  # the page above, a blank, the name and the footer
REST = 0.25  # s without a key before a margin is worked out


class Ready(Message):
    """One method was worked out."""

    def __init__(self, round_: int, derating: Derating, risk: Risk | None = None) -> None:
        super().__init__()
        self.round = round_
        self.derating = derating
        self.risk = risk


class DerateScreen(Over[str | None]):
    """Gives the id of the recipe that was saved, or None for going back."""

    MODE = "derate"
    DEFAULT_CSS = """
    DerateScreen > #beside { height: 1fr; }
    """

    def __init__(self, desk: Desk, parent: Check) -> None:
        super().__init__()
        self.state = BackingOff(desk, parent)
        self._timer: Timer | None = None

    def compose(self) -> ComposeResult:
        """Lay out the margin, the table and what comes of it."""
        yield Lines(id="head", classes="top")
        yield Lines(id="table")
        for part in ("beside", "name", "foot"):
            yield Lines(id=part)

    def on_mount(self) -> None:
        """Begin with the margin as it stands."""
        self.work_out(self.state.round, self.state.margin.value, self.state.order)

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.draw()

    @work(thread=True, exclusive=True)
    def work_out(self, round_: int, share: float, methods: Sequence[str]) -> None:
        """Work out every method for a margin or a risk, one after the other, beside the keys."""
        worker, by_risk, case = get_current_worker(), self.state.by_risk, self.state.parent.case
        for method in methods:
            if worker.is_cancelled:
                return
            if by_risk:
                risk = derate_to_risk(case, risk=share, method=method)
                self.post_message(Ready(round_, risk.derating, risk))
            else:
                self.post_message(Ready(round_, derate(case, margin=share, method=method)))

    @on(Ready)
    def take_derating(self, message: Ready) -> None:
        """Put a method's answer into the table, unless something else is asked for by now."""
        if self.state.take(message.round, message.derating, message.risk):
            self.draw()

    def _asked_anew(self) -> None:
        if self._timer is not None:
            self._timer.stop()
        self._timer = self.set_timer(REST, self._begin)
        self.draw()

    def _begin(self) -> None:
        if not self.state.refusal:
            self.work_out(self.state.round, self.state.asked.value, self.state.order)

    # Drawing

    def draw(self) -> None:
        """Draw every part."""
        width = self.size.width
        head, beside = self._head(width), self._beside(width)
        # Where the screen is short the table loses its last rows, not the child and its name.
        room = self.size.height - len(head) - max(len(beside), 1) - OTHER_ROWS
        for part, lines in (
            ("head", head),
            ("table", self._table(width)[: max(room, 1)]),
            ("beside", beside),
            ("name", [self.state.naming.drawn(width)]),
            ("foot", [[(footer("derate", width, self.usable, self._now()), "faint")]]),
        ):
            self.query_one(f"#{part}", Lines).show(lines)

    def _head(self, width: int) -> list[Line]:
        state = self.state
        shares = self._shares()
        room = max(width - sum(len(text) for text, _ in shares) - 3, 0)
        name = shorten(f'Back off "{state.parent.case.recipe.name}"', room, placeholder=" …")
        first: Line = [(f" {name:<{room + 1}}", "strong"), *shares]
        said = state.refusal or self._promise()
        return [first, *([(f" {line}", "plain")] for line in wrap(said, width - 2)), []]

    def _shares(self) -> Line:
        """Write the margin and the risk, the one that is asked for in brackets, the other as it comes out."""
        state, chosen = self.state, self.state.chosen
        if state.by_risk:
            margin = "…" if chosen is None else percent_text(chosen.margin)
            return [(f"margin {margin}  ", "faint"), (f"risk [{state.risk.typed}]", "chosen")]
        risk = "…" if chosen is None else percent(max(load_chances(chosen.check).values(), default=0.0))
        return [(f"margin [{state.margin.typed}]", "chosen"), (f"  risk {risk}", "faint")]

    def _promise(self) -> str:
        state = self.state
        if not state.by_risk:
            promise = "Promise: power, torque, force, bending and deflection each at most"
            return f"{promise} {1 - state.margin.value:.2f} of it."
        risk = state.risks.get(METHODS[state.method])
        if risk is None:
            promise = "Looking for the smallest margin at which no load's limit is likelier to be passed than"
            return f"{promise} {state.risk.typed} …"
        return risk_text(risk)

    def _table(self, width: int) -> list[Line]:
        table = method_table(self.state.parent, self.state.deratings, system=self.state.desk.system)
        return [
            [(cell, "chosen" if cell.strip().startswith("[") else "plain") for cell in line]
            for line in table.lines(width=width, chosen=self.state.method)
        ]

    def _now(self) -> dict[str, str]:
        return {"risk": "margin", "more": "risk"} if self.state.by_risk else {}

    def _beside(self, width: int) -> list[Line]:
        state = self.state
        lines: list[Line] = []
        derating = state.chosen
        if derating is not None:
            for label, numbers, tightest in beside(state.parent, derating, label=state.label):
                lines += _wrapped(f"{label:<11} {numbers}; {tightest}", width, "plain")
            if derating.note and not state.by_risk:
                lines += _wrapped(derating.note, width, "strong")
        return [[], *lines] if self.size.height >= ROOMY else lines

    # Keys

    def usable(self, action: str) -> bool:
        """Say whether a command can do anything now: while a name is typed its letters are no commands."""
        return self.state.naming.line is None or action in ("take", "close", "help")

    def before_key(self) -> None:
        """Forget what the last key had to say."""
        self.state.naming.message = ""

    def typed(self, key: str, character: str | None) -> None:
        """Type the margin or the risk, or the name of the new recipe."""
        if self.state.naming.line is not None:
            self.state.naming.line.press(key, character)
            self.draw()
        elif self.state.press(key, character):
            self._asked_anew()

    def action_next_method(self) -> None:
        """Choose the next method."""
        self.state.walk(1)
        self.draw()

    def action_previous_method(self) -> None:
        """Choose the method before."""
        self.state.walk(-1)
        self.draw()

    def action_risk(self) -> None:
        """Type a risk in place of the margin, or the margin again."""
        self.state.switch()
        self._begin()
        self.draw()

    def action_more(self) -> None:
        """Take a larger margin, or a larger risk."""
        self.state.step(1)
        self._asked_anew()

    def action_less(self) -> None:
        """Take a smaller margin, or a smaller risk."""
        self.state.step(-1)
        self._asked_anew()

    def action_take(self) -> None:
        """Ask for a name; with a name, save."""
        saved = self.state.take_it()
        if saved is not None:
            self.dismiss(saved)
        else:
            self.draw()

    def action_close(self) -> None:
        """Go back: from the name to the table, from the table to the page."""
        if self.state.naming.line is not None:
            self.state.naming.line = None
            self.draw()
        else:
            self.dismiss(None)


def _wrapped(text: str, width: int, style: str) -> list[Line]:
    return [[(f" {part}", style)] for part in wrap(text, width - 2, subsequent_indent=" " * 12)]
