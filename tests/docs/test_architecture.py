"""docs/architecture.md says of the layers what the import contract says, and names what is there."""

from __future__ import annotations

import ast
import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SOURCES = ROOT / "src/swarfbook"
PAGES = [
    ROOT / "docs/architecture.md",
    *sorted((ROOT / "docs/extending").glob("*.md")),
    ROOT / "DEVELOPERS.md",
]
DRAWN = re.compile(r"^```text layers\n(.*?)^```", re.DOTALL | re.MULTILINE)
NAMED = re.compile(r"`([\w/.-]+\.(?:py|csv|toml|md|c))(?::([A-Za-z_][\w.]*))?`")
OF_A_BOOK = {"book.toml", "runs.jsonl"}


def there(package: str) -> bool:
    return (SOURCES / package).is_dir() or (SOURCES / f"{package}.py").is_file()


def test_the_layers_drawn_are_those_of_the_contract():
    drawn = DRAWN.search(PAGES[0].read_text()).group(1).splitlines()
    ours = [[name for name in re.split(r"\s{2,}", line)[0].split(" : ") if there(name)] for line in drawn]
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]["contracts"]
    layers = next(one["layers"] for one in contracts if one["type"] == "layers")
    assert ours == [[name.removeprefix("swarfbook.") for name in layer.split(" : ")] for layer in layers]


def test_every_package_is_named():
    text = PAGES[0].read_text()
    packages = [one.parent.relative_to(SOURCES) for one in SOURCES.rglob("__init__.py")]
    for package in filter(lambda one: one != Path(), packages):
        assert f"`{package}/`" in text, f"docs/architecture.md does not say what {package} holds"


@pytest.mark.parametrize("folder", ["book", "decisions", "decisions/jobs"])
def test_every_module_listed_of_a_large_folder_is_there(folder):
    listed = PAGES[0].read_text().partition("The larger folders")[2].partition("\n## ")[0]
    items = [item for item in listed.split("\n- ") if item.startswith(f"`{folder}/`")]
    named = set(re.findall(r"`(\w+)`", " ".join(items))) - {"verify"}
    modules = {one.stem for one in (SOURCES / folder).glob("[!_]*.py")}
    assert len(named) > len(modules) / 2
    assert named <= modules


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_file_and_name_is_there(page):
    # What the examples add is there once they are followed.
    text = page.read_text()
    added = set(re.findall(r"<!-- change: (\S+) -->", text))
    for path, name in NAMED.findall(text):
        if Path(path).name in OF_A_BOOK or "NAME" in path or "*" in path:
            continue
        file = _file(path)
        assert file is not None or any(one.endswith(path) for one in added), f"{page.name}: {path}"
        if name and file is not None and file.suffix == ".py":
            assert _has(file, name.split(".")), f"{page.name}: {path} has no {name}"


def _file(path: str) -> Path | None:
    places = (SOURCES, ROOT, ROOT / "reference_tables", SOURCES / "decisions", ROOT / "docs/extending")
    return next((place / path for place in places if (place / path).is_file()), None)


def _has(file: Path, names: list[str]) -> bool:
    body = ast.parse(file.read_text(encoding="utf-8")).body
    for name in names:
        found = next((one for one in body if name in _defined(one)), None)
        if found is None:
            return False
        body = getattr(found, "body", [])
    return True


def _defined(node: ast.stmt) -> set[str]:
    if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
        return {node.name}
    targets = node.targets if isinstance(node, ast.Assign) else [getattr(node, "target", None)]
    return {target.id for target in targets if isinstance(target, ast.Name)}
