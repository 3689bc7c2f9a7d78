"""The units that a maker writes a build's numbers in."""

from __future__ import annotations

from wizard.plug.paths import put
from wizard.plug.record import Build


def in_units(build: Build, kind: str, unit: str) -> Build:
    """The build with a unit chosen for a kind of quantity; an empty unit takes the choice back.

    What was typed stays as typed: it carries its own unit.
    """
    chosen = {k: v for k, v in build.build.units.items() if k != kind}
    return put(build, ("build", "units"), chosen | ({kind: unit} if unit else {}))
