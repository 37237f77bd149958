"""What `swarfbook --version` tells besides the version: Python, the tables' last change, and the extras."""

from __future__ import annotations

import sys
from importlib.util import find_spec

from swarfbook import __version__
from swarfbook.resources import revised

EXTRAS = {
    "archive": ("pyarrow", "dask"),
    "fast": ("numba",),
    "pdf": ("reportlab",),
    "plots": ("matplotlib",),
    "serve": ("textual_serve",),
    "spreadsheets": ("openpyxl",),
}
"""What each extra brings; looked for, not imported."""


def version_facts() -> dict[str, object]:
    """Give the versions, the day of the newest reference table, and whether each extra is installed."""
    return {
        "swarfbook": __version__,
        "python": ".".join(map(str, sys.version_info[:3])),
        "reference_tables": str(max(revised().values())),
        "extras": extras(),
    }


def extras() -> dict[str, bool]:
    """Say of each extra whether it is installed."""
    return {name: all(find_spec(one) for one in modules) for name, modules in EXTRAS.items()}


def version_text() -> str:
    """Say them in lines, the program's version alone on the first."""
    facts = version_facts()
    found = [name for name, there in extras().items() if there]
    lacking = [name for name in EXTRAS if name not in found]
    return "\n".join(
        (
            f"swarfbook {facts['swarfbook']}",
            f"Python {facts['python']}",
            f"reference tables of {facts['reference_tables']}",
            f"extras installed: {', '.join(found) or 'none'}",
            f"extras not installed: {', '.join(lacking) or 'none'}",
        )
    )
