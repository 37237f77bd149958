"""Reading tables: exact look-up, units, sources, and what a broken file says."""

import subprocess
import sys
from pathlib import Path

import pytest

from swarfbook import tables
from swarfbook.errors import SwarfbookError
from swarfbook.quantities import QuantityError, to_si
from swarfbook.tables.columns import TABLE_UNITS, bare_name, is_number, measure, other_end
from swarfbook.tables.loader import Row, read_contents, read_sources, read_table

HEADER = "id,kc11_n_per_mm2,mc,source,locator,source_kind,note\n"


def broken(tmp_path: Path, text: str | bytes) -> Path:
    path = tmp_path / "forces.csv"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return path


@pytest.fixture
def row(tmp_path):
    path = broken(
        tmp_path, HEADER + "soft, 700 ,0.25,book,p. 1,published,said\nopen,,0.3,,,assumption,guessed\n"
    )
    return read_table(path).rows[0]


def test_a_row_gives_its_numbers_as_printed_and_in_si(row):
    assert row.id == "soft"
    assert row.values == {"kc11_n_per_mm2": "700", "mc": "0.25", "note": "said"}
    assert row.number("kc11_n_per_mm2") == 700.0
    assert row.si("kc11_n_per_mm2") == 700e6
    assert row.si("mc") == 0.25
    assert (row.source, row.locator, row.source_kind, row.assumed) == ("book", "p. 1", "published", False)


def test_a_blank_is_unknown_and_never_nought(tmp_path):
    path = broken(tmp_path, HEADER + "open,,0.3,,,assumption,guessed\n")
    row = read_table(path).get("open")
    assert row.number("kc11_n_per_mm2") is None
    assert row.si("kc11_n_per_mm2") is None
    assert row.assumed
    with pytest.raises(tables.TableError, match=r"forces\.csv: open\.kc11_n_per_mm2: a number is needed"):
        row.needed("kc11_n_per_mm2")


@pytest.mark.parametrize(
    ("column", "dimension", "unit"),
    [
        ("kc11_n_per_mm2", "stress", "N/mm^2"),
        ("kte_n_per_mm", "edge_force", "N/mm"),
        ("diameter_mm", "length", "mm"),
        ("edge_radius_low_um", "length", "um"),
        ("youngs_modulus_gpa", "stress", "GPa"),
        ("speed_high_m_per_min", "surface_speed", "m/min"),
        ("density_kg_per_m3", "density", "kg/m^3"),
        ("specific_heat_j_per_kgk", "specific_heat", "J/(kg*K)"),
        ("conductivity_w_per_mk", "conductivity", "W/(m*K)"),
        ("rake_base_deg", "angle", "deg"),
        ("min_chip_ratio", "ratio", ""),
        ("torque_n_m", "torque", "N*m"),
        ("load_low_n", "force", "N"),
        ("preload_kn", "force", "kN"),
        ("strength_low_kpa", "stress", "kPa"),
        ("peel_n_per_mm", "edge_force", "N/mm"),
        ("feed_in", "length", "in"),
        ("temperature_low_degc", "temperature", "degC"),
        ("hardness_high_hb", "hardness", "HB"),
        ("coefficient_low_w_per_m2k", "heat_transfer", "W/(m^2*K)"),
        ("viscosity_m2_per_s", "diffusivity", "m^2/s"),
        ("limit_high_mg_per_m3", "density", "mg/m^3"),
        ("energy_low_w_s_per_mm3", "specific_energy", "W*s/mm^3"),
        ("kp_kw_s_per_cm3", "specific_energy", "kW*s/cm^3"),
        ("kp_hp_min_per_in3", "specific_energy", "hp*min/in^3"),
        ("prandtl", "ratio", ""),
    ],
)
def test_the_end_of_a_column_name_is_its_unit(column, dimension, unit):
    assert measure(column) == (dimension, unit)
    assert is_number(column)


@pytest.mark.parametrize(
    ("column", "bare", "high"),
    [
        ("speed_low_m_per_min", "speed_low", "speed_high_m_per_min"),
        ("min_chip_ratio_low", "min_chip_ratio_low", "min_chip_ratio_high"),
        ("kte_n_per_mm", "kte", ""),
        ("load_high_n", "load_high", ""),
        ("torque_n_m", "torque", ""),
        ("mc", "mc", ""),
        ("note", "note", ""),
    ],
)
def test_a_column_knows_its_name_without_the_unit_and_the_other_end_of_its_range(column, bare, high):
    assert bare_name(column) == bare
    assert other_end(column) == high


@pytest.mark.parametrize("unit", TABLE_UNITS)
def test_a_unit_of_tables_alone_is_not_one_people_type(unit):
    with pytest.raises((KeyError, QuantityError)):
        to_si(1.0, unit.dimension, unit.unit)


@pytest.mark.parametrize("column", ["note", "family", "hardness", "kc11"])
def test_a_column_without_a_unit_is_no_number(column):
    assert measure(column) is None
    assert not is_number(column)


@pytest.mark.parametrize(
    ("table", "key", "column", "si"),
    [
        ("materials", "aluminium-wrought-6082-t6", "kc11_n_per_mm2", 800e6),
        ("cutting_coefficients", "aluminium-wrought-6082-t6", "kte_n_per_mm", 13e3),
        ("cutting_speeds", "steel-mild:carbide", "speed_high_m_per_min", 2.8),
        ("edge_radii", "carbide", "edge_radius_um", 5e-6),
        ("substrates", "carbide", "youngs_modulus_gpa", 580e9),
        ("defaults", "tool-tip-stiffness", "value", 2e6),
        ("defaults", "runout", "value", 2e-5),
        ("defaults", "max-plunge-share", "value", 0.3),
        ("defaults", "clean-minutes", "value", 300.0),
        ("defaults", "dynamic-frequency-high", "value", 150.0),
        ("thermal", "acrylic", "conductivity_w_per_mk", 0.2),
        ("unit_power", "plain-carbon-80-100", "kp_kw_s_per_cm3", 1.72e9),
        ("unit_power", "plain-carbon-80-100", "kp_hp_min_per_in3", 0.63 * 745.69987158227 * 60 / 0.0254**3),
        ("specific_energies", "brass:milling", "energy_low_w_s_per_mm3", 1.6e9),
        ("feed_factors", "0.004in", "feed_in", 0.1016e-3),
        ("bolts", "m6:8.8:0.12", "preload_kn", 10200.0),
        ("bolts", "m6:8.8:0.12", "torque_n_m", 10.1),
        ("adhesives", "foam-tape:shear-static-65", "strength_low_kpa", 30400.0),
        ("adhesives", "foam-tape:shear-static-65", "temperature_degc", 338.15),
        ("adhesives", "foam-tape:peel", "peel_n_per_mm", 2600.0),
        ("softening", "acrylic", "temperature_low_degc", 378.15),
        ("anchors", "slot-nut-5", "load_low_n", 1000.0),
        ("convection", "forced-gas", "coefficient_high_w_per_m2k", 250.0),
        ("fluids", "air-300k", "viscosity_m2_per_s", 1.589e-5),
        ("exposure_limits", "copper-dust:us", "limit_low_mg_per_m3", 1e-6),
        ("vacuum", "porous", "pressure_low_kpa", 20e3),
        ("unit_power", "stainless-150-175", "hardness_low_hb", 150.0),
    ],
)
def test_the_project_s_numbers_in_si(table, key, column, si):
    assert tables.load(table).get(key).si(column) == pytest.approx(si, rel=1e-14)


@pytest.mark.parametrize(
    ("asked", "near"),
    [
        ("aluminium-6082-t6", "did you mean aluminium-wrought-6082-t6"),
        ("6082-T6", "known: "),
        ("Brass-Free-Cutting", "did you mean brass-free-cutting"),
        ("", "known: "),
    ],
)
def test_a_miss_asks_about_the_nearest_rows(asked, near):
    with pytest.raises(tables.TableError) as caught:
        tables.load("materials").get(asked)
    assert "reference_tables/materials.csv" in str(caught.value)
    assert near in str(caught.value)
    assert "\n" not in str(caught.value)
    assert isinstance(caught.value, SwarfbookError)


def test_find_is_exact_and_quiet():
    materials = tables.load("materials")
    assert materials.find("mdf") is materials.get("mdf")
    assert materials.find("mdf ") is None
    assert materials.find("MDF") is None


@pytest.mark.parametrize("name", ["material", "../pyproject", "sources", "materials.csv", "", "/etc/passwd"])
def test_an_unknown_table_is_refused(name):
    with pytest.raises(tables.TableError, match="no such table"):
        tables.load(name)


def test_an_unknown_table_names_the_nearest():
    with pytest.raises(tables.TableError, match="did you mean materials"):
        tables.load("material")


def test_a_table_is_read_once():
    assert tables.load("spreads") is tables.load("spreads")


def test_an_unknown_source_names_the_nearest():
    with pytest.raises(tables.TableError, match=r"sources\.toml: found kops-vo; .*kops-vo-1990"):
        tables.source("kops-vo")


def test_a_source_says_author_title_and_year():
    found = tables.source("kops-vo-1990")
    assert found["author"] == "L. Kops, D. T. Vo"
    assert found["year"] == 1990


def test_a_source_handed_out_is_a_copy():
    tables.source("kops-vo-1990").clear()
    assert tables.source("kops-vo-1990")["kind"] == "paper"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", r"forces\.csv: the first line must name id, source, locator, source_kind"),
        ("id,mc,source\n", r"must name locator, source_kind"),
        ("id,mc,mc,source,locator,source_kind\n", r"name each column once"),
        (HEADER + "soft,700\n", r"forces\.csv: soft: write 7 fields"),
        (HEADER + "soft,700,0.2,a,b,published,n,more\n", r"forces\.csv: soft: write 7 fields"),
        (HEADER + "a,1,0.2,,,assumption,n\na,2,0.2,,,assumption,n\n", r"forces\.csv: a: found the id twice"),
        (HEADER + 'soft,"700"x,0.2,a,b,published,n\n', r"write the table as UTF-8 text with commas"),
        (b"id,mc,source,locator,source_kind\n\xff,1,,,assumption\n", r"write the table as UTF-8"),
    ],
)
def test_a_broken_table_names_file_and_row(tmp_path, text, says):
    with pytest.raises(tables.TableError, match=says):
        read_table(broken(tmp_path, text))


@pytest.mark.parametrize("printed", ["7oo", "nan", "inf", "-inf", "1e999", "7,5", "0x10"])
def test_what_is_no_number_names_row_and_column(tmp_path, printed):
    path = broken(tmp_path, HEADER + f'soft,"{printed}",0.2,a,b,published,n\n')
    row = read_table(path).rows[0]
    with pytest.raises(
        tables.TableError, match=r"forces\.csv: soft\.kc11_n_per_mm2: found .*write a plain number"
    ):
        row.number("kc11_n_per_mm2")


def test_a_column_that_is_not_there_names_the_nearest(row):
    with pytest.raises(tables.TableError, match=r"soft: found kc11; no such column; .*kc11_n_per_mm2"):
        row.number("kc11")


def test_text_has_no_si_value(row):
    with pytest.raises(tables.TableError, match="not"):
        row.si("note")


def test_a_number_s_column_must_state_a_unit():
    odd = Row("odd", "a", {"hardness": "90"}, "", "", "assumption")
    with pytest.raises(tables.TableError, match="states no unit"):
        odd.si("hardness")


@pytest.mark.parametrize(("dimension", "unit"), [("length", "furlong"), ("size", "mm")])
def test_a_unit_nobody_knows_is_refused(dimension, unit):
    values = {"value": "3", "dimension": dimension, "unit": unit}
    with pytest.raises(tables.TableError, match=f"found {dimension} in {unit}; no such unit"):
        Row("odd", "a", values, "", "", "assumption").si("value")


def test_broken_sources_name_the_file(tmp_path):
    (tmp_path / "sources.toml").write_text("[one\n")
    with pytest.raises(tables.TableError, match=r"reference_tables/sources\.toml"):
        read_sources(tmp_path)


def test_broken_contents_name_the_file(tmp_path):
    (tmp_path / "contents.toml").write_text("materials = \n")
    with pytest.raises(tables.TableError, match=r"reference_tables/contents\.toml"):
        read_contents(tmp_path)


def test_contents_say_what_every_table_holds_in_a_line():
    contents = tables.contents()
    assert tuple(sorted(contents)) == tables.names()
    assert all(line and "\n" not in line for line in contents.values())


def test_a_frame_holds_numbers_and_text():
    frame = tables.frame("cutting_coefficients")
    assert list(frame.index) == list(tables.load("cutting_coefficients").ids())
    assert frame.loc["aluminium-wrought-6082-t6", "ktc_n_per_mm2"] == 631.0
    assert frame["kac_n_per_mm2"].isna().sum() == 1
    assert frame.loc["aluminium-wrought-6082-t6", "source"] == "cjme-2021-aluminium"
    assert list(frame.columns) == list(tables.load("cutting_coefficients").columns[1:])


def test_tables_load_without_pandas_or_pint():
    code = (
        "import sys; from swarfbook import tables; tables.load('materials').get('mdf').si('mc');"
        "print(sorted(set(sys.modules) & {'pandas', 'pint', 'numpy', 'scipy', 'textual'}))"
    )
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "[]"
