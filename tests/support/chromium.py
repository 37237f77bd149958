"""A Chromium without a window, driven over its remote debugging protocol."""

from __future__ import annotations

import asyncio
import base64
import json
import re
import shutil
import subprocess
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from itertools import count
from pathlib import Path
from typing import Any

import aiohttp

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync",
    "--disable-background-networking", "--disable-component-update", "--disable-dev-shm-usage",
    "--disable-default-apps", "--remote-debugging-port=0", "--window-size=1200,760",
)  # fmt: skip
PATIENCE = 60.0
_ESCAPES = re.compile(r"\x1b(?:\[[0-9;?<>=]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[@-_])")


def chromium() -> str | None:
    """Find a Chromium; None where there is none."""
    return next(filter(None, map(shutil.which, NAMES)), None)


class Browser:
    """A browser that runs, and the socket over which it is driven."""

    def __init__(self, socket: aiohttp.ClientWebSocketResponse) -> None:
        self._socket = socket
        self._numbers = count(1)
        self._waiting: dict[int, asyncio.Future[dict[str, Any]]] = {}
        self._tabs: dict[str, Tab] = {}
        self._answering: set[asyncio.Task[Any]] = set()

    async def ask(self, method: str, tab: str | None = None, **params: Any) -> dict[str, Any]:
        number = next(self._numbers)
        self._waiting[number] = asyncio.get_running_loop().create_future()
        call = {"id": number, "method": method, "params": params}
        await self._socket.send_json(call | ({"sessionId": tab} if tab else {}))
        return await asyncio.wait_for(self._waiting[number], PATIENCE)

    async def listen(self) -> None:
        async for message in self._socket:
            said = json.loads(message.data)
            if "id" in said:
                self._waiting.pop(said["id"]).set_result(said.get("result", said))
            elif said.get("sessionId") in self._tabs:
                task = asyncio.create_task(self._tabs[said["sessionId"]].hear(said["method"], said["params"]))
                self._answering.add(task)
                task.add_done_callback(self._answering.discard)

    async def tab(self, address: str) -> Tab:
        target = (await self.ask("Target.createTarget", url="about:blank"))["targetId"]
        name = (await self.ask("Target.attachToTarget", targetId=target, flatten=True))["sessionId"]
        tab = self._tabs[name] = Tab(self, name, target)
        for part in ("Page", "Network", "Runtime", "Log"):
            await self.ask(f"{part}.enable", name)
        await self.ask("Fetch.enable", name, patterns=[{"urlPattern": "*"}])
        await self.ask("Page.navigate", name, url=address)
        return tab


class Tab:
    """One tab.

    Attributes:
        drawn: all that its terminal was sent, less the escapes, every blank a plain one.
        asked: addresses it asked for, other than `data:`.
        outside: those of them that are not of this machine; they are not answered.
        complaints: what the browser had to say of the page: errors, and what its policy forbids.
    """

    def __init__(self, browser: Browser, name: str, target: str) -> None:
        self._browser, self._name, self._target = browser, name, target
        self.drawn = ""
        self.asked: list[str] = []
        self.outside: list[str] = []
        self.complaints: list[str] = []

    async def hear(self, method: str, said: dict[str, Any]) -> None:
        if method == "Fetch.requestPaused":
            await self._answer(said["requestId"], said["request"]["url"])
        elif method == "Network.webSocketCreated":
            self._note(said["url"])
        elif method == "Network.webSocketFrameReceived" and said["response"]["opcode"] == 2:
            sent = base64.b64decode(said["response"]["payloadData"]).decode()
            self.drawn += _ESCAPES.sub("", sent).replace("\u00a0", " ")
        elif method == "Log.entryAdded":
            self.complaints.append(f"{said['entry']['level']}: {said['entry']['text']}")
        elif method == "Runtime.exceptionThrown":
            thrown = said["exceptionDetails"]
            self.complaints.append(thrown.get("exception", {}).get("description", thrown["text"]))

    def _note(self, address: str) -> bool:
        if address.startswith("data:"):
            return True
        self.asked.append(address)
        here = re.match(r"(?:http|ws)://127\.0\.0\.1[:/]", address) is not None
        if not here:
            self.outside.append(address)
        return here

    async def _answer(self, request: str, address: str) -> None:
        if self._note(address):
            await self._ask("Fetch.continueRequest", requestId=request)
        else:
            await self._ask("Fetch.failRequest", requestId=request, errorReason="AccessDenied")

    async def _ask(self, method: str, **params: Any) -> dict[str, Any]:
        return await self._browser.ask(method, self._name, **params)

    async def type(self, text: str) -> None:
        """Press the keys of a text, one after the other."""
        await self._browser.ask("Target.activateTarget", targetId=self._target)
        for character in text:
            await self._ask("Input.dispatchKeyEvent", type="keyDown", text=character, key=character)
            await self._ask("Input.dispatchKeyEvent", type="keyUp", key=character)

    async def press(self, key: str, code: int) -> None:
        """Press a key that writes nothing; `code` is its number in the browser."""
        await self._browser.ask("Target.activateTarget", targetId=self._target)
        for way in ("rawKeyDown", "keyUp"):
            await self._ask("Input.dispatchKeyEvent", type=way, key=key, windowsVirtualKeyCode=code)

    async def value(self, script: str) -> Any:
        """Give what a script in the page comes to."""
        return (await self._ask("Runtime.evaluate", expression=script))["result"].get("value")

    async def picture(self) -> bytes:
        """Give the page as a PNG file."""
        return base64.b64decode((await self._ask("Page.captureScreenshot"))["data"])

    async def close(self) -> None:
        """Close the tab."""
        await self._browser.ask("Target.closeTarget", targetId=self._target)

    async def until(self, holds: Callable[[Tab], bool]) -> None:
        """Wait for something to hold; raises AssertionError with what was drawn last where it does not."""
        try:
            async with asyncio.timeout(PATIENCE):
                while not holds(self):
                    await asyncio.sleep(0.05)
        except TimeoutError:
            raise AssertionError(f"not seen; drawn at last: {self.drawn[-3000:]!r}") from None


@asynccontextmanager
async def browsing(program: str, profile: Path) -> AsyncIterator[Browser]:
    """Have a browser for as long as a block runs.

    Args:
        program: the browser.
        profile: an empty folder for all it keeps.
    """
    process = subprocess.Popen(
        [program, *FLAGS, f"--user-data-dir={profile}", "about:blank"],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        port, path = await _devtools(profile / "DevToolsActivePort")
        async with (
            aiohttp.ClientSession() as client,
            client.ws_connect(f"ws://127.0.0.1:{port}{path}", max_msg_size=0) as socket,
        ):
            browser = Browser(socket)
            listening = asyncio.create_task(browser.listen())
            yield browser
            await browser.ask("Browser.close")
            listening.cancel()
            await asyncio.gather(listening, return_exceptions=True)
        await asyncio.to_thread(process.wait, PATIENCE)
    finally:
        if process.poll() is None:
            process.terminate()
            process.wait()


async def _devtools(file: Path) -> list[str]:
    async with asyncio.timeout(PATIENCE):
        while not (file.exists() and len(lines := file.read_text().splitlines()) == 2):
            await asyncio.sleep(0.05)
    return lines
