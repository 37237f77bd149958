"""The digest: the same for the same values however typed, another for any other value."""

from __future__ import annotations

import re
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from support.books import to_toml, values
from swarfbook import quantities
from swarfbook.records import SafetyFactors, ToolTip, digest, dimension, parse, record_keys


def of(kind, raw):
    return digest(parse(kind, raw, where=""))


BASE = of("recipe", values("recipe"))


def test_a_digest_is_a_sha256():
    assert re.fullmatch(r"sha256:[0-9a-f]{64}", BASE)


@pytest.mark.parametrize(
    "changes",
    [
        {"axial_depth": "0.3 cm"},
        {"axial_depth": "3.000 mm"},
        {"spindle_speed": "300 rev/s"},
        {"feed_per_tooth": "0.05 mm/tooth"},
        {"feed_per_tooth": "50 um/tooth"},
        {"notes": ""},
        {"keep": []},
    ],
)
def test_units_and_empty_keys_do_not_change_it(changes):
    assert of("recipe", values("recipe", changes)) == BASE


def test_inches_and_millimetres_of_one_size_are_the_same():
    inch, millimetre = ({"radial_width": size} for size in ("1/16 in", "1.5875 mm"))
    assert of("recipe", values("recipe", inch)) == of("recipe", values("recipe", millimetre))


def test_comments_and_order_do_not_change_it():
    text = to_toml(values("recipe"))
    turned = "# a note\n" + "\n".join(f"{line} # so" for line in reversed(text.strip().split("\n")))
    assert of("recipe", tomllib.loads(turned)) == BASE


@pytest.mark.parametrize(
    "changes",
    [
        {"axial_depth": "3.000001 mm"},
        {"radial_width": "1.6 mm"},
        {"direction": "conventional"},
        {"allowance": None},
        {"allowance": "0 mm"},
        {"keep": ["axial_depth"]},
        {"feed_per_tooth": None, "feed_rate": "900 mm/min"},
        {"tool": "other"},
    ],
)
def test_any_other_value_changes_it(changes):
    assert of("recipe", values("recipe", changes)) != BASE


@pytest.mark.parametrize("changes", [{"standing": "retired"}, {"name": "another"}, {"notes": "ran well"}])
def test_what_says_nothing_of_the_cut_does_not_change_it(changes):
    assert of("recipe", values("recipe", changes)) == BASE


def test_every_measure_of_every_kind_counts():
    for kind in ("machine", "tool", "material", "recipe"):
        raw = values(kind)
        before = of(kind, raw)
        for key in record_keys(kind):
            *tables, name = key.split(".")
            table = raw
            for part in tables:
                table = table.get(part, {})
            if dimension(kind, key) and isinstance(table.get(name), str):
                quantity = quantities.read(table[name], dimension(kind, key))
                smaller = quantities.write(quantity.number * 0.999, quantity.unit)
                assert of(kind, values(kind, {key: smaller})) != before, key


def test_kinds_do_not_share_digests():
    assert digest(ToolTip()) != digest(SafetyFactors())


@given(st.integers(1, 10**6))
def test_a_length_typed_in_um_or_mm_is_the_same(micrometres):
    in_um = values("recipe", {"axial_depth": f"{micrometres} um"})
    in_mm = values("recipe", {"axial_depth": quantities.write(micrometres / 1000, "mm")})
    assert of("recipe", in_um) == of("recipe", in_mm)
