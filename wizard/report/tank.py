"""The tank as plain lines: what to mix, how to check it, what it means, what a plug shows in it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from textwrap import wrap

from wizard.physics.brine import MixSheet, Salt
from wizard.physics.sinking import distance_to_terminal
from wizard.physics.validity import OutsideValidity
from wizard.physics.water import SALINITIES, TEMPERATURES
from wizard.plug.chances import hanging_band
from wizard.plug.derived import Derived
from wizard.plug.paths import words
from wizard.plug.record import Build
from wizard.plug.rule import rule_of, shown
from wizard.plug.tank.bands import Band, additions, salinity_band, temperature_band
from wizard.plug.tank.explain import standing
from wizard.plug.tank.home_tank import TankMix, meaning, tank_mix, wanted_object, wanted_reading
from wizard.plug.tank.soak import Soak, soaks
from wizard.plug.tank.taped import Taped, taped
from wizard.plug.tank.water import tank_checks
from wizard.quantity.showing import plain
from wizard.report.showing import amount, number

WIDTH = 74

RIGHT = 0.4e-3
"""Salt per water that no table of brines could tell from what is wanted [1]."""

Units = Mapping[str, str]


def folded(lines: Iterable[str]) -> Iterator[str]:
    """Lines that fit a page of 76, set in by two; what goes on is set in under its line."""
    for line in lines:
        lead = line[: len(line) - len(line.lstrip())]
        yield from wrap(line, WIDTH, subsequent_indent=f"{lead}  ") or [""]


def grams(value: float, chosen: Units, *, signed: bool = False) -> str:
    """A mass [kg] to a hundredth of a gram, below one gram to a thousandth, in the maker's unit."""
    shown = amount(round(abs(value), 5 if abs(value) >= 1e-3 else 6), "g", chosen)
    sign = "-" if value < 0 else "+" if signed else ""
    return f"{sign}{shown}"


# Mixing and checking ---------------------------------------------------------


def mix_lines(build: Build, volume: float | None = None, salt: Salt | None = None) -> list[str]:
    """What to put into the tank, and how to see that it is right; empty while water is unknown.

    Args:
        build: the record.
        volume: of the tank [m3]; None for the build's own, else 40 L.
        salt: which; None for the build's own, else table salt.
    """
    mix = tank_mix(build, volume, salt)
    return [] if mix is None else list(folded(_mixed(build, mix)))


def _mixed(build: Build, mix: TankMix) -> Iterator[str]:
    chosen = build.build.units
    litres, t = f"{plain(mix.volume * 1e3, 3)} L", f"{plain(mix.temperature, 3)} degC"
    if mix.assumed:
        litres += " (assumed: no volume is given)"
    yield f"Tank of {litres} at {t} to carry a plug as the fishing water does"
    yield f"  wanted density {_density(mix.density, chosen)}; tap water has " + _density(
        mix.fresh, chosen
    )
    if mix.why_not:
        yield f"  no {mix.salt} gives that: {mix.why_not}"
        return
    if mix.sheet is None:
        yield "  fresh tap water will do; let it stand until it has the room's temperature"
    else:
        yield f"  {_to_do(mix.volume, mix.sheet, mix.salt)}"
        other = "sea salt" if mix.salt == "table salt" else "table salt"
        yield f"  grams of {other} are others: say which salt it is"
    yield from (f"  {line}" for line in _checked(build, mix))


def _to_do(volume: float, sheet: MixSheet, salt: Salt) -> str:
    """Salt to put in, water to change, or that it is right as it is."""
    wanted = f"{plain(sheet.content, 4)} g to each kg of water"
    if abs(sheet.salt) <= RIGHT * sheet.water:
        return f"as salt as wanted ({wanted} of {salt})"
    if sheet.salt < 0:
        out = volume * sheet.share_to_change * 1e3
        return (
            f"too much {salt} in it: pour out {plain(out, 3)} L and fill up with tap water, "
            f"for {wanted}"
        )
    return (
        f"add {plain(sheet.salt * 1e3, 4)} g of {salt} ({wanted}), stir until clear; it then "
        f"holds {plain(sheet.brine_volume * 1e3, 4)} L"
    )


def _checked(build: Build, mix: TankMix) -> Iterator[str]:
    chosen = build.build.units
    reading, hung = wanted_reading(build, mix), wanted_object(build, mix)
    if reading is not None:
        yield f"check: your bottle, brim full, must weigh {grams(reading, chosen)}"
    elif mix.sheet is not None:
        yield (
            f"check: half a litre of it weighs {grams(mix.bottle_gain, chosen)} more than the "
            "same bottle full of tap water"
        )
    yield (
        f"check: a hydrometer reads {mix.density / 1000:.4f} g/mL, "
        f"or a gravity of {mix.gravity:.4f} (20/20)"
    )
    if hung is not None:
        yield f"check: your test object hangs in it when it weighs {grams(hung, chosen)}"
    for check in tank_checks(build)[0]:
        off = check.density - mix.density
        yield (
            f"{check.how} says {check.density / 1000:.4f} g/mL: "
            f"{abs(off):.2f} kg/m3 too {'dense' if off > 0 else 'light'}"
        )


def _density(value: float, chosen: Units) -> str:
    label = chosen.get("density", "g/mL")
    return f"{value / 1000:.4f} g/mL" if label == "g/mL" else amount(value, "g/mL", chosen)


def meaning_lines(build: Build, derived: Derived) -> list[str]:
    """By how much a plug is another one in the fishing water; empty while that is unknown."""
    told = meaning(build, derived.value("displaced_volume"))
    if told is None:
        return []
    chosen, shift = build.build.units, told.shift.value
    if abs(shift) < 5e-6:
        return ["The tank's water carries the plug as the fishing water does."]
    does = "sinks there" if shift > 0 else "floats there"
    here, there = (_density(w.density, chosen) for w in (told.tank, told.water))
    left = grams(shift, chosen, signed=True)
    line = f"A plug that just hangs in the tank {does}: {left} in water ({here} against {there})."
    return list(folded([line]))


# Before drilling -------------------------------------------------------------


def taped_lines(build: Build, derived: Derived) -> list[str]:
    """What the sealed body shows with its ballast taped on, and what its answer corrects.

    Empty once the plug is drilled: proved or weighed whole, without a taped proof.
    """
    wood = derived.wood.density
    answer = derived.value("ballast_mass")
    answered = None if answer is None else max(answer.value, 0.0)
    rows = [i for i, trial in enumerate(build.trial) if trial.kind == "taped"]
    if not rows and (build.trial or build.weight):
        return []
    told = taped(build, wood, answered, rows[-1] if rows else None)
    return [] if told is None else list(folded(_taped(build, derived, told)))


def _taped(build: Build, derived: Derived, told: Taped) -> Iterator[str]:
    chosen, net = build.build.units, told.predicted
    yield (
        f"Taped proof: sealed body, all hardware hung, {grams(told.ballast, chosen)} of ballast "
        "taped on outside"
    )
    shows = "sinks" if net.value > 0 else "floats"
    yield f"  it should show {amount(net, 'g', chosen)} in the tank: it {shows}"
    metal = grams(abs(net.value), chosen)
    if net.value < 0:
        yield f"  so about {metal} in water, hung on, just takes it under"
    else:
        yield f"  so about {metal} in water, taken off, lets it just hang"
    if told.pitch is not None:
        yield f"  it should lie {_pitch(told.pitch)}"
    if told.measured is not None:
        off = _heavier(told.measured.value - net.value, chosen)
        yield f"  it showed {amount(told.measured, 'g', chosen)}: {off} than summed"
    elif told.row is not None and (went := build.trial[told.row].result) is not None:
        beside = "as summed" if went == shows else f"where the sum says it {shows}"
        yield f"  it {went}, {beside}; {_HOW_MUCH[went]}"
    corrected = derived.numbers.get("proof_ballast")
    if corrected is not None:
        yield (
            f"  ballast put right: {number(corrected, chosen)} "
            f"instead of {number(derived.numbers['ballast_mass'], chosen)}"
        )
    if told.shift is not None:
        way = "aft" if told.shift > 0 else "forward"
        off = shown(abs(told.shift), rule_of(build))
        yield f"  place put right: {off} further {way} than planned"


_HOW_MUCH = {
    "floats": "to correct the ballast, hang weights on until it just goes under: their weight",
    "sinks": "to correct the ballast, take some off until it just hangs: what came off",
}
"""What is still to be read of a taped proof, by what it did."""


def _heavier(gap: float, chosen: Units) -> str:
    return f"{grams(gap, chosen)} {'heavier' if gap > 0 else 'lighter'}"


def _pitch(pitch: float) -> str:
    degrees = math.degrees(pitch)
    if abs(degrees) < 0.5:
        return "level"
    return f"{plain(abs(degrees), 2)} deg {'nose down' if degrees > 0 else 'nose up'}"


# After it ---------------------------------------------------------------------

SOAKED = {
    "tight": "no more than a wiped skin holds: the finish is tight",
    "leaks": "water went in: look for bubbles in warm water at hangers, line tie, hole mouths, "
    "lip slot and sharp edges; dry it, seal there, soak again",
    "lost": "it came out lighter: it was not dry before, or the scale drifted; weigh both again",
}


def soak_lines(build: Build, derived: Derived) -> list[str]:
    """What each soak says of the finish, and what the water taken up does to the aim."""
    return list(folded(line for soak in soaks(build) for line in _soaked(build, derived, soak)))


def _soaked(build: Build, derived: Derived, soak: Soak) -> Iterator[str]:
    chosen = build.build.units
    hours = plain(soak.time / 3600.0, 2)
    yield f"Soak ({words(('trial', soak.row))}): {amount(soak.gain, 'g', chosen)} in {hours} h"
    yield f"  {SOAKED[soak.verdict]}"
    if soak.verdict != "leaks":
        return
    if soak.per_area is not None:
        yield f"  {plain(soak.per_area * 100.0, 2)} mg on each cm2 of skin"
    net = derived.value("best_net") or derived.value("net_in_water")
    if net is not None:
        yield (
            f"  so soaked it has {grams((net + soak.gain).value, chosen)} in water "
            f"instead of {grams(net.value, chosen)}"
        )


def hanging_lines(build: Build, derived: Derived) -> list[str]:
    """A suspender's bands, and what little things do to it; empty for others."""
    water = derived.water
    if build.aim.behaviour != "suspends" or water is None:
        return []
    now = standing(build, derived.numbers, derived.wood, water, derived.margin)
    if now is None:
        return []
    return list(folded(_hanging(build, derived, hanging_band(build, now.mass.value))))


def _hanging(build: Build, derived: Derived, band: float) -> Iterator[str]:
    water, chosen = derived.water, build.build.units
    assert water is not None
    now = standing(build, derived.numbers, derived.wood, water, derived.margin)
    assert now is not None
    yield f"It hangs while no more than {grams(band, chosen)} is left in the water"
    for found, unit, at in (
        (temperature_band(now, water, band), "degC", f"at S = {plain(water.salinity, 3)}"),
        (salinity_band(now, water, band), "g/kg", f"at {plain(water.temperature, 3)} degC"),
    ):
        if found is not None:
            yield f"  {_range(found, unit)} {at}; {_per_unit(found, unit, chosen)}"
    hangs = abs(now.net.value) <= band
    for addition in additions(build, water):
        then = _HANGS[hangs, abs(now.net.value + addition.net) <= band]
        yield f"  {addition.what}: {grams(addition.net, chosen, signed=True)}; {then}"


_HANGS = {
    (True, True): "it still hangs",
    (True, False): "it no longer hangs",
    (False, True): "then it hangs",
    (False, False): "nor does it hang then",
}
"""What is said of something hung on, by whether it hangs without it and with it."""


def _range(found: Band, unit: str) -> str:
    if found.is_empty:
        return f"no {'temperature' if unit == 'degC' else 'salinity'} lets it hang"
    ends = TEMPERATURES if unit == "degC" else SALINITIES
    low, high = (plain(end, 3) for end in ends)
    middle = "" if found.neutral is None else f" (best {plain(found.neutral, 3)})"
    if found.low is None and found.high is None:
        return f"everywhere from {low} to {high} {unit}{middle}"
    low = low if found.low is None else plain(found.low, 3)
    high = high if found.high is None else plain(found.high, 3)
    return f"from {low} to {high} {unit}{middle}"


def _per_unit(found: Band, unit: str, chosen: Units) -> str:
    return f"{grams(found.per_unit, chosen, signed=True)} for each {unit} more"


def run_lines(build: Build, derived: Derived) -> list[str]:
    """How far a sinking plug must fall before a watch tells its speed; empty for others."""
    speed, N = derived.value("sink_rate"), derived.value("net_in_water")
    V, water = derived.value("displaced_volume"), derived.water
    if speed is None or N is None or V is None or water is None or N.value <= 0:
        return []
    try:
        way = distance_to_terminal(speed.value, N.value / (water.density * V.value))
    except OutsideValidity:
        return []
    shown = f"{plain(way * 100, 2)} cm"
    line = (
        f"It needs about {shown} of fall to come to 95 % of its speed; the sum takes the start "
        "into account, a longer way makes it more certain."
    )
    return list(folded([line]))
