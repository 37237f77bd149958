"""Signs as ASCII, in line where they stood in line."""

from __future__ import annotations

import pytest

from swarfbook.reports.plain import plain


@pytest.mark.parametrize(
    ("drawn", "ascii_only"),
    [
        ("N/mm² cm³ µm N·m", "N/mm2 cm3 um N*m"),
        ("a · b", "a - b"),
        ("30.0° of 45 °", "30.0 deg of 45 deg"),
        ("18\u00a0000 rpm", "18 000 rpm"),
        ("0     ¼     ½     ¾     1 limit", "0     1/4   1/2   3/4   1 limit"),
        ("Größe, Fräser 3 × 2", "Grose, Fraser 3 x 2"),
        ("≥ 1.88 …", "> 1.88 ."),
        ("鋼", "?"),
    ],
)
def test_every_sign_has_letters(drawn: str, ascii_only: str) -> None:
    assert plain(drawn) == ascii_only


def test_a_rung_keeps_its_columns() -> None:
    rung = "·●▲··┼·····┃  µm ▸"
    assert plain("·" + rung).isascii()
    assert len(plain(rung)) == len(rung)


def test_ascii_stays() -> None:
    text = "".join(map(chr, range(32, 127)))
    assert plain(text) == text
