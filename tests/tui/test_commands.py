"""The table of commands: one meaning a key, every command reachable, hints that fit."""

from __future__ import annotations

from collections import Counter

import pytest

from swarfbook.errors import Problem
from swarfbook.tui import map_screen
from swarfbook.tui.ask_screen import AskScreen
from swarfbook.tui.choose_screen import ChooseScreen
from swarfbook.tui.commands import (
    COMMANDS,
    SCREENS,
    STARTS,
    SWALLOWED,
    bind,
    by_key,
    footer,
    help_lines,
    of_screen,
)
from swarfbook.tui.compare_screen import CompareScreen
from swarfbook.tui.derate_screen import DerateScreen
from swarfbook.tui.history_screen import HistoryScreen
from swarfbook.tui.job_screen import JobScreen
from swarfbook.tui.jobs_screen import JobsScreen
from swarfbook.tui.keyed import Keyed
from swarfbook.tui.list_screen import ListScreen
from swarfbook.tui.map_screen import MapScreen
from swarfbook.tui.page import Page
from swarfbook.tui.pick_screen import PickScreen
from swarfbook.tui.problems_screen import Looked, ProblemsScreen
from swarfbook.tui.prompt_screen import PromptScreen
from swarfbook.tui.record_screen import RecordScreen
from swarfbook.tui.run_form_screen import RunFormScreen
from swarfbook.tui.run_screen import RunScreen
from swarfbook.tui.runs_screen import RunsScreen
from swarfbook.tui.solve_screen import SolutionScreen, SolveScreen
from swarfbook.tui.text_screen import TextScreen
from tui.conftest import Opener, posed, top
from tui.jobs import make_job
from tui.runs import run

CLASSES = {
    "page": Page,
    "pen": Page,
    "list": ListScreen,
    "rows": ListScreen,
    "compare": CompareScreen,
    "derate": DerateScreen,
    "pick": PickScreen,
    "picked": PickScreen,
    "solve": SolveScreen,
    "solution": SolutionScreen,
    "map": MapScreen,
    "ask": AskScreen,
    "prompt": PromptScreen,
    "choose": ChooseScreen,
    "jobs": JobsScreen,
    "job": JobScreen,
    "log": RunFormScreen,
    "runs": RunsScreen,
    "run": RunScreen,
    "record": RecordScreen,
    "writing": RecordScreen,
    "problems": ProblemsScreen,
    "history": HistoryScreen,
    "text": TextScreen,
    "any": Keyed,
}


@pytest.mark.parametrize("screen", SCREENS)
def test_no_key_means_two_things_on_a_screen(screen: str) -> None:
    commands = (*of_screen(screen), *(of_screen("any") if screen != "any" else ()))
    keys = Counter(key for command in commands for key in command.keys.split(","))
    assert [key for key, count in keys.items() if count > 1] == []


def test_no_command_sits_on_a_key_that_begins_a_value_or_that_terminals_swallow() -> None:
    keys = {key for command in COMMANDS for key in command.keys.split(",")}
    assert not keys & SWALLOWED
    assert not {key for command in of_screen("page") for key in command.keys.split(",")} & STARTS


SAME = {
    "a": {"duplicate", "another", "new"},
    "s": {"save"},
    "u": {"undo"},
    "U": {"redo"},
    "e": {"edit_file", "open"},
    "R": {"rename"},
    "H": {"history"},
    "B": {"bring_back"},
    "m": {"measure"},
    "P": {"pick"},
    "f2": {"pick"},
}
"""What a letter does wherever it does anything, by the actions' names."""


@pytest.mark.parametrize("key", SAME)
def test_what_is_done_with_a_record_has_the_same_letter_on_every_screen(key: str) -> None:
    assert {one.action for one in COMMANDS if key in one.keys.split(",")} <= SAME[key]
    named = [
        one for one in COMMANDS if one.action in SAME[key] - {"open"} and one.screen not in ("list", "page")
    ]
    assert [one.id for one in named if key not in one.keys.split(",")] == []


def test_ids_are_unique_and_every_command_is_an_action_of_its_screen() -> None:
    assert len({command.id for command in COMMANDS}) == len(COMMANDS)
    for command in COMMANDS:
        assert callable(getattr(CLASSES[command.screen], f"action_{command.action}"))


def test_every_action_of_a_screen_is_in_the_table() -> None:
    for screen in set(CLASSES.values()):
        ours = [cls for cls in screen.__mro__ if cls.__module__.startswith("swarfbook")]
        names = {name for cls in ours for name in vars(cls) if name.startswith("action_")}
        listed = {command.action for command in COMMANDS if CLASSES[command.screen] is screen}
        assert {name.removeprefix("action_") for name in names} - COMMON == listed - COMMON


def test_help_lists_every_command() -> None:
    text = "\n".join(help_lines())
    for command in COMMANDS:
        assert command.help in text
    for heading in SCREENS.values():
        assert heading in text


@pytest.mark.parametrize("width", [30, 60, 80, 120])
@pytest.mark.parametrize("screen", [screen for screen in SCREENS if screen != "any"])
def test_a_footer_fits_and_keeps_the_way_out(screen: str, width: int) -> None:
    text = footer(screen, width)
    assert len(text) <= width
    assert min(of_screen(screen), key=lambda command: command.rank or 99).words in text


def test_a_footer_leaves_out_what_has_nothing_to_do() -> None:
    assert "s save" in footer("page", 80)
    assert "s save" not in footer("page", 80, lambda action: action != "save")


# How each command is reached from the page just opened, and what has to be so before it can do anything.
BEFORE = {
    "page": (),
    "pen": ("enter",),
    "list": ("l", "WAIT"),
    "rows": ("l", "WAIT", "tab"),
    "compare": ("l", "WAIT", "tab", "home", "space", "space", "c"),
    "derate": ("d",),
    "pick": ("P",),
    "picked": ("P", "WAIT", "enter"),
    "solve": ("S",),
    "solution": ("S", "enter", "WAIT"),
    "map": ("k", "WAIT"),
    "ask": ("1", "enter", "q"),
    "prompt": ("o",),
    "choose": ("m",),
    "jobs": ("J", "WAIT"),
    "job": ("J", "WAIT", "enter", "WAIT"),
    "log": ("g",),
    "runs": ("WAIT", "G", "WAIT"),
    "run": ("WAIT", "G", "WAIT", "enter"),
    "record": ("M", "enter"),
    "writing": ("M", "enter", "enter"),
    "problems": ("x",),
    "history": ("2", "enter", "s", "H"),
    "text": ("question_mark",),
    "any": (),
}
FIRST = {
    "page.save": ("1", "enter"),
    "page.undo": ("1", "enter"),
    "page.redo": ("1", "enter", "u"),
    "page.read_again": ("1", "enter"),
    "page.discard": ("1", "enter"),
    "page.fold_down": ("n",),
    "page.fold_up": ("n",),
    "record.save": ("down", "down", "9", "enter"),
    "record.undo": ("down", "down", "9", "enter"),
    "record.redo": ("down", "down", "9", "enter", "u"),
    "record.measure": ("down",) * 7,
    "prompt.take": tuple("8mm"),
    "text.measure": ("escape", "w"),
}
OF_JOBS = {
    "record.insert": (),
    "record.take_out": tuple(["pagedown"] * 9),
    "record.move_up": tuple(["pagedown"] * 9),
    "record.move_down": tuple(["pagedown"] * 9 + ["up"] * 20),
}
"""Commands of the values of a job alone, and how an entry of its lists is chosen."""
RAN = ("runs", "run")
"""Screens that need a run in the log."""
MADE = ("jobs", "job")
"""Screens that need a job in the book."""
COMMON = {"help", "palette"}
PRESSED = {
    "?": "question_mark",
    "/": "slash",
    "=": "equals_sign",
    "*": "asterisk",
    "<": "less_than_sign",
    ">": "greater_than_sign",
}


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.id)
async def test_every_command_answers_to_every_key_of_it(
    command, on_screen: Opener, workshop, monkeypatch, tmp_path
) -> None:
    if command.screen in RAN:
        run(workshop)
    if command.screen in MADE or command.id in OF_JOBS:
        make_job(workshop)
    ran: list[str] = []
    action = f"action_{command.action}"
    cls = CLASSES[command.screen]
    original = getattr(cls, action)

    def noted(self) -> None:
        ran.append(command.id)
        original(self)

    monkeypatch.setattr(cls, action, noted)
    # What backing off comes to is another test's matter, and takes a second each time.
    monkeypatch.setattr(DerateScreen, "work_out", lambda *_: None)
    monkeypatch.setenv("EDITOR", "true")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    for key in command.keys.split(","):
        async with on_screen() as (app, pilot):
            before = BEFORE[command.screen]
            if command.id in OF_JOBS:
                before = (*BEFORE["job"], "v", "WAIT", *OF_JOBS[command.id])
            await posed(pilot, (*before, *FIRST.get(command.id, ())))
            ran.clear()
            if command.id == "page.read_again":
                app.page.sheet.on_disk = True
            if command.id == "record.read_again":
                app.screen.sheet.on_disk = True
            if command.id == "problems.open":
                app.screen.take_problems(Looked([Problem("machines/x.toml", "axes", "", "mend it")]))
            if command.id == "text.measure":
                app.screen._measure = app.page.action_measure
            if command.id == "text.copy":
                app.screen.usable = lambda _: True
            if command.id == "map.lobes":
                monkeypatch.setattr(map_screen, "measured_modes", lambda _: ())
            assert command.screen in (top(app).mode, "any")
            await pilot.press(PRESSED.get(key, key))
            assert ran == [command.id]
            # Whatever it did, the program is still there or was left on purpose.
            assert app.is_running or command.action == "leave"
            assert app.return_code in (0, None)


def test_a_key_is_found_by_textuals_name_for_it() -> None:
    assert by_key("page", "question_mark").id == "page.help"
    assert by_key("page", "slash").id == "page.list"
    assert by_key("page", "f7") is None


@pytest.mark.parametrize("screen", [screen for screen in SCREENS if screen != "any"])
async def test_every_command_that_can_do_anything_runs_from_the_palette(
    screen: str, on_screen: Opener, workshop, monkeypatch
) -> None:
    if screen in RAN:
        run(workshop)
    if screen in MADE:
        make_job(workshop)
    ran: list[str] = []
    monkeypatch.setattr(DerateScreen, "work_out", lambda *_: None)
    async with on_screen(size=(100, 60)) as (app, pilot):
        await posed(pilot, BEFORE[screen])
        below = top(app)
        usable = [command.action for command in of_screen(screen) if below.usable(command.action)]
        # What they do is tested by their keys; here it is only seen that they are called.
        for action in usable:
            monkeypatch.setattr(below, f"action_{action}", lambda action=action: ran.append(action))
        for action in usable:
            await pilot.press("ctrl+p")
            chooser = app.screen
            assert [row.id for row in chooser.finder.rows] == usable
            chooser.finder.place = usable.index(action)
            await pilot.press("enter")
            assert app.screen is below
    assert ran == usable


async def test_the_palette_finds_by_words(on_screen: Opener) -> None:
    async with on_screen() as (app, pilot):
        await pilot.press("ctrl+p", *"invert", "escape", "ctrl+p", *"inches", "enter")
        assert app.desk.shown == "imperial"


def test_keys_of_a_persons_own_take_the_place_of_the_tables() -> None:
    bind({"page.derate": ("D", "f6")})
    try:
        assert by_key("page", "D").id == by_key("page", "f6").id == "page.derate"
        assert by_key("page", "d") is None
        assert "D derate" in footer("page", 200)
        assert any("D, f6" in line for line in help_lines())
    finally:
        bind({})
    assert by_key("page", "d").id == "page.derate"
