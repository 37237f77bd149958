"""Values of a recipe that follow from others, either way round: edit one, the other moves."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from swarfbook import quantities
from swarfbook.decisions.case import Case
from swarfbook.decisions.relief import on_dial
from swarfbook.frozen import frozen
from swarfbook.physics import shapes

LEADERS = {"cutting_speed": "spindle_speed", "radial_share": "radial_width"}
"""The recipe's key each of these follows from."""
DIMENSIONS = {"cutting_speed": "surface_speed", "radial_share": "ratio"}
OTHER_FEED = {"feed_per_tooth": "feed_rate", "feed_rate": "feed_per_tooth"}
FIGURES = 5


@frozen
class Facts:
    """What a recipe's cutter and machine say about its values.

    Attributes:
        flutes: teeth of the cutter.
        diameter: its diameter [m].
        edge_path: way of the fastest edge in the cut in one turn [m].
        dial: speeds a spindle with a dial can run at [rev/s]; empty where any serves.
    """

    flutes: int
    diameter: float
    edge_path: float
    dial: tuple[float, ...] = ()


def facts_of(case: Case) -> Facts:
    """Give the facts of a resolved recipe."""
    path = shapes.effective_cutting_speed(
        cutter=case.cutter, axial_depth=case["axial_depth"], spindle_speed=1.0
    )
    dial = tuple(case.machine.spindle.speeds or ())
    return Facts(case.tool.flutes, case.tool.diameter, float(path), dial)


def follower(key: str, values: Mapping[str, Any], facts: Facts) -> float | None:
    """Work a value out of the one it follows from.

    Args:
        key: `cutting_speed`, `radial_share`, or the feed that is not written.
        values: the recipe as typed.
        facts: of its cutter and machine.

    Returns:
        In SI; None where the value it follows from does not read.
    """
    if key in OTHER_FEED:
        return _other_feed(key, values, facts)
    leader = _read(values, LEADERS[key])
    if leader is None:
        return None
    return leader * facts.edge_path if key == "cutting_speed" else leader / facts.diameter


def leading(key: str, si: float, values: Mapping[str, Any], facts: Facts) -> dict[str, str]:
    """Give the written value that makes one that follows what it is to be.

    Args:
        key: `cutting_speed` or `radial_share`.
        si: what it is to be, in SI.
        values: the recipe as typed; its units are kept.
        facts: of its cutter and machine; a speed goes to the dial's position at or below it.
    """
    leader = LEADERS[key]
    wanted = si / facts.edge_path if key == "cutting_speed" else si * facts.diameter
    if key == "cutting_speed" and facts.dial:
        wanted = on_dial(facts.dial, wanted, upwards=False)
    kind = "spindle_speed" if key == "cutting_speed" else "length"
    unit = quantities.read(values[leader], kind).unit
    number = float(f"{quantities.convert(wanted, kind, unit):.{FIGURES}g}")
    return {leader: quantities.write(number, unit)}


def written_feed(values: Mapping[str, Any]) -> str:
    """Give the key of the feed that is written."""
    return "feed_per_tooth" if values.get("feed_per_tooth") is not None else "feed_rate"


def _other_feed(key: str, values: Mapping[str, Any], facts: Facts) -> float | None:
    written = written_feed(values)
    speed, feed = _read(values, "spindle_speed"), _read(values, written)
    if speed is None or feed is None or key == written:
        return None
    teeth_per_second = speed * facts.flutes
    if not (teeth_per_second > 0 and math.isfinite(teeth_per_second)):
        return None
    return feed * teeth_per_second if written == "feed_per_tooth" else feed / teeth_per_second


def _read(values: Mapping[str, Any], key: str) -> float | None:
    kinds = {"spindle_speed": "spindle_speed", "radial_width": "length"}
    try:
        return quantities.parse(values.get(key), kinds.get(key, key))
    except quantities.QuantityError:
        return None
