"""What a customer is told of a drawing: what can be made, what needs which change, what would save money."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from swarfbook import quantities
from swarfbook.decisions.jobs.making import Buy, Change, Cure, ToolFit, Verdict
from swarfbook.decisions.jobs.making_words import CLEARANCE
from swarfbook.decisions.jobs.stocking import Room, Saving, StockPlan
from swarfbook.decisions.pick import CORNER_ROOM
from swarfbook.records.job import Feature, Job
from swarfbook.reports.breaking import wrap
from swarfbook.reports.words import counted

WIDTH = 76
STEPS = {"mm": 100, "in": 1000}
"""Steps of a unit that lengths are written to."""
WORTH_SAYING = 0.01
"""Share of the material below which a saving is not told."""
NO_BREAK = "\u00a0"
CAUTION = (
    "This is an estimate from the drawing and from sizes usually sold, not an offer. Corners, depths and "
    "stock are to be confirmed before an order."
)
SIDES = {"thickness": "thick", "width": "wide", "length": "long", "diameter": "across"}
FORMS = {"flat-bar": "bar", "round-bar": "bar", "plate": "plate", "sheet": "sheet", "board": "board"}

Findings = tuple[Feature, Verdict, Sequence[ToolFit], Cure | None]


def reply(job: Job, features: Mapping[str, Findings], plan: StockPlan, *, system: str) -> str:
    """Write the points for a customer as a short letter of at most 76 columns.

    Args:
        job: the job.
        features: by id, each with its verdict, the cutters held against it and what would cure it.
        plan: the job's stock.
        system: "metric" or "imperial".
    """
    letter = _Letter(job, plan, system)
    changes = [*letter.needs(features), *letter.stock_needs()]
    care = [*letter.care(features), *letter.stock_care()]
    fine = [name for name, found in features.items() if found[1] == "can"]
    blocks = [
        _wrapped(letter.title()),
        _wrapped(f"Can be made as drawn: {_named(fine)}.") if fine else [],
        _numbered("Needs a change:", changes),
        _numbered("Can be made, with this to know:", care),
        _numbered("What would save material:", list(letter.savings())),
        _wrapped(CAUTION),
    ]
    return "\n\n".join("\n".join(block) for block in blocks if block) + "\n"


def _wrapped(text: str, first: str = "", after: str = "") -> list[str]:
    lines = wrap(text, WIDTH, initial_indent=first, subsequent_indent=after, break_on_hyphens=False)
    return [line.replace(NO_BREAK, " ") for line in lines]


def _numbered(head: str, points: Sequence[str]) -> list[str]:
    if not points:
        return []
    lines = [line for n, text in enumerate(points, 1) for line in _wrapped(text, f"{n}. ", "   ")]
    return [head, *lines]


def _named(names: Sequence[str]) -> str:
    return ", ".join(f"'{name}'" for name in names)


def _either(ways: Sequence[str]) -> str:
    """Join ways out as a sentence: `A would do.`, `A, or B, would do.`."""
    first = ", or ".join(ways)
    return f"{first[0].upper()}{first[1:]}{',' if len(ways) > 1 else ''} would do."


@dataclass(frozen=True, slots=True)
class _Letter:
    """A job, its stock and the units the letter is written in."""

    job: Job
    plan: StockPlan
    system: str

    def shown(self, length: float, *, towards: Callable[[float], float] = round) -> str:
        """Write a length to a hundredth of a millimetre or a thousandth of an inch."""
        unit = quantities.preferred_unit("length", self.system)
        steps = towards(round(quantities.convert(length, "length", unit) * STEPS[unit], 6))
        return quantities.write(steps / STEPS[unit], unit).replace(" ", NO_BREAK)

    def least(self, length: float) -> str:
        """Write a length that is the least that will do: never rounded down."""
        return self.shown(length, towards=math.ceil)

    def most(self, length: float) -> str:
        """Write a length that is the most that will do: never rounded up."""
        return self.shown(length, towards=math.floor)

    def title(self) -> str:
        part = self.job.part
        size = " by ".join(self.shown(length) for length in (part.length, part.width, part.thickness))
        return f"{self.job.name}: {counted(self.job.quantity, 'part')} of {size}."

    def needs(self, features: Mapping[str, Findings]) -> Iterator[str]:
        """Say what is wrong with each feature that cannot be made, and what would do."""
        for name, (feature, verdict, fits, cure) in features.items():
            if verdict == "cannot" and cure is not None:
                wrong = " ".join(self._wrong(name, feature, fits, cure))
                ways = list(self._ways(cure))
                yield f"{wrong} {_either(ways)}" if ways else wrong

    def _wrong(self, name: str, feature: Feature, fits: Sequence[ToolFit], cure: Cure) -> Iterator[str]:
        fit_of = {fit.tool: fit for fit in fits}
        told = {
            kind: change
            for change in cure.changes
            for kind in ("corner", "depth", "width")
            if getattr(change, kind) is not None
        }
        if cure.sharp or "corner" in told:
            yield self._corners(name, feature, cure, told.get("corner"), fit_of)
        if "depth" in told:
            fit = fit_of[told["depth"].tool]
            deep = self.shown(fit.wall)
            yield f"The wall of '{name}' takes a reach of {deep}; ours is {self.shown(fit.reaches.deepest)}."
        if "width" in told:
            cutter = self.shown(fit_of[told["width"].tool].diameter)
            wide = self.shown(feature.width or 0.0)
            yield f"'{name}' is {wide} wide; our smallest cutter for it is {cutter}."
        if not told and not cure.sharp:
            yield f"None of our cutters can make '{name}' as drawn."

    def _corners(
        self, name: str, feature: Feature, cure: Cure, change: Change | None, fit_of: Mapping[str, ToolFit]
    ) -> str:
        drawn = "sharp" if cure.sharp else f"with {self.shown(feature.inside_corner or 0.0)}"
        leaves = fit_of[change.tool].radius if change else cure.leaves
        smallest = (
            "no cutter of ours gets there"
            if leaves is None
            else f"our smallest cutter leaves {self.shown(leaves)}"
        )
        return f"The inside corners of '{name}' are drawn {drawn}; {smallest}."

    def _ways(self, cure: Cure) -> Iterator[str]:
        for change in cure.changes:
            yield self._change(change)
        if cure.sharp:
            yield "a relief hole in each corner"
            yield "corners finished with a file"
        if cure.buy is not None:
            yield self._bought(cure.buy)

    def _change(self, change: Change) -> str:
        parts = (
            change.corner and f"a corner of {self.least(change.corner)}",
            change.depth and f"a depth of at most {self.most(change.depth)}",
            change.width and f"a width of {self.least(change.width)}",
        )
        return " with ".join(part for part in parts if part)

    def _bought(self, buy: Buy) -> str:
        kind = "a chamfer cutter of the drawn angle" if buy.shape == "chamfer" else "another cutter"
        size = f" of at most {self.most(buy.diameter)}" if buy.diameter is not None else ""
        return f"{kind}{size} with a reach of at least {self.least(buy.reach)}"

    def care(self, features: Mapping[str, Findings]) -> Iterator[str]:
        """Say what to know of each feature that can be made with trouble only."""
        for name, (feature, verdict, fits, _) in features.items():
            if verdict == "tight":
                yield f"'{name}': {'; '.join(self._trouble(feature, fits[0]))}."

    def _trouble(self, feature: Feature, fit: ToolFit) -> Iterator[str]:
        told = [
            fit.rubs_above is not None
            and f"above {self.shown(fit.rubs_above)} our cutter rubs on the wall of {self.shown(fit.wall)}",
            fit.wall + CLEARANCE > fit.reaches.deepest and "our cutter just reaches the foot of the wall",
            feature.inside_corner
            and fit.radius > feature.inside_corner * CORNER_ROOM
            and f"corners of {self.least(fit.radius / CORNER_ROOM)} or more would come out smoother",
            feature.width == fit.diameter
            and "as wide as our cutter, so that its walls get no finishing pass",
        ]
        yield from [text for text in told if text] or [fit.reason]

    def stock_needs(self) -> Iterator[str]:
        """Say in which direction the part is not in the stock, and what would do."""
        for room in self.plan.rooms:
            if not room.fits:
                yield self._short(room)
        if self.plan.fits and self.plan.buy is None:
            yield f"No piece of that size comes out of the {FORMS[self.plan.form]} as sold."

    def _short(self, room: Room) -> str:
        form, leaves = FORMS[self.plan.form], self.shown(room.stock - room.off)
        side = SIDES[room.way]
        what = "The part is" if room.number == 1 else f"{room.number} parts side by side are"
        smaller = self.most(room.each + room.left / room.number)
        sized = f"a part of at most {smaller}"
        larger = f"stock of {self.least(room.stock - room.left)} or more"
        if room.way in ("thickness", "diameter") and self.plan.sizes:
            larger = f"stock of {self.shown(self.plan.sizes[0].thickness)}, the next size sold"
        wrong = (
            f"{what} {self.shown(room.taken)} {side}; the {form} of {self.shown(room.stock)} leaves {leaves}."
        )
        return f"{wrong} {_either([sized, larger])}"

    def stock_care(self) -> Iterator[str]:
        """Say where stock at the low end of its tolerance would be too small."""
        for room in self.plan.rooms:
            if room.fits and room.sure is False and room.tolerance is not None:
                under, size = self.shown(room.tolerance.minus), self.shown(room.stock)
                less = self.least(room.tolerance.minus - max(room.left, 0.0))
                yield (
                    f"The {FORMS[self.plan.form]} may be {under} under its {room.way} of {size}; "
                    f"a part {less} smaller would be sure to come out of it."
                )

    def savings(self) -> Iterator[str]:
        """Say what would save material, the most first, one line for each direction and way."""
        if self.plan.in_grid > self.plan.pieces:
            yield f"One piece has room for {self.plan.in_grid} parts and is to give {self.plan.pieces}."
        for saving in self.plan.savings:
            if saving.share >= WORTH_SAYING:
                yield f"{self._saving(saving)}: saves about {100 * saving.share:.0f} % of the material."

    def _saving(self, saving: Saving) -> str:
        form, part = FORMS[self.plan.form], "The part as drawn"
        if saving.less > 0:
            less, left = self.least(saving.less), self.most(saving.part)
            part = f"A part {less} less in {saving.way}, at {left},"
        if saving.size is not None:
            return f"{part} comes out of a {form} {self.shown(saving.size)} {SIDES[saving.way]}"
        return f"{part} comes out of a {form} {saving.parts} times in place of {self.plan.parts_per_sold}"
