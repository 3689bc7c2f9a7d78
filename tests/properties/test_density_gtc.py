"""Random density tests against GTC, which knows nothing of this project's rules but the GUM's.

GTC 1.5.1 (Measurement Standards Laboratory of New Zealand) carries every uncertain number
with its influences and degrees of freedom.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from GTC import dof, type_a, uncertainty, ureal, value
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from wizard.certainty.expanded import expanded
from wizard.plug.derive import derive
from wizard.store.profile import read

STEPS = st.sampled_from([0.01, 0.02, 0.05, 0.1])
LIMITS = st.sampled_from([0.0, 0.02, 0.05])
SIDE = st.integers(15_00, 60_00).map(lambda n: n / 100)  # mm to 0.01
NEAR = st.integers(-12, 12).map(lambda n: n / 100)


@st.composite
def pieces(draw: st.DrawFn) -> dict[str, Any]:
    """One block: sides, up to three further readings of its thickness, and a mass."""
    sides = [draw(SIDE) for _ in range(3)]
    density = draw(st.floats(0.15, 0.8))
    again = draw(st.lists(NEAR, max_size=3))
    return {
        "sides": sides,
        "thickness": [sides[2], *(round(sides[2] + d, 2) for d in again)],
        "mass": round(sides[0] * sides[1] * sides[2] * density / 1000, 2),
    }


def profile(parts: list[dict[str, Any]], bench: dict[str, float]) -> str:
    rows = "".join(
        f"""
[[density.sample]]
method = "block"
length = "{p["sides"][0]:.2f} mm"
width = "{p["sides"][1]:.2f} mm"
thickness = "{p["thickness"][0]:.2f} mm"
thickness_again = [{", ".join(f'"{t:.2f} mm"' for t in p["thickness"][1:])}]
mass = "{p["mass"]:.2f} g"
"""
        for p in parts
    )
    return f"""format = 1
[density]
length_resolution = "{bench["step"]} mm"
length_accuracy = "{bench["limit"]} mm"
mass_resolution = "{bench["scale"]} g"
mass_accuracy = "{bench["scale_limit"]} g"
{rows}"""


BENCHES = st.fixed_dictionaries(
    {"step": STEPS, "limit": LIMITS, "scale": STEPS, "scale_limit": LIMITS}
)


def by_gtc(parts: list[dict[str, Any]], bench: dict[str, float], *, widened: bool) -> Any:
    """The plain mean of the densities [g/mL], its scatter widened by t or with its freedom."""
    caliper = ureal(0.0, bench["limit"] / math.sqrt(3))
    scale = ureal(0.0, bench["scale_limit"] / math.sqrt(3))

    def read_at(readings: list[float], step: float, bias: Any) -> Any:
        shown = _type_a(readings, widened=widened)
        return shown + ureal(0.0, step / math.sqrt(12)) + bias

    densities = []
    for part in parts:
        length, width = (read_at([s], bench["step"], caliper) for s in part["sides"][:2])
        thickness = read_at(part["thickness"], bench["step"], caliper)
        mass = read_at([part["mass"]], bench["scale"], scale)
        densities.append(1000 * mass / (length * width * thickness))
    seen = _type_a([value(d) for d in densities], widened=widened)
    return sum(densities) / len(densities) + (seen - value(seen))


def _type_a(readings: list[float], *, widened: bool) -> Any:
    if len(readings) < 2:
        return ureal(readings[0], 0.0)
    found = type_a.estimate(readings)
    n = len(readings)
    if widened:
        t = float(stats.t.ppf(0.5 + 0.6827 / 2, n - 1))
        return ureal(value(found), t * uncertainty(found))
    return ureal(value(found), uncertainty(found), n - 1)


@given(st.lists(pieces(), min_size=1, max_size=4), BENCHES)
@settings(max_examples=60, deadline=None)
def test_mean_density_against_gtc(parts: list[dict[str, Any]], bench: dict[str, float]) -> None:
    build, _ = read(profile(parts, bench).encode(), "test")
    found = derive(build)
    if any("differ much in certainty" in f.wrong for f in found.findings):
        return  # weighted: another estimate
    density = found.value("wood_density")
    assert density is not None
    ours = by_gtc(parts, bench, widened=True)
    assert density.value / 1000 == pytest.approx(value(ours), rel=1e-9)
    assert density.u / 1000 == pytest.approx(uncertainty(ours), rel=1e-6)


@given(st.lists(pieces(), min_size=2, max_size=4), BENCHES)
@settings(max_examples=60, deadline=None)
def test_effective_freedom_against_gtc(
    parts: list[dict[str, Any]], bench: dict[str, float]
) -> None:
    build, _ = read(profile(parts, bench).encode(), "test")
    found = derive(build)
    if any("differ much in certainty" in f.wrong for f in found.findings):
        return
    density = found.value("wood_density")
    assert density is not None
    gtc = by_gtc(parts, bench, widened=False)
    own = expanded(density)
    assert own.half_width / own.factor / 1000 == pytest.approx(uncertainty(gtc), rel=1e-6)
    if dof(gtc) < 900:
        assert own.freedom == pytest.approx(dof(gtc), rel=1e-6)
        k = float(stats.t.ppf(0.975, max(int(dof(gtc) * (1 + 1e-9)), 1)))
        assert own.factor == pytest.approx(max(k, 2.0), rel=1e-6)
    else:
        assert own.factor == pytest.approx(2.0, abs=0.01)


def test_the_calipers_own_error_is_common_to_all_samples() -> None:
    bench = {"step": 0.0, "limit": 0.05, "scale": 0.0, "scale_limit": 0.0}
    part = {"sides": [20.0, 20.0, 20.0], "thickness": [20.0], "mass": 3.2}
    other = {"sides": [20.0, 20.0, 20.0], "thickness": [20.0], "mass": 3.21}
    one, _ = read(profile([part], bench).encode(), "test")
    many, _ = read(profile([part, other] * 4, bench).encode(), "test")
    shared = 3 * 0.05 / math.sqrt(3) / 20.0

    def caliper(build: Any) -> float:
        density = derive(build).value("wood_density")
        assert density is not None
        sources = {c.where: u for c, u in density.sources().items()}
        return abs(sources["density.length_accuracy"]) / density.value

    assert caliper(one) == pytest.approx(shared, rel=1e-9)
    assert caliper(many) == pytest.approx(shared, rel=1e-9)  # more samples do not shrink it
