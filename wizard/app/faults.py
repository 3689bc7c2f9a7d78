"""A fault of the program: what the maker reads, and the trace in a file for whoever mends it."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from traceback import format_exception

from wizard.quantity.showing import literal
from wizard.store.disk import DISK
from wizard.store.faults import SaveFailed, shown
from wizard.store.files import put
from wizard.store.names import FAULT, companion

LONGEST = 2000
"""Signs of a line of the trace; it may hold an answer."""


def told(error: Exception | None, folder: Path, trouble: str) -> str:
    """What to say once the screen is gone.

    Args:
        error: what happened.
        folder: of the builds; the trace is kept there.
        trouble: why the open build is not saved; empty if it is.
    """
    kept = _traced(error, folder) if error is not None else None
    where = f" What happened is in {shown(kept)}." if kept else ""
    name = type(error).__name__ if error is not None else "unknown"
    state = literal(trouble, LONGEST) if trouble else "Every answer is saved"
    return f"plugwright: the program met a fault of its own ({name}). {state}.{where}"


def _traced(error: Exception, folder: Path) -> Path | None:
    lines = "".join(format_exception(error)).splitlines()
    text = "".join(f"{literal(line, LONGEST)}\n" for line in lines)
    place = companion(folder / "plugwright", FAULT)
    with suppress(OSError, ValueError, SaveFailed):
        DISK.make_folder(place.parent)
        put(place, text.encode("utf-8", "replace"))
        return place
    return None
