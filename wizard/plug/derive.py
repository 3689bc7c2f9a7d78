"""From the record of a build to its numbers and findings: one way, for everyone.

The app, the text review and the JSON all call `derive`. A number that can't be
worked out is absent; `waits_for` says what it waits for.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from wizard.certainty import Uncertain, chance_above, exact
from wizard.physics.ballast import (
    ballast_mass,
    ballast_mass_in_holes,
    bench_ballast,
    target_mass,
)
from wizard.physics.parts import Part, mass, volume
from wizard.physics.validity import OutsideValidity
from wizard.plug import workings
from wizard.plug.account import (
    Account,
    account,
    body_mass,
    hardware_mass,
    whole_plug,
)
from wizard.plug.ballast.parts import (
    DEFAULT_FILLER,
    DEFAULT_METAL,
    ballast_density,
    dowel_density,
    dowels_mass,
    filler_density,
    hole_ratio,
    holes_volume,
    is_hollow,
    pieces_volume,
)
from wizard.plug.body.drawing import departures, drawn_body
from wizard.plug.chances import chance_of_aim, hanging_band
from wizard.plug.checks import odd
from wizard.plug.density.wood import WoodTest, wood_test
from wizard.plug.derived import Derived, Difference
from wizard.plug.findings import Finding
from wizard.plug.missing import missing
from wizard.plug.numbers import Number, Working
from wizard.plug.onward.carried import carried_findings
from wizard.plug.record import Build
from wizard.plug.waters import Water, fishing_water
from wizard.quantity.showing import plain


@dataclass
class _Sheet:
    """What is worked out so far; filled from top to bottom by `derive`."""

    build: Build
    numbers: dict[str, Number] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)

    def put(self, name: str, value: Uncertain | None, working: Working) -> Uncertain | None:
        if value is not None:
            self.numbers[name] = Number(name, value, working)
        return value

    def say(self, *findings: Finding) -> None:
        self.findings.extend(findings)


def derive(build: Build) -> Derived:
    """All numbers and findings of a build at any stage."""
    *_, whole = stages(build)
    return whole


def stages(build: Build) -> Iterator[Derived]:
    """The numbers as they become known: those that are sums at once, then all of them."""
    sheet = _Sheet(build)
    sheet.say(*odd(build), *departures(build), *carried_findings(build))
    water, said = fishing_water(build)
    sheet.say(*said)
    if water is not None:
        sheet.put("water_density", exact(water.density), workings.water_density(water))
    wood = wood_test(build)
    sheet.say(*wood.findings, *missing(build, wood.density is not None))
    sheet.put("wood_density", wood.density, workings.wood_density(build, wood))
    known = account(build, wood.density)
    _body_and_shape(sheet, known, wood)
    margin = _targets(sheet, known, water)
    answered = _ballast(sheet, known, water, margin)
    parts = known.others
    if build.ballast is not None:
        parts = whole_plug(build, known, None if answered is None else max(answered.value, 0.0))
        _finished(sheet, parts, water)
    differences = _differences(known, water, margin, sheet)
    waits = _waits_for(build)
    _provisional(sheet, waits)
    summed = (parts, wood, water, differences, margin, waits)
    if build.ballast is not None:
        yield Derived(dict(sheet.numbers), tuple(sheet.findings), *summed, is_whole=False)
        _after_the_sum(sheet, parts, water, wood, margin)
    yield Derived(sheet.numbers, tuple(sheet.findings), *summed)


def _body_and_shape(sheet: _Sheet, known: Account, wood: WoodTest) -> None:
    build = sheet.build
    weighed = body_mass(build)
    if weighed is not None and known.wood_density is not None:
        working = workings.body_volume(weighed, known.wood_density)
        sheet.put("body_volume", known.body_volume, working)
    body = drawn_body(build)
    if body is not None:
        sheet.put("shape_volume", exact(body.volume), workings.shape_volume(build))
        sheet.put("shape_area", exact(body.area), workings.shape_area(build))
    from wizard.plug.body.girth import girth_findings, girth_number
    from wizard.plug.crosschecks import volume_findings

    sheet.say(*volume_findings(build, known, wood))
    girth = girth_number(build, known.body_volume)
    if girth is not None:
        sheet.numbers[girth.name] = girth
        sheet.say(*girth_findings(girth.value.value))


def _targets(sheet: _Sheet, known: Account, water: Water | None) -> Uncertain | None:
    """Neutral and target weight; returns the margin s."""
    build = sheet.build
    outside = volume(known.others)
    if water is not None and outside is not None:
        neutral = sheet.put(
            "neutral_mass", water.buoyant * outside, workings.neutral_mass(water, outside)
        )
    else:
        neutral = None
    margin = _margin(build, water, outside)
    if margin is not None and neutral is not None and water is not None and outside is not None:
        target = target_mass(margin, water.buoyant, outside)
        sheet.put("target_mass", target, workings.target_mass(build, margin, neutral))
    hardware = hardware_mass(build)
    sheet.put("hardware_mass", hardware, workings.hardware_mass(build))
    weighed = body_mass(build)
    unknown_hardware = build.hardware is not None and hardware is None
    if weighed and known.wood_density and margin is not None and not unknown_hardware:
        hung = hardware or exact(0.0)
        bench = bench_ballast(weighed, known.wood_density, margin, hung)
        working = workings.bench_ballast(build, weighed, known.wood_density, margin, hung)
        sheet.put("bench_ballast", bench, working)
    return margin


def _margin(build: Build, water: Water | None, outside: Uncertain | None) -> Uncertain | None:
    """The margin s that the aim asks for [1]; None while the aim is not answered."""
    aim = build.aim
    if aim.behaviour == "suspends":
        return exact(0.0)
    sign = -1.0 if aim.behaviour == "floats" else 1.0
    if aim.behaviour is not None and aim.margin is not None:
        return exact(sign * abs(aim.margin.value))
    if aim.behaviour == "floats" and aim.freeboard_fraction is not None:
        return exact(-aim.freeboard_fraction.value)
    if aim.behaviour == "sinks" and aim.sink_rate is not None:
        if water is None or outside is None:
            return None
        from wizard.plug.body.sinking import margin_for_speed

        return margin_for_speed(build, water, outside, aim.sink_rate.value)
    return None


def _ballast(
    sheet: _Sheet, known: Account, water: Water | None, margin: Uncertain | None
) -> Uncertain | None:
    """The full answer for the ballast [kg]."""
    ballast = sheet.build.ballast
    if ballast is None:
        return None
    _assumed_ballast(sheet)
    _room(sheet, pieces_volume(ballast), holes_volume(ballast))
    from wizard.plug.ballast.drill_checks import drill_findings

    sheet.say(*drill_findings(sheet.build))
    metal, filler = ballast_density(ballast), filler_density(ballast)
    target, others = sheet.numbers.get("target_mass"), mass(known.others)
    wood = known.wood_density
    if target is None or others is None or wood is None or metal is None:
        return None
    laid_out = holes_volume(ballast)
    if ballast.hole and laid_out is None:
        return None
    q = hole_ratio(ballast)
    dowels = dowels_mass(ballast)
    if dowels is None or (filler is None and (laid_out is not None or q != 1.0)):
        return None
    fill, others = filler or 0.0, others + dowels
    try:
        if laid_out is not None:
            answer = ballast_mass_in_holes(target.value, others, wood, metal, fill, laid_out)
            working = workings.ballast_in_holes(
                target.value, others, wood, metal, fill, laid_out, ballast
            )
        else:
            answer = ballast_mass(target.value, others, wood, metal, fill, q)
            working = workings.ballast(target.value, others, wood, metal, fill, q, ballast)
    except OutsideValidity:
        sheet.say(_no_heavier())
        return None
    if answer.value < 0:
        over = -answer.value * 1000
        sheet.say(
            Finding(
                "warning",
                ("aim", "behaviour"),
                f"Without any ballast the plug is already {plain(over, 3)} g heavier than the aim.",
                "Use lighter wood or hardware, fewer coats, or another aim.",
            )
        )
    if pieces_volume(ballast) is None:
        _room(sheet, answer.value / metal, laid_out)
    return sheet.put("ballast_mass", answer, working)


def _no_heavier() -> Finding:
    return Finding(
        "warning",
        ("ballast", "density"),
        "Ballast this light adds nothing to the plug: it weighs no more than what it replaces.",
        "Look at the densities of metal and filler and at hole_ratio.",
    )


def _room(sheet: _Sheet, needed: float | None, holes: float | None) -> None:
    """Warn when the ballast does not fit its holes."""
    if needed is not None and holes is not None and needed > holes * (1 + 1e-6):
        sheet.say(
            Finding(
                "warning",
                ("ballast", "hole"),
                f"The ballast takes {plain(needed * 1e6, 3)} mL and the holes hold "
                f"{plain(holes * 1e6, 3)} mL.",
                "Drill deeper, wider or one hole more, or take a denser metal.",
            )
        )


def _assumed_ballast(sheet: _Sheet) -> None:
    ballast = sheet.build.ballast
    assert ballast is not None
    if ballast.density is None:
        if ballast.metal is None:
            sheet.say(
                Finding(
                    "warning",
                    ("ballast", "metal"),
                    f"No metal is named, so {DEFAULT_METAL} is taken.",
                    "Name the metal or its density.",
                )
            )
        elif ballast_density(ballast) is None:
            sheet.say(
                Finding(
                    "warning",
                    ("ballast", "metal"),
                    "This metal is not in the table, so the ballast can't be worked out.",
                    "Give its density.",
                )
            )
    needs_filler = bool(ballast.hole) or hole_ratio(ballast) != 1.0
    if needs_filler and is_hollow(ballast):
        if dowel_density(ballast) is None:
            sheet.say(
                Finding(
                    "warning",
                    ("ballast", "dowel_wood"),
                    "This wood is not in the table, so the dowels can't be worked out.",
                    "Give its density under filler_density.",
                )
            )
    elif needs_filler and ballast.filler_density is None:
        if ballast.filler is None:
            sheet.say(
                Finding(
                    "warning",
                    ("ballast", "filler"),
                    f"No filler is named, so {DEFAULT_FILLER} is taken.",
                    "Name the filler or its density.",
                )
            )
        elif filler_density(ballast) is None:
            sheet.say(
                Finding(
                    "warning",
                    ("ballast", "filler"),
                    "This filler is not in the table, so the backfill can't be worked out.",
                    "Give its density.",
                )
            )


def _finished(sheet: _Sheet, parts: tuple[Part, ...], water: Water | None) -> None:
    """Mass, volume, net in water and the chances of the finished plug."""
    M, V = mass(parts), volume(parts)
    sheet.put("finished_mass", M, workings.finished_mass(parts))
    sheet.put("displaced_volume", V, workings.displaced_volume(parts))
    if M is None or V is None or water is None:
        return
    N = M - water.buoyant * V
    sheet.put("net_in_water", N, workings.net_in_water(M, water, V))
    from wizard.plug.ballast.drill_checks import contradiction

    answer = sheet.numbers.get("ballast_mass")
    sheet.say(*contradiction(sheet.build, N.value, answer.value.value if answer else None))
    sinks = chance_above(N)
    if sinks is None:
        sheet.say(
            Finding(
                "note",
                ("weighing", "resolution"),
                "No resolution or scatter is stated, so the chance that it sinks is not known.",
                "State what the scale and the caliper can show.",
            )
        )
        return
    sheet.put("chance_sinks", exact(sinks), workings.chance_sinks(N))
    chance = chance_of_aim(sheet.build, N, M.value)
    if chance is not None:
        hangs = sheet.build.aim.behaviour == "suspends"
        band = hanging_band(sheet.build, M.value)
        working = workings.chance_hangs(N, band) if hangs else workings.chance_sinks(N)
        sheet.put("chance_aim", exact(chance), working)


def _differences(
    known: Account, water: Water | None, margin: Uncertain | None, sheet: _Sheet
) -> tuple[Difference, ...]:
    """The bench sum and the full answer, line by line; they add up exactly."""
    full, bench = sheet.numbers.get("ballast_mass"), sheet.numbers.get("bench_ballast")
    ballast, body, wood = sheet.build.ballast, known.body_volume, known.wood_density
    if full is None or bench is None or water is None or margin is None or ballast is None:
        return ()
    if body is None or wood is None:
        return ()
    s, rho = 1.0 + margin.value, water.buoyant
    hung, films = known.of("hardware"), known.of("coat")
    lines = [Difference("water is not 1 g/mL", s * (rho - 1000.0) * body)]
    hung_volume, hung_mass, film_volume, film_mass = (
        volume(hung), mass(hung), volume(films), mass(films),
    )  # fmt: skip
    if hung_volume is None or hung_mass is None or film_volume is None or film_mass is None:
        return ()
    if hung:
        lines.append(Difference("hardware pushes water aside", s * rho * hung_volume))
        replaced = (hardware_mass(sheet.build) or exact(0.0)) - hung_mass
        if replaced.value != 0:
            lines.append(Difference("shanks and wire take wood's place", replaced))
    if films:
        lines.append(Difference("coats weigh", -film_mass))
        lines.append(Difference("coats push water aside", s * rho * film_volume))
    metal, filler = ballast_density(ballast) or 1.0, filler_density(ballast) or 0.0
    holes = holes_volume(ballast)
    room = exact(holes) if holes is not None else hole_ratio(ballast) * full.value / metal
    lines.append(Difference("wood drilled out", wood * room))
    fill = filler * (room - full.value / metal)
    if abs(fill.value) > 1e-9:
        lines.append(Difference("backfill weighs", -fill))
    dowels = dowels_mass(ballast)
    if dowels:
        lines.append(Difference("dowels close the holes", exact(-dowels)))
    return tuple(lines)


def _waits_for(build: Build) -> tuple[str, ...]:
    """What must be answered, or accepted as planned, before a hole is drilled."""
    waits = []
    if build.hardware is None:
        waits.append("the hardware")
    elif any(item.mass is None for item in build.hardware):
        waits.append("the mass of all hardware")
    if build.coat is None:
        waits.append("the coats")
    elif any(c.mass is None and c.thickness is None for c in build.coat):
        waits.append("the film or mass of all coats")
    return tuple(waits)


def _provisional(sheet: _Sheet, waits: tuple[str, ...]) -> None:
    if sheet.build.ballast is not None and waits:
        sheet.say(
            Finding(
                "warning",
                ("ballast",),
                f"The ballast is provisional: {' and '.join(waits)} "
                f"{'are' if len(waits) > 1 or waits[0].endswith('s') else 'is'} "
                "not answered and counted as none so far.",
                "Do not drill yet.",
            )
        )


def _after_the_sum(
    sheet: _Sheet,
    parts: tuple[Part, ...],
    water: Water | None,
    wood: WoodTest,
    margin: Uncertain | None,
) -> None:
    """How it lies, how it sinks, what the tank said: loaded only when they can be known."""
    from wizard.plug.body.lying import at_rest
    from wizard.plug.tank.proof import proved

    numbers, findings = at_rest(sheet.build, parts, water)
    for number in numbers:
        sheet.numbers[number.name] = number
    sheet.say(*findings)
    if water is None:
        return
    proof = proved(sheet.build, sheet.numbers, parts, water)
    if proof.timed:
        sheet.numbers.pop("sink_rate", None)
    for number in proof.numbers:
        sheet.numbers[number.name] = number
    sheet.say(*proof.findings)
    _with_the_tank(sheet, water, wood, margin)


def _with_the_tank(sheet: _Sheet, water: Water, wood: WoodTest, margin: Uncertain | None) -> None:
    """What sum and tank say together: the weight in water, and the ballast before drilling."""
    told: list[Number] = []
    if "proof_net" in sheet.numbers:
        from wizard.plug.tank.explain import best_net

        told += best_net(sheet.build, sheet.numbers, wood, water)
    if any(trial.kind == "taped" for trial in sheet.build.trial):
        from wizard.plug.tank.taped import put_right

        told += put_right(sheet.build, sheet.numbers, wood, water, margin)
    for number in told:
        sheet.numbers[number.name] = number
