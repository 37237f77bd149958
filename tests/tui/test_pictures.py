"""Pictures of the screens as text, for a reviewer to read, and the same screens without colour.

`SWARFBOOK_PICTURES=write pytest tests/tui/test_pictures.py` draws them anew.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from support import books
from tui.conftest import Opener, posed, seen
from tui.jobs import BOTH, GLUED, make_job
from tui.runs import run

PICTURES = Path(__file__).parent / "snapshots"
SIZES = [(80, 24), (120, 36), (60, 20)]
TO_THRUST = (*["pagedown"] * 4, "up", "up")
TO_JOB = ("J", "WAIT", *"glued", "enter")
SCENES: dict[str, tuple[str | None, tuple[str, ...]]] = {
    "page": ("bench-slot", ()),
    "troubled-page": ("bench-slot", ("WAIT",)),
    "page-over": ("bench-too-deep", ("down",)),
    "page-writing": ("bench-slot", ("tab", "tab", "tab", "2", "full_stop", "2")),
    "page-refusing": ("bench-slot", ("tab", "tab", "tab", "2", "comma", "2")),
    "page-choosing-a-word": ("bench-slot", ("tab", "tab", "tab", "tab", "tab", "enter", "down")),
    "page-changed": ("bench-slot", ("tab", "tab", "tab", "2", "enter")),
    "list": ("bench-slot", ("l",)),
    "list-found": ("bench-slot", ("l", "b", "e", "n")),
    "list-rows": ("bench-slot", ("l", "WAIT", "tab", "g", "o", "space", "down", "space")),
    "compare": ("bench-slot", ("l", "WAIT", "tab", "space", "down", "space", "c")),
    "palette": ("bench-slot", ("ctrl+p", *"inch")),
    "derate": ("bench-slot", ("d",)),
    "derate-naming": ("bench-slot", ("d", "WAIT", "enter")),
    "leaving": ("bench-slot", ("1", "enter", "q")),
    "notes": ("bench-slot", ("n",)),
    "why": ("bench-slot", ("down", "down", "down", "w")),
    "measure": ("bench-slot", ("m",)),
    "measure-page": ("bench-slot", ("m", "down", "enter")),
    "machines": ("bench-slot", ("M",)),
    "machine": ("bench-slot", ("M", "enter", *TO_THRUST)),
    "machine-writing": ("bench-slot", ("M", "enter", *TO_THRUST, *"250")),
    "machine-refusing": ("bench-slot", ("M", "enter", *["down"] * 4, *"99000")),
    "machine-unsaved": ("bench-slot", ("M", "enter", *TO_THRUST, *"250", "enter", "escape")),
    "machine-another": ("bench-slot", ("M", "enter", "a")),
    "cutters": ("bench-slot", ("T",)),
    "cutter-choosing-a-word": ("bench-slot", ("T", "enter", "down", "enter", "down")),
    "material": ("bench-slot", ("A", "enter", *["down"] * 3)),
    "material-rows": ("bench-slot", ("A", "enter", "down", "enter", *"alu")),
    "material-where-from": ("bench-slot", ("A", "enter", *["down"] * 3, "w")),
    "tables": ("bench-slot", ("b",)),
    "table": ("bench-slot", ("b", *"chip_floors", "enter")),
    "table-row": ("bench-slot", ("b", *"cutting_coefficients", "enter", "enter")),
    "problems": ("bench-slot", ("x", "WAIT", "down")),
    "cautions": ("bench-slot", ("v",)),
    "turn": ("bench-slot", ("f",)),
    "corner-refusing": ("bench-slot", ("o", "2", "enter")),
    "corner": ("bench-slot", ("o", "8", "enter")),
    "chatter": ("bench-slot", ("h",)),
    "help": ("bench-slot", ("question_mark",)),
    "derate-risk": ("bench-slot", ("d", "r", "WAIT")),
    "pick": ("bench-slot", ("P",)),
    "pick-ranking": (books.RECIPE, ("P", "WAIT", "enter", "down")),
    "pick-refusing": ("bench-slot", ("P", *["down"] * 3, *"22x", "tab")),
    "pick-ruled-out": (books.RECIPE, ("P", *["down"] * 3, *"22", "tab", "WAIT", "enter")),
    "pick-adapted": ("bench-slot", ("P", *"6061", "enter", "WAIT", "enter")),
    "pick-nothing": ("bench-slot", ("P", "tab", *"plunge", "enter")),
    "solve": ("bench-slot", ("S", *["down"] * 4)),
    "solve-refusing": ("bench-slot", ("S", *["down"] * 3, *"bore", "enter")),
    "solution": ("bench-slot", ("S", "enter")),
    "solution-naming": ("bench-slot", ("S", "enter", "WAIT", *["pagedown"] * 4, "enter")),
    "map": (books.RECIPE, ("k",)),
    "map-other-numbers": (books.RECIPE, ("k", "WAIT", "y", "WAIT", "pagedown")),
    "modal-map": (books.RECIPE, ("k",)),
    "modal-map-lobes": (books.RECIPE, ("k", "WAIT", "l")),
    "what-counts": ("bench-slot", ("W",)),
    "ran-map": ("bench-slot", ("WAIT", "k")),
    "ran-page": ("bench-slot", ("WAIT",)),
    "ran-page-beyond": ("bench-slot", ("WAIT", *["tab"] * 4, "3", "full_stop", "5", "enter", "n")),
    "ran-list": ("bench-slot", ("WAIT", "l", "WAIT")),
    "ran-log": ("bench-slot", ("WAIT", "g")),
    "ran-log-finding": ("bench-slot", ("WAIT", "g", "c", "h")),
    "ran-log-refusing": ("bench-slot", ("WAIT", "g", *"42", "tab", *"900", "enter", "WAIT")),
    "ran-log-cutter": ("bench-slot", ("WAIT", "g", *"42", *["down"] * 3, "n")),
    "ran-log-unsaved": ("bench-slot", ("1", "enter", "g")),
    "ran-runs": ("bench-slot", ("WAIT", "G", "WAIT")),
    "ran-runs-all": ("bench-slot", ("WAIT", "G", "WAIT", "tab", *"2026")),
    "ran-run": ("bench-slot", ("WAIT", "G", "WAIT", "down", "down", "enter")),
    "ran-run-wrong": ("bench-slot", ("WAIT", "G", "WAIT", "tab", *"chat", "enter", "WAIT")),
    "ran-run-correcting": ("bench-slot", ("WAIT", "G", "WAIT", "enter", "c")),
    "ran-run-withdrawing": ("bench-slot", ("WAIT", "G", "WAIT", "enter", "delete")),
    "ran-cutters": ("bench-slot", ("WAIT", "G", "WAIT", "f3")),
    "ran-cutter": ("bench-slot", ("WAIT", "T", "down", "enter", *["pagedown"] * 4)),
    "ran-learnt": ("bench-slot", ("WAIT", "p", "WAIT")),
    "job-list": ("bench-slot", ("J", "WAIT", "down")),
    "job-list-broken": ("bench-slot", ("J", "WAIT", *["pagedown"] * 2)),
    "job-page": ("bench-slot", (*TO_JOB, "WAIT")),
    "job-step": ("bench-slot", (*TO_JOB, "WAIT", "down")),
    "job-read-on": ("bench-slot", (*TO_JOB, "WAIT", "down", "pagedown")),
    "job-stock": ("bench-slot", (*TO_JOB, "WAIT", *["down"] * 4)),
    "job-second-side": ("bench-slot", ("J", *"both", "WAIT", "enter", "WAIT", "down")),
    "job-heat": ("bench-slot", (*TO_JOB, "WAIT", "h")),
    "job-reply": ("bench-slot", (*TO_JOB, "WAIT", "c")),
    "job-sheet": ("bench-slot", (*TO_JOB, "WAIT", "p")),
    "job-values": ("bench-slot", (*TO_JOB, "WAIT", "v", *["down"] * 5)),
    "job-values-writing": ("bench-slot", (*TO_JOB, "WAIT", "v", *["pagedown"] * 9, *["up"] * 7, *"14")),
    "job-adding": ("bench-slot", (*TO_JOB, "WAIT", "v", "WAIT", "I", "WAIT")),
    "job-added": ("bench-slot", (*TO_JOB, "WAIT", "v", "WAIT", "I", "enter", "WAIT")),
    "empty-page": (None, ()),
    "empty-machines": (None, ("M", "WAIT")),
    "job-not-judged": ("bench-slot", ("J", *"lost", "WAIT", "enter", "WAIT")),
    "job-deleting": ("bench-slot", (*TO_JOB, "WAIT", "delete")),
}
SPOILT = {
    "machine": [("machines/bench-router", 'thrust = "900 N"', "")],
    "modal": [("machines/long-bed-router", 'stiffness = "3 N/um"', books.MODES)],
    "troubled": [("recipes/plate-finish", '"em-4mm-2f"', '"em-5mm-2f"')],
    "problems": [
        ("machines/long-bed-router", '"5000 mm/min"', '"5000 furlongs"'),
        ("recipes/plate-finish", '"em-4mm-2f"', '"em-5mm-2f"'),
    ],
}
"""What is written differently in the book before some scenes: file, what stands there, what is to."""


RAN = (
    ("bench-slot", {"cutter": "no. 3", "power": "310 W", "idle_power": "40 W", "note": "First bars."}),
    ("bench-slot", {"cutter": "no. 3", "power": "300 W", "minutes": 65.0, "stock_temperature": "41 degC"}),
    ("long-bed-6mm-6082-rough", {"outcome": "chatter", "cutter": "no. 4, reground", "minutes": 2.5}),
    ("bench-slot", {"cutter": "no. 4, reground", "feed_override": 0.8, "minutes": 25.0}),
    ("plate-finish", {"power": "55 W"}),
)
"""Runs in the log of the scenes called so, a day each."""


LOOSE = {"name": "Loose plates", "holds": [{"method": "vise", "force": "60 N"}]}
LOST = {"name": "Lost plates", "steps": [{"recipe": "no-such-recipe", "feature": "pocket", "path": "2 m"}]}
JOBS = {"glued": GLUED, "loose": LOOSE, "both": BOTH, "lost": LOST, "torn": {"quantity": "a few"}}
"""Jobs in the book of the scenes called so."""


def spoil(workshop: Path, scene: str) -> None:
    for path in workshop.glob("*/*.toml") if scene.startswith("empty-") else ():
        path.unlink()
    for job, changes in (JOBS if scene.startswith("job-") else {}).items():
        make_job(workshop, job, **changes)
    for day, (recipe, told) in enumerate(RAN if scene.startswith("ran-") else ()):
        run(workshop, recipe, day=day, name=f"2026-11-0{2 + day}-120000-0a0{day}", **told)
    for stem, before, after in SPOILT.get(scene.partition("-")[0], ()):
        path = workshop / f"{stem}.toml"
        assert before in path.read_text(encoding="utf-8")
        path.write_text(path.read_text(encoding="utf-8").replace(before, after), encoding="utf-8")


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("scene", SCENES)
async def test_a_screen_looks_as_it_did(
    scene: str, size: tuple[int, int], on_screen: Opener, workshop: Path
) -> None:
    spoil(workshop, scene)
    recipe, keys = SCENES[scene]
    async with on_screen(recipe, size=size) as (_, pilot):
        await posed(pilot, keys)
        shown = await seen(pilot)
    picture = PICTURES / f"{scene}-{size[0]}x{size[1]}.txt"
    if os.environ.get("SWARFBOOK_PICTURES") == "write":
        picture.parent.mkdir(exist_ok=True)
        picture.write_text(shown, encoding="utf-8")
    assert shown == picture.read_text(encoding="utf-8")


@pytest.mark.parametrize("scene", SCENES)
async def test_without_colour_the_same_words_stand(
    scene: str, on_screen: Opener, workshop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    spoil(workshop, scene)
    monkeypatch.setenv("NO_COLOR", "1")
    recipe, keys = SCENES[scene]
    async with on_screen(recipe) as (app, pilot):
        await posed(pilot, keys)
        assert app.no_color
        assert await seen(pilot) == (PICTURES / f"{scene}-80x24.txt").read_text(encoding="utf-8")
        for strip in app.screen._compositor.render_strips():
            for segment in strip:
                for colour in (segment.style.color, segment.style.bgcolor) if segment.style else ():
                    red, green, blue = colour.get_truecolor() if colour else (0, 0, 0)
                    assert red == green == blue


async def test_what_is_chosen_and_what_is_over_can_be_told_without_colour(
    on_screen: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with on_screen("bench-too-deep") as (_, pilot):
        shown = await seen(pilot)
        assert "[18 000 rpm]" in shown
        assert "▸" in shown
        line = next(line for line in shown.splitlines() if line.startswith("▸"))
        assert line.rstrip().endswith("over")
        assert line.index("●") > line.index("┃")
