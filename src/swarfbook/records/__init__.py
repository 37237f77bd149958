"""What a book holds, as models in SI units, and the one way from a file's keys to them.

Every float is SI: m, N, Pa, W, N*m, rad, s, m/s, Hz; spindle speeds are rev/s, feed per tooth is m, edge
forces N/m, ratios bare. A key that may be left out and is left out reads None.
"""

from swarfbook.records.base import Record
from swarfbook.records.digest import digest, joint_digest
from swarfbook.records.examples import as_toml, example, starter
from swarfbook.records.fields import check_id
from swarfbook.records.keys import choices, dimension, is_list, record_keys, required, span
from swarfbook.records.machine import Axes, Machine, Mode, Overload, Spindle, ToolTip
from swarfbook.records.material import Material
from swarfbook.records.misfits import misfits
from swarfbook.records.parsing import parse, read_value, takes
from swarfbook.records.recipe import Derived, Recipe
from swarfbook.records.rename import Rename
from swarfbook.records.run import CLEAN, OUTCOMES, Reading, Run
from swarfbook.records.settings import BookSettings, SafetyFactors, Thresholds
from swarfbook.records.tool import Tool

__all__ = [
    "CLEAN",
    "OUTCOMES",
    "Axes",
    "BookSettings",
    "Derived",
    "Machine",
    "Material",
    "Mode",
    "Overload",
    "Reading",
    "Recipe",
    "Record",
    "Rename",
    "Run",
    "SafetyFactors",
    "Spindle",
    "Thresholds",
    "Tool",
    "ToolTip",
    "as_toml",
    "check_id",
    "choices",
    "digest",
    "dimension",
    "example",
    "is_list",
    "joint_digest",
    "misfits",
    "parse",
    "read_value",
    "record_keys",
    "required",
    "span",
    "starter",
    "takes",
]
