"""A job: a part to be made, the stock it comes from, what holds it and the steps that cut it."""

from collections.abc import Iterator, Set
from typing import Annotated, Literal, get_args

from swarfbook.errors import did_you_mean
from swarfbook.records.base import Fault, Record, Values
from swarfbook.records.fields import (
    Duration,
    DurationFromZero,
    Flag,
    Force,
    Length,
    LengthFromZero,
    Name,
    Notes,
    Plain,
    RecordId,
    RoomTemperature,
    ShareFromZero,
    Torque,
    Volume,
    Whole,
    Word,
)

Form = Literal["flat-bar", "round-bar", "plate", "sheet", "board"]
FeatureKind = Literal["outside", "pocket", "bore", "slot", "face", "edge"]
Place = Literal["middle", "edge", "corner"]
Method = Literal[
    "tape", "glue-tape", "clamps", "side-clamps", "vise", "screws", "tabs", "floor", "vacuum", "friction-fit",
]  # fmt: skip
Side = Literal["first", "second"]
Pattern = Literal["one-way", "both-ways"]
Locate = Literal["pins", "bores", "edges"]
Bed = Literal["mdf", "plywood", "aluminium", "steel", "none"]
Jaws = Literal["smooth", "diamond", "serrated"]

HOLD_NEEDS: dict[str, tuple[str, ...]] = {
    "tape": ("length", "width"),
    "glue-tape": ("length", "width"),
    "vacuum": ("length", "width"),
    "clamps": ("count",),
    "side-clamps": ("count",),
    "vise": (),
    "screws": ("count", "anchor"),
    "tabs": ("count", "width", "thickness"),
    "floor": ("thickness",),
    "friction-fit": ("force",),
}
"""Keys a way of holding cannot be judged without."""
WORKED_OUT = ("outside", "bore", "face", "edge")
"""Features whose path follows from their size and the recipe's, where a step does not say it."""
SQUEEZING = ("clamps", "side-clamps", "vise")
"""Ways that hold by a force a person gives, or a bolt and its torque."""


class Stock(Record):
    """The piece on the machine, and how it is bought [m].

    Attributes:
        thickness: of a bar, plate, sheet or board; the diameter of a round bar.
        skim: cut off each face to clean it.
        sold_length, sold_width: of the bar, sheet or plate as sold; None where the piece is what is sold.
        saw: width of the saw's cut between pieces.
        clamp_loss: end of a bar or rim of a sheet that clamps or grip take.
        gap: left between two parts besides the cutter's width.
    """

    form: Annotated[Form, Word(get_args(Form))]
    thickness: Length
    width: Length | None = None
    length: Length
    skim: LengthFromZero | None = None
    sold_length: Length | None = None
    sold_width: Length | None = None
    saw: LengthFromZero | None = None
    clamp_loss: LengthFromZero | None = None
    gap: LengthFromZero | None = None


class Part(Record):
    """Envelope of the finished part [m]."""

    thickness: Length
    width: Length
    length: Length


class Feature(Record):
    """Something to be cut into the part [m].

    Attributes:
        depth: height of its wall, from the top of the part down.
        inside_corner: smallest inside corner in plan; 0 for a sharp one, None where there is none.
        width: narrowest width of a slot or pocket, diameter of a bore, width of a face or an edge break.
        tolerance: of its wall.
        finish: mean roughness Ra of its wall.
        count: how many there are of it.
        place: where on the hold the cut gets nearest to; None counts as the corner.
    """

    id: RecordId
    kind: Annotated[FeatureKind, Word(get_args(FeatureKind))]
    depth: Length
    inside_corner: LengthFromZero | None = None
    width: Length | None = None
    count: Annotated[int, Whole(1, 1000)] = 1
    tolerance: Length | None = None
    finish: Length | None = None
    place: Annotated[Place, Word(get_args(Place))] | None = None


class BedUnder(Record):
    """What lies under the hold: its material, its thickness, and how deep cutters go into it [m]."""

    material: Annotated[Bed, Word(get_args(Bed))] = "mdf"
    thickness: Length = 0.018
    cut_in: LengthFromZero | None = None


class Hold(Record):
    """One thing that holds the piece, or the part in it, on one side.

    Attributes:
        length, width: footprint of tape or glue, sealed area of a vacuum; width of a tab [m].
        thickness: of a tab or a floor [m].
        count: clamps, screws or tabs.
        force: each clamp's, jaw's or fit's squeeze [N].
        bolt, torque: thread of a clamp's bolt (a row of threads.csv) and what it is tightened with [N m].
        work_arm, heel_arm: from a strap clamp's bolt to the work and to its packing [m].
        anchor: what the bolts or screws stand in (a row of anchors.csv).
        jaws: faces of a vise or side clamps.
    """

    side: Annotated[Side, Word(get_args(Side))] = "first"
    method: Annotated[Method, Word(get_args(Method))]
    length: Length | None = None
    width: Length | None = None
    thickness: Length | None = None
    count: Annotated[int, Whole(1, 200)] | None = None
    force: Force | None = None
    bolt: Name | None = None
    torque: Torque | None = None
    work_arm: Length | None = None
    heel_arm: Length | None = None
    anchor: Name | None = None
    jaws: Annotated[Jaws, Word(get_args(Jaws))] | None = None


class Flip(Record):
    """How the piece is found again on its second side, and how well [m]; None takes the table's error."""

    locate: Annotated[Locate, Word(get_args(Locate))]
    error: LengthFromZero | None = None


class Step(Record):
    """One step of the job: a recipe on a feature.

    Attributes:
        path: length of the cutter's way at feed, all passes [m].
        volume: metal, plastic or wood it takes off [m^3].
        move: usual length of a straight move between two stops or sharp turns [m].
        pattern: of a face: both ways, or one way with a return above the work.
        allowance: left on the wall, [m]; None takes the recipe's.
        floor: left under the cut [m].
        air: share of the way at feed that cuts nothing; None is worked out from path and volume.
        pause: waited before the step, for the stock to cool [s].
    """

    recipe: RecordId
    feature: RecordId
    side: Annotated[Side, Word(get_args(Side))] = "first"
    path: Length | None = None
    volume: Volume | None = None
    move: Length | None = None
    pattern: Annotated[Pattern, Word(get_args(Pattern))] | None = None
    allowance: LengthFromZero | None = None
    floor: LengthFromZero | None = None
    air: ShareFromZero | None = None
    pause: DurationFromZero | None = None


class Job(Record):
    """A job as its file describes it; lengths [m], times [s], money in one currency.

    Attributes:
        quantity: parts ordered.
        pieces: parts cut out of one piece of stock on the machine.
        ambient: temperature of the workshop [K].
        hands_off: no hand on the controls, someone within reach of the stop.
        setup_time: to fix one piece and take it off, each side [s].
        tool_change_time: [s].
        hourly_rate, material_price: an hour of the machine; the bar, plate or sheet as sold.
    """

    name: Name
    machine: RecordId
    material: RecordId
    quantity: Annotated[int, Whole(1, 100_000)]
    pieces: Annotated[int, Whole(1, 1000)] = 1
    ambient: RoomTemperature | None = None
    hands_off: Annotated[bool, Flag()] = False
    setup_time: Duration | None = None
    tool_change_time: Duration | None = None
    hourly_rate: Annotated[float, Plain(low=0.0)] | None = None
    material_price: Annotated[float, Plain(low=0.0)] | None = None
    currency: Name | None = None
    notes: Notes = ""
    stock: Stock
    part: Part
    bed: BedUnder = BedUnder()
    flip: Flip | None = None
    features: tuple[Feature, ...]
    holds: tuple[Hold, ...]
    steps: tuple[Step, ...]

    @classmethod
    def relations(cls, values: Values, present: Set[str]) -> Iterator[Fault]:
        """Yield holds without what they need, steps that lead nowhere, and an order that cannot be cut."""
        for name in ("features", "holds", "steps"):
            if name in values and not values[name]:
                yield name, f"write at least one: [[{name}]] on a line of its own and its keys below it"
        if values.get("stock.form") not in (None, "round-bar") and "stock.width" not in present:
            yield "stock.width", "a bar, plate, sheet or board needs its width"
        yield from _holds(values.get("holds", ()))
        yield from _features(values)
        yield from _steps(values)
        yield from _sides(values)
        yield from _order(values.get("steps", ()))


def _holds(holds: tuple[Hold, ...]) -> Iterator[Fault]:
    for number, hold in enumerate(holds, start=1):
        for key in HOLD_NEEDS[hold.method]:
            if getattr(hold, key) is None:
                yield f"holds[{number}].{key}", f"{hold.method} cannot be judged without its {key}"
        squeezed = hold.force is not None or (hold.bolt is not None and hold.torque is not None)
        if hold.method in SQUEEZING and not squeezed:
            yield f"holds[{number}].force", f"{hold.method} needs its force, or a bolt with its torque"


def _features(values: Values) -> Iterator[Fault]:
    seen: set[str] = set()
    for number, feature in enumerate(values.get("features", ()), start=1):
        if feature.id in seen:
            yield f"features[{number}].id", "there is a feature of that id already; choose another id"
        seen.add(feature.id)
        if "stock.thickness" in values and feature.depth > values["stock.thickness"]:
            yield f"features[{number}].depth", "deeper than the stock is thick"
        if feature.kind in ("slot", "bore") and feature.width is None:
            yield f"features[{number}].width", f"a {feature.kind} needs its width"


def _steps(values: Values) -> Iterator[Fault]:
    kinds = {feature.id: feature.kind for feature in values.get("features", ())}
    left = _stock_volume(values)
    for number, step in enumerate(values.get("steps", ()), start=1):
        if kinds and step.feature not in kinds:
            yield f"steps[{number}].feature", f"no feature of that id; {did_you_mean(step.feature, kinds)}"
        if step.path is None and step.volume is None and kinds.get(step.feature) not in (None, *WORKED_OUT):
            yield f"steps[{number}].path", "write how long its path is, or its volume, or both"
        if left is not None and step.volume is not None:
            left -= step.volume
            if left < 0:
                yield f"steps[{number}].volume", "the steps up to here take off more than the piece holds"
                left = None


def _stock_volume(values: Values) -> float | None:
    stock: Stock | None = values.get("stock")
    return None if stock is None or (stock.width is None and stock.form != "round-bar") else volume_of(stock)


def volume_of(stock: Stock) -> float:
    """Volume of the piece on the machine [m^3]."""
    if stock.form == "round-bar":
        return 0.7853981633974483 * stock.thickness * stock.thickness * stock.length
    return stock.thickness * (stock.width or 0.0) * stock.length


def _sides(values: Values) -> Iterator[Fault]:
    held = {hold.side for hold in values.get("holds", ())}
    for number, step in enumerate(values.get("steps", ()), start=1):
        if held and step.side not in held:
            yield f"steps[{number}].side", f'nothing holds that side; write a hold with side = "{step.side}"'
        if step.side == "second" and "flip" not in values:
            yield f"steps[{number}].side", "a second side needs [flip] with how the piece is located again"
            return


def _order(steps: tuple[Step, ...]) -> Iterator[Fault]:
    left: dict[tuple[str, str, str], float] = {}
    turned = False
    for number, step in enumerate(steps, start=1):
        if turned and step.side == "first":
            yield f"steps[{number}].side", "the piece is on its second side by then; move this step up"
        turned = turned or step.side == "second"
        for key in ("allowance", "floor"):
            value = getattr(step, key)
            if value is None:
                continue
            before = left.get((step.feature, step.side, key))
            if before is not None and value > before:
                yield f"steps[{number}].{key}", "an earlier step on this feature leaves less than that"
            left[step.feature, step.side, key] = value
