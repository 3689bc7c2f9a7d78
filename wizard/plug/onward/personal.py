"""A build without what belongs to its maker alone, to be handed on."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, TypeVar

from wizard.plug.fields import specs
from wizard.plug.record import Build

PERSONAL = frozenset({"maker", "notes", "note", "tags"})
"""Answers that tell of the maker rather than of the plug, in whatever table they stand."""

R = TypeVar("R")


def without_personal(build: Build) -> Build:
    """The build without what tells who made it, where and when.

    That is the maker's name, notes, tags, the waters fished, the hours at the bench with their
    time zone, and keys of unknown meaning: what a key that this version doesn't know says is
    known to nobody here, so it stays behind.
    """
    bare = _bared(build)
    return replace(
        bare,
        swim=tuple(replace(swim, water=None) for swim in bare.swim),
        schedule=replace(bare.schedule, hours=None, zone=None),
    )


def _bared(record: R) -> R:
    changed: dict[str, Any] = {}
    for key, spec in specs(type(record)).items():
        value = getattr(record, key)
        if key in PERSONAL:
            changed[key] = () if spec.form == "texts" else None
        elif spec.form == "raw" and key == "other":
            changed[key] = {}
        elif spec.form == "table" and value is not None:
            changed[key] = _bared(value)
        elif spec.form == "tables" and value is not None:
            changed[key] = tuple(_bared(row) for row in value)
    bare: R = replace(record, **changed)  # type: ignore[type-var]
    return bare
