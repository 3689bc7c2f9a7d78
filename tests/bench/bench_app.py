"""How quick the app feels, as ratios to a bare Textual app in the same run.

Run by hand, on a machine that does nothing else:

    python tests/bench/bench_app.py

Nothing is asserted: it prints. A pty is needed, so it runs on Linux and macOS.
"""

from __future__ import annotations

import os
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import pexpect
import pyte

ROOT = Path(__file__).parents[2]
PROFILE = ROOT / "profiles" / "harbour-dart.toml"
RUNS, KEYS, IDLE = 9, 40, 10.0

BARE = """
from textual.app import App
from textual.widgets import Footer, Input
class Bare(App):
    ENABLE_COMMAND_PALETTE = False
    def compose(self):
        yield Input(placeholder="bare screen")
        yield Footer()
    def on_mount(self):
        self.query_one(Input).cursor_blink = False
Bare().run()
"""


class Terminal:
    """A pty with a program in it."""

    def __init__(self, *arguments: str) -> None:
        colours = {"TERM": "xterm-256color", "COLORTERM": "truecolor", "LC_ALL": "C.UTF-8"}
        env = {**os.environ, **colours}
        self._screen: Any = pyte.Screen(80, 24)
        self._stream: Any = pyte.ByteStream(self._screen)
        self.received = 0
        self.born = time.perf_counter()
        self.process: Any = pexpect.spawn(
            sys.executable, list(arguments), env=env, dimensions=(24, 80), cwd=str(ROOT)
        )

        self.process.delaybeforesend = None

    def read(self, patience: float) -> bytes:
        """What comes next, or nothing."""
        try:
            data: bytes = self.process.read_nonblocking(65536, patience)
        except pexpect.TIMEOUT:
            return b""
        self.received += len(data)
        return data

    def until(self, wanted: Callable[[str], bool]) -> float:
        """When the screen was as wanted, in seconds of the clock."""
        while True:
            data = self.read(0.01)
            at = time.perf_counter()
            self._stream.feed(data)
            if data and wanted("\n".join(self._screen.display)):
                return at

    def first(self, text: bytes) -> float:
        """Seconds from the spawn until a text came."""
        seen = b""
        while text not in seen:
            seen += self.read(5.0)
        return time.perf_counter() - self.born

    def rest(self, seconds: float) -> None:
        """Let it come to rest."""
        deadline = time.perf_counter() + seconds
        while time.perf_counter() < deadline:
            self._stream.feed(self.read(0.05))

    def used(self) -> float:
        """Processor seconds so far."""
        fields = Path(f"/proc/{self.process.pid}/stat").read_text().rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")

    def memory(self) -> float:
        """Resident memory [MB]."""
        status = Path(f"/proc/{self.process.pid}/status").read_text()
        return int(status.split("VmRSS:")[1].split()[0]) / 1024

    def close(self) -> None:
        """End it."""
        self.process.close(force=True)


def middle(times: list[float]) -> float:
    """The median in milliseconds."""
    return 1000 * statistics.median(times)


def late(times: list[float]) -> float:
    """The 95th percentile in milliseconds."""
    return 1000 * sorted(times)[int(0.95 * (len(times) - 1))]


def first_paint(folder: Path) -> None:
    """From spawn to the first text, interleaved."""
    bare: list[float] = []
    ours: list[float] = []
    for _ in range(RUNS):
        for times, arguments, text in (
            (bare, ["-c", BARE], b"are screen"),
            (ours, ["-m", "wizard", "--folder", str(folder)], b"Plugwright"),
        ):
            terminal = Terminal(*arguments)
            times.append(terminal.first(text))
            terminal.close()
    ratio = statistics.median(ours) / statistics.median(bare)
    print(f"spawn to first text: bare {middle(bare):.0f} ms, app {middle(ours):.0f} ms, ")
    print(f"  ratio {ratio:.2f} (goal 1.3)")


def keys(folder: Path) -> None:
    """From a key to its echo, and from Enter to the numbers."""
    bare = Terminal("-c", BARE)
    bare.until(lambda screen: "are screen" in screen)
    bare.rest(1.0)
    bare_times = [pressed(bare, "x", partial(_shows, "x" * (n + 1))) for n in range(KEYS)]
    bare_memory = bare.memory()
    bare.close()
    app = Terminal("-m", "wizard", str(folder / PROFILE.name))
    app.until(lambda screen: "Step " in screen)
    app.rest(3.0)
    app.process.send("\x06")  # go to a step: Weighing
    app.until(lambda screen: "Go to a step" in screen)
    app.process.send("\x1b[H\x1b[B\x1b[B\x1b[B\r")
    app.until(lambda screen: "Weighing ·" in screen)
    app.rest(2.0)
    app.process.send("\x15")
    app.rest(0.5)
    echoes, numbers = [], []
    for n in range(KEYS // 4):
        text = f"2{n % 10}.{n % 7}1 g"
        for at in range(len(text)):
            echoes.append(pressed(app, text[at], partial(_shows, f"[{text[: at + 1]} ")))
        app.rest(0.3)
        numbers.append(pressed(app, "\r", partial(_moved, volume(app))))
        app.rest(0.3)
        app.process.send("\x1b[A\x15")
        app.rest(0.5)
    print(f"key to echo: bare {middle(bare_times):.1f} ms, p95 {late(bare_times):.1f}; ")
    print(f"  app {middle(echoes):.1f} ms, p95 {late(echoes):.1f} (goal p95 30)")
    print(f"Enter to numbers: {middle(numbers):.1f} ms, p95 {late(numbers):.1f} (goal 50)")
    print(f"memory: bare {bare_memory:.0f} MB, app {app.memory():.0f} MB, ")
    print(f"  ratio {app.memory() / bare_memory:.2f} (goal 1.6)")
    idle(app)
    app.close()


def idle(app: Terminal) -> None:
    """What an app that nobody touches does."""
    app.rest(1.0)
    used, received = app.used(), app.received
    app.rest(IDLE)
    share = 100 * (app.used() - used) / IDLE
    print(f"idle for {IDLE:.0f} s: {share:.2f} % of a processor, {app.received - received} bytes")


def pressed(terminal: Terminal, key: str, wanted: Callable[[str], bool]) -> float:
    """Seconds from a key press until the screen is as wanted."""
    start = time.perf_counter()
    terminal.process.send(key)
    return terminal.until(wanted) - start


def _shows(text: str, screen: str) -> bool:
    return text in screen


def _moved(before: str, screen: str) -> bool:
    return volume_in(screen) not in ("", before)


def volume_in(screen: str) -> str:
    """The body's volume as it stands on a screen."""
    line = next((x for x in screen.split("\n") if "volume of the bare body" in x), "")
    return line.split("body")[-1].split("was")[0].strip()


def volume(app: Terminal) -> str:
    """The body's volume as it stands now."""
    return volume_in("\n".join(app._screen.display))


def main() -> None:
    """Measure and print."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        shutil.copy(PROFILE, folder)
        first_paint(folder)
        keys(folder)


if __name__ == "__main__":
    main()
