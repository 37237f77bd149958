"""What to mind before running a recipe: cautions that the numbers or the material call for."""

from __future__ import annotations

from swarfbook import quantities, tables
from swarfbook.decisions.case import Case
from swarfbook.decisions.dynamics import judged_narrow
from swarfbook.decisions.numbers import Numbers
from swarfbook.tables import Row

LARGE_DIAMETER = 0.016  # m: EN 847-1 covers wood cutters from this cutting circle up
LONG_STICKOUT = 6.0  # diameters
FAST = 200.0  # rev/s
THIN_FEED = 0.05e-3  # m a tooth: a maker of magnesium wants more, so that its swarf does not light
SAME_SPEED = 1e-6


def cautions(case: Case, numbers: Numbers) -> tuple[str, ...]:
    """Give the cautions of a case, a line each, the ones about numbers first."""
    return (*_about_numbers(case, numbers), *(row.text("caution") for row in rows_about(case)))


def _about_numbers(case: Case, numbers: Numbers) -> list[str]:
    lines = []
    if case.stale_parent:
        lines.append(f"stale: {case.stale_parent} changed since this recipe was backed off from it")
    if case.machine.spindle.rating is None:
        lines.append(
            "the spindle's rating is taken as shaft power; if it is electrical input less is there: "
            "say which in the machine's file"
        )
    if case.machine.spindle.motor == "universal" and case.machine.spindle.torque_curve is None:
        lines.append("universal motor without a torque curve: its torque is an assumption")
    lines += _off_the_dial(case)
    if judged_narrow(case):
        lines.append(
            "narrow cut: chatter may begin at half the depth its rung gives, as zero-order lobes leave out "
            "flip lobes"
        )
    low = case.choice.chip_range[0] if case.choice.chip_range else None
    if low is not None and numbers.chip_thickness_max < low:
        lines.append("chips are thinner than the force law was fitted on: wider band, lean on measured power")
    return lines


def _off_the_dial(case: Case) -> list[str]:
    dial = case.machine.spindle.speeds
    speed = case["spindle_speed"]
    if not dial or any(abs(one - speed) <= SAME_SPEED * speed for one in dial):
        return []
    nearest = quantities.show(min(dial, key=lambda one: abs(one - speed)), "spindle_speed")
    return [f"this spindle has no dial position at the recipe's speed; the nearest is {nearest}"]


def rows_about(case: Case) -> list[Row]:
    """Give the table rows of the cautions that material, cutter and cooling call for, the gravest first."""
    family = tables.load("materials").get(case.material.table).text("family")
    hazards = [row for row in tables.load("hazards").rows if row.id in (family, case.material.table)]
    cooling = f"cooling-{case.recipe.cooling}"
    thin = [f"thin-chips:{family}"] if case["feed_per_tooth"] < THIN_FEED else []
    unmarked = ["tool-speed-unmarked"] if case.optional("tool_max_speed") is None and _is_fast(case) else []
    shared = ["shared-extractor"] if _shares_an_extractor(family, hazards) else []
    return [
        *_notes(f"{cooling}:{family}", *thin),
        *hazards,
        *_notes(*unmarked, cooling, *shared, "always"),
    ]


def _notes(*names: str) -> list[Row]:
    """Give the rows of cautions.csv that are there."""
    found = map(tables.load("cautions").find, names)
    return [row for row in found if row is not None]


def _shares_an_extractor(family: str, hazards: list[Row]) -> bool:
    # Hot chips and wood dust must not meet; where the material's own row says so, once is enough.
    return not family.startswith("plastic") and not any("extractor" in row.text("caution") for row in hazards)


def _is_fast(case: Case) -> bool:
    long = case["stickout"] > LONG_STICKOUT * case["diameter"]
    return case["spindle_speed"] >= FAST and (long or case["diameter"] >= LARGE_DIAMETER)
