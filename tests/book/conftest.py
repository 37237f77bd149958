"""What the tests of the index begin with."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from support.indexed import HOUR, ODD
from swarfbook.book import index


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let every look be an hour after the files were written, so that all of them are kept."""
    monkeypatch.setattr(index, "GRAIN", -HOUR)


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Note every recipe's file that is opened."""
    names: list[str] = []
    plain = Path.open

    def noted(path: Path, *rest: object, **more: object) -> object:
        if path.parent.name == "recipes":
            names.append(path.stem)
        return plain(path, *rest, **more)

    monkeypatch.setattr(Path, "open", noted)
    return names


@pytest.fixture
def shop(make_book: Callable[..., Path]) -> Path:
    root = make_book()
    for name, data in ODD.items():
        (root / f"recipes/{name}.toml").write_bytes(data)
    return root
