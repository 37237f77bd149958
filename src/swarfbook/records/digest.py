"""The fingerprint of a record's values."""

from __future__ import annotations

from datetime import datetime

from swarfbook.records.base import Record

SAYS_NOTHING_OF_THE_CUT = ("name", "notes", "standing")
"""Keys that a record may change without any number of it changing: evidence and children stay true."""


def digest(record: Record) -> str:
    """Give "sha256:<hex>" of the parsed values, name, notes and standing aside.

    Floats count to twelve figures, so that 0.25 in and 6.35 mm are the same; what is left out or empty
    does not count, nor do comments, the order of keys and the units as typed.
    """
    import json  # noqa: PLC0415 - reading a record does not need it, and every start pays for it

    body = {"kind": type(record).__name__, "values": _plain(_of_the_cut(record))}
    return _sha256(json.dumps(body, sort_keys=True, separators=(",", ":"), ensure_ascii=False))


def joint_digest(*parts: Record) -> str:
    """Give "sha256:<hex>" of several records together, order counting."""
    return _sha256("\n".join(digest(part) for part in parts))


def _sha256(text: str) -> str:
    import hashlib  # noqa: PLC0415 - as above

    return f"sha256:{hashlib.sha256(text.encode()).hexdigest()}"


def _of_the_cut(record: Record) -> dict[str, object]:
    return {key: value for key, value in dict(record).items() if key not in SAYS_NOTHING_OF_THE_CUT}


def _plain(value: object) -> object:
    """Turn a record into plain JSON values without the empty ones."""
    if isinstance(value, Record):
        return _plain(dict(value))
    if isinstance(value, dict):
        items = ((key, _plain(item)) for key, item in value.items())
        return {key: item for key, item in items if item not in (None, "", [], {})}
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    if isinstance(value, float):
        return format(value, ".12g")
    return value.isoformat() if isinstance(value, datetime) else value
