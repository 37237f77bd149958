"""What to mind: every usual caution comes where it applies, and not where it does not."""

from __future__ import annotations

import pytest

from support.books import RECIPE
from swarfbook import tables
from swarfbook.book import Book
from swarfbook.decisions.case import load_case
from swarfbook.decisions.cautions import rows_about
from swarfbook.decisions.check import check

MAGNESIUM = {"material.table": "magnesium-az31"}


@pytest.fixture
def case(make_book):
    """Give a function from changes of the small book to its case; the material is the table's own."""

    def of(**changes):
        plain = {"material.overrides": None, "material.cutting_law": None}
        return load_case(Book.open(make_book(**plain | changes)), RECIPE)

    return of


@pytest.fixture
def said(case):
    def of(**changes):
        return " ".join(check(case(**changes)).cautions)

    return of


@pytest.mark.parametrize(
    ("material", "words"),
    [
        ("pvc", ("hydrogen chloride", "ventilate")),
        ("acrylic", ("methyl methacrylate", "splinters", "ventilate")),
        ("acetal", ("formaldehyde",)),
        ("laminate-glass", ("mask", "fine filter")),
        ("laminate-carbon", ("mask", "conducts electricity")),
        ("mdf", ("mask", "formaldehyde", "hot metal chips and wood dust", "earth the hose")),
        ("particle-board", ("mask", "hot metal chips and wood dust")),
        ("plywood-birch", ("mask", "can start a fire", "hot metal chips and wood dust", "earth the hose")),
        ("softwood", ("mask", "can start a fire", "hot metal chips and wood dust")),
        ("hardwood", ("carcinogen", "hot metal chips and wood dust")),
        ("hdpe", ("static", "earth the hose")),
        ("aluminium-wrought-6082-t6", ("fine aluminium dust burns", "extractor")),
        ("steel-mild", ("sparks", "extractor")),
        ("brass-free-cutting", ("lead", "hot metal chips and wood dust")),
        ("titanium-ti-6al-4v", ("burn white-hot", "no dry dust in an extractor")),
        ("magnesium-az31", ("class D extinguisher", "no water-based coolant")),
    ],
)
def test_a_material_brings_its_cautions(said, material, words):
    told = said(**{"material.table": material})
    assert [word for word in words if word not in told] == []


@pytest.mark.parametrize("material", [row.id for row in tables.load("materials").rows])
def test_every_material_has_one_and_the_extractor_is_named_at_most_once_for_hot_chips(case, material):
    rows = rows_about(case(**{"material.table": material}))
    assert any(row.table == "hazards" for row in rows)
    assert rows[-1].id == "always"
    own = any("extractor" in row.text("caution") for row in rows if row.table == "hazards")
    assert own + any(row.id == "shared-extractor" for row in rows) <= 1


@pytest.mark.parametrize(
    ("cooling", "words"),
    [
        ("flood", ("gives off hydrogen", "none of it here", "neat oil and its mist burn")),
        ("mist", ("water in it gives off hydrogen", "cut dry", "Mist goes into the lungs")),
        ("air-blast", ("dust that can explode", "fans a fire")),
    ],
)
def test_magnesium_and_its_cooling(said, cooling, words):
    told = said(**MAGNESIUM, **{"recipe.cooling": cooling})
    assert [word for word in words if word not in told] == []


def test_the_gravest_caution_stands_before_the_others(case):
    rows = rows_about(case(**MAGNESIUM, **{"recipe.cooling": "flood"}))
    assert rows[0].id == "cooling-flood:magnesium"


def test_dry_magnesium_has_no_word_of_coolant_beyond_its_own_row(case):
    rows = rows_about(case(**MAGNESIUM, **{"recipe.cooling": "dry", "recipe.feed_per_tooth": "0.06 mm"}))
    assert [row.id for row in rows if row.table == "cautions"] == ["always"]


@pytest.mark.parametrize(("feed", "thin"), [("0.049 mm", True), ("0.05 mm", False)])
def test_thin_feed_in_magnesium_is_warned_of(said, feed, thin):
    assert ("lights by itself; feed more" in said(**MAGNESIUM, **{"recipe.feed_per_tooth": feed})) is thin
    assert "lights by itself" not in said(**{"recipe.feed_per_tooth": feed})


@pytest.mark.parametrize("cooling", ["flood", "mist"])
def test_aluminium_may_be_flooded(case, cooling):
    ids = [row.id for row in rows_about(case(**{"recipe.cooling": cooling}))]
    assert f"cooling-{cooling}" in ids
    assert not any(":" in name for name in ids)


def test_mist_is_for_extractors_and_may_burn(said):
    told = said(**{"recipe.cooling": "mist"})
    assert "lungs" in told
    assert "flammable" in told


@pytest.mark.parametrize(
    ("changes", "warned"),
    [
        ({"recipe.stickout": "37 mm"}, True),
        ({"recipe.stickout": "35 mm"}, False),
        ({"recipe.stickout": "37 mm", "recipe.spindle_speed": "11000 rpm"}, False),
        ({"recipe.stickout": "37 mm", "tool.max_speed": "30000 rpm"}, False),
        ({"tool.diameter": "16 mm", "tool.shank_diameter": "16 mm"}, True),
        ({"tool.diameter": "15 mm", "tool.shank_diameter": "15 mm"}, False),
    ],
)
def test_large_and_long_cutters_without_a_marked_speed(said, changes, warned):
    long = {"tool.max_speed": None, "tool.overall_length": "60 mm"}
    assert ("states no maximum speed" in said(**long | changes)) is warned


def test_the_usual_ones_always_stand(said):
    told = said()
    for word in ("Eye and ear protection", "guards closed", "makers' limits", "within reach of the stop"):
        assert word in told
