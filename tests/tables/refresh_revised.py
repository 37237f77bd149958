"""Give every reference table that changed today's date: `python tests/tables/refresh_revised.py`."""

from __future__ import annotations

import hashlib
import tomllib
from datetime import UTC, datetime
from pathlib import Path

TABLES = Path(__file__).parents[2] / "reference_tables"
FILE = TABLES / "revised.toml"
HEAD = """\
# When each table beside this file was last changed, and the digest of its rows then, line breaks aside.
# `python tests/tables/refresh_revised.py` writes this file; a test asks for it when a table changes.

"""


def digest(path: Path) -> str:
    """Give the sha256 of a table, whatever a checkout made of its line breaks."""
    return hashlib.sha256(path.read_bytes().replace(b"\r\n", b"\n")).hexdigest()


def refreshed(today: str) -> str:
    """Give the file as it ought to be."""
    before = tomllib.loads(FILE.read_text(encoding="utf-8")) if FILE.exists() else {}
    lines = []
    for path in sorted(TABLES.glob("*.csv")):
        known = before.get(path.stem, {})
        date = known["date"].isoformat() if known.get("sha256") == digest(path) else today
        lines.append(f'{path.stem} = {{ date = {date}, sha256 = "{digest(path)}" }}\n')
    return HEAD + "".join(lines)


if __name__ == "__main__":
    FILE.write_text(refreshed(datetime.now(UTC).date().isoformat()), encoding="utf-8", newline="\n")
