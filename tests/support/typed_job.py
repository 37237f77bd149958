"""A job's file as a person writes it, with remarks, and a book that has it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from support.books import JOB, MACHINE, MATERIAL, RECIPE, to_toml, values
from swarfbook.book import Book

TYPED = f"""\
# plates of the mast clamp
schema = "job/1"
name = "Clamp plates"
machine = "{MACHINE}"   # not the small one
material = "{MATERIAL}"
quantity = 12

[stock]   # from the rack
form = "flat-bar"
thickness = "1/2 in"
width = "4 in"
length = "305 mm"

[part]
thickness = "12 mm"
width = "90 mm"
length = "280 mm"

# what is cut
[[features]]
id = "outline"
kind = "outside"
depth = "12 mm"

# four of them
[[features]]   # for the bolts
id = "pocket"
kind = "pocket"
depth = "6 mm"

[[holds]]
method = "vise"
force = "4 kN"   # by feel

# the cutting

# roughing leaves a skin
[[steps]]
recipe = "{RECIPE}"   # slow
feature = "pocket"
path = "3 m"

# then round it
[[steps]]   # once
recipe = "other"
feature = "outline"   # with tabs
path = "5 ft"
# done
"""
FIRST = {"recipe": RECIPE, "feature": "pocket", "path": "3 m"}
SECOND = {"recipe": "other", "feature": "outline", "path": "5 ft"}
THIRD = {"recipe": RECIPE, "feature": "outline", "path": "2 m"}


def job_book(make_book: Callable[[], Path]) -> Book:
    """Write a book with two like recipes and that job of them."""
    root = make_book()
    (root / "recipes/other.toml").write_text(to_toml(values("recipe")))
    (root / f"jobs/{JOB}.toml").write_text(TYPED)
    return Book.open(root)


def typed(book: Book, job: str = JOB) -> str:
    """Give a job's file, line ends as they are."""
    return book.path("job", job).read_bytes().decode()
