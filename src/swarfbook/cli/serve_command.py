"""`swarfbook serve`."""

from __future__ import annotations

import asyncio
import gc
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import book_folder, book_option, example
from swarfbook.errors import Problem, SwarfbookError, printable

if TYPE_CHECKING:
    import ssl

NO_SERVER = "this needs the extra: pip install 'swarfbook[serve]'"
file_type = click.Path(path_type=Path)


@click.command("serve", epilog=example("swarfbook serve --book my-workshop"))
@click.option(
    "--host", default="127.0.0.1", show_default=True, metavar="ADDRESS", help="Address to listen on."
)
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    metavar="N",
    default=8000,
    show_default=True,
    help="Its port; 0: any.",
)
@click.option("--token-file", type=file_type, help="File with the token, readable by you alone.")
@click.option("--tls-cert", type=file_type, help="Certificate, PEM; with --tls-key, for https.")
@click.option("--tls-key", type=file_type, help="Its private key, PEM.")
@click.option(
    "--sessions",
    type=click.IntRange(1, 64),
    metavar="N",
    default=4,
    show_default=True,
    help="Tabs at a time, at most.",
)
@click.option(
    "--idle",
    default="30 min",
    show_default=True,
    metavar="TIME",
    help="Close a tab after so long without a key.",
)
@book_option
def command(
    host: str,
    port: int,
    token_file: Path | None,
    tls_cert: Path | None,
    tls_key: Path | None,
    sessions: int,
    idle: str,
    book_dir: str | None,
) -> int:
    """Show the book in a browser: the screen that `open` shows, one program for each tab.

    Only this machine reaches it unless --host names another address of it; then whoever comes needs the
    token, which is in the address that is printed, or in --token-file. Ctrl+C ends it.
    """
    root = book_folder(book_dir).resolve()
    _refuse_what_is_no_book(root)
    _refuse_without_extra()
    from swarfbook.web.address import address_of
    from swarfbook.web.door import Door
    from swarfbook.web.places import Places
    from swarfbook.web.screen import DRIVER
    from swarfbook.web.server import Served, serve
    from swarfbook.web.tokens import new_token, read_token

    places, address = Places(sessions, _seconds(idle)), address_of(host)
    tls = _tls(tls_cert, tls_key)
    kept = None if token_file is None else read_token(token_file)
    token = kept or (None if address.own else new_token())
    with address.listen(port) as listening:
        scheme, taken = ("https" if tls else "http"), listening.getsockname()[1]
        _say(f"{scheme}://{address.named}:{taken}/", token, token_file)
        if not (address.own or tls):
            click.echo(OPEN_TO_READ, err=True)
        words = [sys.executable, "-P", "-m", "swarfbook.web.screen", str(root)]
        gc.enable()  # unlike other commands this one stays
        door = Door(scheme, address.named, taken, token)
        asyncio.run(serve(Served(words, DRIVER, door, places), listening, tls))
    return Exit.DONE


OPEN_TO_READ = (
    "swarfbook: warning: without --tls-cert and --tls-key "
    "whoever is on the way can read the token and the book"
)


def _say(address: str, token: str | None, token_file: Path | None) -> None:
    if token is None:
        click.echo(address)
    elif token_file is None:
        click.echo(f"{address}?token={token}")
    else:
        click.echo(f"{address}?token=")
        click.echo(printable(f"swarfbook: the token that ends this address is in {token_file}"), err=True)


def _refuse_what_is_no_book(root: Path) -> None:
    from swarfbook.book import Book

    Book.open(root)


def _refuse_without_extra() -> None:
    from importlib.util import find_spec

    if not all(map(find_spec, ("aiohttp", "textual_serve"))):
        raise SwarfbookError(Problem("serve", "", "", NO_SERVER))


def _seconds(idle: str) -> float:
    from swarfbook import quantities

    try:
        seconds = quantities.parse(idle, "time")
    except quantities.QuantityError as error:
        raise SwarfbookError(Problem("--idle", "", idle, str(error))) from None
    if seconds < SHORTEST_IDLE:
        raise SwarfbookError(Problem("--idle", "", idle, f"write {SHORTEST_IDLE:g} s or more"))
    return seconds


SHORTEST_IDLE = 10.0


def _tls(cert: Path | None, key: Path | None) -> ssl.SSLContext | None:
    if cert is None and key is None:
        return None
    if cert is None or key is None:
        raise SwarfbookError(Problem("--tls-cert", "", "", "give --tls-cert and --tls-key, both or neither"))
    import ssl

    context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    try:
        # Without a password given here, a locked key would be asked for at the terminal.
        context.load_cert_chain(cert, key, password="")
    except OSError as error:  # ssl's own errors are of this kind
        reason = (error.strerror or "unknown trouble").lower()
        remedy = f"this certificate and {key} do not serve: {reason}"
        raise SwarfbookError(Problem("--tls-cert", "", str(cert), remedy)) from None
    return context
