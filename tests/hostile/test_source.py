"""Nothing in the program works out text as code, unpickles, or hands words to a shell."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import swarfbook

SOURCES = sorted(Path(swarfbook.__file__).parent.rglob("*.py"))
CALLS = {
    "eval", "exec", "compile", "__import__", "os.system", "os.popen", "pickle.load", "pickle.loads",
    "shelve.open",
    "marshal.load", "marshal.loads", "yaml.load", "yaml.unsafe_load",
    "pd.read_pickle", "pd.eval", "subprocess.getoutput",
    "asyncio.create_subprocess_shell",
    "tempfile.mktemp", "input",
}  # fmt: skip
MODULES = {"pickle", "shelve", "dill", "cloudpickle", "joblib", "yaml", "telnetlib", "ftplib", "xmlrpc"}


def faults(tree: ast.AST) -> list[str]:
    """Give what of that stands in a module."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = ast.unparse(node.func)
            said = {word.arg: word.value for word in node.keywords}
            if name in CALLS or name.endswith((".read_pickle", ".eval")):
                found.append(name)
            if "shell" in said:
                found.append(f"{name} by a shell")
            pickled = said.get("allow_pickle")
            if name.endswith(("np.load", "np.save")) and not (
                isinstance(pickled, ast.Constant) and pickled.value is False
            ):
                found.append(f"{name} with pickles")
        names = [one.name for one in node.names] if isinstance(node, ast.Import) else []
        names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        found += [f"import {name}" for name in names if name.split(".")[0] in MODULES]
    return found


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.stem)
def test_no_module_works_out_text_as_code(path):
    assert faults(ast.parse(path.read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize(
    "text",
    ["eval(x)", "os.system(x)", "import pickle",
     "from pickle import loads", "run(x, shell=True)", "np.load(x)",
     "np.load(x, allow_pickle=True)", "yaml.load(x)",
     "frame.eval(x)"],
)  # fmt: skip
def test_each_would_be_found(text):
    assert faults(ast.parse(text))


def test_there_is_something_to_look_through():
    assert len(SOURCES) > 200
