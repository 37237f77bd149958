"""`swarfbook verify`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import book_folder, book_option, example, json_option, print_json, report_unkept
from swarfbook.errors import printable

if TYPE_CHECKING:
    from swarfbook.book import Book
    from swarfbook.book.leftovers import Settled
    from swarfbook.decisions.verifying import Finding


@click.command("verify", epilog=example("swarfbook verify --book my-workshop --strict"))
@click.option("--strict", is_flag=True, help="Leave with 1 for notes, too.")
@click.option(
    "--leftovers",
    type=click.Choice(["keep", "remove"]),
    help="Take away what saves that were cut off left; `keep` puts what is whole in its record's history.",
)
@click.option("--merging", is_flag=True, help="Write the lines of .gitattributes by which run logs merge.")
@json_option
@book_option
def command(
    leftovers: str | None, book_dir: str | None, *, strict: bool, merging: bool, as_json: bool
) -> int:
    """Look through a whole book for what is wrong: one line each; leaves with 1 when there is any.

    Files and keys that do not read or fit, names that lead nowhere, run ids that stand twice, what a save
    that was cut off left behind, files that are no records, names that differ only by case, links that lead
    out of the book. Notes are of what is worth knowing: recipes whose parent changed, and how git would
    merge the run log.
    """
    from swarfbook.decisions.verifying import opened, verify

    book, found = opened(book_folder(book_dir))
    settled = list(_settled(book, leftovers, merging=merging)) if book is not None else []
    if book is not None:
        found += verify(book)
    if as_json:
        print_json(
            {"findings": [_row(one) for one in found], "leftovers": [_outcome(one) for one in settled]}
        )
    else:
        _print(found)
    counts = any(strict or not one.note for one in found)
    return Exit.OVER if counts else Exit.DONE


def _settled(book: Book, leftovers: str | None, *, merging: bool) -> Iterator[Settled]:
    """Do what is asked before the book is looked through, and say on stderr what was done."""
    from swarfbook.book.attributes import write_attributes
    from swarfbook.book.ids import called
    from swarfbook.book.leftovers import settle

    for one in settle(book, keep=leftovers == "keep") if leftovers else ():
        name = called(one.leftover.kind, one.leftover.id)
        kept = f"kept; `swarfbook history {name} --restore {one.state}` gives {name} that state"
        click.echo(printable(f"{one.leftover.where}: {one.outcome if one.state is None else kept}"), err=True)
        yield one
    report_unkept(book)
    if merging:
        book.refuse_demo()
        for line in write_attributes(book.root):
            click.echo(f".gitattributes: {line}", err=True)


def _print(found: Sequence[Finding]) -> None:
    for one in found:
        click.echo(f"{'note: ' if one.note else ''}{one.problem}")
    if not found:
        click.echo("nothing found", err=True)


def _row(one: Finding) -> dict[str, Any]:
    return {"level": "note" if one.note else "finding", **asdict(one.problem)}


def _outcome(one: Settled) -> dict[str, Any]:
    return {"file": one.leftover.where, "state": one.state, "outcome": one.outcome}
