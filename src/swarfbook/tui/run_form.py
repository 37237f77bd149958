"""The form of a run: what is said of it so far, field by field, and the report that makes. No widget."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from swarfbook import quantities
from swarfbook.decisions.running import LARGEST_OVERRIDE, Report
from swarfbook.decisions.telling import report_told
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.records import CLEAN, OUTCOMES
from swarfbook.reports.listing import findable
from swarfbook.reports.run_page import said_outcome
from swarfbook.tui.finding import Finder
from swarfbook.tui.line_edit import LineEdit

OUTCOME, MINUTES, CUTTER, SIDE, METER = "outcome", "minutes", "cutter", "side", "meter"
SIDES = {"input": "before the motor", "shaft": "at the shaft"}
SHARES = ("feed_override", "speed_override")
UNITS = {
    "power": "power",
    "power_peak": "power",
    "idle_power": "power",
    "stock_temperature": "temperature",
    "ambient": "temperature",
}
"""What a bare number is taken as, by the field."""
NOTHING_SUCH = "no outcome begins so; take some letters back"


@dataclass(frozen=True, slots=True)
class Asked:
    """One field of the form.

    Attributes:
        id: its name in `running.Report`.
        label: what it is called.
        unsaid: what is taken where nothing is written.
        hint: what may be written.
    """

    id: str
    label: str
    unsaid: str
    hint: str
    group: str = ""
    words: str = ""


FIELDS = (
    Asked(OUTCOME, "outcome", "", "letters find it, ← → choose; a digit goes on to the minutes"),
    Asked(MINUTES, "minutes in the cut", "", "42, or 1.5 h; left out where a meter's file tells it"),
    Asked("feed_override", "feed control", "100 %", "what it stood at; 100 % is as programmed"),
    Asked("speed_override", "speed control", "100 %", "what it stood at; 100 % is as programmed"),
    Asked(CUTTER, "cutter", "not named", "which one of its kind: no. 3, reground"),
    Asked("power", "power", "not read", "the mean while cutting, as a meter showed it: 310 W"),
    Asked(SIDE, "read where", "", "← → choose: before the motor, as a plug-in meter does, or at the shaft"),
    Asked("power_peak", "peak power", "not read", "the highest while cutting"),
    Asked("idle_power", "without a cut", "not read", "power at that speed in the air"),
    Asked("stock_temperature", "stock, at the end", "not read", "41 °C"),
    Asked("ambient", "room", "not read", "19 °C"),
    Asked(METER, "meter's file", "none", "path of a CSV from a power meter or drive; power is found in it"),
    Asked("note", "note", "none", "anything worth knowing next time"),
)
TYPED = tuple(asked.id for asked in FIELDS if asked.id not in (OUTCOME, SIDE))


@dataclass(frozen=True, slots=True)
class Word:
    """An outcome to choose.

    Attributes:
        id: its word in the log.
    """

    id: str
    group: str = ""

    @property
    def words(self) -> str:
        """What it is found by."""
        return findable(said_outcome(self.id))


@dataclass(slots=True)
class RunForm:
    """What is said of a run so far.

    Attributes:
        system: `metric` or `imperial`: what a bare temperature is in.
        cutters: names of cutters of its kind that were used before, the latest first.
        fields: the fields, and which is written in.
        outcomes: the outcomes, what is typed to find one, and which is chosen.
        texts: what is typed elsewhere, by field.
        side: side of the motor that powers were read on.
        refusal: why a field will not do, in words; empty where none was refused.
    """

    system: str
    cutters: Sequence[str] = ()
    fields: Finder[Asked] = field(default_factory=Finder)
    outcomes: Finder[Word] = field(default_factory=Finder)
    texts: dict[str, LineEdit] = field(default_factory=dict)
    side: str = "input"
    refusal: str = ""

    @classmethod
    def empty(cls, system: str, cutters: Sequence[str] = ()) -> RunForm:
        """Begin a form with nothing said: it ran clean."""
        form = cls(system, cutters, texts={name: LineEdit() for name in TYPED})
        form.fields.fill(FIELDS, OUTCOME)
        form.outcomes.fill([Word(word) for word in OUTCOMES], CLEAN)
        return form

    @classmethod
    def of(cls, report: Report, system: str, cutters: Sequence[str] = ()) -> RunForm:
        """Begin a form with what was said of a run; a meter's file stays what it was and is not asked for."""
        form = cls.empty(system, cutters)
        form.fields.fill([asked for asked in FIELDS if asked.id != METER], OUTCOME)
        form.outcomes.fill(form.outcomes.rows, report.outcome)
        form.side = report.side
        for name in TYPED:
            form.texts[name] = LineEdit.holding("" if name == METER else _written(report, name))
        return form

    @property
    def asked(self) -> Asked:
        """The field that is written in."""
        return self.fields.hits[self.fields.place]

    def text(self, name: str) -> str:
        """Give what stands in a field that is typed into."""
        return self.texts[name].text.strip()

    @property
    def lacks_minutes(self) -> bool:
        """Whether neither minutes nor a file that tells them are given."""
        return not self.text(MINUTES) and not self.text(METER)

    def go(self, name: str) -> None:
        """Write in another field."""
        self.fields.place = next(at for at, asked in enumerate(self.fields.hits) if asked.id == name)

    # Typing

    def press(self, key: str, character: str | None) -> None:
        """Give a key to the field that is written in."""
        name = self.asked.id
        if name == OUTCOME:
            self._press_outcome(key, character)
        elif name == SIDE:
            self._press_side(key, character)
        elif name == CUTTER and key == "right" and (rest := self.suggestion):
            self.texts[CUTTER] = LineEdit.holding(rest)
        else:
            self.texts[name].press(key, character)

    def _press_outcome(self, key: str, character: str | None) -> None:
        if key in ("left", "right"):
            count = len(self.outcomes.hits)
            self.outcomes.place = (self.outcomes.place + (1 if key == "right" else -1)) % max(count, 1)
        elif character is not None and character in "0123456789.":
            self.go(MINUTES)
            self.press(key, character)
        else:
            self.outcomes.press(key, character)

    def _press_side(self, key: str, character: str | None) -> None:
        other = next(side for side in SIDES if side != self.side)
        says_other = character is not None and SIDES[other].startswith(character.lower())
        if key in ("left", "right") or character == " " or says_other:
            self.side = other

    @property
    def suggestion(self) -> str:
        """A name used before that goes on as what is typed begins; empty for none, or inside the text."""
        line = self.texts[CUTTER]
        if line.caret < len(line.text):
            return ""
        begun = line.text.casefold()
        return next(
            (one for one in self.cutters if one != line.text and one.casefold().startswith(begun)), ""
        )

    # What it makes

    def told(self) -> dict[str, str | None]:
        """Give what was typed by the names of a report, bare numbers with their units."""
        told = {name: self._with_unit(name) or None for name in TYPED if name not in (MINUTES, METER)}
        return {**told, SIDE: self.side}

    def _with_unit(self, name: str) -> str:
        text = self.text(name)
        number = _bare(text)
        if number is None:
            return text
        if name in SHARES:
            # 80 is per cent and 0.8 a share; no control goes down to 3 %.
            return f"{text} %" if number > LARGEST_OVERRIDE else text
        unit = quantities.preferred_unit(UNITS[name], self.system) if name in UNITS else ""
        return f"{text} {unit}".rstrip()

    def report(self) -> Report:
        """Make the report; raises SwarfbookError with what will not do, a meter's file among it."""
        outcome = self.outcomes.chosen
        if outcome is None:
            raise SwarfbookError(Problem("--outcome", "", self.outcomes.find.text, NOTHING_SUCH))
        told, meter = self.told(), self.text(METER)
        if not meter:
            return report_told(outcome, self.text(MINUTES) or None, told, None)
        from swarfbook.reports.metering import read_meter

        return report_told(outcome, self.text(MINUTES) or None, told, read_meter(meter, told["idle_power"]))

    def refuse(self, problem: Problem) -> None:
        """Go to the field that a problem is of, and say there what would do."""
        name = problem.where.removeprefix("--").replace("-", "_")
        names = {asked.id for asked in self.fields.hits}
        key = problem.key.partition(".")[0]
        named = next((one for one in (name, key) if one in names), None)
        if named is None and self.text(METER) and problem.where == self.text(METER):
            named = METER
        self.refusal = problem.remedy
        if named is not None:
            self.go(named)


def _written(report: Report, name: str) -> str:
    value = getattr(report, name)
    if name in SHARES:
        return "" if value == 1.0 else f"{100 * value:.6g} %"
    return f"{value:.6g}" if isinstance(value, float) else str(value)


def _bare(text: str) -> float | None:
    try:
        return float(text) if text.replace(".", "", 1).lstrip("+-").isdigit() else None
    except ValueError:
        return None
