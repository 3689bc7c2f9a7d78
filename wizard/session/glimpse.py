"""The picture of a build that lies on the shelf, as lines."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path

PAUSE = 0.15
"""Seconds that a pointer rests on a build before its picture is drawn."""


def glimpse(path: Path, width: int, plain: bool) -> tuple[str, ...]:
    """The picture; no lines while no body is drawn.

    Args:
        path: the build.
        width: columns.
        plain: use ASCII alone.
    """
    try:
        modified = path.stat().st_mtime_ns
    except OSError:
        return ()
    return tuple(_lines(path, modified, width, plain))


@lru_cache(maxsize=64)
def _lines(path: Path, modified: int, width: int, plain: bool) -> Sequence[str]:
    from wizard.drawing.scene import scene
    from wizard.drawing.terminal import lines
    from wizard.plug.derive import derive
    from wizard.store.opening import Unreadable, open_profile

    try:
        build = open_profile(path).build
    except Unreadable:
        return ()
    shown = scene(build, derive(build))
    return () if shown is None else lines(shown, width, plain=plain)
