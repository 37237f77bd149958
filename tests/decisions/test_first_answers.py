"""What a person says of a first machine, cutter and material, read kindly."""

import pytest

from swarfbook import records, tables
from swarfbook.decisions.first.cutter import cutter_record, read_cutter
from swarfbook.decisions.first.machine import (
    Plate,
    machine_record,
    machines_named,
    read_plate,
    read_rating,
)
from swarfbook.decisions.first.material import material_record, materials_named
from swarfbook.decisions.first_values import IN_COLLET, OVER_FLUTES
from swarfbook.errors import SwarfbookError

SORTS = tables.load("first_machines").rows
SIZES = tables.load("first_cutters").rows


def parsed(begun):
    return records.parse(begun.kind, begun.values, where=begun.file)


@pytest.mark.parametrize(
    ("text", "power", "slowest", "fastest"),
    [
        ("800 W", "800 W", "", ""),
        ("800w", "800 W", "", ""),
        ("1 1/4 HP", "1.25 hp", "", ""),
        ("2.2kw at 24000rpm", "2.2 kW", "", "24000 rpm"),
        ("1.5 kW, 24000 RPM", "1.5 kW", "", "24000 rpm"),
        ("800W,10000-30000 rpm", "800 W", "10000 rpm", "30000 rpm"),
        ("800 W 10 000 to 30 000 rpm", "800 W", "10000 rpm", "30000 rpm"),
        ("6000 rpm to 24000 rpm; 750 watts", "750 W", "6000 rpm", "24000 rpm"),
        ("24000 rpm", "", "", "24000 rpm"),
        ("", "", "", ""),
    ],
)
def test_a_plate_is_read(text, power, slowest, fastest):
    assert read_plate(text) == Plate(power, slowest, fastest)


@pytest.mark.parametrize(
    "text", ["6.5 A", "230 V 3 A", "fast", "0 W", "-800 W", "24000-6000 rpm", "800 N", "1,5 kW"]
)
def test_what_is_no_plate_is_refused_in_one_line(text):
    with pytest.raises(SwarfbookError) as told:
        read_plate(text, where="--spindle")
    assert str(told.value).startswith("--spindle: found ")
    assert "\n" not in str(told.value)


def test_a_rating_is_read_by_its_beginning():
    assert [read_rating(text) for text in ("shaft", "In", " unknown ")] == ["shaft", "input", "unknown"]
    for text in ("", "output"):
        with pytest.raises(SwarfbookError, match="write one of shaft, input, unknown"):
            read_rating(text)


@pytest.mark.parametrize(
    ("text", "name", "id_"),
    [
        ("6 mm one-flute carbide", "6 mm one-flute end mill", "em-6mm-1f"),
        ("6mm", "6 mm two-flute end mill", "em-6mm-2f"),
        ('1/4" 2F HSS', "1/4 in two-flute HSS end mill", "em-1-4in-2f-hss"),
        ("1/4", "1/4 in two-flute end mill", "em-1-4in-2f"),
        ("0.25 inch four flute", "0.25 in four-flute end mill", "em-0-25in-4f"),
        ("3 mm ball nose, single flute", "3 mm one-flute ball end mill", "ball-3mm-1f"),
        ("6 two flute", "6 mm two-flute end mill", "em-6mm-2f"),
        ("three-flute 10mm HSS-Co", "10 mm three-flute cobalt HSS end mill", "em-10mm-3f-cobalt"),
        ("6 mm down-cut 2 fl", "6 mm two-flute down-cut end mill", "em-6mm-2f-down"),
        ("2 flute 6 mm straight", "6 mm two-flute straight end mill", "em-6mm-2f-straight"),
    ],
)
def test_a_cutter_is_read(text, name, id_):
    begun = cutter_record(read_cutter(text))
    assert (begun.values["name"], begun.id) == (name, id_)
    assert parsed(begun)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "two-flute",
        "6 m",
        "6 cm",
        "0.25",
        "30 mm",
        "0.1 mm",
        "6 mm 90 deg chamfer",
        "6 mm 12 flute",
        "1/0 in",
    ],
)
def test_what_is_no_first_cutter_is_refused_in_one_line(text):
    with pytest.raises(SwarfbookError) as told:
        read_cutter(text, where="--tool")
    assert str(told.value).startswith("--tool: ")
    assert "\n" not in str(told.value)


def test_what_was_not_said_of_a_cutter_is_noted_and_what_was_said_is_not():
    noted = set(cutter_record(read_cutter("6 mm")).notes)
    assert noted == {"helix", "flute_length", "shank_diameter", "overall_length", "flutes", "substrate"}
    assert "flutes" not in cutter_record(read_cutter("6 mm 2 flute carbide")).notes
    assert "substrate" not in cutter_record(read_cutter("6 mm 2 flute carbide")).notes
    assert "diameter" not in noted


@pytest.mark.parametrize("row", SIZES, ids=lambda row: row.id)
def test_a_usual_size_has_the_lengths_of_its_row(row):
    unit = row.text("unit")
    size = row.needed("diameter_mm") / (1e-3 if unit == "mm" else 25.4e-3)
    tool = parsed(cutter_record(read_cutter(f"{size:g} {unit}")))
    for key in ("flute_length", "shank_diameter", "overall_length"):
        assert getattr(tool, key) == pytest.approx(row.needed(f"{key}_mm"), abs=2e-6)


@pytest.mark.parametrize("row", SIZES, ids=lambda row: row.id)
def test_a_usual_size_stands_out_beyond_its_flutes_with_enough_shank_in_the_collet(row):
    unit = row.text("unit")
    size = row.needed("diameter_mm") / (1e-3 if unit == "mm" else 25.4e-3)
    tool = parsed(cutter_record(read_cutter(f"{size:g} {unit}")))
    out = tool.flute_length + OVER_FLUTES * tool.diameter
    assert tool.overall_length - out >= IN_COLLET * tool.shank_diameter * (1 - 1e-9)


def test_a_cutter_between_two_sizes_has_shorter_flutes_on_the_larger_shank():
    tool = parsed(cutter_record(read_cutter("2.5 mm")))
    assert tool.shank_diameter == pytest.approx(3e-3)
    assert tool.flute_length == pytest.approx(8.3e-3)  # 10 mm at 3 mm, to a tenth


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("6082", ["Aluminium 6082-T6"]),
        ("aluminum 6061", ["Aluminium 6061-T6"]),
        ("brass", ["Free-cutting brass", "Brass without lead"]),
        ("mild steel", ["Mild steel"]),
        ("birch ply", ["Birch plywood"]),
        ("POM", ["Acetal"]),
        ("MDF", ["Medium-density fibreboard (MDF)"]),
        ("Wood", ["Birch plywood", "Softwood (pine, spruce, fir)", "Hardwood (beech, oak, ash)"]),
    ],
)
def test_materials_are_found_by_words(text, names):
    assert [row.text("name") for row in materials_named(text)] == names


@pytest.mark.parametrize("row", tables.load("materials").rows, ids=lambda row: row.id)
def test_every_material_is_found_by_its_id_and_by_its_name(row):
    assert materials_named(row.id) == [row]
    assert materials_named(row.text("name")) == [row]
    assert parsed(material_record(row)).table == row.id


def test_no_two_materials_get_the_same_id():
    ids = [material_record(row).id for row in tables.load("materials").rows]
    assert len(set(ids)) == len(ids)


@pytest.mark.parametrize("row", SORTS, ids=lambda row: row.id)
def test_a_sort_of_machine_reads_with_nothing_said_and_all_of_it_noted(row):
    begun = machine_record(row, Plate())
    machine = parsed(begun)
    assert machine.spindle.rated_power == pytest.approx(row.needed("rated_power_w"))
    assert machine.spindle.rating == row.text("rating")
    noted = {"motor", "rated_power", "min_speed", "max_speed", "rating"}
    assert set(begun.notes) == {*(f"spindle.{key}" for key in noted), "axes.max_feed"}
    assert machines_named(row.text("name")) == [row]


def test_what_the_plate_says_is_written_as_said_and_not_noted():
    begun = machine_record(SORTS[0], Plate("1 hp", "5000 rpm", "20000 rpm", "shaft"))
    assert begun.values["spindle"]["rated_power"] == "1 hp"
    assert set(begun.notes) == {"spindle.motor", "axes.max_feed"}


def test_a_power_of_which_nobody_says_what_it_is_has_no_rating():
    begun = machine_record(SORTS[0], Plate(power="800 W"))
    assert "rating" not in begun.values["spindle"]
    assert "of the shaft or the plug" in begun.head


def test_a_slow_spindle_has_a_slowest_speed_below_its_fastest():
    machine = parsed(machine_record(SORTS[1], Plate(fastest="3000 rpm")))
    assert machine.spindle.min_speed == pytest.approx(1000 / 60)
