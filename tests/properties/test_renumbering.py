"""Rows taken out: what names others by number goes on naming the same ones."""

from __future__ import annotations

from pathlib import Path

from wizard.plug.derive import derive
from wizard.plug.paths import put
from wizard.plug.record import Build, MendDone, PlugWeighing, Trial
from wizard.quantity.reading import Quantity
from wizard.steps.answering import less_row
from wizard.steps.ballast import HOLES
from wizard.steps.mends import MENDS
from wizard.store import profile

DEMO = Path(__file__).parents[2] / "profiles" / "harbour-dart.toml"


def demo() -> Build:
    return profile.read(DEMO.read_bytes(), DEMO.name)[0]


def grams(text: str) -> Quantity:
    return Quantity(text, float(text.split()[0]) * 1e-3, "mass", "g")


def test_pieces_stay_in_their_hole_when_another_is_taken_out() -> None:
    build = demo()
    assert build.ballast is not None
    left = less_row(build, HOLES, 0)
    assert left.ballast is not None
    assert left.ballast.hole == build.ballast.hole[1:]
    told = [(p.mass.text, p.hole) for p in left.ballast.piece if p.mass]
    assert told == [("5.8 g", None), ("3.8 g", 1)]
    last = less_row(build, HOLES, 1)
    assert last.ballast is not None
    assert [p.hole for p in last.ballast.piece] == [1, None]


def test_a_mend_taken_out_leaves_the_others_on_their_side_of_a_trial() -> None:
    """A slip of 0.3 g before the weighing goes; the 0.5 g after it still add to what it read."""
    lead = Quantity("11.34 g/mL", 11340.0, "density", "g/mL")
    mends = tuple(MendDone("add", grams(text), density=lead) for text in ("0.3 g", "0.5 g"))
    build = put(demo(), ("mend",), mends)
    build = put(build, ("weight",), (PlugWeighing("finished", grams("39.00 g"), mends=1),))
    build = put(build, ("trial",), (Trial("look", mends=2), Trial("look")))
    left = less_row(build, MENDS, 0)
    assert [t.mends for t in left.trial] == [1, None]
    assert left.weight[0].mends is None
    weight = derive(left).value("finished_mass")
    assert weight is not None
    assert round(weight.value, 9) == 39.50e-3
