"""The app in a browser: who is let in, what is sent, and that every window ends saved."""

from __future__ import annotations

import asyncio
import os
import re
import signal
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import AsyncExitStack
from pathlib import Path
from typing import Any

import aiohttp
import html5lib
import numpy as np
import pytest
import zxingcpp

from tests.demos import BEGUN
from tests.process.hostile_texts import TEXTS, evil_build
from tests.process.served import MARK, PATIENCE, Served, serving, tablet
from tests.process.test_hostile_terminal import leaks
from tests.process.test_network import RUN, told
from wizard.store.locks import Lock, hold
from wizard.store.opening import open_profile
from wizard.store.profile import write

ROOT = Path(__file__).parents[2]
NONSENSE = (
    "", "[", "{}", "null", '["stdin"]', '["stdin", 7]', '["anything", {}]', "[" * 100_000,
    '["resize", {"width": -1, "height": 1e9}]', '["resize", {"width": 99999, "height": 0}]',
)  # fmt: skip
PLACES = ("/", "/parts/terminal.js", "/parts/letters.ttf", "/download/any", "/anything")


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    folder = tmp_path_factory.mktemp("builds")
    (folder / "plug.toml").write_text(BEGUN)
    with serving(folder) as made:
        yield made


@pytest.fixture
def plug(tmp_path: Path) -> Path:
    path = tmp_path / "builds" / "plug.toml"
    path.parent.mkdir()
    path.write_text(BEGUN)
    return path


async def status(address: str, **asked: Any) -> int:
    async with aiohttp.ClientSession() as client, client.get(address, **asked) as answer:
        return answer.status


def socket_words(served: Served, **changed: str | None) -> dict[str, str]:
    """The headers with which a browser opens the socket of a window (RFC 6455, 4.1)."""
    words: dict[str, str | None] = {
        "Connection": "Upgrade",
        "Upgrade": "websocket",
        "Sec-WebSocket-Version": "13",
        "Sec-WebSocket-Key": "dGhlIHNhbXBsZSBub25jZQ==",
        "Origin": served.root,
        **changed,
    }
    return {name: word for name, word in words.items() if word is not None}


async def test_nothing_without_the_token(served: Served) -> None:
    for place in PLACES:
        address = served.root + place
        assert await status(address) == 403
        assert await status(f"{address}?token=") == 403
        assert await status(f"{address}?token={served.token[:-1]}") == 403
        assert await status(f"{address}?token=%FF\u00e9") == 403
        there = 200 if place in PLACES[:3] else 404
        assert await status(f"{address}?token={served.token}") == there
    window = f"{served.root}/windows/{MARK}"
    assert await status(window, headers=socket_words(served)) == 403
    assert await status(window + "?token=x", headers=socket_words(served)) == 403


async def test_a_cookie_keeps_the_token_where_no_script_and_no_other_page_has_it(
    served: Served,
) -> None:
    jar = aiohttp.CookieJar(unsafe=True)  # cookies of an address without a name
    async with aiohttp.ClientSession(cookie_jar=jar) as client:
        async with client.get(served.address) as answer:
            sent = answer.headers.getall("Set-Cookie")
        assert [re.sub("=.*?;", "=;", cookie, count=1) for cookie in sent] == [
            f"plugwright-{served.host.split(':')[1]}=; HttpOnly; Path=/; SameSite=Strict"
        ]
        async with client.get(served.root + "/parts/page.js") as answer:
            assert answer.status == 200
        async with client.get(served.root + "/?token=wrong") as answer:
            assert answer.status == 403
        jar.update_cookies({f"plugwright-{served.host.split(':')[1]}": "wrong"})
    assert served.token not in served.address.split("token=")[0]


async def test_a_name_that_was_made_to_point_here_is_refused(served: Served) -> None:
    port = served.host.split(":")[1]
    for host, there in (
        (served.host, 200),
        (f"localhost:{port}", 200),
        (f"LocalHost:{port}", 200),
        (f"rebound.example:{port}", 403),
        (f"127.0.0.1.rebound.example:{port}", 403),
        ("127.0.0.1", 403),
        ("127.0.0.1:1", 403),
        (f"[::1]:{port}", 403),
        ("", 403),
    ):
        assert await status(served.address, headers={"Host": host}) == there, host


async def test_another_page_opens_no_window(served: Served) -> None:
    window = f"{served.root}/windows/{MARK}?token={served.token}"
    port = served.host.split(":")[1]
    for origin in (
        None,
        "null",
        "http://other.example",
        f"https://{served.host}",
        f"http://localhost:{port}",  # a page of ours, but not the one that it asks
        "http://127.0.0.1:1",
        f"http://127.0.0.1:{port}.other.example",
    ):
        assert await status(window, headers=socket_words(served, Origin=origin)) == 403, origin
    assert await status(served.address, headers={"Origin": "http://other.example"}) == 403
    assert await status(served.root + "/windows/../x?token=" + served.token) == 404
    assert await status(window.replace(MARK, "short"), headers=socket_words(served)) == 404


async def test_the_page_loads_nothing_from_elsewhere(served: Served) -> None:
    async with aiohttp.ClientSession() as client:

        async def got(place: str) -> tuple[Any, str]:
            asked = f"{served.root}{place}?token={served.token}"
            async with client.get(asked) as answer:
                assert answer.status == 200
                return answer.headers, await answer.text("utf-8", "replace")

        headers, page = await got("/")
        tree = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(page)
        named = [e.get(key) for e in tree.iter() for key in ("href", "src") if e.get(key)]
        assert named
        assert all(place.startswith("/parts/") for place in named)
        assert not [e for e in tree.iter("script") if not e.get("src")]
        loaded = {place: (await got(place))[1] for place in named}
    for place, text in loaded.items():
        if place.endswith(".css"):
            assert "@import" not in text
            assert [u for u in re.findall(r"url\(([^)]*)", text) if "/parts/" not in u] == []
    rules = dict(
        rule.strip().partition(" ")[::2] for rule in headers["Content-Security-Policy"].split(";")
    )
    assert rules["default-src"] == "'none'"
    assert rules["script-src"] == "'self'"
    assert rules["connect-src"] == f"'self' ws://{served.host}"
    assert rules["frame-ancestors"] == "'none'"
    assert {word for rule in rules.values() for word in rule.split()} == {
        "'none'", "'self'", "'unsafe-inline'", f"ws://{served.host}",
    }  # fmt: skip
    assert "'unsafe-inline'" in rules["style-src"]
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cache-Control"] == "no-store"
    assert headers["X-Content-Type-Options"] == "nosniff"


async def until(holds: Callable[[], bool]) -> None:
    async with asyncio.timeout(PATIENCE):
        while not holds():
            await asyncio.sleep(0.02)


def hold_at_once(path: Path) -> bool:
    """Whether nobody has a build."""
    lock = hold(path)
    if isinstance(lock, Lock):
        lock.release()
        return True
    return False


async def begin(window: Any, mass: str = "") -> None:
    """Go on with the build, and answer what it stands at."""
    await window.until("Pier herring")
    await window.type("\r")
    await window.until("> Mass of the bare body")
    if mass:
        await window.type(f"{mass}\r")
        await window.until(f"[{mass} g ")


async def test_loaded_again_it_goes_on_at_the_place(plug: Path) -> None:
    with serving(plug.parent) as served:
        async with tablet(served) as before:
            await begin(before, "13.62")
            assert not hold_at_once(plug)
            # The tablet slept: its connection is still there when it opens the page again.
            async with tablet(served) as window:
                assert await before.closed() == 4002
                await window.until("Pier herring")
                await window.type("\r")
                await window.until("> Smallest step of the scale")
                assert "[13.62 g " in window.text
                assert "Read only" not in window.text
                await window.type("0.02")  # “0.01 g” stands in the hint
                await window.until("[0.02 ")
        # Closed with a number half typed: the build comes free, and the next one has it.
        await until(lambda: hold_at_once(plug))
        async with tablet(served, MARK[::-1]) as window:
            await window.until("Pier herring")
            await window.type("\r")
            await window.until("[0.02 ")
            assert "Read only" not in window.text
            await window.type("\x11")
            assert await window.closed() == 1000
        assert hold_at_once(plug)
        assert served.ended(signal.SIGINT) == 0
    assert "Every answer is saved" in served.said
    assert "Traceback" not in served.said


async def test_a_few_windows_and_no_more(served: Served) -> None:
    async with AsyncExitStack() as stack:
        marks = [f"{number:032x}" for number in range(5)]
        for mark in marks[:4]:
            window = await stack.enter_async_context(tablet(served, mark))
            await window.until("> 1 Resume")
        fifth = await stack.enter_async_context(tablet(served, marks[4]))
        assert await fifth.closed() == 4001
        await window.type("\x11")
        assert await window.closed() == 1000
        again = await stack.enter_async_context(tablet(served, marks[4]))
        await again.until("> 1 Resume")
        await again.click("F1 Help")
        await again.until("Esc Close")
        await again.type("\x1b")
        await again.until("> 1 Resume")
        for nonsense in NONSENSE:
            await again.socket.send_str(nonsense)
        await again.socket.send_json(["resize", {"width": 80, "height": 24}])
        await again.type("\ud800")  # half of a sign
        await again.until("find: ?")
        await again.type("\x11")
        assert await again.closed() == 1000


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGKILL])
async def test_however_the_server_ends_the_windows_end_saved(plug: Path, number: int) -> None:
    with serving(plug.parent) as served:
        async with tablet(served) as window:
            await begin(window, "13.62")
            await window.type("0.0")
            await window.until("[0.0 ")
            expected = {signal.SIGTERM: 143, signal.SIGKILL: -9}
            assert served.ended(number) == expected[signal.Signals(number)]
            if number == signal.SIGKILL:  # the app hears of it by its pipe
                await until(lambda: hold_at_once(plug))
            else:
                assert hold_at_once(plug)
                assert await window.closed() == 1001
    assert 'mass = "13.62 g"' in plug.read_text()


async def test_what_is_hostile_stays_text(tmp_path: Path) -> None:
    build, _ = evil_build(open_profile(ROOT / "profiles" / "harbour-dart.toml").build, 3)
    names = [text for text in TEXTS.values() if 0 < len(text) < 60]
    for number, name in enumerate(names[::2]):
        if "/" not in name and "\0" not in name:
            (tmp_path / f"{name}.toml").write_bytes(write(evil_build(build, number)[0]))
    with serving(tmp_path, NO_COLOR="1") as served:
        async with tablet(served) as window:
            await window.until("> 1 Resume")
            await window.type("\x1b[B" * 40)
            await window.until("Quit")
            await window.type("\x1b[A" * 40 + "\r")
            await window.until(lambda: re.search("Step .* of|Cautions", window.text))
            await window.type("\x11")
            await window.closed()
    raw = bytes(window.raw)
    assert leaks(raw) == []
    colours = re.findall(rb"\x1b\[([0-9;]*)m", raw)
    assert colours
    assert {n for code in colours for n in code.split(b";")} <= {b"", b"0", b"1", b"4", b"7"}


def test_it_listens_on_this_computer_alone_and_calls_nobody(tmp_path: Path) -> None:
    log = tmp_path / "log"
    start = RUN.replace("sys.argv.pop(1)", repr(str(log)))
    with serving(tmp_path / "builds", start=start) as served:
        served.ended(signal.SIGTERM)
    found = told(log)
    assert [args for event, args in found if event == "socket.bind"] == [["('127.0.0.1', 0)"]]
    unix = str(int(socket.AF_UNIX))
    assert {event for event, args in found if args[:1] != [unix]} <= {
        "socket.__new__", "socket.bind", "socket.getaddrinfo",
    }  # fmt: skip
    assert [a[0] for event, a in found if event == "socket.getaddrinfo"] in ([], ["127.0.0.1"])


def read_by_a_camera(said: str) -> str:
    """What the square code in a dark terminal holds, by another program's reading."""
    halves = {"█": (255, 255), "▀": (255, 0), "▄": (0, 255), " ": (0, 0)}
    drawn = [line for line in said.split("\n") if line.startswith("█")]
    rows = [[halves[sign][half] for sign in line] for line in drawn for half in (0, 1)]
    picture = np.repeat(np.repeat(np.array(rows, np.uint8), 4, axis=0), 4, axis=1)
    (found,) = zxingcpp.read_barcodes(picture)
    return str(found.text)


async def test_elsewhere_only_by_name_and_with_a_warning(tmp_path: Path) -> None:
    with serving(tmp_path / "builds", "--host", "0.0.0.0") as served:
        words = " ".join(served.said.split())
        assert "nothing is encrypted" in words
        assert "Whoever is in the same network can reach this address" in words
        assert await status(served.address) == 200
        port = served.host.split(":")[1]
        assert read_by_a_camera(served.said) == served.address
        local = f"http://127.0.0.1:{port}/?token={served.token}"
        assert await status(local) == 200
        assert await status(local, headers={"Host": f"other.example:{port}"}) == 403


def test_what_is_printed_says_what_it_does_and_how_to_end_it(served: Served) -> None:
    assert served.root.startswith("http://127.0.0.1:")
    assert "nothing is encrypted" not in served.said
    assert "Whoever has it works on your builds in" in served.said
    assert "until you end this with Ctrl+C" in served.said
    # 128 bits take 22 signs of base64 (RFC 4648).
    assert len(served.token) >= 22


def refusal(*arguments: str, start: str = "") -> str:
    run = ["-c", start] if start else ["-m", "wizard"]
    done = subprocess.run(
        [sys.executable, *run, "serve", *arguments],
        capture_output=True, text=True, check=False, timeout=PATIENCE, env=dict(os.environ),
    )  # fmt: skip
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    return done.stderr


def test_what_cannot_be_served_is_said_in_one_line(served: Served) -> None:
    port = served.host.split(":")[1]
    assert f"can't listen at 127.0.0.1, port {port}" in refusal("--port", port)
    assert "192.0.2.1" in refusal("--host", "192.0.2.1")  # RFC 5737: nobody's address
    assert "--port 70000 is impossible; expected" in refusal("--port", "70000")
    assert "--host is empty; expected" in refusal("--host", "")
    start = (
        "import sys; sys.modules[{!r}] = None\n"
        "from wizard.__main__ import main\nsys.exit(main(sys.argv[1:]))"
    )
    said = refusal(start=start.format("aiohttp"))
    assert "(aiohttp)" in said
    assert "pip install '.[serve]'" in said


def test_help_begins_where_a_maker_does() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "wizard", "serve", "--help"],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert "plugwright serve --host 192.168.1.20" in done.stdout
    assert "this computer alone, unless you name another" in " ".join(done.stdout.split())
