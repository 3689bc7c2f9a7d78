"""Sum and tank side by side: whether they agree, the best of both, and what explains a miss."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from wizard.certainty import Cause, Uncertain, measured
from wizard.certainty.adjusting import adjusted, agrees, widened
from wizard.physics.water import OutsideValidity, seawater_density
from wizard.plug.body.lying import HANGS
from wizard.plug.body.sinking import drag_cause, drag_doubt, drag_factor
from wizard.plug.density.wood import WoodTest
from wizard.plug.derived import Derived
from wizard.plug.doubts import bench_scale
from wizard.plug.numbers import Number, Term, Working
from wizard.plug.paths import words
from wizard.plug.record import Build
from wizard.plug.tank.suspects import SCALE, Suspect, assumed_part, suspects
from wizard.plug.tank.trials import WAYS
from wizard.plug.waters import Water, tank_water

METHOD = "conditional mean of jointly normal values; beyond k = 2 widened as by Birge (1932)"
DRAG_PATH = ("drag", "factor")
SALTED = 0.5
"""Standard uncertainty of a tank's salinity that nobody checked [practical]: a judgement."""


@dataclass(frozen=True, slots=True)
class Standing:
    """Where the finished plug stands, by sum and tank together.

    All three carry what is assumed where nothing was stated, beside what was.

    Attributes:
        net: N, weight left in the fishing water [kg].
        volume: V [m3].
        mass: M [kg].
        margin: s of the aim [1]; None while that is not known.
        gap: what the tank says less what the sum says [kg]; None without a trial that tells.
        suspects: all that the sum rests on.
    """

    net: Uncertain
    volume: Uncertain
    mass: Uncertain
    margin: Uncertain | None
    gap: Uncertain | None
    suspects: tuple[Suspect, ...]

    def knowing(self, value: Uncertain) -> Uncertain:
        """A value of the sum, put right by the tank."""
        return value if self.gap is None else adjusted(value, self.gap)


@dataclass(frozen=True, slots=True)
class Accused:
    """How one suspect would explain a miss.

    Attributes:
        suspect: which.
        needed: by how much it would have to be other than taken, alone [core unit].
        likely: by how much it most likely is, all suspects together [core unit].
    """

    suspect: Suspect
    needed: float
    likely: float

    @property
    def doubts(self) -> float:
        """The needed change in the suspect's own standard uncertainties [1]."""
        return self.needed / self.suspect.doubt


@dataclass(frozen=True, slots=True)
class Explanation:
    """What the tank makes of the sum.

    Attributes:
        measured: N by the tank [kg].
        predicted: N by the sum [kg].
        presumed: the same, with the doubts that nobody stated beside the others [kg].
        agree: whether they do, by what was stated (k = 2).
        best: both together, weighted by certainty [kg].
        accused: what may explain the gap, the least unlikely first.
    """

    measured: Uncertain
    predicted: Uncertain
    presumed: Uncertain
    agree: bool
    best: Uncertain
    accused: tuple[Accused, ...]

    @property
    def gap(self) -> Uncertain:
        """Tank less sum [kg], by what was stated."""
        return self.measured - self.predicted


def standing(
    build: Build,
    numbers: Mapping[str, Number],
    wood: WoodTest,
    water: Water,
    margin: Uncertain | None = None,
) -> Standing | None:
    """Where the plug stands by sum and tank; None while the sum is not known.

    Source: least-squares adjustment of the sum to the tank; see `certainty.adjusting`.
    """
    known = [numbers.get(n) for n in ("net_in_water", "displaced_volume", "finished_mass")]
    N, V, M = (None if n is None else n.value for n in known)
    if N is None or V is None or M is None:
        return None
    answer = numbers.get("ballast_mass")
    found = suspects(build, wood, None if answer is None else max(answer.value.value, 0.0))
    N = N + assumed_part(found, lambda s: s.net(water.buoyant))
    V = V + assumed_part(found, lambda s: s.volume)
    M = M + assumed_part(found, lambda s: s.mass)
    proof = numbers.get("proof_net")
    if proof is None:
        return Standing(N, V, M, margin, None, found)
    gap = _with_assumed(build, proof.value, V) - N
    best = widened(adjusted(N, gap), gap, "trial")
    after = [adjusted(value, gap) for value in (V, M)]
    aim = None if margin is None else adjusted(margin, gap)
    return Standing(best, after[0], after[1], aim, gap, found)


def best_net(
    build: Build, numbers: Mapping[str, Number], wood: WoodTest, water: Water
) -> tuple[Number, ...]:
    """Sum and tank as one number; nothing until both are known."""
    now = standing(build, numbers, wood, water)
    if now is None or now.gap is None:
        return ()
    terms = (
        Term("N", "by the sum", numbers["net_in_water"].value, "g"),
        Term("N_tank", "by the tank", numbers["proof_net"].value, "g"),
        Term("gap", "tank less sum, with what is assumed", now.gap, "g"),
    )
    working = Working(
        "N_best = N - cov(N, gap) / var(gap) gap: the mean weighted by certainty", terms, METHOD
    )
    return (Number("best_net", now.net, working),)


def _with_assumed(build: Build, proof: Uncertain, volume: Uncertain) -> Uncertain:
    """The tank's answer with what nobody stated of it: the scale, an unchecked brine."""
    out = proof
    if proof.u == 0:
        out = out + measured(0.0, SCALE, Cause("trial", "assumed"))
    salted = _salted(build)
    if salted is not None:
        slope = volume.value * _per_salinity(salted[1])
        out = out + measured(0.0, slope * SALTED, Cause("tank.salinity", "assumed"))
    return out


def _salted(build: Build) -> tuple[float, Water] | None:
    """Salt as typed [g/kg] and water of the first trial in a tank whose density nobody checked."""
    from wizard.plug.tank.water import tank_checks

    checked = bool(tank_checks(build)[0])
    for i, trial in enumerate(build.trial):
        own = trial.temperature or trial.salinity or trial.salt
        if checked and own is None:
            continue
        tank, _ = tank_water(build, trial, ("trial", i))
        salted = trial.salt or trial.salinity or build.tank.salt or build.tank.salinity
        if tank is not None and salted is not None and salted.value > 0:
            return salted.value, tank
    return None


def _per_salinity(tank: Water) -> float:
    """What a unit of salinity adds to the density of a tank [kg/m3]; of any brine about as much."""
    try:
        t = tank.temperature
        return seawater_density(t, 35.0) - seawater_density(t, 34.0)
    except OutsideValidity:
        return 0.76


def explain(build: Build, derived: Derived) -> Explanation | None:
    """What the tank makes of the sum; None until both are known."""
    P, N = derived.value("proof_net"), derived.value("net_in_water")
    M, water = derived.value("finished_mass"), derived.water
    if P is None or N is None or M is None or water is None:
        return None
    now = standing(build, derived.numbers, derived.wood, water)
    if now is None or now.gap is None:
        return None
    accused = sorted(_accused(build, now, P, water), key=lambda a: abs(a.doubts))
    agree = agrees(P - N, HANGS * M.value)
    presumed = N + assumed_part(now.suspects, lambda s: s.net(water.buoyant))
    return Explanation(P, N, presumed, agree, now.net, tuple(accused))


def _accused(build: Build, now: Standing, proof: Uncertain, water: Water) -> Iterator[Accused]:
    assert now.gap is not None
    gap, variance = now.gap.value, now.gap.u**2
    for suspect in (*now.suspects, *_of_the_trial(build, now, proof)):
        slope = suspect.net(water.buoyant)
        effect = slope * suspect.doubt
        if abs(effect) < 1e-9 or variance == 0 or suspect.value + gap / slope <= 0:
            continue  # nothing that there is can be less than nothing
        yield Accused(suspect, gap / slope, suspect.doubt * effect * gap / variance)


def _of_the_trial(build: Build, now: Standing, proof: Uncertain) -> Iterator[Suspect]:
    """What the tank's own answer rests on; its slopes count against the sum."""
    sources = proof.sources()
    drag = drag_cause(build)
    if drag in sources:
        spread = 2.0 * drag_doubt(build).u * drag_factor(build)
        slope = -sources[drag] / spread
        because = "published drags differ" if build.drag.factor is None else ""
        yield Suspect(
            "the plug's drag, in published drags", DRAG_PATH, "1", drag_factor(build), spread,
            0.0, because, -slope, 0.0,
        )  # fmt: skip
    for cause, u in sources.items():
        if cause.where.endswith("time_accuracy") and u != 0:
            yield from _of_the_watch(build, cause, u)
    yield from _of_the_weights(build, proof)
    salted = _salted(build)
    if salted is not None:
        slope = now.volume.value * _per_salinity(salted[1])
        yield Suspect(
            "salt in the tank", ("tank", "salinity"), "1", salted[0], SALTED, SALTED,
            "nobody checked it by a bottle", -slope, 0.0,
        )  # fmt: skip


def _of_the_weights(build: Build, proof: Uncertain) -> Iterator[Suspect]:
    """The weights hung on, where a trial weight alone speaks for the tank."""
    telling = [t for t in build.trial if t.kind in WAYS]
    if len(telling) != 1 or telling[0].kind != "float" or not telling[0].weight:
        return
    doubt = bench_scale(build).reading(telling[0].weight, ("trial",)).u or SCALE
    weight = telling[0].weight.value
    if weight > 0:
        yield Suspect(
            "the trial weight", ("trial", 0, "weight"), "g", weight, doubt, 0.0, "",
            -proof.value / weight, 0.0,
        )  # fmt: skip


def _of_the_watch(build: Build, cause: Cause, u: float) -> Iterator[Suspect]:
    for i, trial in enumerate(build.trial):
        path = ("trial", i, "time_accuracy")
        if words(path) == cause.where and trial.time and trial.time_accuracy:
            doubt = trial.time_accuracy.value / 3.0**0.5
            yield Suspect(
                f"the time of trial {i + 1}", ("trial", i, "time"), "s", trial.time.value,
                doubt, 0.0, "", -u / doubt, 0.0,
            )  # fmt: skip
