"""Every rule of `check_tables` catches the mistake it is there for, on a copy of the real tables."""

import shutil

import pytest

from swarfbook.resources import tables_dir
from swarfbook.tables.checks import check_tables


@pytest.fixture
def copy(tmp_path):
    folder = tmp_path / "reference_tables"
    shutil.copytree(tables_dir(), folder)
    return folder


def edit(folder, name, old, new):
    path = folder / name
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def drop(folder, name, key):
    path = folder / name
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    kept = [line for line in lines if not line.startswith(f"{key},")]
    assert len(kept) == len(lines) - 1
    path.write_text("".join(kept), encoding="utf-8")


def test_the_project_s_tables_are_sound():
    assert [str(problem) for problem in check_tables()] == []


def test_a_copy_of_them_is_sound(copy):
    assert check_tables(copy) == ()


@pytest.mark.parametrize(
    ("name", "old", "new", "says"),
    [
        ("materials.csv", "iscar-material-groups", "iscar-groups", "aluminium-wrought-6061-t6.source"),
        ("materials.csv", ",published,", ",seen,", "write one of assumption, common-practice, memory"),
        ("materials.csv", "800,0.25", "80o,0.25", "found 80o; write a plain number"),
        ("materials.csv", "800,0.25", "-800,0.25", "found -800; write a number from 0 up"),
        ("materials.csv", "800,0.25", ",0.25", "aluminium-wrought-6061-t6.kc11_n_per_mm2: write a number"),
        ("materials.csv", "mc,chip_low_mm", "mc,chip_low", "chip_low: found a column without a unit"),
        ("materials.csv", "aluminium-wrought-6061-t6,", ",", "found a blank; give every row an id"),
        ("thermal.csv", "acrylic,", "perspex,", "perspex: found perspex; no such row"),
        ("thermal.csv", "acrylic,", "hdpe,", "hdpe: found the id twice"),
        ("thermal.csv", "Table 1.8, acrylic at 23 C", "", "acrylic.locator: say where"),
        ("edge_radii.csv", ",,assumption,", ",p. 3,assumption,", "leave source and locator blank"),
        ("edge_radii.csv", "assumed, no source: as for high-speed steel", "", "cobalt-hss.note: say why"),
        ("defaults.csv", "stiffness,N/um", "stiffness,N/furlong", "found N/furlong; write one of"),
        ("defaults.csv", "stiffness,N/um", "stifness,N/um", "found stifness; no such dimension"),
        ("chip_loads.csv", ",steel,", ",stele,", "found stele; no such row; did you mean "),
        (
            "thermal.csv",
            "2700,896,167",
            "2700,896,",
            "aluminium-wrought-6061-t6.conductivity_w_per_mk: write",
        ),
        ("cutting_speeds.csv", ",183,396,", ",400,396,", "found 400 above 396; write the low end below"),
        ("chip_floors.csv", ",0.18,0.28,", ",0.29,0.28,", "min_chip_ratio_low: found 0.29 above 0.28"),
        ("cutting_speeds.csv", "hdpe:hss,", "hdpe:hs,", "found hdpe:hs; no such row; did you mean hdpe:hss"),
        ("cutting_speeds.csv", ",hdpe,hss,", ",hdpe,steel,", "found steel; no such row"),
        ("hazards.csv", "acetal,", "acetyl,", "found acetyl; no such row"),
        ("softening.csv", ",pvc,service", ",pvd,service", "found pvd; no such row; did you mean pvc"),
        ("unit_power_classes.csv", "titanium-250-375", "titanium", "found titanium; no such row"),
        ("unit_power_classes.csv", "copper-c11000,", "copper,", "found copper; no such row"),
        ("bolts.csv", ",m8x1,", ",m8x2,", "found m8x2; no such row; did you mean m8"),
        ("bolts.csv", ",8.8,", ",8.9,", "found 8.9; no such row; did you mean 8.8"),
        ("spreads.csv", "force-kienzle:titanium", "force-kienzl:titanium", "force-kienzl:titanium-ti-6al-4v"),
        ("contents.toml", "softening =", "softning =", "contents.toml: softning: found softning; no such"),
        ("contents.toml", "softening =", "softning =", "contents.toml: softening: say in a line"),
        ("force_alternatives.csv", ",steel-mild,", ",steel-wild,", "did you mean steel-mild"),
        ("cutting_coefficients.csv", "aluminium-wrought-7075-t6,", "7075,", "found 7075; no such row"),
        ("sources.toml", "[carvill-1993]", "[carvill]", "carvill: found a source no row names"),
    ],
)
def test_a_bad_row_is_found(copy, name, old, new, says):
    edit(copy, name, old, new)
    assert says in "\n".join(str(problem) for problem in check_tables(copy))


@pytest.mark.parametrize(
    ("name", "key"),
    [
        ("force_ratios.csv", "mdf"),
        ("chip_floors.csv", "brass-free-cutting"),
        ("rake_bases.csv", "steel-mild"),
        ("thermal.csv", "acetal"),
        ("cutting_speeds.csv", "hdpe:carbide"),
        ("hazards.csv", "plywood"),
        ("substrate_strengths.csv", "hss"),
        ("edge_radii.csv", "hss"),
    ],
)
def test_a_missing_row_is_found(copy, name, key):
    drop(copy, name, key)
    assert [(problem.where, problem.key) for problem in check_tables(copy)] == [
        (f"reference_tables/{name}", key)
    ]


def test_a_material_without_companions_is_found_in_every_table(copy):
    with (copy / "materials.csv").open("a", encoding="utf-8") as table:
        table.write("zinc,Zinc,zinc,N,500,0.2,,,,,assumption,guessed\n")
    found = {(problem.where.removeprefix("reference_tables/"), problem.key) for problem in check_tables(copy)}
    assert found == {
        ("force_ratios.csv", "zinc"),
        ("chip_floors.csv", "zinc"),
        ("rake_bases.csv", "zinc"),
        ("thermal.csv", "zinc"),
        ("strengths.csv", "zinc:shear"),
        ("strengths.csv", "zinc:tensile"),
        ("chip_ceilings.csv", "zinc"),
        ("hazards.csv", "zinc"),
        ("cutting_speeds.csv", "zinc:carbide"),
    }


def test_a_file_that_cannot_be_read_is_reported_with_the_other_problems(copy):
    (copy / "materials.csv").write_bytes(b"\xff")
    edit(copy, "thermal.csv", "Table 1.8, acrylic at 23 C", "")
    found = [problem.where for problem in check_tables(copy)]
    assert found == ["reference_tables/materials.csv", "reference_tables/thermal.csv"]


def test_an_empty_table_is_found(copy):
    path = copy / "cautions.csv"
    path.write_text(path.read_text(encoding="utf-8").splitlines()[0] + "\n", encoding="utf-8")
    assert "reference_tables/cautions.csv: found no rows; give the table a row" in map(
        str, check_tables(copy)
    )


def test_a_limit_that_is_not_printed_is_no_mistake(copy):
    edit(copy, "friction.csv", '"bolts, class A",0.04,0.1', '"bolts, class A",0.04,')
    assert check_tables(copy) == ()


def test_a_table_nobody_described_is_found(copy):
    shutil.copy(copy / "fluids.csv", copy / "gases.csv")
    found = [(problem.where, problem.key) for problem in check_tables(copy)]
    assert found == [("reference_tables/contents.toml", "gases")]
