"""`swarfbook fit`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from swarfbook.book.outside import write_outside
from swarfbook.cli.exits import Exit
from swarfbook.cli.options import (
    common_options,
    example,
    open_book,
    plain_option,
    print_json_with,
    report,
    say,
)
from swarfbook.errors import Problem, SwarfbookError

if TYPE_CHECKING:
    from swarfbook.book import Book
    from swarfbook.decisions.fit import Fit


@click.command("fit", epilog=example("swarfbook fit --png power.png"))
@click.option("--merge", "merged", multiple=True, metavar="FILE", help="Add a log, or sums of --save.")
@click.option("--save", "save", metavar="FILE", help="Write the sums, for --merge elsewhere.")
@click.option("--archive", metavar="FILE", help="Fit the runs of a file of `export`, in place of the log's.")
@click.option(
    "--engine",
    type=click.Choice(["arrow", "dask"]),
    default="arrow",
    help="What adds up an archive: in one go, or `dask` on all cores.",
)
@click.option("--png", metavar="FILE", help="Draw measured against predicted power as a picture.")
@plain_option
@common_options
def command(
    merged: tuple[str, ...],
    save: str | None,
    archive: str | None,
    engine: str,
    png: str | None,
    book_dir: str | None,
    units: str | None,
    *,
    plain: bool,
    as_json: bool,
) -> int:
    """Show what measured power has taught of materials, cutters and machines; checks use it by themselves."""
    from swarfbook.decisions.fit import fit_archive, fit_head, runs_json

    del units
    book = open_book(book_dir)
    if archive is None:
        found = _of_logs(book, merged, save)
    elif merged or save:
        raise SwarfbookError(Problem("--archive", "", archive, "give it without --merge and --save"))
    else:
        from swarfbook.decisions.archive import read_archive

        read = read_archive(Path(archive), engine=engine)
        found = fit_archive(book, read.sums, read.unread)
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


def _of_logs(book: Book, merged: tuple[str, ...], save: str | None) -> Fit:
    from swarfbook.decisions.fit import fit_with
    from swarfbook.decisions.merging import read_added, share_text

    added = [read_added(Path(name), where=name) for name in merged]
    for one in added:
        if one.columns is not None and one.columns.problems:
            report(SwarfbookError(*one.columns.problems))
    found, share = fit_with(book, added)
    if save is not None:
        write_outside(save, share_text(share).encode(), where="--save")
    return found
