"""A case: one recipe with its machine, cutter and material, every number filled and its origin known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from swarfbook import quantities, records
from swarfbook.book import Book
from swarfbook.decisions.cutters import Engagement, chips_of, cutter_of
from swarfbook.decisions.cutting import is_side_cut
from swarfbook.decisions.cutting_law import LawChoice, Use, choose_law, learnt_law
from swarfbook.decisions.inputs import (
    Input,
    Inputs,
    machine_inputs,
    material_inputs,
    recipe_inputs,
    tool_inputs,
)
from swarfbook.decisions.past import NOTHING, Past
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.frozen import frozen
from swarfbook.physics.laws import CuttingLaw
from swarfbook.physics.shapes import Chamfer, Profile
from swarfbook.records import BookSettings, Machine, Material, Recipe, Tool


@frozen
class Case:
    """One recipe, resolved: everything a decision needs and nothing it has to look up.

    Attributes:
        recipe_id: id of the recipe.
        values: the recipe's record as typed.
        recipe, machine, tool, material: the records.
        settings: the book's settings.
        cutter: outline of the cutter.
        choice: the cutting law and what stands behind it.
        inputs: every number by name, with its origin.
        part_inputs: those that machine, cutter and material give, whatever the recipe's values.
        stale_parent: id of a parent that changed since this child was made; empty otherwise.
        past: what the run log says of machine, cutter and material.
    """

    recipe_id: str
    values: Mapping[str, Any]
    recipe: Recipe
    machine: Machine
    tool: Tool
    material: Material
    settings: BookSettings
    cutter: Profile
    choice: LawChoice
    inputs: Mapping[str, Input]
    part_inputs: Inputs
    stale_parent: str = ""
    past: Past = NOTHING

    def __getitem__(self, name: str) -> float:
        value = self.inputs[name].value
        if value is None:
            raise KeyError(name)
        return value

    def optional(self, name: str) -> float | None:
        """Give an input that may be unknown; None where it is."""
        return self.inputs[name].value

    @property
    def law(self) -> CuttingLaw:
        """The cutting law, wear and rake in it."""
        return self.choice.law

    @property
    def digest(self) -> str:
        """Digest of the recipe's own values."""
        return records.digest(self.recipe)

    @property
    def context_digest(self) -> str:
        """Digest of the recipe with its machine, cutter and material."""
        return records.joint_digest(self.recipe, self.machine, self.tool, self.material)


class Gives:
    """What machines, cutters and materials give, worked out once for each three of them that are met."""

    def __init__(self) -> None:
        # The records stand beside what they give, so that no other record gets their place in memory.
        self._known: dict[tuple[int, ...], tuple[tuple[Machine, Tool, Material], Inputs]] = {}

    def of(self, parts: tuple[Machine, Tool, Material], settings: BookSettings) -> Inputs:
        """Give their inputs by name."""
        key = tuple(map(id, (*parts, settings)))
        if key not in self._known:
            self._known[key] = parts, _part_inputs(*parts, settings)
        return self._known[key][1]


def load_case(book: Book, recipe_id: str, gives: Gives | None = None) -> Case:
    """Read a recipe and all it names.

    Args:
        book: the book.
        recipe_id: id of the recipe.
        gives: what is known of the machines, cutters and materials of other recipes of this book.

    Raises:
        SwarfbookError: an unknown id, a broken record, or records that do not fit together.
    """
    entry = book.get("recipe", recipe_id)
    return _case(book, recipe_id, entry.raw, entry.record, gives)


def case_of(book: Book, recipe_id: str, values: Mapping[str, Any], gives: Gives | None = None) -> Case:
    """Resolve a recipe's values as typed, saved or not; arguments and errors as of `load_case`."""
    recipe = records.parse("recipe", dict(values), where=f"recipes/{recipe_id}.toml")
    return _case(book, recipe_id, values, recipe, gives)


def _case(book: Book, recipe_id: str, values: Mapping[str, Any], recipe: Recipe, gives: Gives | None) -> Case:
    parts = book.resolve(recipe, raw=values, where=f"recipes/{recipe_id}.toml")
    return _resolve(
        recipe_id,
        values,
        (recipe, *parts),
        book.settings,
        stale_parent=_stale_parent(book, recipe),
        part_inputs=(gives or Gives()).of(parts, book.settings),
    )


def with_values(case: Case, values: Mapping[str, Any], recipe_id: str | None = None) -> Case:
    """Resolve other values of a recipe on the same machine, cutter and material; raises as `load_case`."""
    recipe_id = recipe_id or case.recipe_id
    recipe = records.parse("recipe", dict(values), where=f"recipes/{recipe_id}.toml")
    parts = (recipe, case.machine, case.tool, case.material)
    return _resolve(recipe_id, values, parts, case.settings, part_inputs=case.part_inputs, past=case.past)


def of_parts(
    recipe_id: str, values: Mapping[str, Any], parts: tuple[Machine, Tool, Material], settings: BookSettings
) -> Case:
    """Resolve a recipe's values on parts that need not stand in a book; raises as `load_case`."""
    recipe = records.parse("recipe", dict(values), where=f"recipes/{recipe_id}.toml")
    return _resolve(recipe_id, values, (recipe, *parts), settings, part_inputs=_part_inputs(*parts, settings))


def with_past(case: Case, past: Past) -> Case:
    """Give a case the run log's word: marks, and what has been learnt of the cutting force."""
    choice = learnt_law(case.choice, past.learnt)
    return replace(case, past=past, choice=choice, inputs={**case.inputs, **_law_inputs(choice)})


def again(case: Case, values: Mapping[str, Any]) -> Case:
    """Resolve other values of the same recipe, its machine, cutter and material as they were read.

    Nothing is read, so that it can follow every key; raises as `load_case`.
    """
    where = f"recipes/{case.recipe_id}.toml"
    recipe = records.parse("recipe", dict(values), where=where)
    problems = list(records.misfits(recipe, case.tool, raw=values, where=where))
    if problems:
        raise SwarfbookError(*problems)
    parts = (recipe, case.machine, case.tool, case.material)
    return _resolve(
        case.recipe_id,
        values,
        parts,
        case.settings,
        stale_parent=case.stale_parent,
        part_inputs=case.part_inputs,
        past=case.past,
    )


def _part_inputs(machine: Machine, tool: Tool, material: Material, settings: BookSettings) -> Inputs:
    return {
        **tool_inputs(tool, settings),
        **machine_inputs(machine, settings),
        **material_inputs(material, tool),
    }


def _resolve(
    recipe_id: str,
    values: Mapping[str, Any],
    parts: tuple[Recipe, Machine, Tool, Material],
    settings: BookSettings,
    *,
    part_inputs: Inputs,
    stale_parent: str = "",
    past: Past = NOTHING,
) -> Case:
    recipe, machine, tool, material = parts
    own = recipe_inputs(recipe, tool.flutes)
    cutter = cutter_of(tool)
    _refuse_operation(recipe_id, recipe, tool, cutter)
    use = Use(tool, own["wear"].value or 1.0, _thickest_chip(recipe_id, recipe, cutter, own))
    choice = learnt_law(choose_law(material, use, where=f"materials/{recipe.material}.toml"), past.learnt)
    inputs: Inputs = {**own, **part_inputs, **_law_inputs(choice)}
    return Case(
        recipe_id=recipe_id,
        values=values,
        recipe=recipe,
        machine=machine,
        tool=tool,
        material=material,
        settings=settings,
        cutter=cutter,
        choice=choice,
        inputs=inputs,
        part_inputs=part_inputs,
        stale_parent=stale_parent,
        past=past,
    )


def _law_inputs(choice: LawChoice) -> Inputs:
    law = Input(None, choice.origin, assumed=choice.assumed, sd=choice.sd)
    learnt = choice.learnt
    if learnt is None:
        return {"law": law}
    origin = f"measured power of {learnt.runs} run{'' if learnt.runs == 1 else 's'}"
    return {"law": law, "learnt": Input(learnt.factor, origin)}


def _thickest_chip(recipe_id: str, recipe: Recipe, cutter: Profile, own: Inputs) -> float:
    feed = own["feed_per_tooth"].value or 0.0
    if not is_side_cut(recipe):
        return feed
    cut = Engagement(recipe.axial_depth, recipe.radial_width, feed)
    thickest = float(chips_of(cutter, cut).chip_thickness_max)
    if not thickest > 0:
        remedy = "the end of this cutter does not reach the stock at that depth: go deeper or wider"
        raise _misfit(recipe_id, "radial_width", recipe.radial_width, remedy)
    return thickest


def _misfit(recipe_id: str, key: str, length: float, remedy: str) -> SwarfbookError:
    return SwarfbookError(
        Problem(f"recipes/{recipe_id}.toml", key, quantities.show(length, "length"), remedy)
    )


def _refuse_operation(recipe_id: str, recipe: Recipe, tool: Tool, cutter: Profile) -> None:
    if recipe.operation == "chamfer" and not isinstance(cutter, Chamfer):
        remedy = f"a chamfer needs a chamfer cutter; {recipe.tool} is {tool.shape}"
        raise SwarfbookError(Problem(f"recipes/{recipe_id}.toml", "operation", recipe.operation, remedy))
    if isinstance(cutter, Chamfer) and recipe.operation == "chamfer":
        cone = float(cutter.bend())
        if recipe.axial_depth > cone:
            remedy = f"higher than the cutter's cone, which is {quantities.show(cone, 'length')}"
            raise _misfit(recipe_id, "axial_depth", recipe.axial_depth, remedy)
    if recipe.hole_diameter is not None and recipe.hole_diameter <= tool.diameter:
        remedy = "a bored hole has to be wider than its cutter"
        raise _misfit(recipe_id, "hole_diameter", recipe.hole_diameter, remedy)


def _stale_parent(book: Book, recipe: Recipe) -> str:
    derived = recipe.derived
    if derived is None or not book.has("recipe", derived.from_):
        return ""
    try:
        parent = book.get("recipe", derived.from_).record
    except SwarfbookError:
        return derived.from_
    return "" if records.digest(parent) == derived.parent_digest else derived.from_
