"""Start-up: whole commands as ratios to `python -c "import numpy"`, all in one run on one machine.

python benchmarks/startup.py [ROUNDS]
"""

from __future__ import annotations

import sys

from measure import BIN, CHECKOUT, least_seconds, ratio_line

BOOK = str(CHECKOUT / "recipes" / "saltmarsh")
SWARFBOOK = str(BIN / "swarfbook")
RECIPE = "long-bed-6mm-6082-rough"
TARGETS = dict.fromkeys(("check", "check --json", "show", "list", "derate"), 2.5)


def main(rounds: int) -> None:
    commands = {
        "import numpy": [sys.executable, "-c", "import numpy"],
        "help": [SWARFBOOK, "--help"],
        "check": [SWARFBOOK, "check", RECIPE, "--book", BOOK],
        "check --json": [SWARFBOOK, "check", RECIPE, "--json", "--book", BOOK],
        "show": [SWARFBOOK, "show", RECIPE, "--book", BOOK],
        "list": [SWARFBOOK, "list", "--book", BOOK],
        "derate": [SWARFBOOK, "derate", RECIPE, "--margin", "25%", "--book", BOOK],
    }
    least = least_seconds(commands, rounds=rounds)
    base = f"{least['import numpy'] * 1000:.0f} ms"
    print(f'ratio to `python -c "import numpy"`, least of {rounds} rounds, {base}')
    for name, seconds in least.items():
        print(ratio_line(name, seconds, least["import numpy"], at_most=TARGETS.get(name)))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 15)
