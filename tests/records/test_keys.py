"""What is asked of single keys, for prompts."""

from __future__ import annotations

import pytest

from swarfbook import records


@pytest.mark.parametrize(
    ("kind", "key", "must"),
    [
        ("machine", "spindle.motor", True),
        ("machine", "spindle.runout", False),
        # Needed in a table that itself may be left out.
        ("machine", "spindle.overload.power", False),
        ("machine", "axes.max_feed", True),
        ("material", "overrides.kc11", False),
        ("tool", "no_such_key", False),
    ],
)
def test_which_keys_must_stand(kind: str, key: str, must: bool) -> None:
    assert records.required(kind, key) is must


def test_a_key_says_what_it_would_take() -> None:
    assert records.takes("tool", "helix", "-30 deg")
    assert not records.takes("tool", "helix", "-80 deg")
    assert not records.takes("tool", "diameter", "0 mm")
