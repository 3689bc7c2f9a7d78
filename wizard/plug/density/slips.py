"""Slips of the hand: what each does to the ways to the density that it touches.

A slip is a factor, or a range of factors, that would mend those densities.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from wizard.plug.density.samples import SIDES
from wizard.plug.density.witnesses import Witness
from wizard.plug.paths import get
from wizard.plug.record import Build, Sample, Stock
from wizard.quantity import units
from wizard.quantity.reading import Quantity
from wizard.quantity.showing import plain

INCH = 2.54  # centimetres
OUNCE = 28.349523125  # grams
GRAIN = 0.06479891  # grams

MIXED = (
    ("cm", "inches", INCH),
    ("mm", "inches", 10.0 * INCH),
    ("in", "centimetres", 1.0 / INCH),
    ("in", "millimetres", 0.1 / INCH),
)
"""Units of a side that are taken for each other: as typed, as meant, how many times as long."""

TENTHS: Mapping[str, float] = {"mm": 1e-3, "cm": 1e-3, "m": 1e-3, "in": 2.54e-3, "ft": 2.54e-3}
"""How far a side is off when its tenths are misread [m]: up to ten tenths of a millimetre, or one
tenth of an inch."""

BUBBLES = 0.10
"""Share of a dunked volume that air bubbles may fake [1]: a judgement."""

SOAKED = 0.15
"""Share of a dunked volume that a soaking piece may hide [1]: a judgement."""

SKEWED = 0.04
"""Share of its volume that a block loses when its corners are some 15 degrees off square [1]."""


@dataclass(frozen=True, slots=True)
class Slip:
    """A slip of the hand.

    Attributes:
        touched: indices of the witnesses that it moves.
        low: smallest factor that mends their densities [1].
        high: largest factor [1]; the same as low for a slip that has one size.
        say: what to look at, from the factor that would mend them.
    """

    touched: tuple[int, ...]
    low: float
    high: float
    say: Callable[[float], str]


def slips(build: Build, ways: Sequence[Witness]) -> Iterator[Slip]:
    """Every slip worth testing: those of one exact size first, the vaguest last."""
    every = [slip for i, way in enumerate(ways) for slip in _of(build, way, i)]
    every += _of_body_mass(build, ways)
    yield from (slip for slip in every if slip.low == slip.high)
    yield from (slip for slip in every if slip.low != slip.high)


def _of(build: Build, way: Witness, index: int) -> Iterator[Slip]:
    """The slips that move one witness alone."""
    if way.sort == "blank":
        yield from _of_piece(build.stock, "block", "the blank", index)
    elif way.path[:2] == ("density", "sample"):
        sample: Sample = get(build, way.path)
        name = f"sample {int(way.path[2]) + 1}"
        if sample.method in SIDES:
            yield from _of_piece(sample, sample.method or "", name, index)
        elif sample.method == "dunk":
            yield from _of_dunk(sample.gain, name, index)
            yield from _of_mass(sample.mass, f"the mass of {name}", (index,))
        elif sample.method == "body":
            yield from _of_dunk(build.weighing.gain, "the body", index)
    elif way.sort == "dunk":
        yield from _of_dunk(build.weighing.gain, "the body", index)
    elif way.sort == "shape":
        yield from _of_shape(index)


def _of_piece(at: Sample | Stock, method: str, name: str, index: int) -> Iterator[Slip]:
    """The slips of a piece with measured sides."""
    powers = [(key, 2 if key == "diameter" else 1) for key in SIDES[method]]
    sides = [(key, power, q) for key, power in powers if (q := getattr(at, key)) is not None]
    labels = {q.unit for _, _, q in sides}
    whole = sum(power for _, power in powers)
    if labels == {"cm"}:
        yield _exact(index, INCH**-whole, f"the sides of {name} are inches, taken for centimetres")
    if labels == {"in"}:
        yield _exact(index, INCH**whole, f"the sides of {name} are centimetres, taken for inches")
    yield from _of_mass(at.mass, f"the mass of {name}", (index,))
    for key, power, side in sides:
        yield from _of_side(side, power, f"the {key} of {name}", index)
    yield from _tenths(sides, name, index)
    yield from _not_square(at, sides, name, index)


def _exact(index: int, factor: float, words: str) -> Slip:
    return Slip((index,), factor, factor, lambda f: words)


def _of_side(side: Quantity, power: int, name: str, index: int) -> Iterator[Slip]:
    """A decimal or a unit of one side."""
    for times in (10.0, 0.1):
        words = f"a decimal of {name} slipped: {_as(side, times)}, not {side.text}"
        yield _exact(index, times**-power, words)
    for label, other, times in MIXED:
        if side.unit == label:
            words = f"{name} is in {other}: {side.text} as typed"
            yield _exact(index, times**-power, words)


def _tenths(sides: Sequence[tuple[str, int, Quantity]], name: str, index: int) -> Iterator[Slip]:
    """The tenths of one side, whichever it is."""
    reach = {
        key: (power, side, share)
        for key, power, side in sides
        if 0.0 < (share := TENTHS.get(side.unit, 0.0) / side.value) < 0.5
    }
    if not reach:
        return

    def fits(factor: float) -> Iterator[tuple[float, str]]:
        for key, (power, side, share) in reach.items():
            times = factor ** (-1.0 / power)
            if abs(times - 1.0) <= share * (1 + 1e-9):
                yield abs(times - 1.0) * side.value, f"{key} {_as(side, times)}, not {side.text}"

    def say(factor: float) -> str:
        likely = [text for _, text in sorted(fits(factor))[:2]]
        return f"the tenths of a side of {name} are misread: {' or '.join(likely)}"

    lows = [(1.0 + share) ** -power for power, _, share in reach.values()]
    highs = [(1.0 - share) ** -power for power, _, share in reach.values()]
    yield Slip((index,), min(lows), max(highs), say)


def _as(quantity: Quantity, times: float) -> str:
    """A quantity so many times as large, in its own unit."""
    return f"{plain(units.from_core(quantity.value * times, quantity.unit))} {quantity.unit}"


def _of_mass(mass: Quantity | None, name: str, touched: tuple[int, ...]) -> Iterator[Slip]:
    """A unit or a decimal of a mass."""
    if mass is None:
        return

    def slip(factor: float, words: str) -> Slip:
        return Slip(touched, factor, factor, lambda f: words)

    if mass.unit == "g":
        yield slip(OUNCE, f"the scale stood in ounces for {name}: {mass.text} as typed")
        yield slip(GRAIN, f"the scale stood in grains for {name}: {mass.text} as typed")
    if mass.unit == "oz":
        yield slip(1.0 / OUNCE, f"{name} is in grams, taken for ounces: {mass.text} as typed")
    if mass.unit == "gr":
        yield slip(1.0 / GRAIN, f"{name} is in grams; gr stands for grains: {mass.text} as typed")
    for times in (10.0, 0.1):
        words = f"a decimal of {name} slipped: {_as(mass, times)}, not {mass.text}"
        yield slip(times, words)


def _not_square(
    at: Sample | Stock, sides: Sequence[tuple[str, int, Quantity]], name: str, index: int
) -> Iterator[Slip]:
    """A piece whose sides disagree, or whose corners are not square."""
    low = high = 1.0
    for key, power, side in sides:
        readings = [side.value, *(q.value for q in getattr(at, f"{key}_again", ()))]
        middle = sum(readings) / len(readings)
        low *= (middle / max(readings)) ** power
        high *= (middle / min(readings)) ** power
    if high > low:
        words = f"{name} is not square: its readings differ along a side"
        yield Slip((index,), low, high, lambda f: words)

    def skew(factor: float) -> str:
        share = 100.0 * (1.0 - 1.0 / factor)
        return f"{name} is not square: its corners lack {plain(share, 2)} % of its volume"

    yield Slip((index,), 1.0, 1.0 / (1.0 - SKEWED), skew)


def _of_dunk(gain: Quantity | None, name: str, index: int) -> Iterator[Slip]:
    """Bubbles, a soaking piece, or a slip in the gain."""
    if gain is None:
        return
    for times in (10.0, 0.1):
        words = f"a decimal of the gain of {name} slipped: {_as(gain, times)}, not {gain.text}"
        yield _exact(index, 1.0 / times, words)
    if gain.unit == "g":
        words = f"the scale stood in ounces for the gain of {name}"
        yield _exact(index, 1.0 / OUNCE, words)

    def bubbles(factor: float) -> str:
        air = plain(gain.value * (1.0 - 1.0 / factor) * 1e3, 2)
        return (
            f"{air} mL of air bubbles clung to {name}, or the needle or a finger went under with it"
        )

    def soaked(factor: float) -> str:
        water = plain(gain.value * (1.0 / factor - 1.0) * 1e3, 2)
        return f"{name} took in {water} mL of water through its seal, or was not wholly under"

    yield Slip((index,), 1.0, 1.0 / (1.0 - BUBBLES), bubbles)
    yield Slip((index,), 1.0 / (1.0 + SOAKED), 1.0, soaked)


def _of_shape(index: int) -> Iterator[Slip]:
    """Slips of the whole drawing."""
    half = "full breadths are drawn where half-breadths are asked"
    yield _exact(index, 2.0, half)
    yield _exact(index, INCH**-3, "the drawing is in inches, taken for centimetres")
    yield _exact(index, INCH**3, "the drawing is in centimetres, taken for inches")

    def off(factor: float) -> str:
        girth = factor**-0.5
        off_by = plain(100 * abs(girth - 1.0), 2)
        more = "fuller" if girth > 1.0 else "slimmer"
        return f"the body is {off_by} % {more} in height and breadth than drawn"

    yield Slip((index,), 1.0 / 1.3, 1.3, off)


def _of_body_mass(build: Build, ways: Sequence[Witness]) -> list[Slip]:
    """The body's mass stands under the shape and the dunk alike."""
    touched = tuple(i for i, way in enumerate(ways) if way.sort in ("shape", "dunk"))
    if not touched:
        return []
    return list(_of_mass(build.weighing.mass, "the mass of the body", touched))
