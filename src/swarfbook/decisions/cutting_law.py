"""Choosing the cutting law of a material and filling its coefficients from overrides and tables."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from swarfbook import tables
from swarfbook.decisions.inputs import agreed, spread
from swarfbook.decisions.past import Learnt
from swarfbook.errors import Problem, SwarfbookError, did_you_mean
from swarfbook.frozen import frozen
from swarfbook.physics.laws import CuttingLaw, Kienzle, LinearEdge, rake_factor
from swarfbook.records import Material, Tool
from swarfbook.tables import Row

LINEAR_COLUMNS = {
    "ktc": "ktc_n_per_mm2",
    "krc": "krc_n_per_mm2",
    "kac": "kac_n_per_mm2",
    "kte": "kte_n_per_mm",
    "kre": "kre_n_per_mm",
    "kae": "kae_n_per_mm",
}
KIENZLE_COLUMNS = {"kc11": "kc11_n_per_mm2", "mc": "mc"}
RATIO_COLUMNS = {"force_ratio_radial": "force_ratio_radial", "force_ratio_axial": "force_ratio_axial"}


@frozen
class LawChoice:
    """A cutting law with what stands behind it.

    Attributes:
        law: the law, wear and rake in it.
        name: `linear-edge` or `kienzle`.
        origin: rows and overrides it was filled from, in words.
        assumed: whether any of its numbers has no source.
        sd: log standard deviation of one factor on all its forces.
        chip_range: chip thicknesses the coefficients were fitted on [m]; None where nobody says.
        rows: the table rows behind it.
        coefficients: the numbers of the law by their override key [SI]; wear, rake and what was learnt are
            not in them.
        learnt: what measured power says of it, in `law` and `sd` already; None where nothing was measured.
    """

    law: CuttingLaw
    name: str
    origin: str
    assumed: bool
    sd: float
    chip_range: tuple[float, float] | None
    rows: tuple[Row, ...]
    coefficients: Mapping[str, float]
    learnt: Learnt | None = None


@frozen
class Use:
    """What the law is used for: the cutter (for a named rake), its wear, and the thickest chip [m]."""

    tool: Tool
    wear: float
    thickest_chip: float


def choose_law(material: Material, use: Use, *, where: str) -> LawChoice:
    """Choose and fill the cutting law of a material.

    Args:
        material: the material's record.
        use: what cuts, and how thick.
        where: file of the material, for errors.

    Raises:
        SwarfbookError: the table has no such row, or a coefficient is in neither the row nor the overrides.
    """
    row = _material_row(material, where)
    if law_name(material) == "linear-edge":
        return _linear_edge(material, _measured(material), use, where)
    return _kienzle(material, row, use, where)


def learnt_law(choice: LawChoice, learnt: Learnt | None) -> LawChoice:
    """Scale a law to what measured power says of it; what the chip's thickness adds to its spread stays."""
    if learnt is None:
        return choice
    outside = max(choice.sd**2 - learnt.base_sd**2, 0.0)
    sd = math.sqrt(learnt.sd**2 + outside)
    return replace(choice, law=choice.law.scaled(learnt.factor), sd=sd, learnt=learnt)


def base_spread(material: Material, tool: Tool, *, where: str) -> float:
    """Log standard deviation that the tables give a material's law inside its fitted range."""
    choice = choose_law(material, Use(tool, 1.0, 1.0), where=where)
    if choice.chip_range is None:
        return choice.sd
    return choose_law(material, Use(tool, 1.0, choice.chip_range[0]), where=where).sd


def require_numbers(material: Material, *, where: str) -> None:
    """Raise SwarfbookError for a material without a row of the tables, or without a number of its law."""
    row = _material_row(material, where)
    if law_name(material) == "linear-edge":
        _filled(material, LINEAR_COLUMNS, _measured(material), where)
    else:
        ratios = tables.load("force_ratios").find(material.table)
        _filled(material, KIENZLE_COLUMNS, row, where)
        _filled(material, RATIO_COLUMNS, ratios, where)


def law_name(material: Material) -> str:
    """Name the law of a material: the chosen one, else linear-edge where all its numbers are known."""
    own = "linear-edge" if _has_all(material, _measured(material)) else "kienzle"
    return material.cutting_law or own


def other_law(material: Material, use: Use, *, chosen: str, where: str) -> LawChoice | None:
    """Fill the law that was not chosen, as a second opinion; None where a coefficient is not known."""
    if chosen == "linear-edge":
        return _kienzle(material, _material_row(material, where), use, where)
    measured = _measured(material)
    return _linear_edge(material, measured, use, where) if _has_all(material, measured) else None


def _measured(material: Material) -> Row | None:
    return tables.load("cutting_coefficients").find(material.table)


def _material_row(material: Material, where: str) -> Row:
    table = tables.load("materials")
    row = table.find(material.table)
    if row is None:
        hint = did_you_mean(material.table, table.ids())
        raise SwarfbookError(Problem(where, "table", material.table, f"no such row of materials.csv; {hint}"))
    return row


def _has_all(material: Material, row: Row | None) -> bool:
    return all(
        key in material.overrides or (row is not None and row.number(column) is not None)
        for key, column in LINEAR_COLUMNS.items()
    )


def _filled(material: Material, columns: dict[str, str], row: Row | None, where: str) -> dict[str, float]:
    found = {
        key: material.overrides.get(key, row.si(column) if row is not None else None)
        for key, column in columns.items()
    }
    missing = [key for key, value in found.items() if value is None]
    if missing:
        remedy = "missing: the table row has none, so write it here, or choose the other cutting_law"
        raise SwarfbookError(*(Problem(where, f"overrides.{key}", "", remedy) for key in missing))
    return {key: value for key, value in found.items() if value is not None}


def _origin(material: Material, keys: dict[str, str], *rows: Row | None) -> str:
    own = [key for key in keys if key in material.overrides]
    parts = [f"{row.id}, {row.table}.csv" for row in rows if row is not None] if len(own) < len(keys) else []
    return " and ".join([*parts, *([f"overrides of the material ({', '.join(own)})"] if own else [])])


def _linear_edge(material: Material, row: Row | None, use: Use, where: str) -> LawChoice:
    numbers = _filled(material, LINEAR_COLUMNS, row, where)
    own = all(key in material.overrides for key in LINEAR_COLUMNS)
    return LawChoice(
        law=LinearEdge(**numbers).scaled(use.wear),
        name="linear-edge",
        origin=_origin(material, LINEAR_COLUMNS, row),
        assumed=not own and row is not None and row.assumed,
        sd=spread("force-given" if own else "force-linear-edge", material=material.table),
        chip_range=None,
        rows=() if own or row is None else (row,),
        coefficients=numbers,
    )


def _kienzle(material: Material, row: Row, use: Use, where: str) -> LawChoice:
    ratios = tables.load("force_ratios").find(material.table)
    numbers = _filled(material, KIENZLE_COLUMNS, row, where) | _filled(material, RATIO_COLUMNS, ratios, where)
    law = Kienzle(
        kc11=numbers["kc11"],
        mc=numbers["mc"],
        force_ratio_radial=numbers["force_ratio_radial"],
        force_ratio_axial=numbers["force_ratio_axial"],
    )
    own = all(key in material.overrides for key in KIENZLE_COLUMNS)
    chip_range = fitted_range(row)
    return LawChoice(
        law=law.scaled(use.wear * _rake(use.tool, material)),
        name="kienzle",
        origin=_origin(material, KIENZLE_COLUMNS | RATIO_COLUMNS, row, ratios),
        assumed=row.assumed and not own,
        sd=spread(
            _kienzle_spread(row, own=own, inside=_between(use.thickest_chip, chip_range)),
            material=material.table,
        ),
        chip_range=chip_range,
        rows=tuple(used for used in (row, ratios) if used is not None),
        coefficients=numbers,
    )


def _between(value: float, ends: tuple[float, float]) -> bool:
    return ends[0] <= value <= ends[1]


def _kienzle_spread(row: Row, *, own: bool, inside: bool) -> str:
    if own:
        return "force-given"
    if row.assumed:
        return "force-kienzle-assumed"
    return "force-kienzle-in-range" if inside else "force-kienzle"


def fitted_range(row: Row) -> tuple[float, float]:
    """Give the chip thicknesses [m] a Kienzle pair was fitted on, else the usual ones."""
    low, high = row.si("chip_low_mm"), row.si("chip_high_mm")
    usual = (agreed(None, "kienzle-chip-low").value or 0.0, agreed(None, "kienzle-chip-high").value or 0.0)
    return (usual[0] if low is None else low, usual[1] if high is None else high)


def _rake(tool: Tool, material: Material) -> float:
    base = (
        tables.load("rake_bases").get(material.table).si("rake_base_deg") if tool.rake is not None else None
    )
    if tool.rake is None or base is None:
        return 1.0
    return float(rake_factor(rake=tool.rake, rake_base=base))
