"""Put faults into the physics, one at a time, and see whether the tests notice: `make mutation`.

Not part of the tests: an hour and more. See README.md beside this file.
"""

from __future__ import annotations

import argparse
import ast
import json
import os
import random
import sys
import tempfile
from pathlib import Path

from covering import Covering
from making import Mutant, mutants
from trying import PHYSICS, chosen_tests, copy_project, is_killed, measured

ROOT = Path(__file__).resolve().parents[2]


def options() -> argparse.Namespace:
    """What the command line says."""
    parser = argparse.ArgumentParser(description="mutation testing of the physics")
    parser.add_argument("modules", nargs="*", help="modules of the physics; all of them if none is named")
    parser.add_argument("--sample", type=int, metavar="N", help="at most N faults a module, drawn at random")
    parser.add_argument("--seed", type=int, default=0, help="of the draw")
    parser.add_argument("--again", type=Path, metavar="FILE", help="only the survivors of an earlier run")
    parser.add_argument("--tests", nargs="+", default=["tests/physics", "tests/published"], metavar="PATH")
    parser.add_argument("--results", type=Path, default=Path("mutation.json"), metavar="FILE")
    parser.add_argument("--place", type=Path, help="folder for the copy, to be used again by a later run")
    return parser.parse_args()


def scopes_of(source: str) -> dict[str, range]:
    """Lines of the body of each function and method."""
    found: dict[str, range] = {}

    def visit(node: ast.AST, prefix: str) -> None:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.FunctionDef | ast.ClassDef):
                name = f"{prefix}.{child.name}".lstrip(".")
                if isinstance(child, ast.FunctionDef):
                    found[name] = range(child.body[0].lineno, (child.end_lineno or child.lineno) + 1)
                visit(child, name)

    visit(ast.parse(source), "")
    return found


def drawn(all_of_it: list[Mutant], chosen: argparse.Namespace) -> list[Mutant]:
    """A module's faults, or as many as are asked for, the same ones for the same seed."""
    if chosen.sample is None or chosen.sample >= len(all_of_it):
        return all_of_it
    dice = random.Random(f"{chosen.seed}:{all_of_it[0].module}")
    return sorted(dice.sample(all_of_it, chosen.sample), key=all_of_it.index)


def wanted(chosen: argparse.Namespace) -> tuple[list[Mutant], dict[str, int]]:
    """The faults to try, and how many there are in each module."""
    sources = {path.stem: path.read_text() for path in sorted(PHYSICS.glob("*.py"))}
    made = {name: mutants(name, sources[name]) for name in chosen.modules or sources}
    made = {name: faults for name, faults in made.items() if faults}
    if chosen.again is None:
        tried = [fault for faults in made.values() for fault in drawn(faults, chosen)]
    else:
        survived = {_key(entry) for entry in json.loads(chosen.again.read_text())["survivors"]}
        tried = [fault for faults in made.values() for fault in faults if _key(fault.as_dict()) in survived]
    return tried, {name: len(faults) for name, faults in made.items()}


def _key(entry: dict[str, object]) -> tuple[object, ...]:
    """What tells a fault apart from all others, as long as its module is not changed."""
    return tuple(entry[name] for name in ("module", "start", "end", "kind", "after"))


def try_all(tried: list[Mutant], covering: Covering) -> list[tuple[Mutant, bool]]:
    """Try one fault after another, and print those that nothing noticed."""
    scopes = {path.stem: scopes_of(path.read_text()) for path in PHYSICS.glob("*.py")}
    outcomes = []
    for number, mutant in enumerate(tried, 1):
        killed = is_killed(mutant, chosen_tests(mutant, covering, scopes), covering)
        outcomes.append((mutant, killed))
        if not killed:
            print(f"survived: {mutant.module}:{mutant.line} {mutant.before!r} -> {mutant.after!r}")
        if sys.stderr.isatty() or number % 20 == 0:
            print(f"{number} of {len(tried)}", file=sys.stderr, flush=True)
    return outcomes


def report(outcomes: list[tuple[Mutant, bool]], made: dict[str, int], results: Path) -> None:
    """Print counts, and write them and the survivors."""
    counts = {
        module: {
            "made": made[module],
            "tried": sum(mutant.module == module for mutant, _ in outcomes),
            "killed": sum(mutant.module == module and killed for mutant, killed in outcomes),
        }
        for module in made
    }
    survivors = [mutant.as_dict() for mutant, killed in outcomes if not killed]
    results.write_text(json.dumps({"counts": counts, "survivors": survivors}, indent=1) + "\n")
    for module, count in counts.items():
        print(f"{module:16} {count['killed']:5} of {count['tried']:5} killed ({count['made']} made)")
    killed = len(outcomes) - len(survivors)
    print(f"{'all':16} {killed:5} of {len(outcomes):5} killed")


def main() -> None:
    """Copy the project, measure its tests, try the faults."""
    chosen = options()
    chosen.results, chosen.again = chosen.results.resolve(), chosen.again and chosen.again.resolve()
    with tempfile.TemporaryDirectory() as passing:
        place = chosen.place.resolve() if chosen.place else Path(passing)
        if not (place / "src").exists():
            place.mkdir(parents=True, exist_ok=True)
            copy_project(ROOT, place)
        os.chdir(place)
        sys.dont_write_bytecode = True
        sys.path.insert(0, str(place / "src"))
        tried, made = wanted(chosen)
        covering = measured(chosen.tests, place / "covering.json")
        report(try_all(tried, covering), made, chosen.results)


if __name__ == "__main__":
    main()
