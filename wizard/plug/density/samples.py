"""One piece of wood and its density: the readings it takes, what each method makes of them."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from wizard.certainty import Cause, Uncertain, measured
from wizard.physics.density import block_volume, cylinder_volume, dunk_volume
from wizard.plug.account import body_mass
from wizard.plug.density.dunk import dunked_volume
from wizard.plug.doubts import Instrument, caliper, sample_scale, without_drift
from wizard.plug.findings import Finding
from wizard.plug.paths import Path, words
from wizard.plug.record import Build, Sample, Stock
from wizard.plug.waters import water_under_scale
from wizard.quantity.showing import plain

Said = tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Factors:
    """What a density is worked out from.

    Attributes:
        formula: of the values in their order [kg/m3]; takes numpy arrays too.
        values: by key, as read.
    """

    formula: Callable[..., Any]
    values: Mapping[str, Uncertain]


SIDES: Mapping[str, tuple[str, ...]] = {
    "block": ("length", "width", "thickness"),
    "cylinder": ("diameter", "length"),
}
"""The lengths that a method measures, in the order of its volume."""


def _block(mass: Any, length: Any, width: Any, thickness: Any) -> Any:
    return mass / block_volume(length, width, thickness)


def _cylinder(mass: Any, diameter: Any, length: Any) -> Any:
    return mass / cylinder_volume(diameter, length)


def _over_volume(mass: Any, volume: Any) -> Any:
    return mass / volume


def _as_it_is(density: Any) -> Any:
    return density


_FORMULAS: Mapping[str, Callable[..., Any]] = {"block": _block, "cylinder": _cylinder}


def _readings(
    instrument: Instrument, at: Sample | Stock, path: Path, keys: tuple[str, ...]
) -> dict[str, Uncertain] | None:
    """The answers at some keys with all their readings; None while one is missing."""
    out = {}
    for key in keys:
        quantity = getattr(at, key)
        if quantity is None:
            return None
        again = getattr(at, f"{key}_again", ())
        out[key] = instrument.reading(quantity, (*path, key), again)
    return out


def _weighed(build: Build, at: Sample | Stock, path: Path) -> Uncertain | None:
    """A piece's mass [kg]."""
    read = _readings(sample_scale(build), at, path, ("mass",))
    if read is None:
        return None
    zero = at.zero if isinstance(at, Sample) else None
    return without_drift(read["mass"], zero, (*path, "zero"))


def _measured(
    build: Build, at: Sample | Stock, path: Path, method: str
) -> tuple[Factors | None, Said]:
    """A squared or turned piece."""
    mass = _weighed(build, at, path)
    sides = _readings(caliper(build), at, path, SIDES[method])
    if mass is None or sides is None:
        return None, ()
    return Factors(_FORMULAS[method], {"mass": mass, **sides}), ()


def _dunked(build: Build, sample: Sample, path: Path) -> tuple[Factors | None, Said]:
    mass = _weighed(build, sample, path)
    gain = _readings(sample_scale(build), sample, path, ("gain",))
    if mass is None or gain is None:
        return None, ()
    water, findings = water_under_scale(build, sample, path)
    if water is None:
        return None, findings or (_unknown_water(path),)
    return Factors(
        _over_volume, {"mass": mass, "gain": dunk_volume(gain["gain"], water.buoyant)}
    ), findings


def _unknown_water(path: Path) -> Finding:
    wrong = "The water of this dunk is not known, so the sample does not count."
    return Finding("warning", (*path, "temperature"), wrong, "Give its temperature.")


def _known(build: Build, sample: Sample, path: Path) -> tuple[Factors | None, Said]:
    """A value carried over from an earlier test."""
    if sample.density is None:
        return None, ()
    u = sample.uncertainty.value if sample.uncertainty else 0.0
    cause = Cause(words((*path, "uncertainty")), "stated")
    return Factors(_as_it_is, {"density": measured(sample.density.value, u, cause)}), ()


def _body(build: Build, sample: Sample, path: Path) -> tuple[Factors | None, Said]:
    """The body itself: its mass over its volume by the dunk, so that the volume is the dunk's."""
    mass, (volume, _) = body_mass(build), dunked_volume(build)
    if mass is None or volume is None:
        return None, (_not_dunked(path),)
    return Factors(_over_volume, {"mass": mass, "gain": volume}), ()


def _not_dunked(path: Path) -> Finding:
    wrong = "This sample is the body itself, which is not weighed and dunked yet."
    return Finding("warning", (*path, "method"), wrong, "Weigh it, seal it, hold it under.")


def factors_of(build: Build, sample: Sample, path: Path) -> tuple[Factors | None, Said]:
    """What a sample's density is worked out from; None while it is incomplete."""
    if sample.method is not None and sample.method in SIDES:
        return _measured(build, sample, path, sample.method)
    by_method = {"dunk": _dunked, "known": _known, "body": _body}
    way = by_method.get(sample.method or "")
    return (None, ()) if way is None else way(build, sample, path)


def factors_of_blank(build: Build) -> Factors | None:
    """The same of the squared blank."""
    return _measured(build, build.stock, ("stock",), "block")[0]


def piece_density(factors: Factors, path: Path) -> tuple[Uncertain, Said]:
    """A piece's density [kg/m3], by derivatives or, where those fail, by random trials.

    Where the trials show more doubt than the derivatives, the difference is added as a
    cause of its own, so that the best estimate stays what the readings say.

    Source: JCGM 100:2008, 5.1.2; JCGM 101:2008, 5.9 and 7.
    """
    from wizard.certainty.trials import is_steep, spread

    values = tuple(factors.values.values())
    density = factors.formula(*values)
    if len(values) < 2 or not any(is_steep(value) for value in values):
        return density, ()
    seen = spread(factors.formula, *values)
    more = math.sqrt(max(seen.u**2 - density.u**2, 0.0))
    doubt = measured(0.0, more, Cause(words(path), "curvature"))
    return density + doubt, (_steep(factors, path, seen.low, seen.high),)


def _steep(factors: Factors, path: Path, low: float, high: float) -> Finding:
    worst = max(factors.values, key=lambda key: factors.values[key].u / factors.values[key].value)
    share = factors.values[worst].u / factors.values[worst].value
    return Finding(
        "warning",
        path,
        f"The {worst} of this piece is known only to {100 * share:.0f} %, too little for straight "
        f"lines; 100 000 random trials put its density between {plain(low / 1000, 2)} and "
        f"{plain(high / 1000, 2)} g/mL in 95 of 100 cases.",
        "Cut a larger piece or use a finer instrument.",
    )
