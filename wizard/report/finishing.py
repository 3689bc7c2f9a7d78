"""Finishing a build: it keeps the numbers that its maker was shown."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from wizard.plug.derived import Derived
from wizard.plug.numbers import CATALOGUE
from wizard.plug.paths import put
from wizard.plug.record import Build, Shown
from wizard.report.showing import number


def numbers_shown(derived: Derived, chosen: Mapping[str, str]) -> dict[str, str]:
    """Every known number as text, by its name."""
    return {
        name: number(derived.numbers[name], chosen) for name in CATALOGUE if name in derived.numbers
    }


def finished(build: Build, derived: Derived, version: str, at: datetime) -> Build:
    """The build with the numbers shown now, and by which version of the program.

    Args:
        build: the record.
        derived: what follows from it.
        version: of the program.
        at: the moment.
    """
    shown = Shown(version, at, numbers_shown(derived, build.build.units))
    return put(build, ("shown",), shown)


def is_finished(build: Build) -> bool:
    """Whether the maker called the build finished."""
    return build.shown is not None


def since_finished(build: Build, derived: Derived) -> tuple[str, ...]:
    """What a finished build's numbers were when shown, where they are others now."""
    if build.shown is None:
        return ()
    now = numbers_shown(derived, build.build.units)
    then = build.shown.numbers
    return tuple(
        f"{entry.meaning}: shown as {then.get(name, '-')}, now {now.get(name, '-')}"
        for name, entry in CATALOGUE.items()
        if then.get(name, "-") != now.get(name, "-")
    )
