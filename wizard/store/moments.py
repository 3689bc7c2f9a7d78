"""Moments found on the disk, which may be any; near the ends of time none has a local form."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

FIRST, LAST = datetime(1970, 1, 2, tzinfo=UTC), datetime(9998, 12, 31, tzinfo=UTC)
"""Between these a moment can be told in any zone, on any system."""


def possible(moment: datetime) -> datetime:
    """The moment, if it can be told; one without an offset is taken as local.

    Raises:
        ValueError: it can't.
    """
    if not FIRST.year <= moment.year <= LAST.year:
        raise ValueError(f"the year {moment.year}")
    return moment


def written(path: Path) -> datetime:
    """When a file was last written, UTC, or the nearest possible; the first if it is gone."""
    try:
        return at(path.stat().st_mtime)
    except OSError:
        return FIRST


def at(seconds: float) -> datetime:
    """The moment so many seconds after the first of 1970, UTC, or the nearest possible."""
    return datetime.fromtimestamp(min(max(seconds, FIRST.timestamp()), LAST.timestamp()), UTC)
