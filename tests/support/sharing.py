"""Two real processes that write to one book at the same time, round by round.

`python -m support.sharing FOLDER NAME`: for every line `NUMBER` on stdin it reads the shared recipe, says
`ready`, waits for `go`, and then saves a recipe of its own, the shared one as it was read, and logs a run. It
answers with what became of the shared one, `saved` or `conflict`.
"""

from __future__ import annotations

import sys
from pathlib import Path

from support.books import RUN, values
from swarfbook.book import Book
from swarfbook.errors import ConflictError

SHARED = "shared"


def depth(name: str, turn: int) -> str:
    """Give the depth that a process writes in a round; no other round or process writes the same."""
    return f"{1 if name == 'a' else 2}.{turn:05d}1 mm"


def main(folder: str, name: str) -> None:
    """Write until stdin ends."""
    book = Book.open(Path(folder))
    for line in sys.stdin:
        turn = int(line)
        shared = book.get("recipe", SHARED)
        print("ready", flush=True)
        sys.stdin.readline()
        print(one_round(book, name, turn, shared.sha), flush=True)


def one_round(book: Book, name: str, turn: int, seen: str) -> str:
    """Write what a process writes in a round; give what became of the shared recipe."""
    mine, new = f"of-{name}", {"axial_depth": depth(name, turn)}
    before = book.get("recipe", mine).sha if book.has("recipe", mine) else None
    book.save("recipe", mine, new if before else values("recipe", new), seen=before)
    try:
        book.save("recipe", SHARED, new, seen=seen)
        outcome = "saved"
    except ConflictError:
        outcome = "conflict"
    book.log(RUN | {"id": f"{name}-{turn}"})
    assert book.history.told() == []
    return outcome


if __name__ == "__main__":
    main(*sys.argv[1:])
