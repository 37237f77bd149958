"""What measured power teaches of the cutting force: priors from the tables, parts from the runs of a book."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from swarfbook.decisions.cutting_law import base_spread
from swarfbook.decisions.inputs import machine_inputs, spread
from swarfbook.decisions.learning import Posterior, Priors, posterior
from swarfbook.decisions.observing import readings_sd
from swarfbook.decisions.past import Learnt
from swarfbook.decisions.sums import Sums
from swarfbook.records import BookSettings, Machine, Material, Tool

Three = tuple[str, str, str]
Parts = tuple[Machine, Tool, Material]
LEAST_SD = 0.05  # a law's spread is never all tool and scatter: something of it is the material's


@dataclass(frozen=True)
class Learning:
    """What the runs of a book teach.

    Attributes:
        sums: the runs' sums by material, cutter and machine.
        priors: what was thought before.
        posterior: what is thought now.
    """

    sums: Sums
    priors: Priors
    posterior: Posterior

    @classmethod
    def of_sums(cls, sums: Sums, parts: Mapping[Three, Parts], settings: BookSettings) -> Learning:
        """Learn from runs whose power was read.

        Args:
            sums: theirs.
            parts: the records of every machine, cutter and material in them, by their ids.
            settings: the book's.
        """
        priors = Priors(_part_sds(parts, settings), spread("learning-run"))
        return cls(sums, priors, posterior(sums, priors))

    def learnt(self, three: Three, parts: Parts) -> Learnt | None:
        """Give what is known of the force of a material under a cutter; None where no run says anything."""
        _, tool, material = three
        names = (f"material:{material}", f"tool:{tool}")
        seen = [name for name in names if name in self.posterior.parts]
        if not seen:
            return None
        mean, sd = self.posterior.of(*seen)
        base = base_spread(parts[2], parts[1], where=f"materials/{material}.toml")
        unseen = [_prior_sd(name, base) for name in names if name not in seen]
        return Learnt(
            factor=math.exp(mean),
            sd=math.hypot(sd, spread("learning-run"), *unseen),
            base_sd=base,
            runs=max(self.posterior.runs(name) for name in seen),
        )


def _part_sds(parts: Mapping[Three, Parts], settings: BookSettings) -> dict[str, float]:
    sds: dict[str, float] = {}
    # In an order that no log changes: what a cutter adds to a law's spread must not depend on who ran last.
    for (machine_id, tool_id, material_id), (machine, tool, material) in sorted(parts.items(), key=_ids):
        base = base_spread(material, tool, where=f"materials/{material_id}.toml")
        for name in (f"material:{material_id}", f"tool:{tool_id}"):
            sds[name] = _prior_sd(name, base)
        sds[f"machine:{machine_id}"] = readings_sd(machine_inputs(machine, settings)["efficiency"].sd)
    return sds


def _ids(item: tuple[Three, Parts]) -> Three:
    return item[0]


def _prior_sd(part: str, base: float) -> float:
    """Share out a law's spread: cutter and scatter have their own, the material has what is left."""
    tool, scatter = spread("learning-tool"), spread("learning-run")
    if part.startswith("tool:"):
        return tool
    return math.sqrt(max(base**2 - tool**2 - scatter**2, LEAST_SD**2))
