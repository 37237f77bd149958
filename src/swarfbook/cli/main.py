"""Entry point: `swarfbook COMMAND`. Each command's module is imported when it is called."""

from __future__ import annotations

import gc
import os
import sys
from importlib import import_module

import click

from swarfbook.cli.exits import Exit
from swarfbook.cli.streams import ReaderLeft, dress
from swarfbook.errors import SwarfbookError, did_you_mean, printable
from swarfbook.reports.words import USUAL_CAUTION

COMMANDS = {
    "init": "Start a book: four questions and a first recipe, or a copy of the demo.",
    "open": "Open the book on screen.",
    "serve": "Show the same screen in a browser.",
    "list": "List the recipes, each judged.",
    "show": "Show a recipe: its sentence and all it asks, with bands and origins.",
    "check": "Judge a recipe against every limit.",
    "derate": "Back a recipe off by a margin, and keep that promise.",
    "sensitivity": "Show what a tenth more of each input does, and what is worth measuring.",
    "map": "Draw where the limits lie over two knobs, or stable depth over speed.",
    "compare": "Set two or more recipes side by side, the differences first.",
    "log": "Write down a run: how long, how it went, what the meter said.",
    "runs": "List the runs, or the minutes of each cutter.",
    "correct": "Say otherwise what a run was, or that it never was.",
    "fit": "Show what measured power has taught of the cutting forces.",
    "export": "Export records, runs or a whole book, for other programs and for long keeping.",
    "import": "Import records from a spreadsheet; where each column goes is shown first.",
    "pick": "Rank the recipes for a job, the proven first.",
    "job": "Judge a whole job: can it be made, will it hold, how warm, how long, how much.",
    "solve": "Find a first recipe to try from tables and physics.",
    "copy": "Begin a record with the text of another.",
    "rename": "Give a record another id; what names it follows.",
    "delete": "Take a record out of the book, with a way back.",
    "history": "List the states a record had; show, compare or bring back one.",
    "restore": "Bring back a deleted record, or list what was deleted.",
    "verify": "Look through a whole book before others get a copy.",
    "table": "List the reference tables, or print one with its sources.",
    "completions": "Print the script by which a shell completes what is typed.",
    "keys": "List the screen's commands, their keys, and where keys of your own go.",
    "schema": "Print the JSON Schema of a record, or give editors all of them.",
    "measure": "Say how to measure what people do not know of their machines.",
}

BEGIN = """\b
To begin:
  swarfbook init my-shop    a book of your own: four questions
  swarfbook open            the demo on screen, or the book you stand in
  swarfbook check long-bed-6mm-6082-rough    one of its recipes"""

COMPLETING = "_SWARFBOOK_COMPLETE"
"""Variable in which a shell asks for what can follow."""


class LazyGroup(click.Group):
    """A group whose commands are imported when they are called, so that help and checks start fast."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        """Give the commands in the order of the day: start, look, change."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Import a command's module; an unknown name is a question, not a traceback."""
        if cmd_name not in COMMANDS and ctx.resilient_parsing:
            return None
        if cmd_name not in COMMANDS:
            ctx.fail(f"no command {printable(cmd_name)!r}; {did_you_mean(cmd_name, COMMANDS)}")
        command: click.Command = import_module(f"swarfbook.cli.{cmd_name}_command").command
        if ctx.resilient_parsing:  # a shell completes
            from swarfbook.cli.completing import teach

            return teach(command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        """List the commands from the table above, without importing any."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(
    cls=LazyGroup,
    invoke_without_command=True,
    no_args_is_help=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog=f"{USUAL_CAUTION}\n\n{BEGIN}",
)
@click.option("--version", is_flag=True, help="Print the versions of program, Python and tables, and exit.")
@click.option("--json", "as_json", is_flag=True, help="With --version: as one JSON object.")
@click.pass_context
def group(ctx: click.Context, *, version: bool, as_json: bool) -> None:
    """Keep a book of cutting recipes and know before the first chip what gives first."""
    if version:
        _print_version(as_json=as_json)
        ctx.exit(Exit.DONE)
    if as_json:
        ctx.fail("--json goes behind a command, or beside --version")
    if ctx.invoked_subcommand is None:
        ctx.fail("a command is missing; swarfbook --help lists them")


def _print_version(*, as_json: bool) -> None:
    from swarfbook.cli.version_text import version_facts, version_text

    if as_json:
        import json

        click.echo(json.dumps(version_facts(), indent=2))
    else:
        click.echo(version_text())


def run() -> None:
    """Run the command line and leave with its exit code; a mistake is a line on stderr, never a traceback."""
    # No linear algebra of size happens here, and starting its threads costs more than a check.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # A command is over before its garbage matters; `open`, which stays, switches collection on again.
    gc.disable()
    dress()
    code = _completed(asked) if (asked := os.environ.get(COMPLETING)) else run_words()
    # Python looks through all that is left once more as it leaves; that would take a tenth of a check.
    gc.freeze()
    sys.exit(code)


def _completed(asked: str) -> int:
    from swarfbook.cli.completing import complete

    return complete(group, asked, COMPLETING)


def run_words() -> int:
    """Run the words of `sys.argv` and give the exit code."""
    try:
        return _run_words()
    except SwarfbookError as error:
        return _refused(*map(str, error.problems))
    except click.ClickException as error:
        return _refused(_one_line(error))
    except (click.Abort, KeyboardInterrupt):
        return int(Exit.INTERRUPTED)
    except ReaderLeft:
        return Exit.DONE


def _run_words() -> int:
    try:
        return int(group.main(prog_name="swarfbook", standalone_mode=False) or 0)
    except click.exceptions.NoArgsIsHelpError as error:
        click.echo(error.format_message())
        return Exit.BAD_INPUT


def _one_line(error: click.ClickException) -> str:
    text = printable(" ".join(error.format_message().split()))
    if isinstance(error, click.MissingParameter) and error.ctx:
        text = f"{text.removesuffix('.')}; `{error.ctx.command_path} --help` says what it takes"
    if isinstance(error, click.NoSuchOption) and error.ctx and error.ctx.command is group:
        text = f"{text.removesuffix('.')}; options go behind a command, as in `swarfbook list --book DIR`"
    return text[:1].lower() + text[1:]


def _refused(*lines: str) -> int:
    for line in lines:
        click.echo(f"swarfbook: {line}", err=True)
    return Exit.BAD_INPUT
