"""The holes of a build as a list to drill by: which drill, where, how deep, which way."""

from __future__ import annotations

from wizard.plug.bench import Bench
from wizard.plug.record import Build, Hole
from wizard.plug.rule import rule_of, shown
from wizard.quantity.reading import Quantity
from wizard.report.ballast_plan import piece_words
from wizard.session.card import Big, Card

OPEN = "not answered"
WAYS = {
    "up": ("straight up", "from the belly"),
    "down": ("straight down", "from the back"),
    "across": ("across", "from one side to the other"),
}
"""How a hole is drilled and from where, by its axis."""


def drill_list(build: Build, bench: Bench | None = None) -> tuple[Card, ...]:
    """A card for every hole, in the order of the build.

    Args:
        build: the record.
        bench: names the drills at hand.
    """
    holes = build.ballast.hole if build.ballast is not None else ()
    cards = []
    for number, hole in enumerate(holes, start=1):
        axis = hole.axis or "up"
        bigs = (
            Big(_drill(build, hole, bench), over=f"hole {number} of {len(holes)}: drill", rank=0),
            Big(_from_nose(build, hole), over="from the nose", rank=0),
            Big(_typed(hole.depth), over="depth, of the full width", rank=0),
            Big(WAYS[axis][0], over=f"{WAYS[axis][1]}, square to the baseline", rank=2),
        )
        cards.append(Card(bigs, notes=tuple(_notes(build, hole, number))))
    return tuple(cards)


def _typed(answer: Quantity | None) -> str:
    return answer.text if answer is not None else OPEN


def _from_nose(build: Build, hole: Hole) -> str:
    """As typed, unless the drawing does not begin at the nose."""
    from wizard.plug.body.drawing import drawn_stations

    stations = drawn_stations(build.shape)
    if hole.x is None or stations is None or stations[0].x == 0.0:
        return _typed(hole.x)
    return shown(hole.x.value - stations[0].x, rule_of(build))


def _drill(build: Build, hole: Hole, bench: Bench | None) -> str:
    if hole.diameter is None:
        return OPEN
    from wizard.plug.ballast.drilling import drill_name

    owned = bench.drills.owned if bench is not None else ()
    return drill_name(hole.diameter.value, rule_of(build), owned)


def _notes(build: Build, hole: Hole, number: int) -> list[str]:
    notes = []
    if hole.axis == "across":
        height = f"{hole.z.text} above the baseline" if hole.z else "at half height"
        notes.append(f"It opens {height}.")
    elif hole.y:
        side = "port" if hole.y.value > 0 else "starboard"
        notes.append(f"{shown(abs(hole.y.value), rule_of(build))} to {side} of the centre line.")
    if hole.point is not None:
        notes.append(f"The drill's point of {hole.point.text} goes deeper and is counted.")
    pieces = build.ballast.piece if build.ballast is not None else ()
    named = [piece_words(piece) for piece in pieces if piece.hole == number]
    if named:
        notes.append(f"Into it, first to the blind end: {', then '.join(named)}.")
    return notes
