"""What is in the wheel that people install."""

from __future__ import annotations

import os
import zipfile
from pathlib import Path

import pytest
from hatchling.builders.wheel import WheelBuilder

from swarfbook.resources import demo_book_dir, tables_dir

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    before = os.umask(0o022)
    try:
        built = next(iter(WheelBuilder(str(ROOT)).build(directory=str(tmp_path_factory.mktemp("wheel")))))
    finally:
        os.umask(before)
    return Path(built)


@pytest.fixture(scope="module")
def names(wheel):
    with zipfile.ZipFile(wheel) as held:
        return set(held.namelist())


def test_one_wheel_serves_every_system(wheel):
    assert wheel.name.endswith("-py3-none-any.whl")


def test_it_holds_tables_demo_fonts_types_and_the_man_page(names):
    data = "swarfbook/_data"
    for path in tables_dir().glob("*.*"):
        assert f"{data}/reference_tables/{path.name}" in names
    for path in demo_book_dir().rglob("*.toml"):
        assert f"{data}/recipes/saltmarsh/{path.relative_to(demo_book_dir()).as_posix()}" in names
    assert {"swarfbook/py.typed", "swarfbook/reports/sheets/fonts/DejaVuSans.ttf"} <= names
    assert any(name.endswith(".data/data/share/man/man1/swarfbook.1") for name in names)


def test_it_holds_no_tests_and_no_caches(names):
    strangers = [
        name
        for name in names
        if "test" in name
        or "cache" in name.lower()
        or "/." in name
        or name.endswith((".pyc", ".nbi", ".lock"))
    ]
    assert strangers == []
    assert {name.partition("/")[0].partition("-")[0] for name in names} == {"swarfbook"}


def test_its_names_are_ones_that_every_system_takes(names):
    assert [name for name in names if set(name) & set('<>:"|?*\\') or name != name.strip()] == []
    assert len({name.casefold() for name in names}) == len(names)
    assert max(map(len, names)) < 140
