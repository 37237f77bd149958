"""What an overload rating allows a recipe above the continuous power, as a sentence or two."""

from __future__ import annotations

from collections.abc import Iterator

from swarfbook import quantities
from swarfbook.decisions.check import Check
from swarfbook.decisions.duty import CYCLE, Overload, overload


def duty_note(check: Check) -> Iterator[str]:
    """Say how long and how often a recipe above the continuous rating may cut; nothing for one below it."""
    found = overload(check.case, check.numbers)
    if found is not None:
        rated = f"the overload rating ({found.duty}, {found.rating:.2f} of the continuous one)"
        yield f"{found.ratio:.2f} of the continuous power: {_allowed(check, found, rated)}"


def _allowed(check: Check, found: Overload, rated: str) -> str:
    if found.beyond:
        return f"above {rated} too, so not even for a short while."
    if found.time is None:
        return f"within {rated}; how long is not worked out for that duty."
    assumed = ", an assumed value" if check.case.inputs["thermal_time"].assumed else ""
    heating = quantities.show(check.case["thermal_time"], "time", unit="min", figures=2)
    return (
        f"within {rated}. From cold it may cut for about {_minutes(found.time)}, then "
        f"{_after(found)}. An estimate, from a thermal time constant of {heating}{assumed}."
    )


def _after(found: Overload) -> str:
    if found.share is None:
        return "cool down to the room's temperature"
    rest = "switched off" if found.kind == "S3" else "idling"
    return f"{_minutes(found.share * CYCLE)} of each {_minutes(CYCLE)}, {rest} between"


def _minutes(time: float) -> str:
    return quantities.show(time, "time", unit="min", figures=2)
