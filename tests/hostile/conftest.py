"""The command line as its own tests call it."""

from cli.conftest import run_cli

__all__ = ["run_cli"]
