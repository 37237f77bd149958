"""The stock of a job: whether the part is in it, how much is bought, and what a smaller part would save."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from typing import Any, Literal

from swarfbook.decisions.jobs import sizes
from swarfbook.decisions.jobs.sizes import Grid, Sold, Tolerance, count, for_one_more, reach_of
from swarfbook.decisions.pick import HAIR
from swarfbook.records.job import BedUnder, Job, Part, Stock

Way = Literal["thickness", "width", "length", "diameter"]
BedState = Literal["clear", "cut", "through", "hard", "none"]

MOST_SIZES = 6
"""Sizes told of: more is a stock list."""
SLIGHT = 0.2
"""Share of a length up to which a part counts as slightly smaller: assumed, no source."""
TENTH = 0.1e-3
"""What a drawn length is rounded to [m]."""


@dataclass(frozen=True, slots=True)
class Room:
    """What a piece of stock leaves in one direction [m].

    Attributes:
        way: which one.
        stock: the piece.
        off: what skims, clamps and grip take of it.
        taken: what the parts in it take, with cutter and gaps between them.
        each: what one part takes.
        number: parts side by side in this direction.
        left: what is over; below 0 where it is too small.
        tolerance: what the stock may be off; None where no row of the tables says.
    """

    way: Way
    stock: float
    off: float
    taken: float
    each: float
    number: int
    left: float
    tolerance: Tolerance | None

    @property
    def fits(self) -> bool:
        """Whether a nominal piece is large enough."""
        return self.left >= -HAIR

    @property
    def sure(self) -> bool | None:
        """Whether the smallest piece inside its tolerance is large enough; None where that is not known."""
        return None if self.tolerance is None else self.left - self.tolerance.minus >= -HAIR


@dataclass(frozen=True, slots=True)
class Size:
    """A size of stock that holds the part and its skims [m].

    Attributes:
        thickness: or diameter.
        width: of a flat bar; None where the form has no usual widths.
        inch: whether it is an inch size.
        ratio: its cross-section over that of the stock in the job [1].
        sure: whether its thickness does at the low end of its tolerance; None where that is not known.
    """

    thickness: float
    width: float | None
    inch: bool
    ratio: float
    sure: bool | None


@dataclass(frozen=True, slots=True)
class Saving:
    """What a slightly smaller part saves.

    Attributes:
        way: what becomes smaller.
        less: by how much [m]; 0 where it is the stock alone that may be smaller.
        part: what the part measures then [m].
        size: the next smaller size it fits [m]; None where one more part comes out instead.
        inch: whether that is an inch size.
        parts: parts out of a bar, plate or sheet as sold, then.
        share: of the material saved for each part [1].
    """

    way: Way
    less: float
    part: float
    size: float | None
    inch: bool
    parts: int
    share: float


@dataclass(frozen=True, slots=True)
class StockPlan:
    """What a job takes of its stock; lengths [m], volumes [m^3], money in the job's currency.

    Attributes:
        form: of the stock.
        rooms: what the piece leaves in each direction.
        fits: whether the parts are in the piece.
        turned: whether the parts lie with their length across the piece.
        pieces: parts out of one piece, as the job says.
        in_grid: parts that a plain grid gets out of one piece, the better way round.
        per_sold: pieces out of a bar, plate or sheet as sold.
        parts_per_sold: parts out of it, no more a piece than the grid gets.
        buy: how many to buy; None where no part comes out of one.
        waste: share of the volume bought that does not end up inside the parts' envelopes, all places taken.
        relative: material bought for a part over the smallest blank it can be cut from; None as for `buy`.
        material_cost, cost_per_part: where the price is known.
        sizes: that hold the part, the smallest cross-section first.
        savings: what a slightly smaller part would save, the most first.
        bed: what happens to what lies under the hold.
        bed_left: of it under the cut; None where nothing says how deep the cutter goes.
        not_given: what the job does not say and is counted as 0.
    """

    form: str
    rooms: tuple[Room, ...]
    fits: bool
    turned: bool
    pieces: int
    in_grid: int
    per_sold: int
    parts_per_sold: int
    buy: int | None
    waste: float | None
    relative: float | None
    material_cost: float | None
    cost_per_part: float | None
    sizes: tuple[Size, ...]
    savings: tuple[Saving, ...]
    bed: BedState
    bed_left: float | None
    not_given: tuple[str, ...]


def stock_plan(job: Job, family: str | None, *, cutter_width: float | None = None) -> StockPlan:
    """Work out the stock of a job.

    Args:
        job: the job.
        family: of its material, as materials.csv has it; None knows sizes only, no tolerances.
        cutter_width: of the cutter that parts the parts [m]; None counts as 0 and is told.
    """
    stock, part = job.stock, job.part
    grid = sizes.grid_of(job, cutter_width or 0.0)
    rooms = tuple(_rooms(stock, part, family, grid))
    per_sold = sizes.per_sold(stock)
    in_grid = sizes.most_in(job, cutter_width or 0.0)
    parts = per_sold * min(job.pieces, in_grid)
    buy = math.ceil(job.quantity / parts) if parts else None
    price = job.material_price * buy if buy and job.material_price is not None else None
    volume = sizes.sold_volume(stock)
    return StockPlan(
        form=stock.form,
        rooms=rooms,
        fits=all(room.fits for room in rooms),
        turned=grid.turned,
        pieces=job.pieces,
        in_grid=in_grid,
        per_sold=per_sold,
        parts_per_sold=parts,
        buy=buy,
        waste=1 - parts * sizes.part_volume(stock, part, 0.0) / volume if parts else None,
        relative=volume / parts / sizes.part_volume(stock, part, 2 * sizes.skim_of(stock)) if parts else None,
        material_cost=price,
        cost_per_part=price / job.quantity if price is not None else None,
        sizes=tuple(_sizes(stock, family, rooms)),
        savings=tuple(sorted(_savings(job, family, grid, rooms), key=lambda one: (-one.share, one.less))),
        bed=_bed(job.bed),
        bed_left=None if job.bed.cut_in is None else job.bed.thickness - job.bed.cut_in,
        not_given=tuple(_not_given(job, cutter_width)),
    )


def _rooms(stock: Stock, part: Part, family: str | None, grid: Grid) -> Iterator[Room]:
    upright: Way = "diameter" if stock.form == "round-bar" else "thickness"
    limits = sizes.tolerance(stock.form, family, stock.thickness, stock.sold_width or stock.width)
    skims = 2 * sizes.skim_of(stock)
    yield _room(upright, stock.thickness, skims, (1, sizes.section(stock, part), 0.0), limits)
    across, along = ((grid.used[axis], grid.size[axis], grid.between) for axis in (0, 1))
    if stock.form != "round-bar" and stock.width is not None:
        limits = sizes.tolerance(stock.form, family, stock.width, None, of="width")
        yield _room("width", stock.width, stock.width - grid.space[0], across, limits)
    yield _room("length", stock.length, stock.length - grid.space[1], along, None)


def _room(
    way: Way, stock: float, off: float, row: tuple[int, float, float], limits: Tolerance | None
) -> Room:
    number, each, between = row
    taken = reach_of(number, each, between)
    # Rounded, so that a part that just fits does not seem too large by the last place of a float.
    return Room(way, stock, off, taken, each, number, round(stock - off - taken, 12) + 0.0, limits)


def _sizes(stock: Stock, family: str | None, rooms: tuple[Room, ...]) -> Iterator[Size]:
    """Yield the sizes that hold the parts, by their cross-section."""
    need = {room.way: room.off + room.taken for room in rooms}
    tall = need[rooms[0].way]
    made = [
        _size(stock, family, one, wide, tall)
        for one in sizes.thicknesses(stock.form, family)
        if _holds(one, tall)
        for wide in _broad(one, stock, family, need)
    ]
    # Families may share a size, and a size may stand in two lists.
    yield from sorted(dict.fromkeys(made), key=lambda one: (one.ratio, one.thickness))[:MOST_SIZES]


def _broad(one: Sold, stock: Stock, family: str | None, need: dict[Way, float]) -> list[float | None]:
    """Widths to go with a thickness, inches with inches; the job's own where the form has no usual ones."""
    if stock.form != "flat-bar":
        return [None]
    return [
        wide.size
        for wide in sizes.widths(stock.form, family)
        if wide.inch == one.inch and _holds(wide, need["width"])
    ]


def _holds(one: Sold, need: float) -> bool:
    return one.size >= need - HAIR


def _size(stock: Stock, family: str | None, one: Sold, width: float | None, need: float) -> Size:
    limits = sizes.tolerance(stock.form, family, one.size, width or stock.sold_width or stock.width)
    ratio = one.size / stock.thickness
    across = width / stock.width if width and stock.width else ratio if stock.form == "round-bar" else 1.0
    sure = None if limits is None else one.size - limits.minus >= need - HAIR
    return Size(one.size, width, one.inch, ratio * across, sure)


def _savings(job: Job, family: str | None, grid: Grid, rooms: tuple[Room, ...]) -> Iterator[Saving]:
    stock, part = job.stock, job.part
    if not all(room.fits for room in rooms):
        return
    parts = sizes.per_sold(stock) * job.pieces
    upright = rooms[0]
    if upright.way == "thickness" or sizes.is_round(stock, part):
        power = 2 if upright.way == "diameter" else 1
        yield from _into_smaller(upright, sizes.thicknesses(stock.form, family), parts, power)
    across = next((room for room in rooms if room.way == "width"), None)
    if across is not None and not grid.turned:
        yield from _into_smaller(across, sizes.widths(stock.form, family), parts, 1)
    yield from _one_more_piece(job, grid, rooms)
    yield from _one_more_part(job, grid, parts)


def _into_smaller(room: Room, sold: tuple[Sold, ...], parts: int, power: int) -> Iterator[Saving]:
    """Yield the smallest size that holds the parts already, and the next one below it."""
    need = room.off + room.taken
    smaller = [one for one in sold if one.size < room.stock * (1 - HAIR)]
    below = [one for one in smaller if not _holds(one, need)]
    for one in [*below[-1:], *[one for one in smaller if _holds(one, need)][:1]]:
        less = _up((need - one.size) / room.number)
        share = 1 - (one.size / room.stock) ** power
        if less <= SLIGHT * room.each:
            yield Saving(room.way, less, room.each - less, one.size, one.inch, parts, share)


def _one_more_piece(job: Job, grid: Grid, rooms: tuple[Room, ...]) -> Iterator[Saving]:
    """Yield what a part has to give so that one more piece comes out of what is sold, each way."""
    stock, space, saw = job.stock, sizes.sold_space(job.stock), job.stock.saw or 0.0
    pieces = sizes.per_sold(stock)
    if stock.sold_length is None or pieces == 0:
        return
    for axis, size in ((0, stock.width), (1, stock.length)):
        room = rooms[-1] if axis else next((one for one in rooms if one.way == "width"), None)
        if room is None or size is None or (axis == 0 and stock.form in sizes.BARS):
            continue
        rows = count(space[axis], size, saw)
        if rows == 0 or pieces % rows:
            continue
        # What the piece has over is given up before the part is.
        less = _up((for_one_more(space[axis], size, saw) - room.left) / room.number)
        more = pieces // rows * (rows + 1) * job.pieces
        yield from _one_more(grid, axis, less, more, pieces * job.pieces)


def _one_more_part(job: Job, grid: Grid, parts: int) -> Iterator[Saving]:
    """Yield what a part has to give so that one more row comes out of a piece that is full, each way."""
    if math.prod(grid.most) != job.pieces:
        return
    for axis in (0, 1) if job.stock.form != "round-bar" else (1,):
        less = _up(for_one_more(grid.space[axis], grid.size[axis], grid.between))
        more = parts // grid.most[axis] * (grid.most[axis] + 1)
        yield from _one_more(grid, axis, less, more, parts)


def _one_more(grid: Grid, axis: int, less: float, more: int, parts: int) -> Iterator[Saving]:
    size = grid.size[axis]
    if less <= SLIGHT * size:
        way: Way = "length" if (axis == 1) != grid.turned else "width"
        yield Saving(way, less, size - less, None, False, more, 1 - parts / more)


def _up(length: float) -> float:
    """Round a length up to a tenth of a millimetre; nothing below 0."""
    return max(round(math.ceil(length / TENTH - HAIR * 1e3) * TENTH, 9), 0.0)


def _bed(bed: BedUnder) -> BedState:
    if not bed.cut_in:
        return "clear"
    if bed.material == "none":
        return "none"
    if bed.cut_in >= bed.thickness * (1 - HAIR):
        return "through"
    return "hard" if bed.material in ("aluminium", "steel") else "cut"


def _not_given(job: Job, cutter_width: float | None) -> Iterator[str]:
    stock = job.stock
    named = {"skim": stock.skim, "clamp_loss": stock.clamp_loss}
    if stock.sold_length is not None:
        named["saw"] = stock.saw
    if job.pieces > 1:
        named |= {"gap": stock.gap, "cutter_width": cutter_width}
    yield from (name for name, value in named.items() if value is None)


LENGTHS = frozenset(
    {
        "stock",
        "off",
        "each",
        "taken",
        "left",
        "thickness",
        "width",
        "size",
        "less",
        "part",
        "bed_left",
        "minus",
        "plus",
    }
)


def as_json(plan: StockPlan) -> dict[str, Any]:
    """Give a plan as one object; lengths in mm."""
    told: dict[str, Any] = _in_mm(asdict(plan))
    for room, one in zip(told["rooms"], plan.rooms, strict=True):
        room |= {"fits": one.fits, "sure": one.sure}
    return told


def _in_mm(value: Any) -> Any:  # noqa: ANN401 - any part of what becomes JSON
    if isinstance(value, dict):
        return {key: _length(item) if key in LENGTHS else _in_mm(item) for key, item in value.items()}
    return [_in_mm(item) for item in value] if isinstance(value, list | tuple) else value


def _length(metres: float | None) -> float | None:
    return None if metres is None else metres * 1000
