"""`swarfbook.sweep`: a recipe at many values of its knobs at once, as a pandas table."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, TypeAlias, TypedDict, Unpack

import numpy as np
from numpy.typing import NDArray

from swarfbook import quantities, records
from swarfbook.api.given import Measured, typed
from swarfbook.decisions.evidence import load_case
from swarfbook.decisions.figures import SPECS
from swarfbook.decisions.sweep import KNOBS, Sweep
from swarfbook.decisions.sweep import sweep as sweep_case
from swarfbook.errors import Problem, SwarfbookError

if TYPE_CHECKING:
    import pandas as pd
    import pint

    from swarfbook.book import Book

Many: TypeAlias = "Measured | Sequence[str] | pint.Quantity[Any]"
"""One value, texts one after the other, or a pint quantity that is an array of any shape."""
UNITS = {"axial_depth": "mm", "radial_width": "mm", "feed_per_tooth": "mm", "spindle_speed": "rpm"}


class Turned(TypedDict, total=False):
    """Values of the knobs that are turned; the others stay as the recipe has them."""

    axial_depth: Many
    radial_width: Many
    feed_per_tooth: Many
    spindle_speed: Many


def sweep(book: Book, recipe: str, **knobs: Unpack[Turned]) -> pd.DataFrame:
    """Work a recipe out at many values of its knobs at once; a million take seconds.

    Args:
        book: the book.
        recipe: id of the recipe.
        knobs: values by knob, as pint quantities that are arrays or as texts; arrays broadcast against each
            other as numpy's do, so that `depths[:, None]` and `widths` give every pair.

    Returns:
        A table with a row for each set of knobs: the knobs, every quantity of a check, `use_` and the
        limit's name for the share of each limit that is used, `tightest` and `verdict`. The units stand in
        `table.attrs["units"]`. Limits are judged as in a check, by the nominal values.

    Raises:
        SwarfbookError: an unknown id, or values that do not read or do not fit together.
        TypeError: numbers without a unit, or nothing to turn.

    Example:
        >>> import swarfbook
        >>> table = swarfbook.sweep(
        ...     swarfbook.Book.demo(), "long-bed-6mm-6082-rough", axial_depth=["1 mm", "3 mm", "9 mm"]
        ... )
        >>> table["verdict"].tolist()
        ['holds', '...', 'over']
    """
    if not knobs or not set(knobs) <= set(KNOBS):
        raise TypeError(f"sweep turns {', '.join(KNOBS)}: give one or more of them")
    case = load_case(book, recipe)
    turned = {name: _values(name, given) for name, given in knobs.items()}
    try:
        found = sweep_case(case, turned)
    except ValueError:
        shapes = ", ".join(f"{name} {values.shape}" for name, values in turned.items())
        raise SwarfbookError(Problem("sweep", "", shapes, "give arrays that broadcast")) from None
    return _table(found)


def _values(name: str, given: object) -> NDArray[np.float64]:
    dimension = records.dimension("recipe", name) or ""
    try:
        if getattr(getattr(given, "magnitude", None), "shape", ()):
            values = quantities.array_from_pint(given, dimension)
        else:
            many = given if isinstance(given, list | tuple) else [given]
            values = np.array([quantities.parse(typed(name, one, dimension), dimension) for one in many])
    except quantities.QuantityError as error:
        raise SwarfbookError(Problem(name, "", str(given), str(error))) from None
    if not (np.isfinite(values) & (values > 0)).all():
        raise SwarfbookError(Problem(name, "", "", "give values above 0"))
    return values


def _table(found: Sweep) -> pd.DataFrame:
    import pandas as pd  # noqa: PLC0415 - slow to load, and only this needs it

    measures = {name: (records.dimension("recipe", name) or "", unit) for name, unit in UNITS.items()}
    measures |= {spec.name: (spec.dimension, spec.unit) for spec in SPECS}
    columns: dict[str, Any] = {
        name: _in_unit(values, *measures[name])
        for name, values in {**found.knobs, **found.quantities}.items()
    }
    columns |= {f"use_{name.replace('-', '_')}": use for name, use in found.uses.items()}
    table = pd.DataFrame({**columns, "tightest": found.tightest, "verdict": found.verdict})
    table.attrs["units"] = {name: unit for name, (_, unit) in measures.items()}
    return table


def _in_unit(si: NDArray[np.float64], dimension: str, unit: str) -> NDArray[np.float64]:
    zero, one = (quantities.to_si(number, dimension, unit) for number in (0.0, 1.0))
    values: NDArray[np.float64] = (si - zero) / (one - zero)
    return values
