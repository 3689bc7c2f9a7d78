"""All that follows from a build, as it is handed on: numbers, findings, parts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wizard.certainty import Uncertain
from wizard.physics.parts import Part
from wizard.plug.density.wood import WoodTest
from wizard.plug.findings import Finding
from wizard.plug.numbers import Number
from wizard.plug.waters import Water


@dataclass(frozen=True, slots=True)
class Difference:
    """One line between the bench sum and the full answer, [kg] of ballast."""

    why: str
    mass: Uncertain


@dataclass(frozen=True, slots=True)
class Derived:
    """All that follows from a build.

    Attributes:
        numbers: by name, in the order of the catalogue; what is unknown is absent.
        findings: what to say, refusals aside.
        parts: of the finished plug, or of what is known so far.
        wood: the density test.
        water: the fishing water.
        differences: why the full answer for the ballast is not the bench sum.
        margin: s of the aim [1], if known.
        waits_for: what the amount of ballast still waits for, in words.
        is_whole: whether all is worked out, not only what is a sum.
    """

    numbers: Mapping[str, Number]
    findings: tuple[Finding, ...]
    parts: tuple[Part, ...]
    wood: WoodTest
    water: Water | None
    differences: tuple[Difference, ...]
    margin: Uncertain | None
    waits_for: tuple[str, ...]
    is_whole: bool = True

    def value(self, name: str) -> Uncertain | None:
        """A number's value in the core's SI unit; None while it is unknown."""
        number = self.numbers.get(name)
        return None if number is None else number.value

    @property
    def warnings(self) -> tuple[Finding, ...]:
        """The findings that the maker should look at."""
        return tuple(f for f in self.findings if f.level == "warning")
