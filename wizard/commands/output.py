"""Writing a file that was asked for: nobody's work is written over."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Sequence
from pathlib import Path

from wizard.commands.arguments import stop

_LOOKED_AT = 4096  # bytes at either end of a file that stands in the way


def clear(
    target: Path, profiles: Sequence[Path], force: bool, ours: Callable[[bytes], bool]
) -> None:
    """End the program unless the file may be written.

    Args:
        target: the file that was asked for.
        profiles: what is being read; never written over, not even by force.
        force: whether anything else may be.
        ours: whether a file in the way is an earlier one of this kind, by its two ends.
    """
    from wizard.store.faults import shown, words

    try:
        found = os.stat(target)
        if not stat.S_ISREG(found.st_mode):
            stop(f"{shown(target)} is not a file; choose another name")
        if any(os.path.samestat(found, os.stat(profile)) for profile in profiles):
            stop(f"{shown(target)} is the profile itself; choose another name")
        if not force and not _is_ours(target, ours):
            stop(f"{shown(target)} is there already; choose another name or add --force")
    except FileNotFoundError:
        return
    except (OSError, ValueError) as fault:
        stop(f"{shown(target)} can't be written: {'; '.join(words(fault))}")


def _is_ours(path: Path, ours: Callable[[bytes], bool]) -> bool:
    with path.open("rb") as file:
        head = file.read(_LOOKED_AT)
        size = file.seek(0, os.SEEK_END)
        file.seek(max(size - _LOOKED_AT, 0))
        return ours(head + file.read(_LOOKED_AT))


def written(target: Path, data: bytes) -> None:
    """Write the file whole, or end the program with what kept it from being written."""
    from wizard.store.faults import SaveFailed
    from wizard.store.files import put

    try:
        put(Path(os.path.realpath(target)), data)
    except SaveFailed as fault:
        stop(str(fault))
