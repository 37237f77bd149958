"""Property tests here take the same examples every time; with `--long` many fresh ones."""

import pytest
from hypothesis import settings

settings.register_profile("physics", deadline=None, derandomize=True)
settings.register_profile("physics-long", deadline=None, max_examples=1500)
settings.load_profile("physics")


def pytest_configure(config: pytest.Config) -> None:
    if config.getoption("--long"):
        settings.load_profile("physics-long")
