"""Write docs/reference/*.md and docs/glossary.md anew: `python tests/docs/write_reference.py [PAGE ...]`."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from support.reference.pages import DOCS, PAGES

if __name__ == "__main__":
    for name in sys.argv[1:] or PAGES:
        (DOCS / name).write_text(PAGES[name](), encoding="utf-8")
