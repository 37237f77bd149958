"""A book, its history and its log against plain dicts, whatever is done to them in whatever order."""

from __future__ import annotations

import shutil
import tempfile
import tomllib
from pathlib import Path
from typing import NamedTuple

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from support.books import MACHINE, RUN, make_book, values
from swarfbook.book import Book
from swarfbook.errors import ConflictError, SwarfbookError

IDS = st.sampled_from(["a", "b", "c", "d"])
MACHINES = st.sampled_from([MACHINE, "bench", "bed"])
DEPTHS = st.sampled_from(["1 mm", "2 mm", "1/16 in"])


class Text(NamedTuple):
    """What tells one text of a recipe from another: its values, and the remark another program put in."""

    depth: str
    machine: str
    standing: str
    remark: str = ""


class State(NamedTuple):
    """A state as the model has it: when, by which act, and what."""

    at: int
    how: str
    of: str
    text: Text


def read(data: bytes) -> Text:
    raw = tomllib.loads(data.decode())
    first = data.decode().partition("\n")[0]
    return Text(raw["axial_depth"], raw["machine"], raw["standing"], first if first.startswith("#") else "")


class BookModel(RuleBasedStateMachine):
    """Does things to a book and to dicts, and compares."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.book = Book.open(make_book(self.folder / "book"))
        self.book.delete("recipe", self.book.ids("recipe")[0])
        self.machine = MACHINE
        self.recipes: dict[str, Text] = {}
        self.gone: dict[str, list[Text]] = {}
        self.states: dict[str, list[State]] = {}
        self.renames: list[tuple[int, str, str]] = []
        self.runs: list[str] = []
        self.now = 0

    def teardown(self) -> None:
        shutil.rmtree(self.folder)

    @initialize(record=IDS, depth=DEPTHS)
    def first(self, record: str, depth: str) -> None:
        self.save(record, depth)

    # The model

    def keep(self, record: str, how: str, text: Text, of: str = "") -> None:
        self.now += 1
        states = self.states.setdefault(record, [])
        last = states[-1] if states else None
        again = last is not None and last.text == text
        if how in ("deleted", "brought-back", "renamed"):
            again = again and (last.how, last.of) == (how, of)
        elif how != "found":
            again = again and last.how != "deleted"
        if not again:
            states.append(State(self.now, how, of, text))

    def found(self, record: str) -> None:
        if record in self.recipes:
            self.keep(record, "found", self.recipes[record])

    def put(self, record: str, how: str, text: Text, of: str = "") -> None:
        self.found(record)
        self.recipes[record] = text
        self.keep(record, how, text, of)

    # What is done

    @rule(record=IDS, depth=DEPTHS)
    def save(self, record: str, depth: str) -> None:
        if record in self.recipes:
            seen = self.book.get("recipe", record).sha
            self.book.save("recipe", record, {"axial_depth": depth}, seen=seen)
            self.put(record, "saved", self.recipes[record]._replace(depth=depth))
        else:
            new = values("recipe", {"axial_depth": depth, "machine": self.machine})
            self.book.save("recipe", record, new, seen=None)
            self.put(record, "saved", Text(depth, self.machine, "max-effort"))

    @rule(record=IDS, depth=DEPTHS)
    def save_of_an_old_reading(self, record: str, depth: str) -> None:
        if record not in self.recipes:
            return
        seen = self.book.get("recipe", record).sha
        self.edit_outside(record, "3.5 mm" if depth == "1 mm" else "4.5 mm", "x")
        try:
            self.book.save("recipe", record, {"axial_depth": depth}, seen=seen)
        except ConflictError:
            return
        raise AssertionError("written over")

    @rule(record=IDS, depth=DEPTHS, mark=st.sampled_from("xyz"))
    def edit_outside(self, record: str, depth: str, mark: str) -> None:
        if record not in self.recipes:
            return
        path, before = self.book.path("recipe", record), self.recipes[record]
        text = path.read_text().removeprefix(f"{before.remark}\n" if before.remark else "")
        text = text.replace(f'axial_depth = "{before.depth}"', f'axial_depth = "{depth}"')
        self.now += 1
        # Another length each time, so that the stamp tells however coarse the clock of the disk is.
        remark = f"# {mark * (1 + self.now)}"
        path.write_text(f"{remark}\n{text}")
        self.recipes[record] = before._replace(depth=depth, remark=remark)

    @rule(record=IDS)
    def delete(self, record: str) -> None:
        if record in self.recipes:
            self.book.delete("recipe", record)
            self.found(record)
            text = self.recipes.pop(record)
            self.keep(record, "deleted", text)
            self.gone.setdefault(record, []).append(text)

    @rule(record=IDS)
    def bring_back(self, record: str) -> None:
        if record in self.recipes or not self.gone.get(record):
            self.refused(lambda: self.book.restore("recipe", record))
            return
        self.book.restore("recipe", record)
        self.recipes[record] = self.gone[record].pop()._replace(machine=self.machine)
        self.keep(record, "brought-back", self.recipes[record])

    @rule(record=IDS, new=IDS)
    def rename(self, record: str, new: str) -> None:
        if record not in self.recipes or new in self.recipes:
            self.refused(lambda: self.book.rename("recipe", record, new))
            return
        self.book.rename("recipe", record, new)
        text = self.recipes.pop(record)
        self.recipes[new] = text
        self.states[new] = sorted(self.states.get(new, []) + self.states.pop(record, []))
        self.keep(new, "renamed", text, record)

    @rule(new=MACHINES)
    def rename_machine(self, new: str) -> None:
        if new == self.machine:
            return
        self.book.rename("machine", self.machine, new)
        for record, text in self.recipes.items():
            self.put(record, "followed", text._replace(machine=new), f"machine:{self.machine}")
        self.machine = new

    @rule(record=IDS, new=IDS, depth=DEPTHS)
    def duplicate(self, record: str, new: str, depth: str) -> None:
        if record not in self.recipes or new in self.recipes:
            self.refused(lambda: self.book.duplicate("recipe", record, new))
            return
        self.book.duplicate("recipe", record, new, {"axial_depth": depth})
        self.put(new, "saved", self.recipes[record]._replace(depth=depth, standing="trial"))

    @precondition(lambda self: any(self.states.values()))
    @rule(data=st.data())
    def restore_state(self, data: st.DataObject) -> None:
        record = data.draw(st.sampled_from(sorted(one for one, states in self.states.items() if states)))
        place = data.draw(st.integers(0, len(self.states[record]) - 1))
        number = self.book.history.states("recipe", record)[place].number
        self.book.restore_state("recipe", record, number)
        text = self.states[record][place].text._replace(machine=self.machine)
        self.put(record, "restored", text, str(number))

    @rule()
    def log(self) -> None:
        self.runs.append(f"run-{len(self.runs)}")
        self.book.log(RUN | {"id": self.runs[-1]})

    @rule()
    def reopen(self) -> None:
        self.book = Book.open(self.book.root)

    def refused(self, work) -> None:
        try:
            work()
        except SwarfbookError:
            return
        raise AssertionError("not refused")

    # What must be

    @invariant()
    def the_book_holds_what_the_dict_holds(self) -> None:
        assert self.book.ids("recipe") == sorted(self.recipes)
        for record, text in self.recipes.items():
            assert read(self.book.path("recipe", record).read_bytes()) == text
            entry = self.book.get("recipe", record)
            assert (entry.raw["axial_depth"], entry.raw["machine"]) == text[:2]
        assert self.book.ids("machine") == [self.machine]

    @invariant()
    def the_history_holds_every_state(self) -> None:
        for record, states in self.states.items():
            kept = self.book.history.states("recipe", record)
            assert [(one.how, one.of, read(one.data)) for one in kept] == [one[1:] for one in states]
        assert self.book.history.told() == []

    @invariant()
    def the_log_holds_every_run(self) -> None:
        assert [run.id for run in self.book.runs()] == self.runs
        assert self.book.run_log().problems == ()

    @invariant()
    def what_was_deleted_can_be_brought_back(self) -> None:
        gone = [one.id for one in self.book.deleted() if one.kind == "recipe"]
        assert sorted(gone) == sorted(
            [record for record, texts in self.gone.items() for _ in texts] + ["long-bed-6mm-6082-rough"]
        )


def test_whatever_is_done_the_book_holds_what_the_dicts_hold(request, monkeypatch):
    monkeypatch.setattr("os.fsync", lambda _: None)  # no power is cut here
    many = 1000 if request.config.getoption("--long") else 20
    run_state_machine_as_test(BookModel, settings=settings(max_examples=many, stateful_step_count=25))
