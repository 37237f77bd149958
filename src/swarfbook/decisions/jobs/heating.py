"""How warm the stock gets through a job: one lump, step by step, losing mass as it is cut.

The part of the cutting power that stays in the stock is the least known number of all: it carries a wide
spread, and where a run was logged with a stock temperature that says more than this page.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from swarfbook import tables
from swarfbook.decisions.chance import Uncertain
from swarfbook.decisions.inputs import spread
from swarfbook.decisions.jobs.timing import default_si
from swarfbook.physics import heat, warming
from swarfbook.physics.validity import Range
from swarfbook.records.job import Hold, Job, volume_of

Numbers = NDArray[np.float64]

BED_ROWS = {
    "mdf": "mdf",
    "plywood": "plywood-birch",
    "aluminium": "aluminium-wrought-6061-t6",
    "steel": "steel-mild",
}
GLUED = ("tape", "glue-tape")
ALUMINIUM = ("wrought-aluminium", "cast-aluminium")
POINTS = 24
"""Points of the curve drawn for each spell."""
NUDGE = 1.05


@dataclass(frozen=True, slots=True)
class Spell:
    """A stretch of a job with steady heat.

    Attributes:
        step: index of the step it belongs to, from 0.
        what: "cut", or "pause", "tool change" or "setup", which stand before their step.
        duration: [s].
        heat: into the stock [W].
        conductance: of the stock to air and bed [W/K].
        volume_lost: [m^3].
        force_sd: log standard deviation of the power behind the heat.
    """

    step: int
    what: str
    duration: float
    heat: float
    conductance: float
    volume_lost: float
    force_sd: float = 0.0


@dataclass(frozen=True, slots=True)
class Body:
    """The stock as a lump.

    Attributes:
        volume: at the start [m^3].
        heat_capacity: by volume, rho c [J/(m^3 K)].
        conductivity: k [W/(m K)].
        ambient: of workshop and bed [K].
        material: row of thermal.csv.
    """

    volume: float
    heat_capacity: float
    conductivity: float
    ambient: float
    material: str


@dataclass(frozen=True, slots=True)
class Warmth:
    """The stock's temperature through a job.

    Attributes:
        body: the stock.
        spells: the stretches, in order.
        starts, ends: temperature at the start and the end of each [K].
        film_power: how much of a change of the film coefficient goes into each spell's highest rise [1].
    """

    body: Body
    spells: tuple[Spell, ...]
    starts: tuple[float, ...]
    ends: tuple[float, ...]
    film_power: tuple[float, ...]

    def peak(self, step: int) -> float:
        """Highest temperature while a step cuts [K], median."""
        return max(max(self.starts[i], self.ends[i]) for i in self._cut(step))

    def temperature(self, step: int) -> Uncertain:
        """Highest temperature while a step cuts [K], with what its rise owes to each uncertain cause."""
        peak = self.peak(step)
        index = self._cut(step)[-1]
        share = max(peak - self.body.ambient, 0.0) / peak
        causes = {
            "heat_share": spread("heat-share"),
            "film": -self.film_power[index] * film_spread(),
            "force": self.spells[index].force_sd,
        }
        return Uncertain(peak, {cause: share * sd for cause, sd in causes.items()})

    def curve(self) -> tuple[Numbers, Numbers]:
        """Give times [s] and temperatures [K] of the whole job, some points to each spell."""
        times, temperatures = [0.0], [self.starts[0] if self.starts else self.body.ambient]
        now, left = 0.0, self.body.volume
        for spell, start in zip(self.spells, self.starts, strict=True):
            for share in np.linspace(0, 1, POINTS + 1)[1:]:
                times.append(now + share * spell.duration)
                temperatures.append(_after(self.body, spell, start, left, float(share)))
            now, left = now + spell.duration, left - spell.volume_lost
        return np.array(times), np.array(temperatures)

    def _cut(self, step: int) -> list[int]:
        return [i for i, spell in enumerate(self.spells) if spell.step == step and spell.what == "cut"]


def film_spread() -> float:
    """Log standard deviation of the film coefficient, from the ends of its table row."""
    row = tables.load("convection").get("stock:air-blast")
    high, low = row.needed("coefficient_high_w_per_m2k"), row.needed("coefficient_low_w_per_m2k")
    return math.log(high / low) / (2 * 1.6448536269514722)


def film(cooling: str) -> float:
    """Mean film coefficient of small stock [W/(m^2 K)]: the geometric middle of its table row."""
    row = tables.load("convection").get(f"stock:{cooling}")
    return math.sqrt(row.needed("coefficient_low_w_per_m2k") * row.needed("coefficient_high_w_per_m2k"))


def heat_share(family: str, cooling: str) -> float:
    """Share of the cutting power that stays in the stock [1], an assumption."""
    if cooling in ("mist", "flood"):
        return default_si("heat-share-wet")
    return default_si("heat-share" if family in ALUMINIUM else "heat-share-other")


def body_of(job: Job, material_row: str, ambient: float) -> Body:
    """Give the piece on the machine as a lump, in a workshop of an `ambient` temperature [K]."""
    row = tables.load("thermal").get(material_row)
    return Body(
        volume=volume_of(job.stock),
        heat_capacity=(row.si("density_kg_per_m3") or 0.0) * (row.si("specific_heat_j_per_kgk") or 0.0),
        conductivity=row.si("conductivity_w_per_mk") or 0.0,
        ambient=ambient,
        material=material_row,
    )


def faces(job: Job) -> float:
    """Area of the piece's top and sides [m^2]."""
    stock = job.stock
    if stock.form == "round-bar":
        return math.pi * stock.thickness * stock.length
    width = stock.width or 0.0
    return width * stock.length + 2 * stock.thickness * (width + stock.length)


def conductance(job: Job, holds: Sequence[Hold], cooling: str) -> float:
    """Conductance of the piece to the air round it and through its hold into the bed [W/K]."""
    return film(cooling) * faces(job) + bed_conductance(job, holds)


def bed_conductance(job: Job, holds: Sequence[Hold]) -> float:
    """Conductance through the hold and the bed [W/K]; 0 where nothing lies under the piece."""
    if job.bed.material == "none":
        return 0.0
    glued = [hold for hold in holds if hold.method in GLUED]
    area = sum((hold.length or 0.0) * (hold.width or 0.0) * (hold.count or 1) for hold in glued)
    layer, conducts = default_si("tape-thickness"), TAPE_CONDUCTIVITY
    if not glued:
        area = (job.stock.width or job.stock.thickness) * job.stock.length
        layer, conducts = default_si("contact-gap"), _conductivity("fluids", "air-300k")
    under = _conductivity("thermal", BED_ROWS[job.bed.material])
    return float(
        warming.bed_conductance(
            area=area,
            layer_thickness=layer,
            layer_conductivity=conducts,
            bed_thickness=job.bed.thickness,
            bed_conductivity=under,
        )
    )


TAPE_CONDUCTIVITY = 0.2
"""W/(m K): that of acrylic (thermal.csv), of which most tapes' adhesives are made."""


def _conductivity(table: str, row: str) -> float:
    return tables.load(table).get(row).si("conductivity_w_per_mk") or 0.0


def warm_up(body: Body, spells: Sequence[Spell]) -> Warmth:
    """Follow the stock's temperature through the spells, from the workshop's."""
    starts, ends = _followed(body, spells)
    quicker = [replace(spell, conductance=spell.conductance * NUDGE) for spell in spells]
    nudged = _followed(body, quicker)
    powers = tuple(
        _power(max(a, b) - body.ambient, max(c, d) - body.ambient)
        for a, b, c, d in zip(starts, ends, *nudged, strict=True)
    )
    return Warmth(body, tuple(spells), starts, ends, powers)


def _power(rise: float, nudged: float) -> float:
    """By which power of the conductance a rise falls."""
    if rise <= 0 or nudged <= 0:
        return 0.0
    return -math.log(nudged / rise) / math.log(NUDGE)


def _followed(body: Body, spells: Sequence[Spell]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    now, left = body.ambient, body.volume
    starts, ends = [], []
    for spell in spells:
        starts.append(now)
        now = _after(body, spell, now, left)
        left -= spell.volume_lost
        ends.append(now)
    return tuple(starts), tuple(ends)


def _after(body: Body, spell: Spell, start: float, left: float, share: float = 1.0) -> float:
    return float(
        warming.shrinking_lump_temperature(
            start_temperature=start,
            surroundings=body.ambient,
            heat=spell.heat,
            conductance=spell.conductance,
            heat_capacity=body.heat_capacity * left,
            share_lost=spell.volume_lost * share / left,
            duration=spell.duration * share,
        )
    )


def biot(job: Job, body: Body, cooling: str) -> float:
    """Resistance in the piece over that at its faces [1]; above 0.1 one temperature is a poor picture."""
    return float(
        heat.biot_number(
            film_coefficient=film(cooling),
            lump_length=body.volume / faces(job),
            conductivity=body.conductivity,
        )
    )


LUMP: Range = heat.LUMP


def softening(material_row: str) -> tuple[float, str] | None:
    """Give the temperature [K] a material should stay below and what it is; None where none is known.

    A service limit where there is one, else the low end of the softening or melting range.
    """
    rows = tables.load("softening")
    for place in (f"{material_row}:service-limit", material_row):
        row = rows.find(place)
        if row is not None:
            return row.si("temperature_low_degc") or 0.0, row.text("what")
    return None
