"""A small workshop to open on screen, and what makes the pilot quick and the screen still."""

from __future__ import annotations

import threading
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.worker import WorkerCancelled

from support import books
from swarfbook.book import Book
from swarfbook.tui import beside, derate_screen, page
from swarfbook.tui.app import SwarfbookApp
from swarfbook.tui.keyed import Keyed

RECIPE = books.RECIPE
Opener = Callable[..., AbstractAsyncContextManager[tuple[SwarfbookApp, Pilot[None]]]]


@pytest.fixture(autouse=True)
def quick_and_still(monkeypatch: pytest.MonkeyPatch, tmp_path_factory: pytest.TempPathFactory) -> None:
    """Poll for idleness in short steps, and keep the developer's own settings out."""
    for name in ("NO_COLOR", "COLORTERM", "TEXTUAL_THEME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TEXTUAL_ANIMATIONS", "none")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path_factory.mktemp("settings")))
    monkeypatch.setattr(page, "RELIEF_AFTER", 0.01)
    monkeypatch.setattr(derate_screen, "REST", 0.08)
    monkeypatch.setattr(beside, "HELD", 0.0)
    wait = pytest.importorskip("textual._wait")
    # A private module: where it has changed its names the tests only take longer.
    if hasattr(wait, "SLEEP_GRANULARITY") and hasattr(wait, "SLEEP_IDLE"):
        monkeypatch.setattr(wait, "SLEEP_GRANULARITY", 0.004)
        monkeypatch.setattr(wait, "SLEEP_IDLE", 0.0008)
        monkeypatch.setattr(wait.wait_for_idle, "__defaults__", (0.004, 1))


@pytest.fixture
def stopped(monkeypatch: pytest.MonkeyPatch) -> threading.Event:
    """Give what is set once work beside the keys was told to stop, and stopped."""
    event, stops = threading.Event(), beside.Pace.stops

    def noted(pace: beside.Pace) -> bool:
        stop = stops(pace)
        if stop:
            event.set()
        return stop

    monkeypatch.setattr(beside.Pace, "stops", noted)
    return event


@pytest.fixture
def workshop(make_book: Callable[..., Path]) -> Path:
    """Write a book of four recipes: one that is tight, one over, one that holds, one of another material."""
    root = make_book(**{"machine.axes.thrust": "600 N"})
    machine = books.values(
        "machine", {"name": "Bench router", "spindle.rated_power": "0.4 kW", "axes.thrust": "900 N"}
    )
    tool = books.values("tool", {"name": "4 mm two-flute end mill", "diameter": "4 mm", "flutes": 2})
    plate = books.values("material", {"name": "6061 plate", "table": "aluminium-wrought-6061-t6"})
    write(root, "machines/bench-router", machine)
    write(root, "tools/em-4mm-2f", tool)
    write(root, "materials/6061-plate", plate)
    write(root, "recipes/bench-slot", _recipe("slot", "Clamp slot", machine="bench-router"))
    too_deep = {"machine": "bench-router", "axial_depth": "12 mm"}
    write(root, "recipes/bench-too-deep", _recipe("rough", "Kept to show what over looks like", **too_deep))
    other = {"material": "6061-plate", "tool": "em-4mm-2f", "feed_rate": "20 in/min", "feed_per_tooth": None}
    write(root, "recipes/plate-finish", _recipe("finish", "Plate, last pass", **other))
    return root


def _recipe(operation: str, name: str, **changes: object) -> dict[str, object]:
    return books.values("recipe", {"operation": operation, "name": name, "standing": "trial", **changes})


def write(root: Path, stem: str, record: dict[str, object]) -> None:
    """Write a record into a book."""
    (root / f"{stem}.toml").write_text(books.to_toml(record), encoding="utf-8")


@pytest.fixture
def on_screen(workshop: Path) -> Opener:
    """Give a function that opens the workshop: `async with on_screen(size=(80, 24)) as (app, pilot)`."""

    @asynccontextmanager
    async def open_app(
        recipe: str | None = RECIPE, *, size: tuple[int, int] = (80, 24), root: Path = workshop
    ) -> AsyncIterator[tuple[SwarfbookApp, Pilot[None]]]:
        app = SwarfbookApp(Book.open(root), recipe)
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            yield app, pilot

    return open_app


LOOKS = 300
"""Looks at the screen after which what is waited for counts as not coming."""


async def seen(pilot: Pilot[None]) -> str:
    """Give what stands on the screen, blanks that hold words together as plain ones, none at line ends."""
    # What was changed is painted by a clock of the screen's own: look until nothing moves any more.
    before, now = "", _painted(pilot)
    while before != now:
        await pilot.pause(0.02)
        before, now = now, _painted(pilot)
    return now


def _painted(pilot: Pilot[None]) -> str:
    strips = pilot.app.screen._compositor.render_strips()
    lines = ["".join(segment.text for segment in strip).replace("\u00a0", " ") for strip in strips]
    return "\n".join(line.rstrip() for line in lines) + "\n"


async def settled(pilot: Pilot[None]) -> None:
    """Wait until workers are done and the relief, which waits for the keys to rest, has come."""
    while True:
        try:
            await pilot.app.workers.wait_for_complete()
            break
        except WorkerCancelled:  # another took its place
            await pilot.pause()
    await pilot.pause()
    assert isinstance(pilot.app, SwarfbookApp)
    while pilot.app.page._relief_timer is not None:
        await pilot.pause(0.01)
    await pilot.pause()


async def until(pilot: Pilot[None], so: Callable[[], bool]) -> None:
    """Wait for something that comes of work beside the keys, then let all settle."""
    while not so():
        await pilot.pause(0.01)
    await settled(pilot)


async def appears(pilot: Pilot[None], text: str) -> str:
    """Wait for words that come of work beside the keys; give the screen they stand on."""
    for _ in range(LOOKS):
        shown = await seen(pilot)
        if text in shown:
            return shown
        await settled(pilot)
    raise AssertionError(f"{text!r} never came:\n{shown}")


async def posed(pilot: Pilot[None], keys: tuple[str, ...]) -> None:
    """Press keys, waiting at every `WAIT`, and let all settle."""
    for key in keys:
        if key == "WAIT":
            await settled(pilot)
        else:
            await pilot.press(key)
    await settled(pilot)


def top(app: SwarfbookApp) -> Keyed[object]:
    """Give the screen on top."""
    assert isinstance(app.screen, Keyed)
    return app.screen
