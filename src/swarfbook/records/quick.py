"""A run read without the bookkeeping that messages need: nearly all lines of a long log are good."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from swarfbook.records.fields import Leaf
from swarfbook.records.keys import keys_of
from swarfbook.records.run import Run

SCHEMA = "run/1"
FEW = ("recipe", "digest", "cutter", "outcome")
"""Keys whose texts come again and again."""
MOST_KNOWN = 10_000


class QuickReader:
    """Reads lines of a run log as `records.parse` does, with the same readers of single values."""

    def __init__(self) -> None:
        self._leaves = [
            (key.name, key.attribute, key.of, key.required)
            for key in keys_of(Run).values()
            if isinstance(key.of, Leaf)
        ]
        self._defaults = {
            attribute: key.default() for attribute, key in Run.declared.items() if key.default is not None
        }
        self._known: dict[str, set[object]] = {name: set() for name in FEW}

    def read(self, raw: Mapping[str, Any]) -> dict[str, Any] | None:
        """Give the values of a run by attribute, defaults among them; None where `parse` has a complaint."""
        if raw.get("schema") != SCHEMA:
            return None
        values = self._defaults.copy()
        for name, attribute, leaf, required in self._leaves:
            found = raw.get(name)
            if found is None:
                if required:
                    return None
                continue
            known = self._known.get(name)
            if known is not None and isinstance(found, str) and found in known:
                values[attribute] = found
                continue
            try:
                values[attribute] = value = leaf.read(found)
            except ValueError:
                return None
            if known is not None and value == found and len(known) < MOST_KNOWN:
                known.add(found)
        return values
