"""A material begun with the rows of another is whole, and says of every number that it is assumed."""

from __future__ import annotations

import csv
import shutil

import pytest

from swarfbook import tables
from swarfbook.resources import tables_dir
from swarfbook.tables.checks import check_tables
from tables.material_like import rows_like


@pytest.mark.parametrize("like", ["hdpe", "titanium-ti-6al-4v", "laminate-glass"])
def test_the_rows_are_all_that_a_material_needs(tmp_path, like):
    folder = shutil.copytree(tables_dir(), tmp_path / "tables")
    for table, text in rows_like("new-material", like, "New material").items():
        with (folder / f"{table}.csv").open("a", encoding="utf-8") as file:
            file.write(text)
    assert not [str(problem) for problem in check_tables(folder) if "new-material" in str(problem)]


def test_every_number_says_whose_it_is_and_that_it_is_assumed():
    for table, text in rows_like("new-material", "acetal", "New material").items():
        for line in csv.DictReader(text.splitlines(), tables.load(table).columns):
            assert (line["source"], line["locator"], line["source_kind"]) == ("", "", "assumption")
            assert line["note"] == "assumed, no source: as for Acetal"
            assert line["id"].partition(":")[0] == "new-material"
            assert "acetal" not in line.values()


def test_an_unknown_material_is_a_question():
    with pytest.raises(tables.TableError, match="acetal"):
        rows_like("new-material", "acetl", "New material")
