"""`swarfbook history RECORD`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.options import book_option, example, json_option, open_book, print_json, record_named
from swarfbook.errors import Problem, SwarfbookError, did_you_mean, undriven

if TYPE_CHECKING:
    from swarfbook.book import Book
    from swarfbook.book.history import State


@click.command("history", epilog=example("swarfbook history machine:small-mill --diff 3"))
@click.argument("record")
@click.argument("other", metavar="[M]", type=click.IntRange(1), required=False)
@click.option("--show", metavar="N", type=click.IntRange(1), help="Print the file as state N had it.")
@click.option(
    "--diff", metavar="N [M]", type=click.IntRange(1), help="What differs from state N to M, or to the file."
)
@click.option("--restore", metavar="N", type=click.IntRange(1), help="Give the record state N again.")
@json_option
@book_option
def command(
    record: str,
    other: int | None,
    show: int | None,
    diff: int | None,
    restore: int | None,
    book_dir: str | None,
    *,
    as_json: bool,
) -> int:
    """List the last 50 states of RECORD, each with what it changed; of a deleted one too.

    RECORD is a recipe's id, or a kind and an id: `machine:long-bed-router`. A star marks the state that the
    file holds. --restore is a save like another: the next state, which --restore takes back as well.
    """
    if sum(one is not None for one in (show, diff, restore)) > 1:
        raise click.UsageError("choose one of --show, --diff and --restore")
    if other is not None and diff is None:
        raise click.UsageError("a second state goes with --diff: `--diff 3 5`")
    book = open_book(book_dir)
    kind, name = record_named(record)
    if show is not None:
        return _show(book, kind, name, show, as_json=as_json)
    if diff is not None:
        return _diff(book, kind, name, diff, other, as_json=as_json)
    if restore is not None:
        return _restore(book, kind, name, restore, as_json=as_json)
    return _list(book, kind, name, as_json=as_json)


def _list(book: Book, kind: str, name: str, *, as_json: bool) -> int:
    from swarfbook.book.ids import called, require_id
    from swarfbook.reports import history_page

    require_id(name, where=kind)
    states, now = book.history.states(kind, name), book.history.now(kind, name)
    if not states and now is None:
        known, now_called = {*book.ids(kind), *book.history.known(kind)}, book.history.called_now(kind, name)
        hint = f"it is called {now_called} now" if now_called in known else did_you_mean(name, known)
        remedy = f"no {kind} of that id has a history; {hint}"
        raise SwarfbookError(Problem(kind, "", f"'{name}'", remedy))
    if as_json:
        record = f"{kind}:{name}"
        print_json(
            {"record": record, "present": now is not None, "states": history_page.as_json(states, now)}
        )
    else:
        click.echo("\n".join(history_page.state_lines(called(kind, name), states, now)))
    return Exit.DONE


def _show(book: Book, kind: str, name: str, number: int, *, as_json: bool) -> int:
    state = _state(book, kind, name, number)
    text = state.data.decode("utf-8", "replace")
    if as_json:
        head = {"record": f"{kind}:{name}", "state": number, "at": state.at.isoformat(), "how": state.how}
        print_json({**head, "of": state.of, "text": text})
    else:
        click.echo(undriven(text), nl=not text.endswith("\n"))
    return Exit.DONE


def _diff(book: Book, kind: str, name: str, one: int, other: int | None, *, as_json: bool) -> int:
    from swarfbook.reports.history_page import difference, held_against

    before, now = _state(book, kind, name, one), book.history.now(kind, name)
    if other is None:
        after, to = held_against(book.history.states(kind, name), now)
    else:
        after, to = _state(book, kind, name, other).data, f"state {other}"
    text = difference(before.data, after, (f"{kind}:{name} state {one}", f"{kind}:{name} {to}"))
    if as_json:
        print_json({"record": f"{kind}:{name}", "from": f"state {one}", "to": to, "diff": text})
    else:
        click.echo(undriven(text) or f"no difference from state {one} to {to}", err=not text)
    return Exit.DONE


def _restore(book: Book, kind: str, name: str, number: int, *, as_json: bool) -> int:
    book.restore_state(kind, name, number)
    now = book.history.states(kind, name)
    if as_json:
        print_json({"record": f"{kind}:{name}", "restored": number, "states": [one.number for one in now]})
    else:
        click.echo(f"{kind} {name} is as in state {number} again", err=True)
    return Exit.DONE


def _state(book: Book, kind: str, name: str, number: int) -> State:
    from swarfbook.book.ids import require_id

    require_id(name, where=kind)
    return book.history.state(kind, name, number)
