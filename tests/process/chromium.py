"""A real browser without a screen, asked over its own debugging protocol.

Source of the words: the Chrome DevTools Protocol (Page, Runtime, Input, Network).
"""

from __future__ import annotations

import asyncio
import base64
import json
import os
import shutil
import signal
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager, suppress
from pathlib import Path
from typing import Any, TypeVar

import aiohttp

T = TypeVar("T")

PATIENCE = 30.0
"""Seconds after which what should show up counts as missing, on however slow a machine."""
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--remote-debugging-port=0",
)
# The terminal draws on a canvas, and the page keeps it to itself. This takes note of it
# where the page puts it, so that its lines can be read as they are drawn.
NOTED = """
Object.defineProperty(Object.prototype, "terminal", {
  configurable: true,
  set(value) {
    Object.defineProperty(this, "terminal", { value, writable: true });
    window.noted = value;
  },
});
"""
LINES = """
window.noted === undefined ? "" : Array.from({ length: noted.rows }, (_, row) =>
  noted.buffer.active.getLine(row)?.translateToString(true) ?? "").join("\\n")
"""
SCREEN = """({ columns: noted.cols, rows: noted.rows,
  ...document.querySelector(".xterm-screen").getBoundingClientRect().toJSON() })"""


def found() -> str | None:
    """The browser of this machine."""
    return shutil.which("chromium") or shutil.which("chromium-browser")


class Page:
    """A page of the browser.

    Args:
        socket: to the page's own end of the protocol.
    """

    def __init__(self, socket: aiohttp.ClientWebSocketResponse) -> None:
        self._socket = socket
        self._answers: dict[int, asyncio.Future[dict[str, Any]]] = {}
        self._number = 0
        self.asked: list[str] = []
        self.faults: list[str] = []
        self._reading = asyncio.create_task(self._read())

    async def _read(self) -> None:
        async for message in self._socket:
            said = json.loads(message.data)
            if "id" in said:
                self._answers.pop(said["id"]).set_result(said)
                continue
            told = said["params"]
            match said["method"]:
                case "Network.requestWillBeSent":
                    self.asked.append(told["request"]["url"])
                case "Network.webSocketCreated":
                    self.asked.append(told["url"])
                case "Runtime.exceptionThrown":
                    self.faults.append(json.dumps(told["exceptionDetails"]))
                case "Log.entryAdded" if told["entry"]["level"] == "error":
                    self.faults.append(f"{told['entry']['text']} {told['entry'].get('url')}")

    async def do(self, method: str, **parameters: Any) -> dict[str, Any]:
        """Have the browser do something; returns what it answers."""
        self._number += 1
        answer = asyncio.get_running_loop().create_future()
        self._answers[self._number] = answer
        await self._socket.send_json({"id": self._number, "method": method, "params": parameters})
        said: dict[str, Any] = await asyncio.wait_for(answer, PATIENCE)
        assert "error" not in said, said
        result: dict[str, Any] = said["result"]
        return result

    async def begin(self) -> None:
        """Be told of what it loads and what fails."""
        for domain in ("Page", "Runtime", "Network", "Log"):
            await self.do(f"{domain}.enable")
        await self.do("Page.addScriptToEvaluateOnNewDocument", source=NOTED)

    async def worth(self, expression: str) -> Any:
        """The value of an expression in the page."""
        said = await self.do("Runtime.evaluate", expression=expression, returnByValue=True)
        return said["result"].get("value")

    async def text(self) -> str:
        """What the terminal shows."""
        return str(await self.worth(LINES) or "")

    async def holds(self, ask: Callable[[], Awaitable[T]], right: Callable[[T], bool]) -> T:
        """Ask until the answer is right; returns it."""
        seen = await ask()
        with suppress(TimeoutError):
            async with asyncio.timeout(PATIENCE):
                while not right(seen):
                    await asyncio.sleep(0.02)
                    seen = await ask()
                return seen
        raise AssertionError(f"never came right: {seen}\n{await self.text()}\n{self.faults}")

    async def until(self, wanted: str) -> None:
        """Wait until the terminal shows a text."""
        await self.holds(self.text, lambda shown: wanted in shown)

    async def be_touched(self) -> None:
        """Be a screen that fingers point at."""
        await self.do("Emulation.setTouchEmulationEnabled", enabled=True)

    async def tap(self, keys: str) -> None:
        """Tap on the page's own keys, by their names."""
        for name in keys.split():
            find = f"[...keys.children].find((key) => key.textContent == '{name}')"
            place = await self.worth(f"{find}.getBoundingClientRect().toJSON()")
            await self._touch(place["x"] + place["width"] / 2, place["y"] + place["height"] / 2)

    async def tap_on(self, text: str) -> None:
        """Tap on a text in the terminal."""
        await self.until(text)
        lines = (await self.text()).split("\n")
        row = next(number for number, line in enumerate(lines) if text in line)
        column = lines[row].index(text)
        place = await self.worth(SCREEN)
        wide, high = place["width"] / place["columns"], place["height"] / place["rows"]
        await self._touch(place["x"] + (column + 0.5) * wide, place["y"] + (row + 0.5) * high)

    async def _touch(self, x: float, y: float) -> None:
        at = {"x": x, "y": y}
        await self.do("Input.dispatchTouchEvent", type="touchStart", touchPoints=[at])
        await self.do("Input.dispatchTouchEvent", type="touchEnd", touchPoints=[])

    async def go(self, address: str) -> None:
        """Open a page."""
        await self.do("Page.navigate", url=address)

    async def reload(self) -> None:
        """Load the page again; what was shown before is no longer found."""
        await self.worth("delete window.noted")
        await self.do("Page.reload")

    @property
    async def focus(self) -> str:
        """The line of the terminal that the focus is in."""
        return next((x for x in (await self.text()).split("\n") if x.startswith("> ")), "")

    async def type(self, text: str) -> None:
        """Press the keys of a text, one after the other; a line end is Enter."""
        for sign in text:
            if sign == "\n":
                await self._press("Enter", 13, "\r")
            else:
                await self._press(sign, 0, sign)

    async def _press(self, key: str, code: int, text: str) -> None:
        await self.do(
            "Input.dispatchKeyEvent", type="keyDown", key=key, windowsVirtualKeyCode=code, text=text
        )
        await self.do("Input.dispatchKeyEvent", type="keyUp", key=key, windowsVirtualKeyCode=code)

    async def picture(self) -> bytes:
        """What it looks like, as PNG."""
        return base64.b64decode((await self.do("Page.captureScreenshot"))["data"])


@asynccontextmanager
async def browsing(program: str, folder: Path, size: tuple[int, int]) -> AsyncIterator[Page]:
    """A browser with one empty page.

    Args:
        program: the browser.
        folder: an empty one, for all that it keeps.
        size: of its window, in pixels.
    """
    process = await asyncio.create_subprocess_exec(
        *(program, *FLAGS, f"--user-data-dir={folder}", f"--window-size={size[0]},{size[1]}"),
        "about:blank",
        stdin=asyncio.subprocess.DEVNULL,
        stdout=asyncio.subprocess.DEVNULL,
        stderr=asyncio.subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        async with aiohttp.ClientSession() as client:
            port = await _port(folder / "DevToolsActivePort")
            async with client.get(f"http://127.0.0.1:{port}/json/list") as answer:
                pages = [page for page in await answer.json() if page["type"] == "page"]
            async with client.ws_connect(
                pages[0]["webSocketDebuggerUrl"], max_msg_size=0
            ) as socket:
                page = Page(socket)
                await page.begin()
                yield page
    finally:
        with suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        await process.wait()


async def _port(file: Path) -> int:
    async with asyncio.timeout(PATIENCE):
        while not (file.exists() and file.read_text().count("\n")):
            await asyncio.sleep(0.03)
    return int(file.read_text().splitlines()[0])
