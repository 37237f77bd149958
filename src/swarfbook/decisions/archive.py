"""Runs as a table for other programs and for long keeping: Parquet or CSV, and the fit of such a table.

A row is a run that counts, under the names of today, with what is known of it today; no number is rounded. A
group of rows is a month (UTC), so that neither writing nor reading has more of them at hand than one.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import reduce
from itertools import repeat
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from swarfbook.book import Book
from swarfbook.book.cells import as_cell
from swarfbook.book.columns import IDLE, POWER
from swarfbook.decisions.cuts import Whole
from swarfbook.decisions.evidence import Evidence, evidence, three_in
from swarfbook.decisions.observing import OTHERWISE
from swarfbook.decisions.sums import Key, Sums
from swarfbook.errors import Problem, SwarfbookError

if TYPE_CHECKING:
    import pandas as pd

TEXTS = ("run", "recipe", "machine", "tool", "material", "outcome")
NUMBERS = ("minutes", "power", "idle_power", "measured", "predicted", "weight")
COLUMNS = ("run", "at", *TEXTS[1:], *NUMBERS)
"""`at` is UTC; minutes [min], powers [W]: as read, read without a cut, at the shaft behind it, by the tables;
what a run counts for [1]."""
PARTS = ["material", "tool", "machine"]
FIT = [*PARTS, "outcome", "power", "measured", "predicted", "weight"]
NEEDS = "it needs more: pip install 'swarfbook[archive]'"


def export_runs(book: Book, path: Path) -> int:
    """Write the runs of a book that count, by the ending of the file: `.parquet` or `.csv`.

    Returns:
        How many runs.

    Raises:
        SwarfbookError: another ending, what the format needs is not installed, or the disk refuses.
    """
    write = _WRITERS.get(path.suffix.lower())
    if write is None:
        raise _error(path, "write a name that ends in .parquet or .csv")
    count, months = run_months(book)
    try:
        write(path, months)
    except OSError as error:
        raise _error(path, f"this cannot be written: {(error.strerror or str(error)).lower()}") from None
    return count


def run_months(book: Book) -> tuple[int, Iterator[pd.DataFrame]]:
    """Give how many runs count, and them as frames with `COLUMNS`, a month after the other."""
    known = evidence(book)
    return len(known.rows), _months(known)


def _error(path: Path, remedy: str) -> SwarfbookError:
    return SwarfbookError(Problem(str(path), "", "", remedy))


def _months(known: Evidence) -> Iterator[pd.DataFrame]:
    """Yield the runs of one month after the other; none at all for a log without runs."""
    table, metered = known.table, known.metered()
    months = table.rows["at"][known.rows].astype("datetime64[us]").astype("datetime64[M]")
    read = np.full((3, len(table.rows)), np.nan)
    read[:, metered.rows] = metered.measured, metered.predicted, metered.weight
    for month in np.unique(months):
        rows = known.rows[months == month]
        yield _frame(known, rows[np.argsort(table.rows["at"][rows], kind="stable")], read)


def _frame(known: Evidence, rows: Whole, read: np.ndarray[Any, Any]) -> pd.DataFrame:
    import pandas as pd  # noqa: PLC0415 - slow to start

    table = known.table
    of, pools = table.rows[rows], table.columns.pools
    threes = [three_in(snapshot) or (None, None, None) for snapshot in table.snapshots]
    machine, tool, material = (
        np.array([three[which] for three in threes], dtype=object) for which in range(3)
    )
    snapshot = table.snapshot[rows]
    told: dict[str, Any] = {
        "run": [table.name(row) for row in rows.tolist()],
        "at": pd.to_datetime(of["at"], unit="us", utc=True).as_unit("us"),
        "recipe": np.array(table.recipes, dtype=object)[table.recipe[rows]],
        "machine": machine[snapshot],
        "tool": tool[snapshot],
        "material": material[snapshot],
        "outcome": np.array(pools["outcome"], dtype=object)[of["outcome"]],
        "minutes": of["minutes"],
        "power": np.where(of["flags"] & POWER, of["power"], np.nan),
        "idle_power": np.where(of["flags"] & IDLE, of["idle"], np.nan),
        **dict(zip(("measured", "predicted", "weight"), read[:, rows], strict=True)),
    }
    return pd.DataFrame({name: told[name] for name in COLUMNS})


def _write_csv(path: Path, months: Iterator[pd.DataFrame]) -> None:
    import pandas as pd  # noqa: PLC0415 - as above

    with path.open("w", encoding="utf-8", newline="") as file:
        pd.DataFrame(columns=list(COLUMNS)).to_csv(file, index=False, lineterminator="\n")
        for month in months:
            shown = {name: month[name].map(as_cell, na_action="ignore") for name in TEXTS}
            month.assign(**shown).to_csv(file, index=False, header=False, lineterminator="\n")


def _write_parquet(path: Path, months: Iterator[pd.DataFrame]) -> None:
    pa, parquet = _arrow(path)
    fields = {name: pa.string() for name in TEXTS} | {name: pa.float64() for name in NUMBERS}
    fields["at"] = pa.timestamp("us", tz="UTC")
    schema = pa.schema([(name, fields[name]) for name in COLUMNS])
    with parquet.ParquetWriter(path, schema) as writer:
        for month in months:
            writer.write_table(pa.Table.from_pandas(month, schema=schema, preserve_index=False))


_WRITERS: Mapping[str, Callable[[Path, Iterator[Any]], None]] = {
    ".csv": _write_csv,
    ".parquet": _write_parquet,
}


def _arrow(path: Path) -> tuple[Any, Any]:
    try:
        import pyarrow as pa  # noqa: PLC0415 - an extra, and slow to start
        from pyarrow import parquet  # noqa: PLC0415
    except ModuleNotFoundError:
        raise _error(path, NEEDS) from None
    return pa, parquet


@dataclass(frozen=True, slots=True)
class Archive:
    """What an archive adds up to.

    Attributes:
        sums: by material, cutter and machine.
        unread: runs with a power reading that teaches nothing.
    """

    sums: Sums
    unread: int


def read_archive(path: Path, *, engine: str = "arrow") -> Archive:
    """Add up the runs of a Parquet file of `export_runs`.

    Args:
        path: the file.
        engine: `arrow` reads one group of rows after the other; `dask` several at once, by the scheduler it
            is set to, on as many cores as there are. Both find the same bits.

    Raises:
        SwarfbookError: the file does not read, lacks a column, or what the engine needs is not installed.
    """
    pa, parquet = _arrow(path)
    try:
        with parquet.ParquetFile(path) as file:
            lacking = [name for name in FIT if name not in file.schema_arrow.names]
            if lacking:
                raise _error(path, f"no column {lacking[0]}; give a file of swarfbook export runs")
            groups = file.num_row_groups
        found = _by_dask(path, groups) if engine == "dask" else map(_of_group_in, repeat(path), range(groups))
        return reduce(_both, found, Archive(Sums(), 0))
    except OSError as error:
        raise _error(path, f"this cannot be read: {(error.strerror or str(error)).lower()}") from None
    except pa.ArrowInvalid:
        raise _error(path, "not Parquet; give a file that swarfbook export runs FILE.parquet wrote") from None


def _both(one: Archive, other: Archive) -> Archive:
    return Archive(one.sums + other.sums, one.unread + other.unread)


def _of_group(group: pd.DataFrame) -> Archive:
    teaching = group[group["measured"].notna() & ~group["outcome"].isin(OTHERWISE)]
    unread = int(group["power"].notna().sum()) - len(teaching)
    return Archive(Sums.of_cells(map(_observed, teaching.groupby(PARTS))), unread)


def _observed(cell: tuple[Any, pd.DataFrame]) -> tuple[Key, list[float], list[float]]:
    key, runs = cell
    ratios = (runs["measured"] / runs["predicted"]).tolist()
    return tuple(map(str, key)), list(map(math.log, ratios)), runs["weight"].tolist()  # type: ignore[return-value]


def _by_dask(path: Path, groups: int) -> list[Archive]:
    try:
        import dask  # noqa: PLC0415 - an extra, and slow to start
    except ModuleNotFoundError:
        raise _error(path, NEEDS) from None
    return list(dask.compute(*(dask.delayed(_of_group_in)(path, group) for group in range(groups))))


def _of_group_in(path: Path, group: int) -> Archive:
    _, parquet = _arrow(path)
    with parquet.ParquetFile(path) as file:
        return _of_group(file.read_row_group(group, columns=FIT).to_pandas())
