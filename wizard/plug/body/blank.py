"""The squared blank: what the body takes of it, and whether the board has that much."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.plug.body.drawing import drawn_body
from wizard.plug.findings import Finding
from wizard.plug.record import Build
from wizard.plug.rule import drawable_above, rule_of, shown


@dataclass(frozen=True, slots=True)
class Box:
    """A squared block [m]: along, from belly to back, from side to side."""

    length: float
    height: float
    thickness: float

    def with_spare(self, spare: float) -> Box:
        """The block with so much more on each of its sides [m]."""
        return Box(self.length + 2 * spare, self.height + 2 * spare, self.thickness + 2 * spare)


@dataclass(frozen=True, slots=True)
class Blank:
    """The blank to square.

    Attributes:
        body: the block that the body just fills.
        allowance: added to each side for saw and sander [m]; None while not answered.
        sides: the block to square, what a pencil can draw and never less.
    """

    body: Box
    allowance: float | None
    sides: Box


def blank(build: Build) -> Blank | None:
    """The blank of a build; None while neither a body nor its three sizes are given."""
    body = _body(build)
    if body is None:
        return None
    allowance = build.shape.allowance.value if build.shape.allowance else None
    rule, whole = rule_of(build), body.with_spare(allowance or 0.0)
    sides = (drawable_above(s, rule) for s in (whole.length, whole.height, whole.thickness))
    return Blank(body, allowance, Box(*sides))


def _body(build: Build) -> Box | None:
    body, shape = drawn_body(build), build.shape
    if body is not None:
        # A bent body takes more height than any of its sections; a shape-preserving
        # line reaches no further than its stations.
        high, low = max(s.top for s in body.stations), min(s.bottom for s in body.stations)
        return Box(body.length, high - low, body.breadth)
    if shape.length and shape.height and shape.thickness:
        return Box(shape.length.value, shape.height.value, shape.thickness.value)
    return None


def blank_findings(build: Build) -> tuple[Finding, ...]:
    """Sides of the board that are too small; the allowance counts until the body is carved.

    Said where the body is drawn: there it can still be drawn smaller.
    """
    found = blank(build)
    if found is None:
        return ()
    spare = 0.0 if build.weighing.mass else found.allowance or 0.0
    rule, own, whole = rule_of(build), found.body, found.body.with_spare(spare)
    findings = []
    for key, side, word, measured, needed, with_spare in (
        ("length", "length", "long", "the body", own.length, whole.length),
        ("height", "width", "wide", "the body from belly to back", own.height, whole.height),
        ("thickness", "thickness", "thick", "the widest point", own.thickness, whole.thickness),
    ):
        board = getattr(build.stock, side)
        if board is None or board.value >= with_spare * (1 - 1e-6):
            continue
        takes = f"{measured} takes {shown(needed, rule)}"
        if spare:
            total = shown(drawable_above(with_spare, rule), rule)
            takes += f" and {shown(spare, rule)} a side to saw and sand: {total}"
        findings.append(
            Finding(
                "warning",
                ("shape", key),
                f"The board is only {board.text} {word}; {takes}.",
                "Before it is cut: take a larger board, a smaller body or less allowance."
                if spare
                else "Take a larger board or draw a smaller body.",
            )
        )
    return tuple(findings)
