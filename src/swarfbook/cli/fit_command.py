"""`swarfbook fit`."""

from __future__ import annotations

from pathlib import Path

import click

from swarfbook.book import Book
from swarfbook.cli.exits import Exit
from swarfbook.cli.options import common_options, example, open_book, plain_option, print_json_with, say
from swarfbook.decisions.fit import fit, fit_head, read_sums, runs_json, sums_text
from swarfbook.decisions.sums import Sums
from swarfbook.errors import Problem, SwarfbookError

MOST_BYTES = 1 << 30


@click.command("fit", epilog=example("swarfbook fit --png power.png"))
@click.option("--merge", "merged", multiple=True, metavar="FILE", help="Add a log, or sums of --save.")
@click.option("--save", "save", metavar="FILE", help="Write the sums, for --merge elsewhere.")
@click.option("--png", metavar="FILE", help="Draw measured against predicted power as a picture.")
@plain_option
@common_options
def command(
    merged: tuple[str, ...],
    save: str | None,
    png: str | None,
    book_dir: str | None,
    units: str | None,
    *,
    plain: bool,
    as_json: bool,
) -> int:
    """Show what measured power has taught of materials, cutters and machines; checks use it by themselves."""
    del units
    book = open_book(book_dir)
    found = fit(book, _merged(book, merged))
    if save is not None:
        _write("--save", save, sums_text(found.sums))
    if png is not None:
        from swarfbook.reports.fit_page import fit_picture

        fit_picture(found, Path(png))
    if as_json:
        print_json_with(fit_head(found), "runs", runs_json(found.runs))
    else:
        from swarfbook.cli.text import page_width
        from swarfbook.reports.fit_page import fit_lines

        say("\n".join(fit_lines(found, width=page_width(), plain=plain)), plain=plain)
    return Exit.DONE


def _merged(book: Book, names: tuple[str, ...]) -> Sums | None:
    from swarfbook.book.reading import read_bytes

    known = _names(book) if names else frozenset()
    sums = None
    for name in names:
        read = read_sums(read_bytes(Path(name), where=name, most=MOST_BYTES), where=name, known=known)
        sums = read if sums is None else sums + read
    return sums


def _names(book: Book) -> frozenset[str]:
    table = book.light_log().table
    return frozenset(map(table.name, table.every.tolist()))


def _write(option: str, name: str, text: str) -> None:
    from swarfbook.book.locking import write_atomically

    try:
        write_atomically(Path(name), text.encode())
    except OSError as error:
        reason = (error.strerror or "unknown trouble").lower()
        raise SwarfbookError(Problem(option, "", name, f"this cannot be written: {reason}")) from None
