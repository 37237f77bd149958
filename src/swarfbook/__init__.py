"""swarfbook: a feeds-and-speeds recipe book with chip-load physics.

In Python a book is a `Book`, and each decision of the command line a function that takes one::

    import swarfbook
    book = swarfbook.Book.open("my-workshop")
    swarfbook.check(book, "long-bed-6mm-6082-rough")

What is named here is imported when it is first asked for: `import swarfbook` itself costs nothing.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from swarfbook.api.backing_off import DerateResult, derate
    from swarfbook.api.checking import CheckResult, check
    from swarfbook.api.comparing import CompareResult, compare
    from swarfbook.api.finding import PickResult, SolveResult, pick, solve
    from swarfbook.api.jobs import JobResult, job
    from swarfbook.api.result import Named
    from swarfbook.api.runs import FitResult, fit, log
    from swarfbook.api.sweeping import sweep
    from swarfbook.api.values import JudgedLimit, Value
    from swarfbook.book import Book
    from swarfbook.errors import ConflictError, Problem, SwarfbookError, UnknownIdError

__version__ = "0.1.0"

__all__ = [
    "Book",
    "CheckResult",
    "CompareResult",
    "ConflictError",
    "DerateResult",
    "FitResult",
    "JobResult",
    "JudgedLimit",
    "Named",
    "PickResult",
    "Problem",
    "SolveResult",
    "SwarfbookError",
    "UnknownIdError",
    "Value",
    "check",
    "compare",
    "derate",
    "fit",
    "job",
    "log",
    "pick",
    "solve",
    "sweep",
]

_MODULES = {
    "api.backing_off": ("DerateResult", "derate"),
    "api.checking": ("CheckResult", "check"),
    "api.comparing": ("CompareResult", "compare"),
    "api.finding": ("PickResult", "SolveResult", "pick", "solve"),
    "api.jobs": ("JobResult", "job"),
    "api.result": ("Named",),
    "api.runs": ("FitResult", "fit", "log"),
    "api.sweeping": ("sweep",),
    "api.values": ("JudgedLimit", "Value"),
    "book": ("Book",),
    "errors": ("ConflictError", "Problem", "SwarfbookError", "UnknownIdError"),
}


def __getattr__(name: str) -> object:
    """Import what is asked for; raises AttributeError for a name that is not there."""
    home = next((module for module, names in _MODULES.items() if name in names), None)
    if home is None:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module  # noqa: PLC0415 - starting the program takes none of this

    found: object = getattr(import_module(f"swarfbook.{home}"), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    """List the public names, imported or not."""
    return sorted({*globals(), *__all__} - {"TYPE_CHECKING"})
