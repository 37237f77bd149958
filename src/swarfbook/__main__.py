"""`python -m swarfbook` is the command line."""

from swarfbook.cli.main import run

run()
