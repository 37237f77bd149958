"""The pages of docs/reference and docs/glossary.md, made of what the code declares.

`python tests/docs/write_reference.py` writes them; a test holds the committed pages equal to them.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from support.reference import (
    command_page,
    glossary_page,
    json_page,
    key_page,
    limit_page,
    quantity_page,
    record_page,
    table_page,
)

ROOT = Path(__file__).parents[3]
DOCS = ROOT / "docs"
PAGES: dict[str, Callable[[], str]] = {
    "reference/commands.md": command_page.page,
    "reference/records.md": record_page.page,
    "reference/limits.md": limit_page.page,
    "reference/quantities.md": quantity_page.page,
    "reference/tables.md": table_page.page,
    "reference/json.md": json_page.page,
    "reference/keys.md": key_page.page,
    "glossary.md": glossary_page.page,
}
"""Every generated page by its place under docs/."""
