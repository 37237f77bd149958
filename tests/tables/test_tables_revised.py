"""The day on which each reference table was last changed."""

from __future__ import annotations

import sys
from datetime import UTC, date, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

import refresh_revised

from swarfbook import tables


def test_every_table_has_the_day_of_its_last_change():
    asks = "a table changed: run python tests/tables/refresh_revised.py"
    assert refresh_revised.refreshed("0000-00-00") == refresh_revised.FILE.read_text(encoding="utf-8"), asks


def test_the_days_are_known_by_the_tables_names_and_none_is_still_to_come():
    dates = tables.revised()
    assert tuple(sorted(dates)) == tables.names()
    assert date(2026, 11, 1) <= min(dates.values())
    assert max(dates.values()) <= datetime.now(UTC).date()
