"""The page and its files: the terminal in the browser is textual-serve's, the page around it is ours."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from string import Template

import textual_serve

_OURS = files(__package__)
_THEIRS = Path(textual_serve.__file__).parent / "static"
FILES: Mapping[str, Path] = {
    "textual.js": _THEIRS / "js" / "textual.js",
    "xterm.css": _THEIRS / "css" / "xterm.css",
    "mono.ttf": _THEIRS / "fonts" / "RobotoMono-VariableFont_wght.ttf",
    "page.css": Path(str(_OURS / "page.css")),
    "page.js": Path(str(_OURS / "page.js")),
}
"""Every file there is, by its name in an address: none is looked for by a name from outside."""


@cache
def _page() -> Template:
    return Template((_OURS / "page.html").read_text(encoding="utf-8"))


def page(socket_address: str) -> str:
    """Write the page; `socket_address` is where its socket is, made of a host that was let in."""
    return _page().substitute(socket=socket_address)


def full_page() -> str:
    """Write the page that says there is no place."""
    return (_OURS / "full.html").read_text(encoding="utf-8")
