"""Drill series and wire gauges against their standards."""

from fractions import Fraction

import fluids.piping
import pytest

from wizard import tables
from wizard.tables import Drill

# ANSI/ASME B94.11M, number and letter series in inches, from a transcription other than
# the one the table was made from.
NUMBERS = """
80 .0135 79 .0145 78 .0160 77 .0180 76 .0200 75 .0210 74 .0225 73 .0240 72 .0250 71 .0260
70 .0280 69 .0292 68 .0310 67 .0320 66 .0330 65 .0350 64 .0360 63 .0370 62 .0380 61 .0390
60 .0400 59 .0410 58 .0420 57 .0430 56 .0465 55 .0520 54 .0550 53 .0595 52 .0635 51 .0670
50 .0700 49 .0730 48 .0760 47 .0785 46 .0810 45 .0820 44 .0860 43 .0890 42 .0935 41 .0960
40 .0980 39 .0995 38 .1015 37 .1040 36 .1065 35 .1100 34 .1110 33 .1130 32 .1160 31 .1200
30 .1285 29 .1360 28 .1405 27 .1440 26 .1470 25 .1495 24 .1520 23 .1540 22 .1570 21 .1590
20 .1610 19 .1660 18 .1695 17 .1730 16 .1770 15 .1800 14 .1820 13 .1850 12 .1890 11 .1910
10 .1935 9 .1960 8 .1990 7 .2010 6 .2040 5 .2055 4 .2090 3 .2130 2 .2210 1 .2280
"""
LETTERS = """
A .234 B .238 C .242 D .246 E .250 F .257 G .261 H .266 I .272 J .277 K .281 L .290 M .295
N .302 O .316 P .323 Q .332 R .339 S .348 T .358 U .368 V .377 W .386 X .397 Y .404 Z .413
"""


def series(name: str) -> list[Drill]:
    return [drill for drill in tables.drills().values() if drill.series == name]


@pytest.mark.parametrize(("name", "printed"), [("number", NUMBERS), ("letter", LETTERS)])
def test_number_and_letter_drills_match_the_standard(name: str, printed: str) -> None:
    words = printed.split()
    standard = {size: float(inches) for size, inches in zip(words[::2], words[1::2], strict=True)}
    found = {drill.size: drill.diameter / 0.0254 for drill in series(name)}
    assert found == pytest.approx(standard, abs=1e-9)


def test_fractional_drills_are_every_64th_of_an_inch() -> None:
    drills = series("fractional")
    assert [Fraction(drill.size) for drill in drills] == [Fraction(n, 64) for n in range(1, 65)]
    for drill in drills:
        assert drill.diameter == pytest.approx(float(Fraction(drill.size)) * 0.0254, rel=1e-12)


def test_metric_drills_are_their_size_and_every_series_rises() -> None:
    for drill in series("metric"):
        assert drill.diameter == pytest.approx(float(drill.size) / 1000, rel=1e-12)
    for name in ("fractional", "number", "letter", "metric"):
        diameters = [drill.diameter for drill in series(name)]
        assert diameters == sorted(set(diameters))


def test_common_sets_hold_the_usual_belly_drill() -> None:
    usual = {drill.id for drill in tables.drills().values() if drill.usual}
    assert {"3/8 in", "1/16 in", "1/2 in", "6.5 mm"} <= usual
    assert "33/64 in" not in usual
    for drill in tables.drills().values():
        assert set(drill.usual_sizes) <= {other.size for other in series(drill.series)}


@pytest.mark.parametrize(
    ("gauge", "schedule"),
    [
        ("music wire gauge", "MWG"),
        ("US steel wire gauge", "SWG"),
        ("Imperial wire gauge", "BSWG"),
        ("American wire gauge", "AWG"),
    ],
)
def test_wire_gauges_agree_with_a_library(gauge: str, schedule: str) -> None:
    # fluids.piping, after Machinery's Handbook and ASTM B258; it prints 0.001 mm for AWG.
    rows = [wire for wire in tables.wires().values() if wire.gauge == gauge]
    assert len(rows) >= 12
    for wire in rows:
        expected = fluids.piping.t_from_gauge(float(wire.size), SI=True, schedule=schedule)
        assert wire.diameter == pytest.approx(expected, abs=6e-6), wire.id


def test_american_gauge_is_a_geometric_series() -> None:
    # ASTM B258: d = 0.127 mm 92^((36 - n) / 39).
    for wire in tables.wires().values():
        if wire.gauge == "American wire gauge":
            expected = 0.127e-3 * 92 ** ((36 - int(wire.size)) / 39)
            assert wire.diameter == pytest.approx(expected, abs=2.6e-7), wire.id


def test_a_metre_of_wire_weighs_density_times_section() -> None:
    # A metre of 1.5 mm stainless 304 at 7.93 g/mL: 7.93 x 1.7671 mm2 = 14.01 g.
    wire = tables.find_wire("1.5 mm")
    assert wire is not None
    assert wire.mass_per_length(7930) == pytest.approx(0.01401, abs=5e-6)
