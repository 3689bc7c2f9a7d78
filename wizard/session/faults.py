"""A fault of the program: a line for the maker, and a report for whoever mends it.

The report names places in the program and what it ran on. It holds no answer, no name of
a build and no folder of the maker's: neither the words of a fault, which may quote an
answer, nor whole paths, which name the user.
"""

from __future__ import annotations

import os
import platform
import sys
from collections.abc import Iterator, Mapping
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from traceback import extract_tb

from wizard import __version__
from wizard.quantity.showing import literal
from wizard.store.disk import DISK
from wizard.store.faults import SaveFailed, shown
from wizard.store.files import put
from wizard.store.names import FAULT, companion

LONGEST = 300
"""Signs of a line that is shown or kept."""

SURROUNDINGS = ("TERM", "COLORTERM", "LANG", "LC_ALL", "LC_CTYPE", "NO_COLOR", "TMUX", "STY")
"""Variables that say how a terminal behaves; of the last three only that they are set."""


def report_path(folder: Path) -> Path:
    """Where the report of the last fault is kept, in the hidden folder beside the builds."""
    return companion(folder / "plugwright", FAULT)


def told(error: BaseException | None, folder: Path, trouble: str = "") -> str:
    """What to say once the screen is gone; the report is written on the way.

    Args:
        error: what happened.
        folder: of the builds; the report is kept there.
        trouble: why the open build is not saved; empty if it is, or if none is open.
    """
    kept = _kept(error, folder) if error is not None else None
    name = type(error).__name__ if error is not None else "unknown"
    state = literal(trouble, LONGEST) if trouble else "Every answer is saved"
    where = f" A report without any of your answers is in {shown(kept)}." if kept else ""
    return f"plugwright: the program met a fault of its own ({name}). {state}.{where}"


def _kept(error: BaseException, folder: Path) -> Path | None:
    place = report_path(folder)
    lines = report(error, os.environ, datetime.now().astimezone())
    text = "".join(f"{literal(line, LONGEST)}\n" for line in lines)
    with suppress(OSError, ValueError, SaveFailed):
        DISK.make_folder(place.parent)
        put(place, text.encode("utf-8", "replace"))
        return place
    return None


def report(error: BaseException, environment: Mapping[str, str], at: datetime) -> Iterator[str]:
    """The lines of a report.

    Args:
        error: what happened, with what led to it.
        environment: of the process; only what tells the kind of terminal is used.
        at: when.
    """
    yield f"plugwright {__version__}, a fault at {at:%Y-%m-%d %H:%M}"
    yield f"python {platform.python_version()} on {platform.system()} {platform.machine()}"
    told_of = [name for name in SURROUNDINGS if name in environment]
    yield "terminal: " + ", ".join(
        name if name in ("NO_COLOR", "TMUX", "STY") else f"{name}={environment[name]}"
        for name in told_of
    )
    fault: BaseException | None = error
    while fault is not None:
        yield f"{type(fault).__module__}.{type(fault).__name__}, from the inside out:"
        for frame in reversed(extract_tb(fault.__traceback__)):
            yield f"  {_place(frame.filename)}:{frame.lineno} in {frame.name}"
        fault = fault.__cause__ or fault.__context__


def _place(file: str) -> str:
    """A file of the program or of a package, below the folder that it is installed in."""
    for root in sorted((path for path in sys.path if path), key=len, reverse=True):
        if file.startswith(root + os.sep):
            return file[len(root) + 1 :]
    return os.path.basename(file)
