"""The picture in the read-me is the app as it is: drawn here, or found stale here.

Set PLUGWRIGHT_DRAW=1 to draw it anew after a change of the screen.
"""

from __future__ import annotations

import contextlib
import os
import re
import shutil
from html import unescape
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tests.app.conftest import Opening

ROOT = Path(__file__).parents[2]
PICTURE = ROOT / "docs" / "ballast-step.svg"
FONTS = re.compile(r"@font-face \{.*?\}\s*", re.DOTALL)
"""Fetched from elsewhere; the reader's own fixed-width font serves."""

CLOCK = re.compile(r"saved \d\d:\d\d")


def words(svg: str) -> list[str]:
    """The text of a picture, line by line, without the time of day."""
    rows: dict[str, list[str]] = {}
    for y, text in re.findall(r'<text[^>]* y="([\d.]+)"[^>]*>([^<]*)</text>', svg):
        rows.setdefault(y, []).append(unescape(text).replace("\xa0", " "))
    lines = (" ".join("".join(row).split()) for row in rows.values())
    return [CLOCK.sub("saved", line) for line in lines if line]


async def test_the_picture_shows_the_ballast_step_as_it_is(opened: Opening, tmp_path: Path) -> None:
    """A build stopped half way, opened at its step, once all its numbers stand."""
    profile = tmp_path / "slate-minnow.toml"
    shutil.copy(ROOT / "profiles" / "slate-minnow.toml", profile)
    drawing = bool(os.environ.get("PLUGWRIGHT_DRAW"))
    wanted = [] if drawing else words(PICTURE.read_text(encoding="utf-8"))
    now = ""
    async with opened(profile) as maker:
        await maker.read_cautions()
        for text in ("> Ballast metal", "ballast, the full answer", "all saved"):
            await maker.until(text)

        def drawn() -> bool:
            nonlocal now
            now = FONTS.sub("", maker.app.export_screenshot(title="Plugwright", simplify=True))
            return drawing or words(now) == wanted

        with contextlib.suppress(AssertionError):  # the comparison below tells more
            await maker.until(drawn)
    if drawing:
        PICTURE.write_text(now, encoding="utf-8")
    else:
        assert words(now) == wanted
