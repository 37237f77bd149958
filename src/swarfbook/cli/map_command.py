"""`swarfbook map RECIPE`."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from swarfbook.book.outside import write_outside
from swarfbook.cli.exits import Exit
from swarfbook.cli.options import common_options, example, open_book, plain_option, print_json, say
from swarfbook.errors import Problem, SwarfbookError

if TYPE_CHECKING:
    from swarfbook.decisions.case import Case
    from swarfbook.decisions.ran import Ran

POINTS = 60
LOBE_POINTS = 10  # speeds for each point of a map: a line needs no square of them
KNOB_NAMES = "axial_depth, radial_width, feed_per_tooth or spindle_speed"


@click.command("map", epilog=example("swarfbook map long-bed-6mm-6082-rough --png map.png"))
@click.argument("recipe")
@click.option("--x", "across", metavar="KNOB", help=f"Knob across: {KNOB_NAMES}; else the width.")
@click.option("--y", "up", metavar="KNOB", help="Knob upwards, another of them; else the depth.")
@click.option(
    "--points", type=int, default=POINTS, show_default=True, help="Points along each axis, 10 to 400."
)
@click.option("--lobes", is_flag=True, help="Stable depth over spindle speed instead, from measured modes.")
@click.option("--png", metavar="FILE", help="Draw it as a picture.")
@click.option("--csv", "table", metavar="FILE", help="Write every point as a line.")
@plain_option
@common_options
def command(
    recipe: str,
    across: str | None,
    up: str | None,
    points: int,
    png: str | None,
    table: str | None,
    book_dir: str | None,
    units: str | None,
    *,
    lobes: bool,
    plain: bool,
    as_json: bool,
) -> int:
    """Draw where the limits of RECIPE lie over two of its knobs, with removal rate, the recipe and its runs.

    Depth over width, or any two knobs. Where width or depth is not free, feed or speed stand in its place.
    """
    from swarfbook.decisions.evidence import load_case
    from swarfbook.decisions.ran import ran

    book = open_book(book_dir)
    case = load_case(book, recipe)
    system = units or book.settings.units or "metric"
    if lobes:
        if across is not None or up is not None:
            raise SwarfbookError(Problem("--lobes", "", "", "it is always over speed; leave out --x and --y"))
        _lobes(case, points, png, table, system, plain=plain, as_json=as_json)
    else:
        _map(case, (across, up), points, ran(book, case), png, table, system, plain=plain, as_json=as_json)
    return Exit.DONE


def _map(
    case: Case,
    knobs: tuple[str | None, str | None],
    points: int,
    runs: tuple[Ran, ...],
    png: str | None,
    table: str | None,
    system: str,
    *,
    plain: bool,
    as_json: bool,
) -> None:
    from swarfbook.decisions.cutmap import chosen_axes, cut_map
    from swarfbook.decisions.cutmap_json import cut_map_json
    from swarfbook.reports.cutmap_file import cut_map_csv
    from swarfbook.reports.cutmap_page import cut_map_lines

    found = cut_map(case, *chosen_axes(case, *knobs), points, ran=runs, watch=_progress())
    if table is not None:
        write_outside(table, cut_map_csv(found, system=system).encode(), where="--csv")
    if png is not None:
        from swarfbook.reports.cutmap_picture import cut_map_picture

        cut_map_picture(found, Path(png), system=system)
    if as_json:
        print_json(cut_map_json(found))
    else:
        say("\n".join(cut_map_lines(found, width=_width(), system=system, plain=plain)), plain=plain)


def _lobes(
    case: Case, points: int, png: str | None, table: str | None, system: str, *, plain: bool, as_json: bool
) -> None:
    from swarfbook.decisions.cutmap import refuse_points
    from swarfbook.decisions.cutmap_json import lobe_map_json
    from swarfbook.decisions.lobe_map import lobe_map
    from swarfbook.reports.cutmap_file import lobe_map_csv
    from swarfbook.reports.lobe_page import lobe_map_lines

    refuse_points(points)
    found = lobe_map(case, points * LOBE_POINTS)
    if table is not None:
        write_outside(table, lobe_map_csv(found, system=system).encode(), where="--csv")
    if png is not None:
        from swarfbook.reports.cutmap_picture import lobe_map_picture

        lobe_map_picture(found, Path(png), system=system)
    if as_json:
        print_json(lobe_map_json(found))
    else:
        say("\n".join(lobe_map_lines(found, width=_width(), system=system, plain=plain)), plain=plain)


def _width() -> int:
    return shutil.get_terminal_size((80, 24)).columns


def _progress() -> Callable[[int, int], None] | None:
    """Give what says on a terminal how far a map is; nothing where nobody watches."""
    if not sys.stderr.isatty():
        return None

    def told(done: int, of: int) -> None:
        share = f"{100 * done // of:3d} %" if done < of else "     "
        click.echo(f"\r{share}\r", err=True, nl=False)

    return told
