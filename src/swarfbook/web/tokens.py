"""The token that lets people in from other machines: made here, or kept in a file only its owner reads."""

from __future__ import annotations

import os
import re
import secrets
import stat
from pathlib import Path

from swarfbook.book.system import NO_WAIT, others_may_use
from swarfbook.errors import Problem, SwarfbookError

BYTES = 32
SHORTEST, LONGEST = 20, 200
"""Characters; twenty of 64 signs are 120 bits where they are drawn at random."""
_TOKEN = re.compile(rf"[A-Za-z0-9_-]{{{SHORTEST},{LONGEST}}}")
MAKE_ONE = 'umask 077; python3 -c "import secrets; print(secrets.token_urlsafe(32))" > FILE'


def new_token() -> str:
    """Make a token: 256 bits in letters that an address may hold."""
    return secrets.token_urlsafe(BYTES)


def read_token(path: Path) -> str:
    """Read a token from its file; raises SwarfbookError where others may read it too, or it is none.

    No message shows anything of what the file holds.
    """
    try:
        # Asked of the open file and not of its name, which may be another file by then.
        with open(path, "rb", opener=_without_waiting) as file:
            mode = os.fstat(file.fileno()).st_mode
            if not stat.S_ISREG(mode):
                raise _refused(path, "this is no file")
            if others_may_use(mode):
                raise _refused(path, f"others may use this file; chmod 600 {path} makes it private")
            text = file.read(LONGEST + 3)
    except (OSError, ValueError) as error:  # ValueError: a name no file can have
        reason = getattr(error, "strerror", None) or "unknown trouble"
        raise _refused(path, f"this cannot be read: {reason.lower()}") from None
    token = text.decode("ascii", errors="replace").strip()
    if not _TOKEN.fullmatch(token):
        rule = f"a token is {SHORTEST} to {LONGEST} letters, digits, - and _"
        raise _refused(path, f"{rule}; this makes one: {MAKE_ONE}")
    return token


def _without_waiting(name: str, flags: int) -> int:
    return os.open(name, flags | NO_WAIT)  # a pipe without a writer would be waited for


def _refused(path: Path, remedy: str) -> SwarfbookError:
    return SwarfbookError(Problem("--token-file", "", str(path), remedy))
