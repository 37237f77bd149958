"""Real processes that write to a book and are killed at any moment, and what must be there then.

`python -m support.killing FOLDER SEED KILLS`: a child, forked anew for every kill, saves, renames, deletes,
brings back, restores states and logs, and says what it begins and what it has done. It is killed somewhere in
between. The book must then hold all that was done, and of the one thing under way all or nothing.
"""

from __future__ import annotations

import json
import os
import random
import signal
import sys
import time
import tomllib
from copy import deepcopy
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from support.books import MACHINE, RECIPE, RUN, make_book, values
from swarfbook.book import Book, deleting, renaming, reverting, saving, saving_all, unfinished
from swarfbook.book.history import MOST_STATES
from swarfbook.book.leftovers import leftovers, settle
from swarfbook.errors import SwarfbookError

LOADED = (deleting, renaming, reverting, saving, saving_all, unfinished)
"""What a child needs, loaded before it is forked, so that none dies loading it."""
IDS = ("one", "two", "three", "four", RECIPE)
MACHINES = (MACHINE, "bench", "bed")
MOST_WORDS = 8  # that a child says before it is about to be killed: of each act, its beginning and its end
LONGEST = 0.02  # s that it lives at most after that


@dataclass
class Model:
    """What the book must hold.

    Attributes:
        recipes: depth and machine of each recipe by id.
        gone: the same of deleted ones that can be brought back.
        machine: id of the one machine.
        saved: the last depths saved of each recipe, under its present id.
        runs: ids of the runs logged.
    """

    recipes: dict[str, tuple[str, str]]
    machine: str
    gone: dict[str, str] = field(default_factory=dict)
    saved: dict[str, list[str]] = field(default_factory=dict)
    runs: set[str] = field(default_factory=set)

    def after(self, act: dict[str, Any]) -> Model:
        """Give the model with one thing done."""
        new, what, record = deepcopy(self), act["what"], act.get("record", "")
        match what:
            case "save":
                new.recipes[record] = (act["depth"], new.machine)
                new.saved.setdefault(record, []).append(act["depth"])
            case "many":
                for one in act["records"]:
                    new = new.after({"what": "save", "record": one, "depth": act["depth"]})
            case "rename":
                new.recipes[act["to"]] = new.recipes.pop(record)
                new.saved[act["to"]] = new.saved.pop(record, [])
            case "machine":
                new.machine = act["to"]
                new.recipes = {one: (depth, act["to"]) for one, (depth, _) in new.recipes.items()}
            case "delete":
                new.gone[record] = new.recipes.pop(record)[0]
                new.saved.pop(record, None)
            case "back":
                new.recipes[record] = (new.gone.pop(record), new.machine)
            case "state":
                new.recipes[record] = (act["depth"], new.machine)
            case "log":
                new.runs.add(act["run"])
        return new


def choose(model: Model, draw: random.Random, book: Book, turn: str) -> dict[str, Any]:
    """Choose what to do next."""
    here, free = sorted(model.recipes), [one for one in IDS if one not in model.recipes]
    ways = ["save", "save", "many", "log", "machine"]
    ways += ["state"] if here else []
    ways += ["rename"] if here and free else []
    ways += ["delete"] if len(here) > 1 else []
    back = [one for one in model.gone if one not in model.recipes]
    ways += ["back"] if back else []
    match draw.choice(ways):
        case "log":
            return {"what": "log", "run": f"run-{turn}"}
        case "many":
            return {"what": "many", "records": draw.sample(IDS, 3), "depth": f"1.{turn} mm"}
        case "machine":
            return {"what": "machine", "to": draw.choice([one for one in MACHINES if one != model.machine])}
        case "rename":
            return {"what": "rename", "record": draw.choice(here), "to": draw.choice(free)}
        case "delete":
            return {"what": "delete", "record": draw.choice(here)}
        case "back":
            return {"what": "back", "record": draw.choice(back)}
        case "state":
            record = draw.choice(here)
            states = book.history.states("recipe", record)
            if states:
                one = draw.choice(states)
                return {"what": "state", "record": record, "number": one.number, "depth": depth_of(one.data)}
    return {"what": "save", "record": draw.choice(IDS), "depth": f"1.{turn} mm"}


def depth_of(data: bytes) -> str:
    return str(tomllib.loads(data.decode())["axial_depth"])


def do(book: Book, model: Model, act: dict[str, Any]) -> None:
    """Do one thing to the book."""
    record = act.get("record", "")
    match act["what"]:
        case "save" if record in model.recipes:
            seen = book.get("recipe", record).sha
            book.save("recipe", record, {"axial_depth": act["depth"]}, seen=seen)
        case "save":
            book.save("recipe", record, fresh(model, act), seen=None)
        case "many":
            saving_all.save_all(
                book, "recipe", [one_of_many(book, model, act, one) for one in act["records"]]
            )
        case "rename":
            book.rename("recipe", record, act["to"])
        case "machine":
            book.rename("machine", model.machine, act["to"])
        case "delete":
            book.delete("recipe", record)
        case "back":
            book.restore("recipe", record)
        case "state":
            book.restore_state("recipe", record, act["number"])
        case "log":
            book.log(RUN | {"id": act["run"]})


def fresh(model: Model, act: dict[str, Any]) -> dict[str, Any]:
    return values("recipe", {"axial_depth": act["depth"], "machine": model.machine})


def one_of_many(book: Book, model: Model, act: dict[str, Any], record: str) -> saving_all.Saving:
    if record not in model.recipes:
        return saving_all.Saving(record, fresh(model, act), None)
    seen = book.get("recipe", record).sha
    return saving_all.Saving(record, {"axial_depth": act["depth"]}, seen)


def child(root: Path, model: Model, seed: int, turn: int, out: int) -> None:
    """Write to the book until killed, telling what begins and what is done."""
    draw, book = random.Random(seed), Book.open(root)
    for step in range(10**6):
        act = choose(model, draw, book, f"{turn:06d}{step:03d}")
        os.write(out, json.dumps(act).encode() + b"\n")
        do(book, model, act)
        assert book.history.told() == []
        os.write(out, b"done\n")
        model = model.after(act)


def killed(root: Path, model: Model, draw: random.Random, turn: int) -> list[str]:
    """Let a child write and kill it; give what it told."""
    reading, writing = os.pipe()
    seed = draw.randrange(10**9)
    if not (process := os.fork()):
        try:
            child(root, model, seed, turn, writing)
        except BaseException as error:  # noqa: BLE001 - told to the parent
            os.write(writing, f"broke: {error!r}\n".encode())
        os._exit(1)
    os.close(writing)
    with os.fdopen(reading, "rb", buffering=0) as pipe:
        told, words = b"", draw.randrange(1, MOST_WORDS)
        while told.count(b"\n") < words and (more := pipe.read(1)):
            told += more
        time.sleep(draw.uniform(0, LONGEST))
        os.kill(process, signal.SIGKILL)
        os.waitpid(process, 0)
        told += pipe.readall()
    return told.decode().split("\n")[:-1]


def observed(book: Book) -> tuple[dict[str, tuple[str, str]], list[str]]:
    """Give depth and machine of every recipe, and the machines; all must read and lead somewhere."""
    entries, problems = book.entries("recipe")
    assert problems == [], problems
    for entry in entries:
        book.resolve(entry.record, raw=entry.raw, where=entry.where)
    return {one.id: (one.raw["axial_depth"], one.raw["machine"]) for one in entries}, book.ids("machine")


def holds(book: Book, model: Model) -> bool:
    """Say whether the book holds what a model does."""
    gone = {one.id for one in book.deleted() if one.kind == "recipe"}
    runs = {run.id for run in book.runs()}
    return (observed(book), runs) == ((model.recipes, [model.machine]), model.runs) and gone >= set(
        model.gone
    )


def check(root: Path, model: Model, told: list[str]) -> Model:
    """Check the book after a kill; give the model of what it holds."""
    assert not any(line.startswith("broke") for line in told), told[-3:]
    acts = [json.loads(line) for line in told if line != "done"]
    done = told.count("done")
    for act in acts[:done]:
        model = model.after(act)
    book = Book.open(root)
    ways = [model, *([model.after(acts[done])] if len(acts) > done else [])]
    found = next((way for way in reversed(ways) if holds(book, way)), None)
    assert found, (acts[-2:], observed(book), model)
    assert book.run_log().problems == ()
    for record in found.recipes:
        check_history(book, record, model.saved.get(record, []))
    return found


def check_history(book: Book, record: str, saved: list[str]) -> None:
    """Look for what was saved in a recipe's history."""
    # A save cut off between its file and its history is kept before the file is written over.
    states = book.history.states("recipe", record)
    expected = saved if len(states) < MOST_STATES else saved[-1:]
    kept = {depth_of(one.data) for one in states}
    kept.add(book.get("recipe", record).raw["axial_depth"])
    assert set(expected) <= kept, (record, expected, kept)


def settled(book: Book) -> int:
    """Take away what was left behind; give how much that was."""
    left = leftovers(book.root)
    outcomes = settle(book, keep=True)
    assert {one.leftover for one in outcomes} >= set(left)
    assert leftovers(book.root) == []
    return len(left)


def main(folder: str, seed: str, kills: str) -> None:
    """Kill so many children, and print what was seen."""
    root = make_book(Path(folder) / "book")
    draw, model = random.Random(int(seed)), Model({RECIPE: ("3 mm", MACHINE)}, MACHINE)
    acts = under_way = left = 0
    for turn in range(int(kills)):
        told = killed(root, model, draw, turn)
        acts, under_way = acts + told.count("done"), under_way + (told[-1] != "done")
        model = check(root, model, told)
        if turn % 5 == 4:
            left += settled(Book.open(root))
    print(json.dumps({"kills": int(kills), "done": acts, "under way": under_way, "left": left}))


if __name__ == "__main__":
    try:
        main(*sys.argv[1:])
    except SwarfbookError as error:
        sys.exit(f"refused: {error}")
