"""How someone else's typed code uses the package. Mypy reads it, nobody runs it: types are asserted, and each
error that mypy has to find stands as an ignored one, which it reports where there is nothing to ignore."""

from pathlib import Path
from typing import Any, Literal, assert_type

import numpy as np
import pandas as pd
import pint

import swarfbook

ureg = pint.UnitRegistry[float]()
book = swarfbook.Book.open("my-workshop")
recipe = "long-bed-6mm-6082-rough"

result = swarfbook.check(book, recipe, spindle_speed="16000 rpm", axial_depth=ureg.Quantity(2.5, "mm"))
assert_type(result, swarfbook.CheckResult)
assert_type(result.verdict, Literal["holds", "tight", "over", "not judged"])
assert_type(result.tightest.use, float | None)
assert_type(result.quantities, swarfbook.Named[swarfbook.Value])
assert_type(result.quantities["cutting_power"].value, float)
assert_type(result.quantities["cutting_power"].quantity, pint.Quantity[float])
assert_type(result.limits["bending"], swarfbook.JudgedLimit)
assert_type(result.to_dict(), dict[str, Any])
assert_type(result.table(), pd.DataFrame)
assert_type(book.recipes[recipe].axial_depth, float)

child = swarfbook.derate(book, recipe, margin=0.25, by="depth")
assert_type(child.save("mine"), Path)
assert_type(child.check, swarfbook.CheckResult)
found = swarfbook.pick(book, material="6082-t6", operation="rough", wall="14 mm", minutes=30)
assert_type(found.recipes, tuple[str, ...])
assert_type(swarfbook.sweep(book, recipe, axial_depth=np.linspace(1, 3) * ureg.mm), pd.DataFrame)
assert_type(swarfbook.sweep(book, recipe, axial_depth=["1 mm", "2 mm"]), pd.DataFrame)

swarfbook.check(book, recipe, spindle_speed=16000)  # type: ignore[arg-type]
swarfbook.check(book, recipe, spindel_speed="16000 rpm")  # type: ignore[call-arg]
swarfbook.check(book, recipe, operation="carve")  # type: ignore[arg-type]
swarfbook.derate(book, recipe, margin=0.25, by="prayer")  # type: ignore[arg-type]
swarfbook.pick(book, material="6082-t6", operation="rough", wall=14.0)  # type: ignore[arg-type]
swarfbook.sweep(book, recipe, stickout="20 mm")  # type: ignore[call-arg]
