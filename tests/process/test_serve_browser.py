"""The app in a real browser: typed into, loaded again, gone on with."""

from __future__ import annotations

import os
import signal
from pathlib import Path

import pytest

from tests.process.chromium import Page, browsing, found
from tests.process.served import serving
from wizard.store.opening import open_profile

MUST = "PLUGWRIGHT_BROWSER_THERE"
"""Set where the browser was installed for the tests: then they must find it."""
START = """format = 1
[build]
name = "Pier herring https://other.example/<b>"
step = "weighing"
[aim]
behaviour = "floats"
[shape]
length = "95 mm"
"""


@pytest.fixture
def browser() -> str:
    program = found()
    if program is None:
        assert not os.environ.get(MUST), "Chromium was installed, and can't be found"
        pytest.skip("no Chromium here to open the page in (Debian: apt-get install chromium)")
    return program


async def on(page: Page) -> None:
    """Take what the focus is at, and wait until it is elsewhere."""
    before = await page.holds(lambda: page.focus, bool)  # none while a frame is half drawn
    await page.type("\n")
    await page.holds(lambda: page.focus, lambda now: now not in ("", before))


async def resume(page: Page) -> None:
    await page.until("> 1 Resume Pier herring https://other.example/<b>")
    await page.type("\n")


async def test_two_steps_loaded_again_and_gone_on_with(tmp_path: Path, browser: str) -> None:
    plug = tmp_path / "builds" / "plug.toml"
    plug.parent.mkdir()
    plug.write_text(START)
    with serving(plug.parent) as served:
        async with browsing(browser, tmp_path / "browser", (1024, 768)) as page:
            await page.be_touched()
            await page.go(served.address)
            await resume(page)
            await page.until("> Mass of the bare body")
            await page.tap_on("(0.01 g)")
            await page.until("> Smallest step of the scale")
            await page.tap("\u25b2")
            await page.until("> Mass of the bare body")
            await page.tap("1 3 , 6 9 \u232b 2 Enter")
            await page.until("[13,62 g ")
            while not (await page.holds(lambda: page.focus, bool)).startswith("> Continue"):
                await on(page)
            await page.type("\n")
            await page.until("Cautions: Density test")
            await page.type("\n")
            await page.until("Step 5 of 10")
            await page.until("> Smallest step of the caliper")
            await on(page)
            where = (await page.focus).split("[")[0]
            await page.type("0.0")
            await page.until(f"{where}[0.0")

            await page.reload()
            await resume(page)
            await page.until(f"{where}[0.0")
            assert "Step 5 of 10" in await page.text()
            assert "Read only" not in await page.text()
            await page.type("3\n")
            await page.until("[0.03 mm ")

            # The token is in no place where it would be seen or sent on.
            assert await page.worth("location.href") == served.root + "/"
            assert await page.worth("document.cookie") == ""
            assert await page.worth("window.open('https://other.example')") is None
            assert {address.split("/")[2] for address in page.asked} == {served.host}
            assert page.faults == []
            if place := os.environ.get("PLUGWRIGHT_BROWSER_PICTURE"):  # to look at
                Path(place).write_bytes(await page.picture())
            # Drawn, not only received: neither blank nor of one colour.
            assert len(await page.picture()) > 10_000

            assert served.ended(signal.SIGTERM) == 143
            await page.holds(
                lambda: page.worth("document.getElementById('words').textContent"),
                lambda said: "Plugwright was ended on the computer" in said,
            )
            assert await page.worth("document.activeElement.id") == "again"
    kept = open_profile(plug).build
    assert kept.weighing.mass
    assert kept.weighing.mass.text == "13,62 g"
    assert kept.density.length_accuracy
    assert kept.density.length_accuracy.text == "0.03 mm"
