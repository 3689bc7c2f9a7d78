"""Sum and tank side by side: the best of both and the suspects, against arithmetic by hand."""

from __future__ import annotations

import math
import random
from typing import Any

import numpy as np
import pytest
import tomli_w

from tests.properties.simulated_plug import (
    AREA,
    FILL,
    FILM,
    LEAD,
    RHO,
    STEEL,
    THICKNESS,
    Plug,
    plug_and_profile,
    tried,
)
from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.plug.tank.explain import Explanation, explain, standing
from wizard.plug.tank.taped import taped
from wizard.quantity.reading import read as read_quantity
from wizard.report.lying import lying_lines
from wizard.report.mending import suspect_lines, verdict_lines
from wizard.store import profile


def read(tables: dict[str, Any]) -> Build:
    return profile.read(tomli_w.dumps(tables).encode(), "a.toml")[0]


def told(tables: dict[str, Any]) -> tuple[Build, Derived, Explanation]:
    build = read(tables)
    derived = derive(build)
    found = explain(build, derived)
    assert found is not None
    return build, derived, found


def si(text: str) -> float:
    found = read_quantity(text, "mass")
    assert not hasattr(found, "reason")
    return float(found.value)


class ByHand:
    """Slopes of the net weight of a simulated plug, written down from the balance."""

    def __init__(self, tables: dict[str, Any]) -> None:
        self.body = si(tables["weighing"]["mass"])
        self.wood = float(tables["density"]["sample"][0]["density"].split()[0])
        self.hole = 3.0e-6
        self.lead = si(tables["ballast"]["piece"][0]["mass"])
        self.hooks = 2 * si(tables["hardware"][0]["mass"])
        self.film = FILM * AREA * THICKNESS

    @property
    def effects(self) -> dict[str, float]:
        """What one standard uncertainty of each does to N [kg]."""
        return {
            "wood": (RHO * self.body / self.wood**2 - self.hole) * 0.02 * self.wood,
            "coats": (1 - RHO / FILM) * 0.30 * self.film,
            "holes": (FILL - self.wood) * 0.05 * self.hole,
            "hooks": (1 - RHO / STEEL) * 0.03 * self.hooks,
            "lead": (1 - FILL / LEAD) * 0.01 * self.lead,
            "bias": (1 - RHO / self.wood) * 0.02e-3 / math.sqrt(3.0),
            "step": (1 - RHO / self.wood) * 0.01e-3 / math.sqrt(12.0),
        }

    @property
    def net(self) -> float:
        """N as planned [kg]."""
        mass = self.body - self.wood * self.hole + self.lead + self.hooks + self.film
        mass += FILL * (self.hole - self.lead / LEAD)
        return mass - RHO * (self.body / self.wood + self.hooks / STEEL + self.film / FILM)


def weighed_plug(seed: str = "plain") -> tuple[Plug, dict[str, Any]]:
    dice = random.Random(seed)
    while True:
        plug, tables = plug_and_profile(dice, 0.10)
        if plug.net > 0.5e-3:
            tables["trial"] = [tried(dice, plug)]
            return plug, tables


@pytest.mark.parametrize("seed", ["a", "b", "c"])
def test_the_best_of_both_is_the_least_squares_mean(seed: str) -> None:
    """Mean and variance of a conditioned normal vector (numpy), the scale's bias in both."""
    _, tables = weighed_plug(seed)
    hand = ByHand(tables)
    _, _, found = told(tables)
    slopes = np.array([*hand.effects.values(), 0.0])
    tank = np.zeros(len(slopes))
    tank[list(hand.effects).index("bias")] = 0.02e-3 / math.sqrt(3.0)
    tank[-1] = 0.01e-3 / math.sqrt(12.0)
    gap = si(tables["trial"][0]["weight"]) - hand.net
    row = tank - slopes
    variance, shared = row @ row, slopes @ row
    best = hand.net - shared / variance * gap
    assert found.predicted.value == pytest.approx(hand.net, abs=2e-8)
    # The doubts that nobody stated stand beside those that were: films, holes, hooks, lead.
    assert found.presumed.value == pytest.approx(hand.net, abs=2e-8)
    assert found.presumed.u == pytest.approx(math.sqrt(slopes @ slopes), rel=2e-3)
    assert found.best.value == pytest.approx(best, abs=2e-8)
    u = math.sqrt(slopes @ slopes - shared**2 / variance)
    widened = max(1.0, abs(gap) / (2 * math.sqrt(variance)))
    assert found.best.u == pytest.approx(u * widened, rel=1e-3)


def test_each_suspect_has_its_slope_and_its_doubt() -> None:
    _, tables = weighed_plug()
    hand = ByHand(tables)
    _, _, found = told(tables)
    by_name = {a.suspect.what: a.suspect for a in found.accused}
    names = {
        "density of the wood": "wood",
        "all coats": "coats",
        "drilled holes": "holes",
        "all hardware": "hooks",
        "the ballast": "lead",
    }
    for what, name in names.items():
        suspect = by_name[what]
        effect = suspect.net(RHO) * suspect.doubt
        assert effect == pytest.approx(hand.effects[name], rel=2e-3), name
    scale = by_name["the scale"]
    both = math.hypot(hand.effects["bias"], hand.effects["step"])
    assert abs(scale.net(RHO) * scale.doubt) == pytest.approx(both, rel=2e-3)


def test_what_a_suspect_would_need_does_close_the_gap() -> None:
    """The needed change put into the formula of the balance gives the tank's answer."""
    _, tables = weighed_plug()
    _, _, found = told(tables)
    for accused in found.accused:
        suspect = accused.suspect
        hand = ByHand(tables)
        factor = 1.0 + accused.needed / suspect.value
        if suspect.what == "density of the wood":
            hand.wood *= factor
        elif suspect.what == "all coats":
            hand.film *= factor
        elif suspect.what == "drilled holes":
            hand.hole *= factor
        elif suspect.what == "all hardware":
            hand.hooks *= factor
        elif suspect.what == "the ballast":
            hand.lead *= factor
        elif suspect.what == "the scale":
            hand.body *= factor
        else:
            continue
        # Of the wood the balance is not a straight line, of all else it is.
        loose = 0.06 * abs(found.gap.value) if suspect.what == "density of the wood" else 1e-7
        assert hand.net == pytest.approx(found.measured.value, abs=loose), suspect.what


def test_the_likely_changes_of_all_together_close_the_gap() -> None:
    _, tables = weighed_plug()
    _, _, found = told(tables)
    moved = sum(a.likely * a.suspect.net(RHO) for a in found.accused)
    # What is left over is the tank's own doubt, which is far smaller here.
    assert moved == pytest.approx(found.best.value - found.predicted.value, abs=2e-5)


def test_the_least_unlikely_comes_first() -> None:
    _, tables = weighed_plug()
    _, _, found = told(tables)
    doubts = [abs(a.doubts) for a in found.accused]
    assert doubts == sorted(doubts)
    assert found.accused[0].suspect.what == "density of the wood"


def test_where_sum_and_tank_stand_holds_at_the_stated_rate() -> None:
    """Of 150 simulated plugs, N, V and M lie within k = 2 in 95.4 % of cases, give or take 4 s."""
    dice = random.Random("standing")
    inside = {"net": 0, "volume": 0, "mass": 0}
    cases = 150
    for _ in range(cases):
        plug, tables = plug_and_profile(dice, dice.choice((0.0, 0.08, 0.15)))
        tables["trial"] = [tried(dice, plug)]
        build = read(tables)
        derived = derive(build)
        assert derived.water is not None
        now = standing(build, derived.numbers, derived.wood, derived.water)
        assert now is not None
        for name in inside:
            value = getattr(now, name)
            inside[name] += abs(getattr(plug, name) - value.value) <= 2 * value.u
    least = 0.9545 - 4 * math.sqrt(0.9545 * 0.0455 / cases)
    assert min(inside.values()) >= least * cases


def test_disagreement_is_said_and_widens_the_best() -> None:
    _, tables = weighed_plug()
    off = si(tables["trial"][0]["weight"]) + 5e-3
    tables["trial"][0]["weight"] = f"{off * 1e3:.2f} g"
    build, derived, found = told(tables)
    assert not found.agree
    text = "\n".join(verdict_lines(build, derived))
    assert "they do not agree" in text
    assert "repeat the trial before mending" in text
    assert "of water in it" in "\n".join(suspect_lines(build, derived))
    assert "The tank says otherwise: " in "\n".join(lying_lines(build, derived))
    _, _, plain = told(weighed_plug()[1])
    assert plain.agree
    assert found.best.u > plain.best.u


def test_nothing_is_suspected_of_being_less_than_nothing() -> None:
    _, tables = weighed_plug()
    _, _, plain = told(tables)
    tables["trial"][0]["weight"] = "0.05 g"  # far lighter than summed, and than its films
    build, derived, found = told(tables)
    kept = {one.suspect.what for one in found.accused}
    assert {one.suspect.what for one in plain.accused} - kept == {"all coats", "drilled holes"}
    for one in found.accused:
        assert one.suspect.value + one.needed > 0
    assert "all coats" not in "\n".join(suspect_lines(build, derived))


def test_what_was_seen_is_not_talked_away_by_the_numbers() -> None:
    _, tables = weighed_plug()
    tables["aim"]["margin"] = "12 %"  # which it has
    build, derived, _ = told(tables)
    assert "so                 nothing to mend" in "\n".join(verdict_lines(build, derived))
    tables["trial"].append({"kind": "look", "as_asked": "no"})
    build, derived, _ = told(tables)
    text = " ".join(" ".join(verdict_lines(build, derived)).split())
    assert "but it was seen to do otherwise (trial 2): weigh it under water" in text
    tables["trial"].append({"kind": "look", "as_asked": "yes"})
    build, derived, _ = told(tables)
    assert "seen to do otherwise" not in "\n".join(verdict_lines(build, derived))


def test_what_is_assumed_is_named_as_such() -> None:
    _, tables = weighed_plug()
    # Of a board known to 0.2 %, so that films and holes are most of the doubt.
    tables["density"]["sample"][0]["uncertainty"] = "1 kg/m3"
    build, derived, _ = told(tables)
    assert "with films, holes and hooks in doubt too" in "\n".join(verdict_lines(build, derived))
    lines = " ".join(" ".join(suspect_lines(build, derived)).split())
    assert "assumed because a film is met to about a third" in lines
    assert "assumed because a drill wanders and breaks out" in lines
    wood = lines[lines.index("density of the wood") :]
    assert "assumed" not in wood[: wood.index("x its doubt") + 12]


# Before drilling ----------------------------------------------------------------


def taped_net(plug: Plug, lead: float, tape: float) -> float:
    """N of the bare body with hooks, ballast and tape outside [kg]: Archimedes, part by part."""
    parts = ((plug.body, plug.wood), (plug.hooks, STEEL), (lead, LEAD), (tape, 1200.0))
    return sum(m * (1 - RHO / density) for m, density in parts)


def taped_profile(dice: random.Random) -> tuple[Plug, dict[str, Any], float]:
    """A plug before it is drilled, its ballast taped on, and the ballast that it really needs."""
    plug, tables = plug_and_profile(dice, 0.10)
    del tables["ballast"]["piece"]
    lead, tape = 18e-3, 0.4e-3
    net = taped_net(plug, lead, tape)
    trial: dict[str, Any] = {
        "kind": "taped", "ballast": f"{lead * 1e3:.2f} g", "tape": f"{tape * 1e3:.2f} g",
    }  # fmt: skip
    if net < 0:
        weight = -net / (1 - RHO / LEAD)
        trial |= {"result": "floats", "weight": f"{weight * 1e3:.2f} g", "density": "11.34 g/mL"}
    else:
        trial |= {"result": "sinks", "spare": f"{net / (1 - RHO / LEAD) * 1e3:.2f} g"}
    tables["trial"] = [trial]
    wanted = 1.10 * RHO * plug.volume
    others = plug.body - plug.wood * plug.hole + plug.hooks + plug.film + FILL * plug.hole
    return plug, tables, (wanted - others) / (1 - FILL / LEAD)


def test_what_a_taped_plug_should_show_is_archimedes_part_by_part() -> None:
    dice = random.Random("taped")
    plug, tables, _ = taped_profile(dice)
    hand = ByHand(tables | {"ballast": {"piece": [{"mass": "1 g"}]}})
    plug.wood, plug.body, plug.hooks = hand.wood, hand.body, hand.hooks
    build = read(tables)
    derived = derive(build)
    answer = derived.value("ballast_mass")
    assert answer is not None
    shown = taped(build, derived.wood.density, answer.value, 0)
    assert shown is not None
    assert shown.predicted.value == pytest.approx(taped_net(plug, 18e-3, 0.4e-3), abs=2e-8)


def test_a_taped_proof_with_no_weight_yet_says_what_to_hang_on_or_take_off() -> None:
    from wizard.report.tank import taped_lines

    _, tables, _ = taped_profile(random.Random("half told"))
    (trial,) = tables["trial"]
    for gone in ("weight", "density", "spare"):
        trial.pop(gone, None)
    build = read(tables)
    found = taped(build, derive(build).wood.density, 18e-3, 0)
    assert found is not None
    summed = "sinks" if found.predicted.value > 0 else "floats"
    for went, said in (("sinks", "take some off until it"), ("floats", "hang weights on until it")):
        trial["result"] = went
        text = " ".join(" ".join(taped_lines(read(tables), derive(read(tables)))).split())
        beside = "as summed" if went == summed else f"where the sum says it {summed}"
        assert f"it {went}, {beside}; to correct the ballast, {said}" in text


def test_the_taped_proof_puts_the_ballast_right() -> None:
    """Of 60 simulated plugs the ballast really needed lies within k = 2 in 54 or more.

    Fewer would happen in 1 of 100 such tests at a true 95 %. It is far nearer than before.
    """
    dice = random.Random("before drilling")
    inside, before, after = 0, [], []
    for _ in range(60):
        _, tables, needed = taped_profile(dice)
        derived = derive(read(tables))
        planned, right = derived.value("ballast_mass"), derived.value("proof_ballast")
        assert planned is not None
        assert right is not None
        inside += abs(needed - right.value) <= 2 * right.u
        before.append(planned.value - needed)
        after.append(right.value - needed)
    assert inside >= 54
    assert np.std(after) < 0.4 * np.std(before)


def test_a_tilt_as_taped_says_where_the_ballast_belongs() -> None:
    """Nose-down by 4 degrees more than summed: the ballast goes aft, and not without reason."""
    dice = random.Random("tilt")
    _, tables, _ = taped_profile(dice)
    tables["ballast"]["hole"][0]["x"] = "48 mm"
    expected = taped(read(tables), derive(read(tables)).wood.density, 18e-3, 0)
    assert expected is not None
    assert expected.pitch is not None
    tables["trial"][0]["angle"] = f"{math.degrees(expected.pitch):.6f} deg"
    as_planned = taped(read(tables), derive(read(tables)).wood.density, 18e-3, 0)
    assert as_planned is not None
    assert as_planned.shift == pytest.approx(0.0, abs=2e-4)
    tables["trial"][0]["angle"] = f"{math.degrees(expected.pitch) + 4.0:.6f} deg"
    nose_heavy = taped(read(tables), derive(read(tables)).wood.density, 18e-3, 0)
    assert nose_heavy is not None
    assert nose_heavy.shift is not None
    assert nose_heavy.shift > 5e-4
