"""`swarfbook fit`."""

from __future__ import annotations

from pathlib import Path

import click

from swarfbook.book import Book
from swarfbook.book.outside import write_outside
from swarfbook.cli.exits import Exit
from swarfbook.cli.options import common_options, example, open_book, plain_option, print_json, say
from swarfbook.decisions.fit import fit, fit_json, read_sums, sums_text
from swarfbook.decisions.learning import Sums

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
        write_outside(save, sums_text(found.sums).encode(), where="--save")
    if png is not None:
        from swarfbook.reports.fit_page import fit_picture

        fit_picture(found, Path(png))
    if as_json:
        print_json(fit_json(found))
    else:
        from swarfbook.cli.text import page_width
        from swarfbook.reports.fit_page import fit_lines

        say("\n".join(fit_lines(found, width=page_width(), plain=plain)), plain=plain)
    return Exit.DONE


def _merged(book: Book, names: tuple[str, ...]) -> Sums | None:
    from swarfbook.book.reading import read_bytes

    known = frozenset(run.id for run in book.run_log().lines) if names else frozenset()
    sums = None
    for name in names:
        read = read_sums(read_bytes(Path(name), where=name, most=MOST_BYTES), where=name, known=known)
        sums = read if sums is None else sums + read
    return sums
