"""Makers for test_app_survival.py, killed at their work again and again: a program of its own.

It loads the program once and forks a window for each life, which a test runner with
threads may not. Reports as JSON.
"""

from __future__ import annotations

import json
import os
import random
import re
import signal
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from tests.process.windows import PATIENCE, Window
from wizard.plug.paths import get, parse
from wizard.store.history import Draft, read_draft
from wizard.store.opening import open_profile

START = """format = 1
[build]
name = "Pier herring"
step = "shape"
[aim]
behaviour = "floats"
"""
FIELDS = {
    "Length of the body": "shape.length",
    "Height of the body": "shape.height",
    "Thickness of the body": "shape.thickness",
}
"""Labels of the fields that a maker answers here, and where the answers stand."""

SPANS = {"shape.length": (800, 1200), "shape.height": (200, 300), "shape.thickness": (120, 190)}
"""Tenths of a millimetre from which answers are drawn: always possible, whatever the others."""

ENTER, UP = "\r", "\x1b[A"
WAYS = {"shape.length": (ENTER,), "shape.height": (ENTER, UP), "shape.thickness": (UP,)}
"""How a maker leaves a field, so as to stay within these; either way takes the answer."""

_ROW = re.compile(r"^[> ] (.+?) +\[(.*?) *\] *(.*)$")


@dataclass
class Field:
    """One field over all lives.

    Attributes:
        entered: answers in the order in which they were given; the first was in the file.
        confirmed: place of the last one that the screen showed as taken and saved.
        typed: what was begun since the last life began, and what stood there then.
        drafted: what must come back, having been kept as a draft.
    """

    entered: list[str] = field(default_factory=lambda: [""])
    confirmed: int = 0
    typed: list[str] = field(default_factory=list)
    drafted: str = ""


@dataclass
class Maker:
    """What a maker did, saw and may rely on."""

    path: Path
    chance: random.Random
    fields: dict[str, Field] = field(default_factory=lambda: {key: Field() for key in SPANS})
    confirmed: int = 0
    drafts: int = 0
    ahead: int = 0
    leisure: float = 1.0

    def moment(self, longest: float) -> float:
        """When the next kill comes [s from now]."""
        return self.chance.uniform(0.0, longest) * self.leisure

    def answer(self, key: str) -> str:
        """Another possible answer, never one given before."""
        used = self.fields[key].entered
        while (text := f"{self.chance.randint(*SPANS[key]) / 10} mm") in used:
            pass
        return text

    def enter(self, key: str, text: str) -> None:
        """A field was left with this answer in it."""
        self.fields[key].entered.append(text)

    def saw(self, key: str, text: str) -> None:
        """The program said that this answer is taken and saved."""
        seen = self.fields[key]
        place = seen.entered.index(text)
        self.confirmed += place > seen.confirmed
        seen.confirmed = max(seen.confirmed, place)

    def compare(self) -> None:
        """Hold the disk to what was seen; what it holds is what the next life begins with."""
        build = open_profile(self.path).build
        for key, seen in self.fields.items():
            answer = get(build, parse(key))
            held = answer.text if answer is not None else ""
            lost = f"{key}: the file has “{held}”, confirmed was “{seen.entered[seen.confirmed]}”"
            assert held in seen.entered, lost
            place = seen.entered.index(held)
            assert place >= seen.confirmed, lost
            self.ahead += place > seen.confirmed
            seen.entered, seen.confirmed = [held], 0


def row(line: str) -> tuple[str, str, str] | None:
    """Label, contents and state of a field's line on the screen."""
    match = _ROW.match(line)
    return (match[1], match[2], match[3]) if match else None


def look(window: Window, maker: Maker) -> None:
    """Take note of what the screen calls saved: all its “ok” fields, under “saved” on top."""
    if not (window.is_whole and re.search(r" (saved \d\d:\d\d|all saved)$", window.lines[0])):
        return
    for found in filter(None, map(row, window.lines)):
        key = FIELDS.get(found[0])
        if key and found[2].startswith("ok") and found[1].endswith(" mm"):
            maker.saw(key, found[1])


def screen_life(window: Window, maker: Maker) -> None:
    """One life at the screen: type answers without waiting, until killed."""
    window.until(lambda: is_ready(window))
    restored(window, maker)
    end = time.monotonic() + maker.moment(0.7)
    draws_out = maker.chance.random() < 0.15  # half an answer, long enough for a draft
    while time.monotonic() < end:
        here = pointed(window)
        found = row(here)
        key = FIELDS.get(found[0]) if found else None
        if key is None:
            window.send("\x1b[B")  # down, to the fields
        else:
            text = maker.answer(key)
            half = maker.chance.randint(1, 4)
            window.send("\x01\x0b" + text[:half])  # to the beginning, cut to the end
            maker.fields[key].typed.append(text)
            if draws_out:
                drafted(window, maker, key, text[:half])
                return
            _watch(window, maker, min(end, time.monotonic() + maker.chance.uniform(0.0, 0.1)))
            window.send(text[half:] + maker.chance.choice(WAYS[key]))
            maker.enter(key, text)
        while time.monotonic() < end and label(pointed(window)) in ("", label(here)):
            window.pump(min(0.05, end - time.monotonic()))
            look(window, maker)


def is_ready(window: Window) -> bool:
    """Whether the fields are there and one row has the focus."""
    shown = {found[0] for found in map(row, window.lines) if found}
    return set(FIELDS) <= shown and bool(pointed(window))


def pointed(window: Window) -> str:
    """The line that the focus is in; empty while a frame is half painted."""
    lines = window.lines if window.is_whole else []
    return next((line for line in lines if line.startswith("> ")), "")


def label(line: str) -> str:
    """What stands before the brackets of a line."""
    return line.split("[")[0]


def _watch(window: Window, maker: Maker, until: float) -> None:
    while (left := until - time.monotonic()) > 0:
        window.pump(left)
        look(window, maker)


def drafted(window: Window, maker: Maker, key: str, half: str) -> None:
    """Wait until half an answer is kept as a draft; it is due within two seconds."""
    start, wanted = time.monotonic(), Draft(key, half, maker.fields[key].entered[-1])
    while (draft := read_draft(maker.path)) != wanted:
        window.pump(0.02)
        look(window, maker)
        assert time.monotonic() - start < PATIENCE, f"{draft} is not {wanted}\n{window.text}"
    maker.fields[key].drafted = half


def restored(window: Window, maker: Maker) -> None:
    """What was being typed stands there again, marked; a draft that was kept in full."""
    shown = {FIELDS.get(f[0]): f for f in filter(None, map(row, window.lines))}
    for key, seen in maker.fields.items():
        _, text, state = shown[key]
        drafted, seen.drafted = seen.drafted, ""
        assert not drafted or text == drafted, f"{key}: not {drafted!r}\n{window.text}"
        maker.drafts += bool(drafted)
        if text != seen.entered[0]:
            assert any(begun.startswith(text) for begun in seen.typed), window.text
            assert state.startswith("draft"), window.text
        seen.typed = [text]


def plain_life(window: Window, maker: Maker) -> None:
    """One life line by line: answer what is asked until killed; “ok.” is the confirmation."""
    window.until(lambda: b"Step 3 of 10" in window.raw)
    end = time.monotonic() + maker.moment(0.35)
    at = 0
    while time.monotonic() < end:
        tail = bytes(window.raw[at:])
        if not tail.rstrip(b" ").endswith(b":"):  # not asked yet
            _listen(window, maker, end)
            continue
        asked = tail.decode().rsplit("\n", 1)[-1].split(" [")[0].rstrip(": ")
        at = len(window.raw)
        if asked in FIELDS:
            text = maker.answer(FIELDS[asked])
            window.send(f"{text}\n")
            maker.enter(FIELDS[asked], text)
        else:
            window.send("/step 3\n" if "/step" in asked else "/next\n")
        _listen(window, maker, end)


def _listen(window: Window, maker: Maker, until: float) -> None:
    window.pump(until - time.monotonic())
    heard(window, maker)


def heard(window: Window, maker: Maker) -> None:
    """Take note of every “ok.” that has arrived whole."""
    said = window.raw.decode("utf-8", "replace")
    for called, text in re.findall(r"ok\. (.+?): (\S+ mm)[ \r].*\n", said):
        if called in FIELDS:
            maker.saw(FIELDS[called], text)


def killed(folder: Path, times: int, seed: int, plain: bool) -> dict[str, int]:
    """Kill makers at random moments; after each kill hold the disk to what they saw.

    Goes on until a quarter as many answers as kills were confirmed: on a machine that is too
    slow for that, the same again with lives twice as long, and once more.
    """
    from wizard.__main__ import main

    _load(plain)
    maker = Maker(folder / "plug.toml", random.Random(seed))
    maker.path.write_text(START)
    arguments = ["--plain"] * plain + ["--folder", str(folder), str(maker.path)]
    for life in range(3 * times):
        maker.leisure = 2.0 ** (life // times)
        if life >= times and maker.confirmed >= times // 4:
            break
        with Window(lambda: sys.exit(main(arguments))) as window:
            (plain_life if plain else screen_life)(window, maker)
            window.signal(signal.SIGKILL)
            window.wait()
            assert window.status == signal.SIGKILL, f"it ended by itself\n{window.text}"
            (heard if plain else look)(window, maker)
        maker.compare()
    return {"confirmed": maker.confirmed, "drafts": maker.drafts, "ahead": maker.ahead}


def _load(plain: bool) -> None:
    """Load what each life would load, once."""
    import wizard.plug.derive
    import wizard.session.opening

    if plain:
        import wizard.plain.walk
    else:
        import wizard.app.screens.step
        import wizard.app.start  # noqa: F401


if __name__ == "__main__":
    os.environ |= {"TERM": "xterm-256color", "LC_ALL": "C.UTF-8"}
    act: Callable[..., dict[str, int]] = killed
    place, number, seed = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    sys.stdout.write(json.dumps(act(place, number, seed, sys.argv[4:] == ["plain"])) + "\n")
