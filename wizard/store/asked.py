"""Files that a maker asks for, beside builds: nobody's work is written over."""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Sequence
from pathlib import Path

from wizard.store.faults import shown, words

_LOOKED_AT = 4096  # bytes at either end of a file


def in_the_way(
    target: Path,
    profiles: Sequence[Path],
    ours: Callable[[bytes], bool] | None,
    remedy: str = "choose another name",
) -> str:
    """Why a file must not be written, in words; empty if it may be.

    Args:
        target: the file that was asked for.
        profiles: what is being read; never written over.
        ours: whether a file in the way is an earlier one of this kind, by its two ends;
            None to write over any other file.
        remedy: what to do about one that is not.
    """
    try:
        found = os.stat(target)
        if not stat.S_ISREG(found.st_mode):
            return f"{shown(target)} is not a file; choose another name"
        if any(os.path.samestat(found, os.stat(profile)) for profile in profiles):
            return f"{shown(target)} is the profile itself; choose another name"
        if ours is not None and not _is_ours(target, ours):
            return f"{shown(target)} is there already; {remedy}"
    except FileNotFoundError:
        return ""
    except (OSError, ValueError) as fault:
        return f"{shown(target)} can't be written: {'; '.join(words(fault))}"
    return ""


def _is_ours(path: Path, ours: Callable[[bytes], bool]) -> bool:
    with path.open("rb") as file:
        head = file.read(_LOOKED_AT)
        size = file.seek(0, os.SEEK_END)
        file.seek(max(size - _LOOKED_AT, 0))
        return ours(head + file.read(_LOOKED_AT))


def write(target: Path, data: bytes) -> None:
    """Write the file whole.

    Raises:
        SaveFailed: it can't be written; what was there is left as it was.
    """
    from wizard.store.files import put

    put(Path(os.path.realpath(target)), data)
