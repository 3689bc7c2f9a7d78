"""Writing a file that was asked for: nobody's work is written over."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from wizard.commands.arguments import stop


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
    from wizard.store.asked import in_the_way

    remedy = "choose another name or add --force"
    said = in_the_way(target, profiles, None if force else ours, remedy)
    if said:
        stop(said)


def written(target: Path, data: bytes) -> None:
    """Write the file whole, or end the program with what kept it from being written."""
    from wizard.store.asked import write
    from wizard.store.faults import SaveFailed

    try:
        write(target, data)
    except SaveFailed as fault:
        stop(str(fault))
