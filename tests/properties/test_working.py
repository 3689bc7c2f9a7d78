"""The working as it is printed: done again with what it shows, each sum comes out as shown."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path

import pytest

from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.numbers import CATALOGUE, Term
from wizard.plug.record import Build
from wizard.report.left_out import LEFT_OUT
from wizard.report.showing import doubt, term, unrounded
from wizard.report.text import review
from wizard.report.working import lines
from wizard.store.opening import open_profile

PROFILES = sorted((Path(__file__).parents[2] / "profiles").glob("*.toml"))

Said = list[tuple[str, float]]
"""What a working puts in, as printed: symbol and value in their order."""


@cache
def derived(path: Path) -> tuple[Build, Derived]:
    """A demo build with its numbers."""
    build = open_profile(path).build
    return build, derive(build)


def printed(path: Path, name: str) -> tuple[Said, float, float]:
    """The values put in, the result before rounding and as shown, read off the lines."""
    build, found = derived(path)
    said: Said = []
    exact = shown = math.nan
    for line in lines(found.numbers[name], build.build.units):
        value = re.match(r"    (.+?) = (-?[\d.]+)", line)
        if value:
            said.append((value[1], float(value[2])))
        result = re.match(r"  = (-?[\d.]+).*?(?:rounded from (-?[\d.]+).*)?$", line)
        if result:
            shown = float(result[1])
            exact = float(result[2]) if result[2] else shown
    return said, exact, shown


def _only(said: Said, symbol: str) -> float:
    return next(value for name, value in said if name == symbol)


def _sum(said: Said) -> float:
    return sum(value for _, value in said)


def _counted(said: Said) -> float:
    return sum(int(name.removesuffix(" x")) * value for name, value in said)


def _ballast(said: Said) -> float:
    of = dict(said)
    net = of["M"] - of["m_others"]
    if "V_h" in of:
        net += (of["rho_wood"] - of["rho_fill"]) * of["V_h"]
        return net / (1 - of["rho_fill"] / of["rho_L"])
    q = of.get("q", 1.0)
    room = 1 - q * of["rho_wood"] / of["rho_L"]
    return net / (room + (q - 1) * of.get("rho_fill", 0.0) / of["rho_L"])


AGAIN: Mapping[str, Callable[[Said], float]] = {
    "body_volume": lambda s: _only(s, "m_b") / _only(s, "rho_wood"),
    "neutral_mass": lambda s: _only(s, "rho") * _only(s, "V"),
    "target_mass": lambda s: (1 + _only(s, "s")) * _only(s, "rho V"),
    "hardware_mass": _counted,
    "bench_ballast": lambda s: (
        _only(s, "V_b") * (1 + _only(s, "s")) - _only(s, "m_b") - _only(s, "m_hardware")
    ),
    "ballast_mass": _ballast,
    "finished_mass": _sum,
    "displaced_volume": _sum,
    "net_in_water": lambda s: _only(s, "M") - _only(s, "rho") * _only(s, "V"),
    "girth": lambda s: math.sqrt(_only(s, "V_b") / _only(s, "V_drawn")),
    "rest_pitch": lambda s: math.degrees(
        math.atan2(_only(s, "x_CB - x_CG"), _only(s, "z_CB - z_CG"))
    ),
}
"""The formulas of the book, done with a pocket calculator on what is printed."""


@pytest.mark.parametrize("path", PROFILES, ids=lambda path: path.stem)
def test_done_again_with_what_is_printed_it_comes_out_the_same(path: Path) -> None:
    _, found = derived(path)
    done = [name for name in AGAIN if name in found.numbers and not _is_searched(found, name)]
    assert len(done) >= 9
    for name in done:
        said, exact, shown = printed(path, name)
        again = AGAIN[name](said)
        assert again == pytest.approx(exact, rel=3e-5, abs=1e-4), name
        decimals = len(str(shown).partition(".")[2])
        assert again == pytest.approx(shown, abs=0.51 * 10.0**-decimals), name


def _is_searched(found: Derived, name: str) -> bool:
    """Whether a pitch is that of a floating plug, which no formula gives."""
    return name == "rest_pitch" and "draught" in found.numbers


def _amount(line: str) -> float:
    return float(re.findall(r"(-?[\d.]+)(?: ± [\d.]+)? g(?=\s|$)", line)[-1])


@pytest.mark.parametrize("path", PROFILES, ids=lambda path: path.stem)
def test_the_accounts_of_the_review_add_up_as_they_are_printed(path: Path) -> None:
    """To the last digit shown of the least certain line."""
    build, found = derived(path)
    text = review(build, found, ()).splitlines()
    account = text[text.index(next(li for li in text if li.startswith("Weight account"))) + 1 :]
    parts = [_amount(line) for line in account[: account.index("")]]
    assert sum(parts) == pytest.approx(found.numbers["finished_mass"].published[0], abs=0.02)
    start = text.index("From the bench sum to the full answer")
    first, *rest, last = text[start + 1 : text.index("", start)]
    terms = [-_amount(line) if line.startswith("  - ") else _amount(line) for line in rest]
    assert _amount(first) + sum(terms) == pytest.approx(_amount(last), abs=0.06)


@pytest.mark.parametrize("path", PROFILES, ids=lambda path: path.stem)
def test_every_number_says_where_its_values_come_from_and_what_it_leaves_out(path: Path) -> None:
    build, found = derived(path)
    origins = set()
    for entry in found.numbers.values():
        told = lines(entry, build.build.units)
        assert told[0] == CATALOGUE[entry.name].meaning
        assert told[-1].startswith("  not included: ")
        assert any(line.startswith("  source: ") for line in told)
        doubted = [line for line in told if " doubt comes from " in line or "  then from" in line]
        assert [line[:23] for line in doubted[:1]] in ([], ["  most doubt comes from "[:23]])
        assert all(line.startswith("  then from ") for line in doubted[1:])
        origins |= {t.origin for t in entry.working.terms}
    assert {"measured", "as typed", "worked out"} <= origins


def test_every_number_of_the_catalogue_names_what_is_not_in_it() -> None:
    assert set(LEFT_OUT) == set(CATALOGUE)


def test_a_doubt_has_two_digits_at_most() -> None:
    """JCGM 100:2008, 7.2.6."""
    for size, shown in ((2.488e-7, "0.25 mL"), (5.63e-8, "0.06 mL"), (1.2e-5, "12 mL")):
        assert doubt(size, "mL", {}) == shown


def test_a_value_put_in_says_whether_it_was_measured_or_taken() -> None:
    assert term(Term("q", "holes", 1.3, "1", "assumed"), {}) == "q = 1.3  (holes; assumed)"
    assert unrounded(1 / 3, "1", {}) == "0.3333333"
