"""Runs the console blocks of a Markdown page and compares what they print with what the page says.

A block fenced ```console holds lines that begin with `$ `, which are commands, and under each what it
prints. A command that ends in a backslash goes on in the next line. A line that is only `...` stands for any
lines, and `...` within a line for any text. All blocks of a page are run in order by one POSIX shell, in one
empty folder. A command has to leave with 0, unless the next one is `echo $?`, whose output then tells the
code. A command with nothing under it may print anything. Any block after the line `<!-- file: PATH -->` is
written to that file.

`python tests/support/consoles.py PAGE` tells what differs; with `--write` the page gets what is printed now,
and keeps the wildcards that still match.
"""

from __future__ import annotations

import os
import re
import shlex
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

FENCE = re.compile(r"^(?P<marks>`{3,})(?P<kind>[^`\s]*)[^`]*$")
FILE = re.compile(r"^<!--\s*file:\s*(?P<path>\S+)\s*-->$")
PROMPT = "$ "
ANY = "..."
# A person who copies a line or types it has plain spaces.
SPACES = dict.fromkeys(map(ord, "\u00a0\u2009\u202f"), " ")
SECONDS = 180
GIT = {
    "GIT_AUTHOR_NAME": "A. Reader",
    "GIT_AUTHOR_EMAIL": "reader@workshop.invalid",
    "GIT_COMMITTER_NAME": "A. Reader",
    "GIT_COMMITTER_EMAIL": "reader@workshop.invalid",
    "GIT_CONFIG_GLOBAL": "/dev/null",
    "GIT_CONFIG_NOSYSTEM": "1",
    "GIT_CONFIG_COUNT": "1",
    "GIT_CONFIG_KEY_0": "init.defaultBranch",
    "GIT_CONFIG_VALUE_0": "main",
}
# Nobody listens there: what asks for another machine is refused at once.
NOWHERE = "http://127.0.0.1:9"


class PageError(Exception):
    """A page that cannot be read as one with console blocks."""


@dataclass(frozen=True)
class Command:
    """A command of a page: its text, its line (from 1), and the lines of the page with what it prints."""

    text: str
    line: int
    first: int
    expected: tuple[str, ...]


@dataclass(frozen=True)
class Written:
    """A block of a page that becomes a file of the folder."""

    path: str
    line: int
    text: str


@dataclass
class Page:
    """What is run of a page, in its order."""

    name: str
    lines: list[str]
    steps: list[Command | Written] = field(default_factory=list)

    @property
    def commands(self) -> list[Command]:
        """Its commands alone."""
        return [step for step in self.steps if isinstance(step, Command)]


@dataclass(frozen=True)
class Ran:
    """What a command printed, line by line, and its code; None where the shell did not get there."""

    command: Command
    output: tuple[str, ...]
    code: int | None


def read_page(path: Path, name: str | None = None) -> Page:
    """Read the steps of a page."""
    page = Page(name or path.as_posix(), path.read_text(encoding="utf-8").splitlines())
    for kind, first, last in _blocks(page):
        target = FILE.match(page.lines[first - 2].strip()) if first > 1 else None
        if target:
            page.steps.append(_written(page, target["path"], first, last))
        elif kind == "console":
            page.steps.extend(_commands(page, first, last))
    return page


def _blocks(page: Page) -> Iterator[tuple[str, int, int]]:
    """Give the kind of each fenced block, and the indices of its first line and of its closing fence."""
    opened: tuple[str, str, int] | None = None
    for index, line in enumerate(page.lines):
        fence = FENCE.match(line)
        if opened is None and line.lstrip().startswith("```console") and not fence:
            raise PageError(
                f"{page.name}:{index + 1}: a console block stands at the margin, and alone in its line"
            )
        if opened is None and fence:
            opened = fence["kind"], fence["marks"], index + 1
        elif opened is not None and line.rstrip() == opened[1]:
            yield opened[0], opened[2], index
            opened = None
    if opened is not None:
        raise PageError(f"{page.name}:{opened[2]}: a block begins here and does not end")


def _written(page: Page, path: str, first: int, last: int) -> Written:
    if Path(path).is_absolute() or ".." in Path(path).parts:
        raise PageError(f"{page.name}:{first}: {path} leads out of the folder")
    return Written(path, first, "\n".join(page.lines[first:last]) + "\n")


def _commands(page: Page, first: int, last: int) -> Iterator[Command]:
    starts = [index for index in range(first, last) if page.lines[index].startswith(PROMPT)]
    if not starts or "".join(page.lines[first : starts[0]]).strip():
        raise PageError(f"{page.name}:{first + 1}: a console block begins with `{PROMPT}` and a command")
    for start, end in zip(starts, [*starts[1:], last], strict=True):
        below = start + 1
        while page.lines[below - 1].endswith("\\") and below < end:
            below += 1
        text = "\n".join(page.lines[start:below]).removeprefix(PROMPT)
        yield Command(text, start + 1, below, _trimmed(page.lines[below:end]))


def _trimmed(lines: list[str]) -> tuple[str, ...]:
    """Lines with plain spaces, none at their ends, and without empty lines before and after."""
    return tuple("\n".join(line.translate(SPACES).rstrip() for line in lines).strip("\n").splitlines())


def run_page(page: Page) -> list[Ran]:
    """Run a page's steps in one shell, in one empty folder; what stays running is ended with it."""
    with TemporaryDirectory() as folder:
        root = Path(folder).resolve()
        for name in ("page", "home", "kept"):
            (root / name).mkdir()
        script = root / "kept" / "script"
        script.write_text("".join(_script(page, root)), encoding="utf-8")
        _run(script, root)
        return [_ran(step, root / "kept" / str(number)) for number, step in _numbered(page)]


def _numbered(page: Page) -> list[tuple[int, Command]]:
    return [(number, step) for number, step in enumerate(page.steps) if isinstance(step, Command)]


def _script(page: Page, root: Path) -> Iterator[str]:
    for number, step in enumerate(page.steps):
        kept = root / "kept" / str(number)
        if isinstance(step, Written):
            kept.write_text(step.text, encoding="utf-8")
            target = root / "page" / step.path
            yield f"mkdir -p {shlex.quote(str(target.parent))}; cp {kept} {shlex.quote(str(target))}\n"
        else:
            # `eval` keeps a broken command from hiding in the one after it; the last line gives its code on.
            yield f"{{ eval {shlex.quote(step.text)}\n}} >{kept}.out 2>&1; code=$?\n"
            yield f'echo "$code" >{kept}.code; (exit "$code")\n'


def environment(root: Path) -> dict[str, str]:
    """What the commands of a page find: the programs of these tests first, nothing of whoever runs them."""
    path = os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", os.defpath)])
    proxies = dict.fromkeys(("http_proxy", "https_proxy", "HTTP_PROXY", "HTTPS_PROXY"), NOWHERE)
    here = {"HOME": str(root / "home"), "TMPDIR": str(root / "kept"), "PWD": str(root / "page")}
    shown = {"COLUMNS": "80", "LANG": "C.UTF-8", "LC_ALL": "C.UTF-8", "TERM": "dumb", "TZ": "UTC"}
    return GIT | proxies | here | shown | {"PATH": path, "no_proxy": "127.0.0.1,localhost"}


def _run(script: Path, root: Path) -> None:
    shell = subprocess.Popen(
        ["sh", str(script)],
        cwd=root / "page",
        env=environment(root),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        with suppress(subprocess.TimeoutExpired):
            shell.wait(SECONDS)
    finally:
        # The shell is the head of a group of its own: only what this page started ends.
        with suppress(ProcessLookupError):
            os.killpg(shell.pid, signal.SIGKILL)
        shell.wait()


def _ran(command: Command, kept: Path) -> Ran:
    out, code = kept.with_suffix(".out"), kept.with_suffix(".code")
    text = out.read_text(encoding="utf-8", errors="replace") if out.exists() else ""
    left = code.read_text(encoding="utf-8").strip() if code.exists() else ""
    return Ran(command, _trimmed(text.splitlines()), int(left) if left else None)


def faults(page: Page, ran: list[Ran]) -> list[str]:
    """Tell each command that did otherwise than the page says, with page and line."""
    nexts = [*(step.text for step in page.commands), ""][1:]
    found = [_fault(page, one, text == "echo $?") for one, text in zip(ran, nexts, strict=False)]
    return [text for text in found if text]


def _fault(page: Page, ran: Ran, code_told: bool) -> str:
    command = ran.command
    where = f"{page.name}:{command.line}: `{command.text}`"
    if ran.code is None:
        return f"{where} did not come to an end{_told(ran.output)}"
    if ran.code and not code_told:
        return f"{where} left with {ran.code}, not with 0 (or `$ echo $?` below it){_told(ran.output)}"
    if not command.expected:
        return ""
    reached = reach(command.expected, ran.output)
    return "" if reached is None else _differs(page, ran, *reached)


def _told(lines: tuple[str, ...]) -> str:
    return "".join(f"\n    {line}" for line in ("; it printed", *lines))


def _differs(page: Page, ran: Ran, wanted: int, got: int) -> str:
    command = ran.command
    says = command.expected[wanted] if wanted < len(command.expected) else "no more lines"
    is_said = ran.output[got] if got < len(ran.output) else "no more lines"
    line = command.first + 1 + wanted + _blank_lines_above(page, command)
    head = (
        f"{page.name}:{line}: under `{command.text}` the page says\n    {says}\nand it prints\n    {is_said}"
    )
    return head + "\nall it prints is" + "".join(f"\n    {one}" for one in ran.output)


def _blank_lines_above(page: Page, command: Command) -> int:
    return next(n for n, line in enumerate(page.lines[command.first :]) if line.strip())


def reach(expected: tuple[str, ...], output: tuple[str, ...]) -> tuple[int, int] | None:
    """Give None where all lines match, else how far they do: an index of each side, the furthest way."""
    reached, furthest = {0}, (0, 0)
    for wanted, line in enumerate(expected):
        furthest = wanted, max(reached)
        if line.strip() == ANY:
            reached = set(range(min(reached), len(output) + 1))
        else:
            reached = {got + 1 for got in reached if got < len(output) and is_like(line, output[got])}
        if not reached:
            return furthest
    return None if len(output) in reached else (len(expected), max(reached))


@cache
def _pattern(line: str) -> re.Pattern[str]:
    return re.compile(".*".join(map(re.escape, line.split(ANY))))


def is_like(line: str, printed: str) -> bool:
    """Tell whether a printed line is what a line of the page says, `...` standing for any text."""
    return _pattern(line).fullmatch(printed) is not None


def refreshed(expected: tuple[str, ...], output: tuple[str, ...]) -> list[str]:
    """Give the output as the page should say it, with the page's wildcards where they still match."""
    rows, columns = len(expected), len(output)
    # The dearest way last: a table from the end, of what the rest costs and how it goes on.
    best: dict[tuple[int, int], tuple[float, list[str]]] = {(rows, columns): (0.0, [])}
    for i in range(rows, -1, -1):
        for j in range(columns, -1, -1):
            if (i, j) != (rows, columns):
                best[i, j] = min(_ways(best, expected, output, i, j), key=lambda way: way[0])
    return best[0, 0][1]


def _ways(
    best: dict[tuple[int, int], tuple[float, list[str]]],
    expected: tuple[str, ...],
    output: tuple[str, ...],
    i: int,
    j: int,
) -> Iterator[tuple[float, list[str]]]:
    """Give the ways on from line `i` of the page and `j` of the output: cost, and lines to be written."""
    if i < len(expected):
        is_any = expected[i].strip() == ANY
        cost, rest = best[i + 1, j]
        yield cost + (0.0 if is_any else 1.0), ([expected[i], *rest] if is_any else rest)
    if j < len(output):
        cost, rest = best[i, j + 1]
        yield cost + 1.0, [output[j], *rest]
    if i < len(expected) and j < len(output):
        yield _together(best, expected, output, i, j)


def _together(
    best: dict[tuple[int, int], tuple[float, list[str]]],
    expected: tuple[str, ...],
    output: tuple[str, ...],
    i: int,
    j: int,
) -> tuple[float, list[str]]:
    if expected[i].strip() == ANY:
        return best[i, j + 1]
    cost, rest = best[i + 1, j + 1]
    if is_like(expected[i], output[j]):
        return cost, [expected[i], *rest]
    return cost + 1.0 - SequenceMatcher(None, expected[i], output[j]).ratio(), [output[j], *rest]


def rewritten(page: Page, ran: list[Ran]) -> str:
    """Give a page's text with what its commands print now, where it says what they print."""
    lines = list(page.lines)
    for one in reversed(ran):
        command = one.command
        if command.expected and reach(command.expected, one.output) is not None:
            first = command.first + _blank_lines_above(page, command)
            lines[first : first + len(command.expected)] = refreshed(command.expected, one.output)
    return "\n".join(lines) + "\n"


def main(words: list[str]) -> int:
    """Tell what differs in each page named; with `--write`, write what is printed now."""
    told = []
    for path in (Path(word) for word in words if word != "--write"):
        page = read_page(path)
        ran = run_page(page)
        if "--write" in words:
            path.write_text(rewritten(page, ran), encoding="utf-8")
            page = read_page(path)
            ran = [Ran(now, one.output, one.code) for now, one in zip(page.commands, ran, strict=True)]
        told += faults(page, ran)
    print("\n\n".join(told))
    return 1 if told else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
