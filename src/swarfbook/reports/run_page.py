"""Runs as lines for people: what was just written down, the log, one run."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

from swarfbook import quantities
from swarfbook.book.table import Brief
from swarfbook.decisions.past import TrackRecord
from swarfbook.decisions.titles import said
from swarfbook.errors import printable
from swarfbook.frozen import frozen
from swarfbook.records import Reading, Run
from swarfbook.reports.words import counted, cut_to

if TYPE_CHECKING:  # a check says what has run, and writes nothing down
    from swarfbook.decisions.case import Case
    from swarfbook.decisions.running import Logged

POWER_WIDTH = 9
ROOMY = 72  # columns from which hour and power have room
SIDES = {"input": "before the motor", "shaft": "at the shaft", None: "side not told"}


def minutes_text(minutes: float) -> str:
    """Write a time in the cut: `42 min`, `2 h 10 min`."""
    whole = round(minutes)
    if minutes < 10 and whole != minutes:
        return f"{minutes:.1f} min"
    return f"{whole} min" if whole < 60 else f"{whole // 60} h {whole % 60:02d} min"


def logged_lines(logged: Logged) -> list[str]:
    """Say what was written down, and what that makes of the recipe's standing."""
    line = logged.line
    overrides = _overrides(line["feed_override"], line["speed_override"])
    cut = f"{minutes_text(line['minutes'])}, {said_outcome(line['outcome'])}{overrides}"
    lines = [f"logged {line['id']}: {line['recipe']}, {cut}"]
    if "power" in line:
        power = line["power"]
        lines.append(f"  power {power['value']:.4g} {power['unit']} {SIDES[power['side']]}")
    lines.append(f"  {_earned(logged)}")
    if logged.promoted:
        lines.append("  That makes it proven, and its file says so now.")
    return lines


def logged_text(logged: Logged) -> str:
    """Say in one line what was written down and what that makes of the recipe's standing."""
    if logged.promoted:
        return f"logged; that makes it proven, and its file says so now: {_earned(logged)}"
    line = logged.line
    return f"logged {minutes_text(line['minutes'])} {said_outcome(line['outcome'])}; {_earned(logged)}"


def doubt_text(case: Case, run: Run) -> str:
    """Say in a line that a power reading is far from the model, and how to mend it; empty where it is not."""
    from swarfbook.decisions.observing import power_doubt  # noqa: PLC0415 - only what writes a run asks

    doubt = power_doubt(case, run)
    if doubt is None:
        return ""
    far = f"{doubt.ratio:.2g} times" if doubt.ratio >= 1 else f"only {100 * doubt.ratio:.2g} % of"
    reading, expected = f"{doubt.reading:.4g} W", f"{doubt.expected:.3g} W"
    other = "input" if doubt.side == "shaft" else "shaft"
    return (
        f"{reading} {SIDES[doubt.side]} is {far} the {expected} that the model expects there; "
        f"if it was misread: swarfbook correct {run.id} --power POWER, or --side {other}"
    )


def _earned(logged: Logged) -> str:
    standing = "proven" if logged.promoted else logged.case.recipe.standing
    needed = logged.case.settings.thresholds.clean_runs
    return earned_text(logged.track_record, standing=standing, needed=needed)


def _overrides(feed: float, speed: float) -> str:
    shares = {"feed": feed, "speed": speed}
    told = [f"{name} at {100 * share:.4g} %" for name, share in shares.items() if share != 1]
    return f", {' and '.join(told)}" if told else ""


def earned_text(record: TrackRecord, *, standing: str, needed: int) -> str:
    """Say in a line what the log says of a recipe, and where its standing says otherwise.

    Args:
        record: what the log says.
        standing: what the recipe's file says.
        needed: clean runs that make it proven.
    """
    told = _contradiction(record, standing, needed)
    return f"{_ran(record)}{'; ' if told else ''}{told}"


def _ran(record: TrackRecord) -> str:
    if record.clean_runs:
        times = "once" if record.clean_runs == 1 else f"{record.clean_runs} times"
        return f"ran clean {times}, {minutes_text(record.clean_minutes)}"
    if record.trouble is not None:
        return f"last run: {said_outcome(record.trouble.outcome)}, {record.trouble.at:%d %b %Y}"
    if record.runs:
        return f"{counted(record.runs, 'run')}, none clean for long enough"
    if record.elsewhere:
        return f"not run at these numbers; {counted(record.elsewhere, 'run')} at others"
    return "no runs yet"


def _contradiction(record: TrackRecord, standing: str, needed: int) -> str:
    if standing == "proven" and record.earned != "proven":
        if record.trouble is not None:
            return "its file says proven, the log does not"
        return f"its file says proven, which takes {counted(needed, 'clean run')} at these numbers"
    if standing == "max-effort" and record.trouble is not None:
        return "its file says max-effort: look again"
    if standing == "trial" and record.earned == "proven":
        return "it has earned to be called proven"
    if standing == "trial":
        more = needed - record.clean_runs
        return f"{counted(more, 'clean run')} more {'makes' if more == 1 else 'make'} it proven"
    return ""


def said_outcome(outcome: str) -> str:
    """Say an outcome's word."""
    return said(outcome)


def log_lines(runs: Iterable[Brief], *, width: int) -> Iterator[str]:
    """Write runs as lines, and what they come to; the latest is to come first."""
    count = clean = 0
    minutes = 0.0
    for run in runs:
        yield log_line(run, width=width)
        count, minutes, clean = count + 1, minutes + run.minutes, clean + run.clean
    yield ""
    yield summed(count, minutes, clean)


def log_line(run: Run | Brief, *, width: int) -> str:
    """Write a run as one line: when, what, how long, how it went, power; less in less room."""
    roomy = width >= ROOMY
    when = run.at.strftime("%Y-%m-%d %H:%M" if roomy else "%Y-%m-%d")
    wide = max(12, width - len(when) - 2 - 12 - 13 - (POWER_WIDTH if roomy else 0))
    name = cut_to(run.recipe, wide)
    power = _reading(run.power) if run.power and roomy else ""
    time = minutes_text(run.minutes)
    return f"{when} {name:<{wide}} {time:>10} {said_outcome(run.outcome):<13}{power}".rstrip()


def summed(runs: int, minutes: float, clean: int) -> str:
    """Say what so many runs of so many minutes come to."""
    return f"{counted(runs, 'run')}, {minutes_text(minutes)} in the cut; {clean} clean, {runs - clean} not"


@frozen
class UsedCutter:
    """What one cutter has cut.

    Attributes:
        tool: id of its kind; empty where the log does not say.
        name: which one of its kind; empty for all that were not named.
        runs: how many runs.
        minutes: time in the cut [min].
        last: the latest run.
    """

    tool: str
    name: str
    runs: int
    minutes: float
    last: Run | Brief

    @property
    def told(self) -> str:
        """Its minutes and runs, and how the last one went where that was not clean."""
        ended = "" if self.last.clean else f", last: {said_outcome(self.last.outcome)}"
        return f"{minutes_text(self.minutes)} in {counted(self.runs, 'run')}{ended}"


def used_cutters(runs: Iterable[Run | Brief]) -> list[UsedCutter]:
    """Give what each cutter has cut, the most used first."""
    found: dict[tuple[str, str], UsedCutter] = {}
    for run in runs:
        recipe = run.snapshot.get("recipe")
        tool = recipe.get("tool") if isinstance(recipe, dict) else ""
        key = printable(str(tool or "")), run.cutter or ""
        one = found.get(key) or UsedCutter(*key, 0, 0.0, run)
        last = run if run.at > one.last.at else one.last
        found[key] = UsedCutter(*key, one.runs + 1, one.minutes + run.minutes, last)
    return sorted(found.values(), key=lambda one: -one.minutes)


def cutter_lines(runs: Iterable[Run | Brief]) -> Iterator[str]:
    """Write the minutes of each cutter that was named, the most used first."""
    for one in used_cutters(runs):
        time, _, rest = one.told.partition(" in ")
        yield f"{one.tool:<18} {one.name or 'not named':<24}{time:>10} in {rest}"


def run_lines(run: Run, *, system: str) -> Iterator[str]:
    """Write one run in full: what was cut as it was cut, and what was said of it."""
    yield f"{run.id} · {run.at:%d %b %Y %H:%M} · {run.recipe}"
    corrected = f", in place of {run.replaces}" if run.replaces else ""
    overrides = _overrides(run.feed_override, run.speed_override)
    yield f"{minutes_text(run.minutes)}, {said_outcome(run.outcome)}{overrides}{corrected}"
    if run.cutter:
        yield f"cutter {run.cutter}"
    readings = {"power": run.power, "peak": run.power_peak, "without a cut": run.idle_power}
    told = [f"{name} {_reading(one)}" for name, one in readings.items() if one]
    if told:
        side = run.power.side if run.power else None
        yield f"{', '.join(told)}, read {SIDES[side]}"
    warmth = {"stock": run.stock_temperature, "room": run.ambient}
    told = [f"{name} {_temperature(one, system)}" for name, one in warmth.items() if one]
    if told:
        yield ", ".join(told)
    if run.note:
        yield f'"{run.note}"'


def _reading(reading: Reading) -> str:
    return f"{reading.number:.4g} {quantities.pretty(reading.unit)}"


def _temperature(reading: Reading, system: str) -> str:
    return quantities.show(reading.si, "temperature", system=system)
