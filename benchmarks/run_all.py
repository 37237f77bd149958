"""Every benchmark in one run: prints what each prints, and writes all figures as JSON.

python benchmarks/run_all.py [FILE]
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from measure import ENVIRONMENT, FIGURES, machine

HERE = Path(__file__).parent
SCRIPTS = ("startup", "screen", "books", "long_log", "growth", "map", "solve", "kernel")


def main(target: Path) -> int:
    facts, failed = machine(), []
    print(", ".join(f"{name} {value}" for name, value in facts.items()), flush=True)
    with TemporaryDirectory() as folder:
        notes = Path(folder) / "figures.jsonl"
        notes.touch()
        for script in SCRIPTS:
            print(f"\n{script}", flush=True)
            words = [sys.executable, str(HERE / f"{script}.py")]
            done = subprocess.run(words, env=ENVIRONMENT | {FIGURES: str(notes)}, check=False)
            failed += [script] if done.returncode else []
        figures = [json.loads(line) for line in notes.read_text(encoding="utf-8").splitlines()]
    now = datetime.now(UTC).isoformat(timespec="seconds")
    told = {
        "at": now,
        "machine": facts,
        "load_after": os.getloadavg()[0],
        "failed": failed,
        "figures": figures,
    }
    target.write_text(f"{json.dumps(told, indent=1)}\n", encoding="utf-8")
    print(f"\n{len(figures)} figures written to {target}")
    return bool(failed)


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1]) if len(sys.argv) > 1 else HERE / "figures.json"))
