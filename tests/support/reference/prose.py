"""What the pages say in words of their own: docs/glossary.toml."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

WHERE = Path(__file__).parents[3] / "docs" / "glossary.toml"


@cache
def prose() -> dict[str, dict[str, str]]:
    """Give meanings and symbols by section and name."""
    return tomllib.loads(WHERE.read_text(encoding="utf-8"))
