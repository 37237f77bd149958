"""Write what the formulas say of every run into the demo's log: python tests/demo/refresh.py."""

from __future__ import annotations

import json
from pathlib import Path

from swarfbook import records
from swarfbook.book import Book
from swarfbook.decisions.evidence import model_of
from swarfbook.decisions.running import case_of_snapshot

BOOK = Path(__file__).resolve().parents[2] / "recipes" / "saltmarsh"


def refreshed(book: Book, line: dict[str, object]) -> dict[str, object]:
    """Give a line of the log with the digest of its recipe and what the formulas say of its cut."""
    run = records.parse("run", line, where="")
    case = case_of_snapshot(book, run.recipe, run.snapshot)
    digest = records.digest(book.get("recipe", run.recipe).record)
    return line | {"digest": digest} | ({} if case is None else {"model": model_of(case, run)})


def main() -> None:
    """Refresh every month's file in place."""
    book = Book.open(BOOK)
    for month in sorted((BOOK / "runs").glob("*.jsonl")):
        lines = [refreshed(book, json.loads(line)) for line in month.read_text(encoding="utf-8").splitlines()]
        text = "".join(json.dumps(line, ensure_ascii=False) + "\n" for line in lines)
        month.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
