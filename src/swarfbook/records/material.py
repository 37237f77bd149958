"""A material: a row of the reference tables and the numbers its owner knows better."""

from typing import Annotated, Literal, get_args

from swarfbook.records.base import Record, stated
from swarfbook.records.fields import (
    EdgeForceFromZero,
    Exponent,
    Keyed,
    Name,
    Ratio,
    RatioFromZero,
    Stress,
    StressFromZero,
    Word,
)

CuttingLaw = Literal["kienzle", "linear-edge"]


class Overrides(Record):
    """Numbers that replace those of the table's row: stresses [Pa], edge forces [N/m], bare ratios."""

    kc11: Stress | None = None
    mc: Exponent | None = None
    force_ratio_radial: Ratio | None = None
    force_ratio_axial: RatioFromZero | None = None
    ktc: Stress | None = None
    krc: Stress | None = None
    kac: StressFromZero | None = None
    kte: EdgeForceFromZero | None = None
    kre: EdgeForceFromZero | None = None
    kae: EdgeForceFromZero | None = None
    min_chip_ratio: Ratio | None = None


class Material(Record):
    """A material as its file describes it; `overrides` holds only what is there, in SI units."""

    name: Name
    table: Name
    cutting_law: Annotated[CuttingLaw, Word(get_args(CuttingLaw))] | None = None
    overrides: Annotated[dict[str, float], Keyed(Overrides)] = stated(default_factory=dict)
