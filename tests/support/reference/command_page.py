"""docs/reference/commands.md: every command, its arguments, options, exit codes and an example."""

from __future__ import annotations

import inspect
import re
import sys
from collections.abc import Iterator
from importlib import import_module

import click

from support.reference.markdown import block, code, codes, head, item, joined, para, sentence, table
from support.reference.prose import prose
from swarfbook.cli.exits import SAYS
from swarfbook.cli.main import COMMANDS, group


def commands() -> dict[str, click.Command]:
    """Give every command by name."""
    return {name: import_module(f"swarfbook.cli.{name}_command").command for name in COMMANDS}


def example_of(command: click.Command) -> str:
    """Give a command's example, as its help has it."""
    return (command.epilog or "").removeprefix("Example: ")


def can_be_over(command: click.Command) -> bool:
    """Say whether a command may leave with 1."""
    assert command.callback is not None
    return "Exit.OVER" in inspect.getsource(sys.modules[command.callback.__module__])


def page() -> str:
    """Set the page."""
    found = commands()
    lines = head("Commands", prose()["intros"]["commands"])
    lines += table(["command", "what it does"], [[_link(name), COMMANDS[name]] for name in found])
    lines += [*_exits(), *_environment(), *_program()]
    for name, command in found.items():
        lines += _command(name, command)
    return joined(lines)


def _link(name: str) -> str:
    return f"[`{name}`](#{name})"


def _exits() -> Iterator[str]:
    yield from ("## Exit codes", "")
    yield from table(["code", "what it says"], [[str(int(one)), words] for one, words in SAYS.items()])


def _environment() -> Iterator[str]:
    yield from ("## Environment variables", "")
    yield from table(
        ["variable", "what it does"],
        [[code(name), words] for name, words in sorted(prose()["environment"].items())],
    )


def _program() -> Iterator[str]:
    yield from ("## swarfbook", "")
    yield para(f"{group.help} The program itself has these options:")
    yield ""
    yield from _options(group)


def _command(name: str, command: click.Command) -> Iterator[str]:
    context = click.Context(command, info_name=f"swarfbook {name}")
    yield from (f"## {name}", "")
    for paragraph in inspect.cleandoc(command.help or "").split("\n\n"):
        yield from (para(paragraph), "")
    yield from block(context.command_path + " " + " ".join(command.collect_usage_pieces(context)), "text")
    yield from _arguments(command, context)
    yield from _options(command)
    if example_of(command):
        yield from (
            "Example:",
            "",
            *block(f"swarfbook {example_of(command).removeprefix('swarfbook ')}", "sh"),
        )
    codes_of = "0, 1 or 2" if can_be_over(command) else "0 or 2"
    yield from (f"Leaves with {codes_of} ([exit codes](#exit-codes)).", "")


def _arguments(command: click.Command, context: click.Context) -> Iterator[str]:
    for one in command.params:
        if isinstance(one, click.Argument):
            name = re.sub(r"[\[\]{}.]", "", one.make_metavar(context))
            asked = "needed" if one.required else "may be left out"
            many = ", several may follow" if one.nargs == -1 else ""
            words = f": {codes(one.type.choices)}" if isinstance(one.type, click.Choice) else ""
            yield item(f"`{name.upper() if not words else one.human_readable_name}`: {asked}{many}{words}")
    if any(isinstance(one, click.Argument) for one in command.params):
        yield ""


def _options(command: click.Command) -> Iterator[str]:
    context = click.Context(command)
    options = [one for one in command.get_params(context) if isinstance(one, click.Option) and not one.hidden]
    yield from table(["option", "value", "what it does"], [_option(one, context) for one in options])


def _option(one: click.Option, context: click.Context) -> list[str]:
    names = codes((*one.opts, *one.secondary_opts))
    if one.is_flag or one.is_eager:
        return [names, "", sentence(one.help or "")]
    default = one.get_default(context) if one.show_default else None
    tail = f" Else `{default}`." if default is not None else ""
    many = " May be given several times." if one.multiple else ""
    return [names, _value(one, context), sentence(one.help or "") + tail + many]


def _value(one: click.Option, context: click.Context) -> str:
    if isinstance(one.type, click.Choice):
        return codes(map(str, one.type.choices))
    return code(one.make_metavar(context))
