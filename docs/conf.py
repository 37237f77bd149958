"""How the documentation is built: Markdown pages here, and an API reference from the docstrings."""

from __future__ import annotations

import logging
import re
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
# A type's short name in a signature may be that of two classes. A page that the contents name may be missing; one
# that they do not name is a fault.
suppress_warnings = ["misc.highlighting_failure", "ref.python", "toc.not_readable"]

autosummary_generate = True
autosummary_ignore_module_all = False
autodoc_member_order = "bysource"
autodoc_typehints = "signature"
autodoc_typehints_format = "short"
autodoc_default_options = {"members": True, "show-inheritance": False}
napoleon_numpy_docstring = False
napoleon_use_ivar = True
napoleon_use_rtype = False
python_maximum_signature_line_length = 88

# Every link of a page has to lead somewhere; types in signatures are named, and linked where they have a page.
nitpicky = True
nitpick_ignore_regex = [(r"py:.*", r".*")]

_CODE = re.compile(r"(``?[^`]+``?)")


def as_written(_app: object, what: str, name: str, obj: object, options: object, lines: list[str]) -> None:
    """Keep stars, bars and underscores of a docstring's formulas as they are: they are no markup here."""
    del what, name, obj, options
    lines[:] = [line if line.lstrip().startswith(">>>") else _escaped(line) for line in lines]


def _escaped(line: str) -> str:
    parts = _CODE.split(line)
    return "".join(
        part if number % 2 else re.sub(r"([*|_])", r"\\\1", part) for number, part in enumerate(parts)
    )


def no_folder_without_pages(record: logging.LogRecord) -> bool:
    """Let a folder of the contents be empty; the other half of `toc.not_readable`, which has no name."""
    return "didn't match any documents" not in str(record.msg)


def setup(app: Any) -> None:  # noqa: ANN401
    """Have docstrings read as they were written, before their sections are found."""
    app.connect("autodoc-process-docstring", as_written, priority=100)
    logging.getLogger("sphinx.sphinx.directives.other").addFilter(no_folder_without_pages)
