"""What the project's Markdown says there is: options, commands, keys, files, modules, links.

Each function gives what a text claims; `tests/docs/test_reference.py` holds it to what there is.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from functools import cache
from importlib import import_module
from pathlib import Path

from support.reference.command_page import commands
from support.reference.record_page import KINDS, every_key, every_table
from swarfbook._units import UNITS
from swarfbook.tui.commands import COMMANDS as ON_SCREEN

ROOT = Path(__file__).parents[3]
PACKAGE = ROOT / "src" / "swarfbook"
FENCE = re.compile(
    r"^(?P<fence>```+|~~~+)\s*(?P<language>[\w{}-]*)[^\n]*\n(?P<text>.*?)^(?P=fence)\s*$", re.M | re.S
)
INDENTED = re.compile(r"(?:^(?: {4}|\t)[^\n]*\n)+", re.M)
SPAN = re.compile(r"(?<!`)`([^`\n]+)`(?!`)")
OPTION = re.compile(r"(?<![\w-])--[a-z][a-z0-9]*(?:-[a-z0-9]+)*")
COMMAND = re.compile(r"(?<!from )(?<!import )\bswarfbook ((?:-\S+ )*)([a-z][a-z-]*)")
PATH = re.compile(r"(?:[\w.@-]+/)+[\w.@-]*[\w@-]|(?:[\w.@-]+/)+|[\w-]+\.(?:toml|md|csv|jsonl|py|txt|json)")
DOTTED = re.compile(r"[a-z_]+(?:\.[A-Za-z_]\w*)+")
LINK = re.compile(r"(?<!!)\[[^\]\n]*\]\(([^)\s]+)\)|!\[[^\]\n]*\]\(([^)\s]+)\)")
HEADING = re.compile(r"^#{1,6} +(.+?) *#*$", re.M)
TARGET = re.compile(r"^\(([\w-]+)\)=$", re.M)
KEY = re.compile(r"^\s*(?:\[+([\w.\"-]+)\]+|\"?([\w.-]+)\"?\s*=)", re.M)

OTHER_OPTIONS = frozenset({"--help", "--version", "--cached", "--no-edit", "--no-rebase", "--no-verify"})
"""Options that every command has, and those of git that a page names by themselves."""
OTHER_FILES = frozenset(
    {"api/", ".local/state", "benchmarks/figures.json", "and/or", "1/4", "share/man/man1"}
)
"""Folders and files that are made while a program runs; no files at all, a quarter of an inch among them."""
OWN_FILE = re.compile(
    r"my-.*|[./]*\.(?:git|venv|demo|swarfbook)/.*|(?:recipes|tools|machines|materials|jobs|runs)/[\w-]*(?:\.\w+)?"
)
"""Files of a person's own book, and what git and the book keep beside it."""
PLACEHOLDER = re.compile(r"\b(?:NAME|ID|YEAR|MONTH|DIR|FILE|FOLDER|RECORD)\b|NAME_")
OTHER_COMMANDS = frozenset({"source"})
"""The example in docs/extending/command.md of a command that is yet to be written."""
OTHER_KEYS = frozenset({"schema", "theme", "keys"})
"""Keys of screen.toml, and the one that every record begins with."""


def markdown() -> list[Path]:
    """Give every Markdown file of the project, but the changelog: it tells of what was."""
    loose = [ROOT / name for name in ("README.md", "DEVELOPERS.md", "SECURITY.md")]
    found = [*loose, *(ROOT / "docs").rglob("*.md"), *(ROOT / "benchmarks").glob("*.md")]
    found += [*(ROOT / "recipes").rglob("*.md"), *(ROOT / "tests").glob("*/README.md")]
    made = {"_build", "generated", "_generated"}
    return sorted(path for path in found if path.is_file() and not made & set(path.parts))


def code_of(text: str) -> str:
    """Give the code of a page: blocks and spans, a line each."""
    blocks = [one["text"] for one in FENCE.finditer(text)]
    rest = FENCE.sub("", text)
    blocks += INDENTED.findall(rest)
    return "\n".join([*blocks, *spans(text)])


def spans(text: str) -> list[str]:
    """Give the code within lines of a page."""
    return SPAN.findall(INDENTED.sub("", FENCE.sub("", text)))


@cache
def known_options() -> frozenset[str]:
    """Give every option of every command, and of the scripts under tests and benchmarks."""
    own = {name for one in commands().values() for each in one.params for name in each.opts}
    scripts = [*(ROOT / "benchmarks").glob("*.py"), *(ROOT / "tests").rglob("*.py")]
    texts = [path.read_text(encoding="utf-8") for path in scripts if path.name != "test_reference.py"]
    asked = {
        name for text in texts for name in re.findall(r"add(?:_argument|option)\(\s*\"(--[a-z-]+)\"", text)
    }
    return frozenset(own | asked) | OTHER_OPTIONS


def unknown_options(text: str) -> set[str]:
    """Give the options of a page that no command has: beside `swarfbook`, and standing by themselves."""
    lines = [line for line in code_of(text).splitlines() if "swarfbook" in line or line.startswith("--")]
    claimed = {name for line in lines if "pip install" not in line for name in OPTION.findall(line)}
    return claimed - known_options()


def unknown_commands(text: str) -> set[str]:
    """Give the commands of a page that there are not."""
    return {name for _, name in COMMAND.findall(code_of(text))} - set(commands()) - OTHER_COMMANDS


@cache
def known_keys() -> frozenset[str]:
    """Give every key of a TOML file: of records, tables of records, and commands of the screen."""
    found = {part for kind in KINDS for place, _, _ in every_key(kind) for part in place.split(".")}
    found |= {
        part for kind in KINDS for place, _, _ in every_table(kind) for part in place.split(".") if part
    }
    return frozenset(found) | {one.id for one in ON_SCREEN} | OTHER_KEYS


def unknown_keys(text: str) -> set[str]:
    """Give the keys of a page's TOML blocks that no record has; keys of a block that is no TOML, too."""
    found: set[str] = set()
    for one in FENCE.finditer(text):
        if one["language"] == "toml":
            for table, key in KEY.findall(one["text"]):
                name = (table or key).strip('"')
                found |= {name} if name in known_keys() else set(name.split("."))
    return found - known_keys()


def broken_toml(text: str) -> list[str]:
    """Give the TOML blocks of a page that do not read."""
    found = []
    for one in FENCE.finditer(text):
        if one["language"] == "toml":
            try:
                tomllib.loads(one["text"])
            except tomllib.TOMLDecodeError as error:
                found.append(f"{one['text'].splitlines()[0]}: {error}")
    return found


def missing_files(text: str, page: Path) -> set[str]:
    """Give the files and folders of a page's spans that there are not."""
    claimed = {one.partition(":")[0] for one in spans(text)}
    return {one for one in claimed if PATH.fullmatch(one) and not _there(one, page)}


def _there(name: str, page: Path) -> bool:
    if name in OTHER_FILES or name in _units() or PLACEHOLDER.search(name):
        return True
    if "/" not in name:
        return not name.endswith((".py", ".md")) or name in _names_of_files()
    if re.search(r"/\w+\.[A-Z_]+$", name):
        return _leads_somewhere(name.replace("/", "."))
    roots = [ROOT, PACKAGE, ROOT / "tests", ROOT / "docs", page.parent]
    return bool(OWN_FILE.fullmatch(name)) or any((root / name).exists() for root in roots)


@cache
def _units() -> frozenset[str]:
    return frozenset(unit for units in UNITS.values() for unit in units)


@cache
def _names_of_files() -> frozenset[str]:
    folders = (PACKAGE, ROOT / "tests", ROOT / "docs", ROOT / "benchmarks")
    inner = {path.name for folder in folders for path in folder.rglob("*.*")}
    return frozenset(inner | {path.name for path in ROOT.iterdir()})


def missing_modules(text: str) -> set[str]:
    """Give the dotted names of a page's spans that begin like a part of the package and lead nowhere."""
    parts = {path.stem for path in PACKAGE.iterdir() if path.suffix == ".py" or path.is_dir()}
    claimed = {one.removesuffix("()") for one in spans(text)}
    dotted = {
        one for one in claimed if DOTTED.fullmatch(one) and one.partition(".")[0] in parts | {"swarfbook"}
    }
    told = {one for one in dotted if one not in known_keys() and not PLACEHOLDER.search(one)}
    return {one for one in told if not _leads_somewhere(one)}


def _leads_somewhere(name: str) -> bool:
    if re.search(r"\.(toml|md|csv|jsonl|py|json|log)$", name) or _is_key(name):
        return True
    words = f"swarfbook.{name.removeprefix('swarfbook.')}".split(".")
    for count in range(len(words), 0, -1):
        try:
            found: object = import_module(".".join(words[:count]))
        except ImportError:
            continue
        for word in words[count:]:
            if not hasattr(found, word):
                return False
            found = getattr(found, word)
        return True
    return False


def _is_key(name: str) -> bool:
    return all(part in known_keys() for part in name.split("."))


def anchors(text: str) -> set[str]:
    """Give the anchors of a page, as the well-known renderers make them of its headings."""
    found: set[str] = set(TARGET.findall(text))
    for heading in HEADING.findall(FENCE.sub("", text)):
        plain = re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", heading).replace("`", "").lower()
        found.add(re.sub(r"[^\w\- ]", "", plain).replace(" ", "-"))
    return found


def broken_links(text: str, page: Path) -> Iterator[str]:
    """Yield the links of a page that lead nowhere; addresses in the world are let be."""
    for plain, picture in LINK.findall(SPAN.sub("", FENCE.sub("", text))):
        link = plain or picture
        if re.match(r"[a-z]+:", link):
            continue
        place, _, anchor = link.partition("#")
        target = (page.parent / place).resolve() if place else page
        if not target.exists() or (anchor and target.suffix == ".md" and anchor not in _anchors_in(target)):
            yield link


def _anchors_in(page: Path) -> set[str]:
    return anchors(page.read_text(encoding="utf-8"))
