"""Pushes, pieces and holds for the tests of holding: a bar of 6082, unless something else is said."""

from __future__ import annotations

from typing import Any

from swarfbook.decisions.chance import Uncertain
from swarfbook.decisions.jobs.holding import Piece, Push
from swarfbook.records import BookSettings
from swarfbook.records.job import Hold

SETTINGS = BookSettings(title="Bench")
CELSIUS = 273.15


def hold(method: str, **keys: Any) -> Hold:
    """A hold as its file would read, numbers in SI."""
    empty = dict.fromkeys(name for name in Hold.declared if name not in ("side", "method"))
    return Hold(**{"side": "first", "method": method, **empty, **keys})


def push(force: float = 150.0, lift: float = 40.0, *, spread: float = 0.3, **keys: Any) -> Push:
    """A side force [N] at 25 mm near a corner, and its lift [N]."""
    causes = {"force": spread} if spread else {}
    usual = {"press": 0.0, "height": 0.025, "place": "corner"}
    return Push(Uncertain(force, causes), Uncertain(lift, causes), **{**usual, **keys})


def piece(celsius: float = 30.0, **keys: Any) -> Piece:
    """A bar of 300 x 100 x 25 mm, so warm."""
    usual = {
        "length": 0.3,
        "width": 0.1,
        "thickness": 0.025,
        "free": False,
        "family": "wrought-aluminium",
        "iso_group": "N",
        "material": "aluminium-wrought-6082-t6",
        "temperature": Uncertain(CELSIUS + celsius),
    }
    return Piece(**{**usual, **keys})
