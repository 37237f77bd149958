"""What importing the package costs and names; and its types as someone else's mypy sees them."""

from __future__ import annotations

import doctest
import importlib
import subprocess
import sys
from pathlib import Path

import pytest

import swarfbook

CLIENT = Path(__file__).with_name("typed_client.py")
ROOT = CLIENT.parents[2]
MODULES = sorted(swarfbook._MODULES)


def run(script):
    words = [sys.executable, "-c", script]
    return subprocess.run(words, capture_output=True, text=True, timeout=60, check=True).stdout


def test_importing_the_package_imports_nothing_else():
    script = "import sys; before = {*sys.modules}; import swarfbook; print(*{*sys.modules} - before)"
    loaded = set(run(script).split())
    assert [name for name in loaded if name.startswith("swarfbook")] == ["swarfbook"]
    assert {name.partition(".")[0] for name in loaded} <= {"swarfbook", *sys.stdlib_module_names}


def test_a_check_in_python_loads_nothing_heavy():
    loaded = run(
        "import sys, swarfbook\n"
        "result = swarfbook.check(swarfbook.Book.demo(), 'long-bed-6mm-6082-rough', axial_depth='1 mm')\n"
        "result.verdict, result.quantities['cutting_power'].value, result.to_dict()\n"
        "print(*sys.modules)"
    ).split()
    assert not set(loaded) & {"pandas", "pint", "pydantic", "scipy", "textual", "click", "tomlkit"}


def test_every_public_name_is_there_and_listed():
    assert set(swarfbook.__all__) == {name for names in swarfbook._MODULES.values() for name in names}
    assert swarfbook.__all__ == sorted(swarfbook.__all__)
    for name in swarfbook.__all__:
        assert getattr(swarfbook, name).__doc__
    assert set(swarfbook.__all__) <= set(dir(swarfbook))
    with pytest.raises(AttributeError, match="no attribute 'chekc'"):
        swarfbook.chekc  # noqa: B018


@pytest.mark.parametrize("module", MODULES)
def test_examples_in_docstrings_come_out_as_they_stand(module):
    home = importlib.import_module(f"swarfbook.{module}")
    found = doctest.testmod(home, optionflags=doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE)
    assert found.failed == 0


def test_the_examples_are_found():
    home = importlib.import_module("swarfbook.api.checking")
    assert sum(len(one.examples) for one in doctest.DocTestFinder().find(home)) >= 4


def test_a_typed_client_sees_the_types():
    pytest.importorskip("mypy")  # `make lint` has it, and checks the client by itself
    words = [sys.executable, "-m", "mypy", str(CLIENT)]
    done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, timeout=600, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
