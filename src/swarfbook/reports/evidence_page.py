"""What has run clean, in words: covered or beyond, and the high-water mark of one limit."""

from __future__ import annotations

from collections.abc import Iterator

from swarfbook import quantities
from swarfbook.decisions.check import Check, Limit
from swarfbook.decisions.past import Mark, excess_text
from swarfbook.decisions.titles import title
from swarfbook.reports.run_page import earned_text
from swarfbook.reports.words import counted

NO_RUNS = "nothing has run clean with this cutter in this material on this machine yet, at this stickout"
NAMED = 3  # demands that are named; the others are counted


def word(check: Check) -> str:
    """Give the one word of a list: the verdict, or `covered` where it holds and all of it has run clean."""
    return "covered" if check.verdict == "holds" and check.covered else check.verdict


def record_text(check: Check) -> str:
    """Say what the log says of a recipe at these numbers; empty where it says nothing at all."""
    if not check.case.past.cuts:
        return ""
    needed = check.case.settings.thresholds.clean_runs
    return earned_text(check.track_record, standing=check.case.recipe.standing, needed=needed)


def covered_text(check: Check) -> str:
    """Say whether every demand has run clean before, and by how much the others go beyond.

    Empty for a machine, cutter and material that never ran.
    """
    if not check.case.past.cuts:
        return ""
    if check.covered:
        return "covered: every demand is at or under what has run clean"
    if all(limit.beyond is None for limit in check.limits):
        return NO_RUNS
    parts = [text for text in (_beyond(check), _unmarked(check)) if text]
    return "; ".join(parts)


def learnt_text(check: Check) -> str:
    """Say what measured power has done to the forces of a check; empty where none was measured."""
    learnt = check.case.choice.learnt
    if learnt is None:
        return ""
    before, after = (f"{100 * sd:.0f} %" for sd in (learnt.base_sd, check.case.choice.sd))
    narrowed = f"went from {before} to {after}" if before != after else f"stays {before}"
    return (
        f"forces are {learnt.factor:.2f} of the tables', as the measured power of "
        f"{counted(learnt.runs, 'run')} says; their spread {narrowed}"
    )


def _beyond(check: Check) -> str:
    beyond = [limit for limit in check.limits if limit.beyond]
    beyond.sort(key=lambda limit: limit.beyond or 0.0, reverse=True)
    told = [f"{excess_text(limit.beyond or 0.0)} in {title(limit.name)}" for limit in beyond[:NAMED]]
    more = f" and less in {len(beyond) - NAMED} more" if len(beyond) > NAMED else ""
    return f"beyond what has run clean by {', '.join(told)}{more}" if told else ""


def _unmarked(check: Check) -> str:
    names = [title(limit.name) for limit in check.limits if limit.beyond is None]
    return f"nothing undisputed has run clean in {', '.join(names)}" if names else ""


def mark_text(limit: Limit, *, system: str, unit: str | None = None) -> str:
    """Say what the high-water mark of a limit is, which run set it, and whether it is disputed.

    Args:
        limit: a limit of a checked recipe.
        system: `metric` or `imperial`.
        unit: the unit it is shown in; None takes the system's.
    """
    mark = limit.mark
    if mark is None:
        return "Nothing has run clean here yet." if limit.use is not None else ""
    shown = quantities.show(mark.value, limit.dimension, unit=unit, system=system)
    return f"Last clean: {shown}, {mark.at:%d %b %Y}{''.join(_dispute(mark, limit, system, unit))}."


def _dispute(mark: Mark, limit: Limit, system: str, unit: str | None) -> Iterator[str]:
    if not mark.disputed_by:
        return
    yield f", disputed by run {mark.disputed_by}"
    if mark.covers is not None:
        covers = quantities.show(mark.covers, limit.dimension, unit=unit, system=system)
        yield f"; up to {covers} nothing speaks against it"
