"""Looking through a book: each file is read and validated once, however many recipes name it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

from support.books import FILES, MACHINE, MATERIAL, RECIPE, TOOL
from swarfbook.book import Book, store
from swarfbook.decisions import case
from swarfbook.decisions.case import Gives, case_of, load_case
from swarfbook.decisions.troubles import look_through


@pytest.fixture
def many(make_book: Callable[..., Path]) -> Path:
    root = make_book()
    text = (root / FILES["recipe"]).read_text()
    for number in range(20):
        (root / f"recipes/no-{number}.toml").write_text(text)
    bad = text.replace("18000 rpm", "18000 rp")
    assert bad != text
    (root / "recipes/bad.toml").write_text(bad)
    return root


def test_every_file_is_read_and_validated_once_and_parts_are_filled_once(
    many: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book, parsed, filled = Book.open(many), Counter[str](), []
    parse, fill = store.parse, case._part_inputs

    def noted_parse(kind, raw, *, where):
        parsed[where] += 1
        return parse(kind, raw, where=where)

    for module in (store, case.records):
        monkeypatch.setattr(module, "parse", noted_parse)
    monkeypatch.setattr(case, "_part_inputs", lambda *parts: filled.append(parts) or fill(*parts))
    found = [problem for _, problems in look_through(book) for problem in problems]
    assert [problem.where for problem in found] == ["recipes/bad.toml"]
    recipes = {f"recipes/{recipe}.toml" for recipe in book.ids("recipe")}
    assert parsed == Counter({*recipes, *(FILES[kind] for kind in ("machine", "tool", "material"))})
    assert len(filled) == 1


def test_a_machine_that_changes_meanwhile_is_filled_anew(many: Path) -> None:
    book, gives = Book.open(many), Gives()
    before = load_case(book, "no-1", gives)
    assert load_case(book, "no-2", gives).part_inputs is before.part_inputs
    machine = many / FILES["machine"]
    machine.write_text(machine.read_text().replace("250 N", "375.5 N"))
    after = load_case(book, "no-3", gives)
    assert (before["thrust"], after["thrust"]) == (250.0, 375.5)


def test_values_on_the_desk_are_resolved_as_those_in_the_file(many: Path) -> None:
    book = Book.open(many)
    entry = book.get("recipe", RECIPE)
    assert case_of(book, RECIPE, entry.raw) == load_case(book, RECIPE)
    one = load_case(book, RECIPE)
    assert (one.recipe.machine, one.recipe.tool, one.recipe.material) == (MACHINE, TOOL, MATERIAL)
