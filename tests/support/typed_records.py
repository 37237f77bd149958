"""Records as people may type them, at random: for what has to come back as it was."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from support.books import VALUES
from swarfbook.records import takes

LENGTHS = (
    "6 mm",
    "6mm",
    "0.006 m",
    "6.0 mm",
    "+6 mm",
    "6000 um",
    "0.6 cm",
    "6\u00a0mm",
    " 6 mm",
    "6 mm ",
    "6  mm",
    "6e0 mm",
    "6 000 um",
)
"""The same length in several ways."""
SPEEDS = ("18000 rpm", "18 000 rpm", "300 rev/s", "18\u202f000 rpm", "18000 rev/min", "1.8e4 rpm")
RATIOS: tuple[Any, ...] = (1, 1.0, 0.5, 1.25, "100 %", "1.0", "1", 0.1 + 0.2, 1e-5, 1e6, 3.0e-4)
ODD = (
    "=1+1",
    "'=1+1",
    "-x",
    "'-x",
    "@a",
    "+1",
    "007",
    "1",
    "1.0",
    "1e3",
    "true",
    "TRUE",
    '"',
    '"x"',
    "[1]",
    "{}",
    "null",
    "a;b",
    "a, b",
    "a\tb",
    " a ",
    "'",
    "''a",
    "1/4",
    "3-4",
    "2026-11-28",
    "#N/A",
    "_x000D_",
    "_x005F_x000D_",
    "x005F_",
    "Ø ß 漢字 é e\u0301",
    "\u00a0a",
    "\U0001f600",
    "\ufffe",
    "\uffff",
    "sep=;",
    "a" * 200,
    "{=1}",
    "\ufeffa",
)
"""Names that some program of tables takes for something else."""
ODD_NOTES = (
    "",
    "\n",
    "a\nb",
    "a\r\nb",
    "\r\n",
    "a\n\n",
    "=1\n=2",
    "\ta",
    'say "a"\n',
    " \n ",
    "a\rb"[:1],
    "x" * 3000,
)


def _text(key: str, kind: str, odd: tuple[str, ...]) -> st.SearchStrategy[str]:
    return st.one_of(st.sampled_from(odd), st.text(max_size=60)).filter(lambda text: takes(kind, key, text))


def _optional(**values: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries({}, optional=values)


@st.composite
def tools(draw: st.DrawFn) -> dict[str, Any]:
    """Draw a tool that reads."""
    shape, more = draw(
        st.sampled_from(
            [
                ("square", {}),
                ("ball", {}),
                ("corner-radius", {"corner_radius": "0.5 mm"}),
                ("chamfer", {"point_angle": "90 deg", "tip_diameter": "0 mm"}),
                ("tapered", {"taper": "2 deg"}),
            ]
        )
    )
    other = draw(
        _optional(
            reach=st.just("16 mm"),
            neck_diameter=st.sampled_from(["5 mm", "3/16 in", '3/16"']),
            edge_radius=st.just("5 um"),
            rake=st.sampled_from(["-5 deg", "10°", "0.1 rad"]),
            youngs_modulus=st.just("600 GPa"),
            max_speed=st.sampled_from(SPEEDS),
        )
    )
    return {
        "schema": "tool/1",
        "name": draw(_text("name", "tool", ODD)),
        "shape": shape,
        "diameter": draw(st.sampled_from(LENGTHS)),
        "flutes": draw(st.integers(1, 24)),
        "helix": draw(st.sampled_from(["30 deg", "-30 deg", "0 deg", "+5 deg"])),
        "flute_length": "16 mm",
        "shank_diameter": draw(st.sampled_from(LENGTHS)),
        "overall_length": "50 mm",
        **more,
        "substrate": draw(st.sampled_from(["carbide", "hss", "cobalt-hss"])),
        **other,
    }


@st.composite
def recipes(draw: st.DrawFn) -> dict[str, Any]:
    """Draw a recipe of the small book that reads."""
    values = {**VALUES["recipe"], "name": draw(_text("name", "recipe", ODD))}
    if draw(st.booleans()):
        values.pop("feed_per_tooth")
        values["feed_rate"] = draw(st.sampled_from(["900 mm/min", "15 mm/s"]))
    derived = st.fixed_dictionaries(
        {
            "from": st.sampled_from(["007", "1e3", "true", "parent"]),
            "parent_digest": st.just("sha256:" + "0" * 64),
            "method": st.just("least-time"),
            "margin": st.sampled_from([0, 0.0, 0.25, "25 %", "0.25"]),
        }
    )
    other = _optional(
        tolerance=st.sampled_from(LENGTHS),
        wear=st.sampled_from(RATIOS),
        keep=st.lists(st.sampled_from(["axial_depth", "radial_width", "spindle_speed"]), max_size=3),
        notes=_text("notes", "recipe", ODD_NOTES),
        derived=derived,
        spindle_speed=st.sampled_from(SPEEDS),
        direction=st.sampled_from(["climb", "conventional"]),
    )
    return {**values, **draw(other)}


IDS = st.sampled_from(["007", "1e3", "true", "a", "1-4-in", "2026-11-28", "1", "em-6mm-1f", "nan", "b2"])
