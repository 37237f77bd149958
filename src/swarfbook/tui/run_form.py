"""The form of a run: its fields, and the report that what is said in them makes. No widget."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from swarfbook.decisions.running import LARGEST_OVERRIDE, Report
from swarfbook.decisions.telling import report_told
from swarfbook.errors import Problem
from swarfbook.records import CLEAN, OUTCOMES
from swarfbook.reports.run_page import said_outcome
from swarfbook.tui.finding import Finder
from swarfbook.tui.form import Field, Form, Word, bare

OUTCOME, MINUTES, CUTTER, SIDE, METER = "outcome", "minutes", "cutter", "side", "meter"
SHARES = ("feed_override", "speed_override")
FIELDS = (
    Field(OUTCOME, "outcome", "", "letters find it, ← → choose; a digit goes on to the minutes"),
    Field(MINUTES, "minutes in the cut", "", "42, or 1.5 h; left out where a meter's file tells it"),
    Field("feed_override", "feed control", "100 %", "what it stood at; 100 % is as programmed"),
    Field("speed_override", "speed control", "100 %", "what it stood at; 100 % is as programmed"),
    Field(CUTTER, "cutter", "not named", "which one of its kind: no. 3, reground"),
    Field("power", "power", "not read", "the mean while cutting, as a meter showed it: 310 W", "power"),
    Field(SIDE, "read where", "", "← → choose: before the motor, as a plug-in meter does, or at the shaft"),
    Field("power_peak", "peak power", "not read", "the highest while cutting", "power"),
    Field("idle_power", "without a cut", "not read", "power at that speed in the air", "power"),
    Field("stock_temperature", "stock, at the end", "not read", "41 °C", "temperature"),
    Field("ambient", "room", "not read", "19 °C", "temperature"),
    Field(METER, "meter's file", "none", "path of a CSV from a power meter or drive; power is found in it"),
    Field("note", "note", "none", "anything worth knowing next time"),
)
TYPED = tuple(one for one in FIELDS if one.id != METER)
WORDS = {
    OUTCOME: tuple(Word(word, said_outcome(word)) for word in OUTCOMES),
    SIDE: (Word("input", "before the motor"), Word("shaft", "at the shaft")),
}


@dataclass(slots=True)
class RunForm(Form):
    """What is said of a run so far."""

    @classmethod
    def empty(cls, system: str, cutters: Sequence[str] = (), *, files: bool = True) -> RunForm:
        """Begin a form with nothing said: it ran clean.

        Args:
            system: units of a bare temperature.
            cutters: names of cutters of its kind that were used before, the latest first.
            files: a meter's file may be named; in a browser none of the machine's may.
        """
        form = cls(system, known={CUTTER: cutters})
        form.begin(FIELDS if files else TYPED, WORDS, {OUTCOME: CLEAN})
        return form

    @classmethod
    def of(cls, report: Report, system: str, cutters: Sequence[str] = ()) -> RunForm:
        """Begin a form with what was said of a run; a meter's file stays what it was and is not asked for."""
        form = cls(system, known={CUTTER: cutters})
        form.begin(TYPED, WORDS, {one.id: _written(report, one.id) for one in TYPED})
        return form

    @property
    def outcomes(self) -> Finder[Word]:
        """The outcomes, what is typed to find one, and which is chosen."""
        return self.choices[OUTCOME]

    @property
    def side(self) -> str:
        """Side of the motor that powers were read on."""
        return str(self.choices[SIDE].chosen)

    @property
    def meter(self) -> str:
        """Path of a meter's file; empty for none, and where none is asked for."""
        return self.text(METER) if METER in self.texts else ""

    @property
    def lacks_minutes(self) -> bool:
        """Whether neither minutes nor a file that tells them are given."""
        return not self.text(MINUTES) and not self.meter

    def press_choice(self, words: Finder[Word], key: str, character: str | None) -> None:
        """Choose an outcome or the side; a digit goes on to the minutes."""
        if words is self.outcomes and character is not None and character in "0123456789.":
            self.go(MINUTES)
            self.press(key, character)
        elif words is self.outcomes or key in ("left", "right"):
            Form.press_choice(self, words, key, character)
        else:
            # Two words need no finding: the first letter of the other one chooses it, or the space bar.
            other = words.rows[1 - words.place].said
            if character is not None and (character == " " or other.startswith(character.lower())):
                words.place = 1 - words.place

    def with_unit(self, name: str) -> str:
        """Give what is typed in a field, a bare number with the unit it is meant in."""
        number = bare(self.text(name))
        if name in SHARES and number is not None:
            # 80 is per cent and 0.8 a share; no control goes down to 3 %.
            return f"{self.text(name)} %" if number > LARGEST_OVERRIDE else self.text(name)
        return Form.with_unit(self, name)

    def report(self) -> Report:
        """Make the report; raises SwarfbookError with what will not do, a meter's file among it."""
        told, meter = self.told(), self.meter
        outcome, minutes = str(told.pop(OUTCOME)), told.pop(MINUTES)
        told.pop(METER, None)
        if not meter:
            return report_told(outcome, minutes, told, None)
        from swarfbook.reports.metering import read_meter

        return report_told(outcome, minutes, told, read_meter(meter, told["idle_power"]))

    def named(self, problem: Problem) -> str | None:
        """Give the field that a problem is of: what a meter's file is refused for is of that file."""
        named = Form.named(self, problem)
        return METER if named is None and self.meter and problem.where == self.meter else named


def _written(report: Report, name: str) -> str:
    value = getattr(report, name)
    if name in SHARES:
        return "" if value == 1.0 else f"{100 * value:.6g} %"
    return f"{value:.6g}" if isinstance(value, float) else str(value)
