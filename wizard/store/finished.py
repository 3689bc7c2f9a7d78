"""The finished builds of a folder: those whose numbers were kept as they were shown."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wizard.plug.record import Build


def finished_builds(folder: Path) -> Iterator[Build]:
    """Every finished build that can be read; the others are no fault of these.

    Args:
        folder: where builds live.

    Raises:
        ReadRefused: the folder can't be listed.
    """
    from wizard.store.folder import list_profiles
    from wizard.store.opening import Unreadable, open_profile

    for entry in list_profiles(folder):
        try:
            build = open_profile(entry.path).build
        except Unreadable:
            continue
        if build.shown is not None:
            yield build
