"""How the app feels beside a bare Textual app in the same run, on real terminals.

Run by hand, on a machine that does nothing else:

    python tests/bench/bench_app.py

With `--quick` it is run a few times only, to see that it still runs. Nothing is asserted:
each figure stands beside its goal. Both apps run on a pty of 80 by 24, so it needs Linux.
Keys go to the two in turns, so that what slows one slows the other.
"""

from __future__ import annotations

import compileall
import os
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pexpect
import pyte

from wizard.apart import elsewhere

ROOT = Path(__file__).parents[2]
PROFILE = ROOT / "profiles" / "harbour-dart.toml"
"""Drawn, and as heavy as is typed here it floats: then most is worked out."""
IS_QUICK = "--quick" in sys.argv
STARTS, ANSWERS, STEPS, IDLE = (2, 3, 2, 1.0) if IS_QUICK else (7, 24, 12, 12.0)
REST = 0.25
"""Seconds without a byte after which a screen has come to rest."""

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
RUNNING = """

[[operation]]
name = "epoxy topcoat"
kind = "clear"
coat = 3
started = {started}
"""


class Terminal:
    """A pty with a program in it."""

    def __init__(self, *arguments: str) -> None:
        colours = {"TERM": "xterm-256color", "COLORTERM": "truecolor", "LC_ALL": "C.UTF-8"}
        self._screen: Any = pyte.Screen(80, 24)
        self._stream: Any = pyte.ByteStream(self._screen)
        self.received = 0
        self.born = time.perf_counter()
        self.process: Any = pexpect.spawn(
            sys.executable,
            list(arguments),
            env={**os.environ, **colours},
            dimensions=(24, 80),
            cwd=str(ROOT),
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

    @property
    def text(self) -> str:
        """What stands on the screen."""
        return "\n".join(self._screen.display)

    def until(self, wanted: Callable[[str], bool], patience: float = 20.0) -> float:
        """When the screen was as wanted, in seconds of the clock."""
        deadline = time.perf_counter() + patience
        while (at := time.perf_counter()) < deadline:
            data = self.read(0.01)
            at = time.perf_counter()
            self._stream.feed(data)
            if data and wanted(self.text):
                return at
        raise TimeoutError(f"the screen never came to what was waited for:\n{self.text}")

    def first(self, text: bytes) -> float:
        """Seconds from the spawn until a text came."""
        seen = b""
        while text not in seen:
            seen += self.read(20.0)
        return time.perf_counter() - self.born

    def rest(self, quiet: float = REST) -> float:
        """Wait until nothing came for a while; when the last of it came."""
        last = time.perf_counter()
        while data := self.read(quiet):
            last = time.perf_counter()
            self._stream.feed(data)
        return last

    def settled(self, part: Callable[[str], str]) -> float:
        """Wait until nothing comes for a while; since when a part of the screen stood as it is."""
        shown, since = part(self.text), time.perf_counter()
        while data := self.read(REST):
            at = time.perf_counter()
            self._stream.feed(data)
            if (now := part(self.text)) != shown:
                shown, since = now, at
        return since

    def press(self, keys: str) -> None:
        """Press keys, and let all that follows be done."""
        self.process.send(keys)
        self.rest()

    def used(self) -> float:
        """Processor seconds of all its threads so far."""
        tasks = Path(f"/proc/{self.process.pid}/task").glob("*/schedstat")
        return sum(int(task.read_text().split()[0]) for task in tasks) / 1e9

    def memory(self) -> tuple[float, float]:
        """Resident memory, and that with what is shared divided among its users [MB]."""
        return resident(self.process.pid)

    def apart(self) -> list[int]:
        """The processes that it has started."""
        tasks = Path(f"/proc/{self.process.pid}/task").glob("*/children")
        return [int(child) for task in tasks for child in task.read_text().split()]


def resident(process: int) -> tuple[float, float]:
    """Resident memory, and that with what is shared divided among its users [MB]."""
    rollup = Path(f"/proc/{process}/smaps_rollup").read_text()
    return tuple(  # type: ignore[return-value]
        int(rollup.split(f"\n{which}:")[1].split()[0]) / 1024 for which in ("Rss", "Pss")
    )


@contextmanager
def opened(*arguments: str) -> Iterator[Terminal]:
    """A program on a terminal, ended at the end."""
    terminal = Terminal(*arguments)
    try:
        yield terminal
    finally:
        terminal.process.close(force=True)


def ours(*arguments: object) -> tuple[str, ...]:
    """The arguments of the app."""
    return ("-m", "wizard", *map(str, arguments))


def late(times: list[float]) -> float:
    """The 95th percentile of the times, in their own unit."""
    return statistics.quantiles(times, n=20, method="inclusive")[-1]


def told(what: str, figure: str, goal: str, is_met: bool | None = None) -> None:
    """Print a figure beside its goal."""
    met = {True: "met", False: "NOT met", None: ""}[is_met]
    print(f"{what:<34} {figure:<44} {goal:<22} {met}", flush=True)


def spread(times: list[float]) -> str:
    """Middle and late of some times."""
    return f"{1e3 * statistics.median(times):.0f} ms, p95 {1e3 * late(times):.0f}"


def first_text(folder: Path) -> None:
    """From spawn to the first text."""
    times: dict[str, list[float]] = {"bare": [], "app": []}
    for _ in range(STARTS):
        with opened("-c", BARE) as bare:
            times["bare"].append(bare.first(b"are screen"))
        with opened(*ours("--folder", folder)) as app:
            times["app"].append(app.first(b"Plugwright"))
    middle = {name: statistics.median(found) for name, found in times.items()}
    ratio = middle["app"] / middle["bare"]
    figure = f"{ratio:.2f} ({1e3 * middle['app']:.0f} to {1e3 * middle['bare']:.0f} ms)"
    told("spawn to first text, to bare", figure, "1.3 at most", ratio <= 1.3)


def volume(screen: str) -> str:
    """The body's volume as it stands on a screen."""
    line = next((x for x in screen.split("\n") if "volume of the bare body" in x), "")
    return line.split("body")[-1].split("was")[0].strip()


def panel(screen: str) -> str:
    """All numbers of the step, from their heading down."""
    return screen[screen.find("Numbers") :]


def go_to(app: Terminal, step: int, title: str) -> float:
    """Go to a step by the list of steps; how long it took from the last key."""
    app.press("\x06")
    app.press("\x1b[H" + "\x1b[B" * step)
    start = time.perf_counter()
    app.process.send("\r")
    came = app.until(lambda screen: title in screen.split("\n")[0])
    app.rest()
    while "Cautions:" in app.text:  # shown once, at the first visit
        app.press("\r")
    return came - start


def answers(bare: Terminal, app: Terminal) -> None:
    """From a key to its echo, and from Enter to the numbers."""
    go_to(app, 3, "Weighing")
    app.rest()
    app.press("\x15")
    echoes: dict[str, list[float]] = {"bare": [], "app": []}
    first: list[float] = []
    every: list[float] = []
    key_bytes: list[int] = []
    typed = ""
    for n in range(ANSWERS):
        text = f"2{n % 10}.{n % 7}1 g"
        for at, sign in enumerate(text):
            typed += "x"
            echoes["bare"].append(_echo(bare, "x", typed[-30:]))
            before = app.received
            echoes["app"].append(_echo(app, sign, f"[{text[: at + 1]} "))
            app.rest(0.05)
            key_bytes.append(app.received - before)
        app.rest()
        was, start = volume(app.text), time.perf_counter()
        app.process.send("\r")
        first.append(app.until(lambda screen, was=was: volume(screen) not in ("", was)) - start)  # type: ignore[misc]
        every.append(app.settled(panel) - start)
        app.press("\x1b[A\x15")
    for name, times in echoes.items():
        goal = (late(times) <= 0.03) if name == "app" else None
        told(f"key to echo, {name}", spread(times), "p95 30 ms" * (name == "app"), goal)
    told("Enter to the first numbers", spread(first), "50 ms", late(first) <= 0.05)
    told("Enter to all numbers", spread(every), "50 ms", late(every) <= 0.05)
    told("bytes for a key", f"{statistics.median(key_bytes):.0f}", "2000", max(key_bytes) <= 2000)


def _echo(terminal: Terminal, key: str, shown: str) -> float:
    start = time.perf_counter()
    terminal.process.send(key)
    return terminal.until(lambda screen: shown in screen) - start


def steps(app: Terminal) -> None:
    """From one step to another."""
    times, sizes = [], []
    go_to(app, 0, "Plan")
    for n in range(STEPS):
        before = app.received
        times.append(go_to(app, *((3, "Weighing"), (0, "Plan"))[n % 2]))
        sizes.append(app.received - before)
    told("another step", spread(times), "100 ms", late(times) <= 0.1)
    told("bytes for it, list of steps too", f"{statistics.median(sizes):.0f}", "")


def memory(bare: Terminal, home: Terminal, app: Terminal) -> None:
    """Memory at rest: at the list of builds, and at a step of a drawn body with all numbers."""
    for place, terminal in (("the builds", home), ("a step", app)):
        (rss, pss), (bare_rss, bare_pss) = terminal.memory(), bare.memory()
        figure = f"{rss / bare_rss:.2f} ({rss:.0f} to {bare_rss:.0f} MB), PSS {pss / bare_pss:.2f}"
        told(f"memory at {place}, to bare", figure, "1.6 at most", rss <= 1.6 * bare_rss)
    apart = app.apart()
    for child in apart:
        told("and the process of its numbers", f"{resident(child)[0]:.0f} MB more", "")


def let_go(app: Terminal) -> None:
    """Whether the process of the numbers goes when nothing is answered any more."""
    began, there = time.perf_counter(), app.apart()
    while app.apart() and time.perf_counter() - began < 2 * elsewhere.REST:
        app.rest(0.5)
    left = "gone" if not app.apart() else "still there"
    after = f"{time.perf_counter() - began:.0f} s later"
    told("which rests with the maker", f"{len(there)} there, {left} {after}", "", not app.apart())


def with_timer(folder: Path) -> Path:
    """A copy of the build with a coat that was put on ten minutes ago."""
    path = folder / "running.toml"
    began = datetime.now().astimezone().replace(microsecond=0) - timedelta(minutes=10)
    path.write_text(PROFILE.read_text() + RUNNING.format(started=began))
    return path


def main() -> None:
    """Measure and print."""
    compileall.compile_dir(ROOT / "wizard", quiet=1)  # as installing does, whatever is set here
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        build = folder / PROFILE.name
        shutil.copy(PROFILE, build)
        first_text(folder)
        with (
            opened("-c", BARE) as bare,
            opened(*ours("--folder", folder)) as home,
            opened(*ours(with_timer(folder))) as running,
            opened(*ours(build)) as app,
        ):
            running.until(lambda screen: "Step " in screen)
            running.rest(1.0)
            running.press("\x1b[24~")  # the page of the coats, which counts down
            idlers = {"with a timer running": running, "at the list of builds": home}
            for terminal in (bare, home, app):
                terminal.rest(0.5)
            began = time.perf_counter()
            used = {name: (t.used(), t.received) for name, t in idlers.items()}
            answers(bare, app)
            steps(app)
            memory(bare, home, app)
            if not IS_QUICK:
                let_go(app)
            time.sleep(max(IDLE - (time.perf_counter() - began), 0.0))
            for name, terminal in idlers.items():
                terminal.rest(0.05)
                lasted, (before, bytes_before) = time.perf_counter() - began, used[name]
                share = 100 * (terminal.used() - before) / lasted
                figure = (
                    f"{share:.2f} % in {lasted:.0f} s, {terminal.received - bytes_before} bytes"
                )
                told(f"idle {name}", figure, "1 % of a processor", share < 1.0)


if __name__ == "__main__":
    main()
