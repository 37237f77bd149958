"""How the documentation is built: Markdown pages here, and an API reference from the docstrings."""

from __future__ import annotations

import logging
import re
from collections.abc import Iterator
from typing import Any

import swarfbook

project = "swarfbook"
author = "the swarfbook authors"
version = release = swarfbook.__version__
extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.autosummary", "sphinx.ext.napoleon"]
templates_path = ["_templates"]

myst_heading_anchors = 4
myst_enable_extensions = ["deflist"]

html_theme = "furo"
html_title = "swarfbook"
html_static_path = ["_static"]
html_css_files = ["plain.css"]
html_copy_source = False
html_show_sphinx = False
html_show_copyright = False

# A name in single backticks is code, as in the docstrings' own words.
default_role = "code"
# Console blocks and TOML hold what no lexer was made for: units, ladders, three dots.
# A short name of a type may be that of two classes. A page that the contents name may be missing; one
# that they do not name is a fault.
suppress_warnings = ["misc.highlighting_failure", "ref.python", "toc.not_readable"]

autosummary_generate = True
autosummary_ignore_module_all = False
autodoc_member_order = "bysource"
autodoc_typehints = "signature"
autodoc_typehints_format = "short"
autodoc_default_options = {"members": True}
napoleon_numpy_docstring = False
napoleon_use_ivar = True
napoleon_use_rtype = False
napoleon_attr_annotations = False
python_maximum_signature_line_length = 88

# Every link of a page has to lead somewhere; types in signatures are linked where they have a page.
nitpicky = True
nitpick_ignore_regex = [(r"py:.*", r".*")]

_CODE = re.compile(r"(``?[^`]+``?)")
_SEVERAL = re.compile(r"(\s+\w+(?:, \w+)+): ")
_COLON = "\ue000"  # in place of one that is no end of a type, until the sections are found


def as_written(_app: object, what: str, name: str, obj: object, options: object, lines: list[str]) -> None:
    """Keep a docstring's formulas and tables as they were written: its stars and bars are no markup."""
    del name, obj, options
    lines[:] = list(_literal([line if ">>>" in line else _escaped(line) for line in lines]))
    if what in ("data", "attribute", "property"):
        lines[:] = [line.replace(":", _COLON) for line in lines]


def with_colons(_app: object, what: str, name: str, obj: object, options: object, lines: list[str]) -> None:
    """Put the colons back that `as_written` took out."""
    del what, name, obj, options
    lines[:] = [line.replace(_COLON, ":") for line in lines]


def _escaped(line: str) -> str:
    if several := _SEVERAL.match(line):  # a field of several names is not a type and a name
        line = several[1].replace(", ", ",") + line[several.end(1) :]
    parts = enumerate(_CODE.split(line))
    return "".join(part if number % 2 else re.sub(r"([*|_])", r"\\\1", part) for number, part in parts)


def _literal(lines: list[str]) -> Iterator[str]:
    """Set what stands deeper after an empty line as it is: a formula or a table."""
    margin, inside = 0, False
    for number, line in enumerate(lines):
        depth = len(line) - len(line.lstrip())
        if line and inside and depth <= margin:
            inside = False
        if line and not inside:
            if number > 1 and not lines[number - 1] and depth > margin:
                yield from (" " * margin + "::", "")
                inside = True
            else:
                margin = depth
        yield line.replace("\\", "") if inside else line


def signature(
    _app: object, what: str, _name: str, obj: Any, _options: object, given: str | None, returns: str | None
) -> tuple[str | None, str | None]:
    """Name the fields of a frozen class, whose one `__init__` serves all of them."""
    if what == "class" and given and "*given" in given:
        given = f"({', '.join(obj.__match_args__)})"
    return given, returns


def no_folder_without_pages(record: logging.LogRecord) -> bool:
    """Let a folder of the contents be empty; the other half of `toc.not_readable`, which has no name."""
    return "didn't match any documents" not in str(record.msg)


def setup(app: Any) -> None:
    """Have docstrings read as they were written, before their sections are found."""
    app.connect("autodoc-process-docstring", as_written, priority=100)
    app.connect("autodoc-process-docstring", with_colons, priority=900)
    app.connect("autodoc-process-signature", signature)
    logging.getLogger("sphinx.sphinx.directives.other").addFilter(no_folder_without_pages)
