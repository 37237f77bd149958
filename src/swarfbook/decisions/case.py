"""A case: one recipe with its machine, cutter and material, every number filled and its origin known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from swarfbook import records
from swarfbook.book import Book
from swarfbook.decisions.cutting_law import LawChoice, Use, choose_law
from swarfbook.decisions.inputs import (
    Input,
    Inputs,
    machine_inputs,
    material_inputs,
    recipe_inputs,
    tool_inputs,
)
from swarfbook.errors import Problem, SwarfbookError
from swarfbook.physics import chip
from swarfbook.physics.laws import CuttingLaw
from swarfbook.records import BookSettings, Machine, Material, Recipe, Tool

SIDE_CUTS = frozenset({"face-rough", "face-finish", "rough", "slot", "semi-finish", "finish", "through-cut"})


@dataclass(frozen=True, slots=True)
class Case:
    """One recipe, resolved: everything a decision needs and nothing it has to look up.

    Attributes:
        recipe_id: id of the recipe.
        values: the recipe's record as typed.
        recipe, machine, tool, material: the records.
        settings: the book's settings.
        choice: the cutting law and what stands behind it.
        inputs: every number by name, with its origin.
        stale_parent: id of a parent that changed since this child was made; empty otherwise.
    """

    recipe_id: str
    values: Mapping[str, Any]
    recipe: Recipe
    machine: Machine
    tool: Tool
    material: Material
    settings: BookSettings
    choice: LawChoice
    inputs: Mapping[str, Input]
    stale_parent: str = ""

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


def load_case(book: Book, recipe_id: str) -> Case:
    """Read a recipe and all it names.

    Raises:
        SwarfbookError: an unknown id, a broken record, or records that do not fit together.
    """
    entry = book.get("recipe", recipe_id)
    return case_of(book, recipe_id, entry.raw)


def case_of(book: Book, recipe_id: str, values: Mapping[str, Any]) -> Case:
    """Resolve a recipe's values as typed, saved or not; raises as `load_case`."""
    where = f"recipes/{recipe_id}.toml"
    recipe = records.parse("recipe", dict(values), where=where)
    machine, tool, material = book.resolve(recipe, raw=values, where=where)
    return _resolve(
        recipe_id, values, (recipe, machine, tool, material), book.settings, _stale_parent(book, recipe)
    )


def with_values(case: Case, values: Mapping[str, Any], recipe_id: str | None = None) -> Case:
    """Resolve other values of a recipe on the same machine, cutter and material; raises as `load_case`."""
    recipe_id = recipe_id or case.recipe_id
    recipe = records.parse("recipe", dict(values), where=f"recipes/{recipe_id}.toml")
    return _resolve(recipe_id, values, (recipe, case.machine, case.tool, case.material), case.settings, "")


def _resolve(
    recipe_id: str,
    values: Mapping[str, Any],
    parts: tuple[Recipe, Machine, Tool, Material],
    settings: BookSettings,
    stale_parent: str,
) -> Case:
    recipe, machine, tool, material = parts
    _refuse_unsupported(recipe_id, recipe, tool)
    own = recipe_inputs(recipe, tool.flutes)
    choice = choose_law(material, _use(recipe, tool, own), where=f"materials/{recipe.material}.toml")
    inputs: Inputs = {
        **own,
        **tool_inputs(tool, settings),
        **machine_inputs(machine, settings),
        **material_inputs(material, tool),
        "law": Input(None, choice.origin, assumed=choice.assumed, sd=choice.sd),
    }
    return Case(recipe_id, values, recipe, machine, tool, material, settings, choice, inputs, stale_parent)


def _use(recipe: Recipe, tool: Tool, own: Inputs) -> Use:
    thickest = chip.chip_thickness_max(
        feed_per_tooth=own["feed_per_tooth"].value or 0.0,
        radial_width=recipe.radial_width,
        diameter=tool.diameter,
    )
    return Use(tool, own["wear"].value or 1.0, float(thickest))


def _refuse_unsupported(recipe_id: str, recipe: Recipe, tool: Tool) -> None:
    where = f"recipes/{recipe_id}.toml"
    problems = []
    if recipe.operation not in SIDE_CUTS:
        remedy = f"this version works out side cuts only: {', '.join(sorted(SIDE_CUTS))}"
        problems.append(Problem(where, "operation", recipe.operation, remedy))
    if tool.shape != "square" or tool.upcut_length is not None:
        shape = tool.shape if tool.shape != "square" else "compression"
        remedy = "this version works out square end mills only"
        problems.append(Problem(f"tools/{recipe.tool}.toml", "shape", shape, remedy))
    if problems:
        raise SwarfbookError(*problems)


def _stale_parent(book: Book, recipe: Recipe) -> str:
    derived = recipe.derived
    if derived is None or derived.from_ not in book.ids("recipe"):
        return ""
    try:
        parent = book.get("recipe", derived.from_).record
    except SwarfbookError:
        return derived.from_
    return "" if records.digest(parent) == derived.parent_digest else derived.from_
