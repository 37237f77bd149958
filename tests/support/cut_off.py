"""Work that dies at any of its steps, in place of a power cut."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from types import ModuleType
from typing import Any

import pytest


class KilledError(BaseException):
    """In place of a power cut."""


def dying(
    patch: pytest.MonkeyPatch, modules: tuple[ModuleType, ...], names: tuple[str, ...], step: int
) -> list[str]:
    """Let modules die before the step-th call of some functions; the steps are counted in the list given."""
    taken: list[str] = []

    def last_breath(name: str, work: Callable[..., Any]) -> Callable[..., Any]:
        def breath(*args: Any, **kwargs: Any) -> Any:
            if len(taken) == step:
                raise KilledError
            taken.append(name)
            return work(*args, **kwargs)

        return breath

    for module in modules:
        for name in filter(partial(hasattr, module), names):
            patch.setattr(module, name, last_breath(name, getattr(module, name)))
    return taken


def dying_rename(patch: pytest.MonkeyPatch, step: int) -> list[str]:
    """Let a rename die before its step-th write."""
    from swarfbook.book import renaming, unfinished

    names = ("write_atomically", "add_rename", "flush_folder")
    return dying(patch, (renaming, unfinished), names, step)
