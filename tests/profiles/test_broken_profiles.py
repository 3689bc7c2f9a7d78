"""Broken profiles: one line that names the file, the line, the key and what is expected."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.properties.plugs import build_with
from wizard.plug.derive import derive
from wizard.report.machine import document
from wizard.report.text import review
from wizard.store import profile
from wizard.store.opening import Unreadable, open_profile
from wizard.store.profile import ProfileError


def complaint(data: str | bytes, name: str = "plug.toml") -> str:
    """The one line about a profile that can't be read."""
    with pytest.raises(ProfileError) as caught:
        profile.read(data if isinstance(data, bytes) else data.encode(), name)
    said = str(caught.value)
    assert "\n" not in said
    return said


# The text, the line and the key that must be named, and a part of what is said.
BROKEN: dict[str, tuple[str, int, str, str]] = {
    "truth for a measurement": ("[water]\ntemperature = true", 3, "water.temperature", "degC"),
    "date for a measurement": ("[stock]\nlength = 2026-01-01", 3, "stock.length", "Expected"),
    "list for a measurement": ('[stock]\n\nmass = ["5 g"]', 4, "stock.mass", "Expected"),
    "table for a measurement": ("[weighing]\nmass = { g = 5 }", 3, "weighing.mass", "Expected"),
    "number for text": ("[build]\nname = 5", 3, "build.name", "text in quotes"),
    "list for text": ('[stock]\nwood = ["balsa"]', 3, "stock.wood", "text in quotes"),
    "text for a date": ('[build]\ncreated = "today"', 3, "build.created", "2026-04-02T18:30"),
    "text for a table": ('water = "fresh"', 2, "water", "[water]"),
    "list for a table": ("water = [1, 2]", 2, "water", "[water]"),
    "table for a list": ('[coat]\nname = "x"', 2, "coat", "[[coat]]"),
    "text in a list of tables": ('hardware = ["hook"]', 2, "hardware", "[[hardware]]"),
    "word for a count": ('[[hardware]]\ncount = "two"', 3, "hardware[1].count", "whole number"),
    "none of a thing": ("[[hardware]]\ncount = 0", 3, "hardware[1].count", "from 1 up"),
    "half a thing": ("[[hardware]]\ncount = 1.5", 3, "hardware[1].count", "whole number"),
    "truth for a count": ("[[hardware]]\ncount = true", 3, "hardware[1].count", "whole number"),
    "no such step": ('[build]\nstep = "paint"', 3, "build.step", "plan or stock or shape"),
    "no such behaviour": ('[aim]\nbehaviour = "hovers"', 3, "aim.behaviour", "floats or suspends"),
    "no such method": ('[[density.sample]]\nmethod = "guess"', 3, "density.sample[1].method",
                       "block or cylinder"),
    "no such trial": ('[[trial]]\nkind = "swim"', 3, "trial[1].kind", "sink or float"),
    "no such stage": ('[[weight]]\nstage = "bare"', 3, "weight[1].stage", "ballasted or sealed"),
    "no unit": ('[weighing]\nmass = "13.62"', 3, "weighing.mass", "no unit"),
    "no unit, bare number": ("[weighing]\nmass = 13.62", 3, "weighing.mass", "Add one"),
    "units that name another kind": (
        '[build]\nunits = { length = "in" }\n[weighing]\nmass = 13.62', 5, "weighing.mass",
        "no unit",
    ),
    "unit of another dimension": ('[weighing]\nmass = "13.62 mm"', 3, "weighing.mass",
                                  "mass is asked"),
    "unit that is none": ('[weighing]\nmass = "13.62 stone"', 3, "weighing.mass", "mg or g or kg"),
    "units of another kind": ('[build]\nunits = { mass = "in" }', 3, "build.units.mass", "mg or g"),
    "units that are no table": ('[build]\nunits = "in"', 3, "build.units", 'length = "in"'),
    "thousands or decimals": ('[weighing]\nmass = "1,500 g"', 3, "weighing.mass",
                              "1.500 g or 1500 g"),
    "two numbers": ('[stock]\nlength = "5 1 in"', 3, "stock.length", "one number"),
    "an expression": ('[stock]\nlength = "2*3 in"', 3, "stock.length", "one number"),
    "an exponent": ('[stock]\nlength = "1e2 mm"', 3, "stock.length", "Write the number out"),
    "an exponent of TOML": ("[ballast]\nhole_ratio = 1e0", 3, "ballast.hole_ratio", "number out"),
    "nan": ("[ballast]\nhole_ratio = nan", 3, "ballast.hole_ratio", "finite"),
    "infinity anywhere": ("[x]\ny = [1, { z = -inf }]", 3, "x.y[2].z", "finite"),
    "infinity by size": ("[ballast]\nhole_ratio = 1e999", 3, "ballast.hole_ratio", "finite"),
    "nan as text": ('[weighing]\nmass = "nan g"', 3, "weighing.mass", "Type one number"),
    "zero length": ('[stock]\nlength = "0 mm"', 3, "stock.length", "more than zero"),
    "negative mass": ('[weighing]\nmass = "-1 g"', 3, "weighing.mass", "more than zero"),
    "negative salinity": ('[water]\nsalinity = "-1 g/kg"', 3, "water.salinity", "zero or more"),
    "boiling water": ('[water]\ntemperature = "230 °F"', 3, "water.temperature", "212 degF"),
    "more than all outside": ("[[hardware]]\noutside = 1.2", 3, "hardware[1].outside", "1 at most"),
    "wood denser than wood": (
        '[[density.sample]]\nmethod = "known"\ndensity = "1.6 g/mL"', 4,
        "density.sample[1].density", "1.5 g/mL at most",
    ),
    "sample denser than wood": (
        '[[density.sample]]\nmethod = "block"\nlength = "20 mm"\nwidth = "20 mm"\n'
        'thickness = "20 mm"\nmass = "13 g"', 7, "density.sample[1].mass", "less than 1.5 g/mL",
    ),
    "blank denser than wood": (
        '[stock]\nmass = "9 lb"\nlength = "5 in"\nwidth = "1 in"\nthickness = "1 in"', 3,
        "stock.mass", "less than 1.5 g/mL",
    ),
    "sample lighter than air": (
        '[[density.sample]]\nmethod = "dunk"\ngain = "20 g"\nmass = "20 mg"', 5,
        "density.sample[1].mass", "0.1 g/mL or more",
    ),
    "a board of a kilometre": ('[stock]\nlength = "1000 m"', 3, "stock.length", "10 m at most"),
    "a place a mile ahead": ('[[hardware]]\nx = "-5280 ft"', 3, "hardware[1].x", "-32.81 ft"),
    "colder than can be": ('[water]\ntemperature = "-300 °C"', 3, "water.temperature", "-273.1"),
    "two aims": (
        '[aim]\nbehaviour = "sinks"\nmargin = "5 %"\n\nsink_rate = "9 cm/s"', 6, "aim.sink_rate",
        "Expected one of",
    ),
    "a sign against the behaviour": ('[aim]\nbehaviour = "sinks"\nmargin = "-5 %"', 4, "aim.margin",
                                     "without a sign"),
    "a sign against floating": ('[aim]\nbehaviour = "floats"\nmargin = "+5 %"', 4, "aim.margin",
                                "without a sign"),
    "a margin to hang with": ('[aim]\nbehaviour = "suspends"\nmargin = "5 %"', 4, "aim.margin",
                              "only with floats or sinks"),
    "a floater that sinks": ('[aim]\nbehaviour = "floats"\nsink_rate = "5 cm/s"', 4,
                             "aim.sink_rate", "only with sinks"),
    "a plug of no weight": ('[aim]\nbehaviour = "floats"\nmargin = "100 %"', 4, "aim.margin",
                            "less than 100 %"),
    "all above water": ('[aim]\nbehaviour = "floats"\nfreeboard_fraction = "100 %"', 4,
                        "aim.freeboard_fraction", "less than 100 %"),
    "hole deeper than the body": (
        '[shape]\nheight = "20 mm"\n[[ballast.hole]]\ndiameter = "9 mm"\ndepth = "21 mm"', 6,
        "ballast.hole[1].depth", "less than 20 mm",
    ),
    "hole beyond the tail": ('[shape]\nlength = "90 mm"\n[[ballast.hole]]\nx = "91 mm"', 5,
                             "ballast.hole[1].x", "at most 90 mm"),
    "piece in no hole": (
        '[[ballast.hole]]\nx = "9 mm"\n[[ballast.piece]]\nmass = "1 g"\nhole = 2', 6,
        "ballast.piece[1].hole", "from 1 to 1",
    ),
    "trial weight that floats": (
        '[[trial]]\nkind = "float"\nweight = "2 g"\ndensity = "0.9 g/mL"', 5, "trial[1].density",
        "Expected a metal",
    ),
    "timed floater": ('[[trial]]\nkind = "float"\ntime = "2 s"', 4, "trial[1].time", '"sink"'),
    "weighted sink": ('[[trial]]\nkind = "sink"\nweight = "2 g"', 4, "trial[1].weight", '"float"'),
    "text for the numbers shown": ("[shown]\nnumbers = 3", 3, "shown.numbers", "[shown.numbers]"),
    "key twice": ('[water]\nsalinity = "0 psu"\nsalinity = "35 psu"', 4, "water.salinity", "once"),
    "key twice in braces": ('[build]\nunits = { mass = "g", mass = "oz" }', 3, "build.units",
                            "once"),
    "table twice": ("[water]\n[aim]\n[water]", 4, "water", "under one header"),
    "text without quotes": ("[weighing]\nmass = 13.62 g", 3, "weighing.mass", 'mass = "13.62 g"'),
    "quote never closed": ('[weighing]\nmass = "13.62 g\n[aim]', 3, "weighing.mass", "not TOML"),
    "long text never closed": ('[build]\nnotes = """\nx\ny', 3, "build.notes", "not TOML"),
    "bracket never closed": ("[water", 2, "water", "not TOML"),
    "whole number of 5000 digits": ("[x]\ny = 1\nz = " + "9" * 5000, 4, "x.z", "18 at most"),
    "hexadecimal of 5000 digits": ("[weighing]\nmass = 0x" + "f" * 5000, 3, "weighing.mass", "18"),
    "tables in tables": ("x = " + "{a = " * 60 + "1" + "}" * 60, 2, "x.a", "40 at most"),
}  # fmt: skip


@pytest.mark.parametrize("name", BROKEN)
def test_one_line_names_file_line_key_and_what_is_expected(name: str) -> None:
    text, line, key, expected = BROKEN[name]
    said = complaint(f"format = 1\n{text}\n")
    assert said.startswith(f"plug.toml: line {line}: {key}")
    assert expected in said
    other_ends = complaint(f"# A comment\nformat = 1\n{text}\n".replace("\n", "\r\n"))
    assert other_ends.startswith(f"plug.toml: line {line + 1}: {key}")


FILES: dict[str, tuple[bytes, str]] = {
    "no format": (b'[water]\nsalinity = "0 psu"', "line 1: format: The profile names no format."),
    "format as text": (b'\nformat = "1"', "line 2: format: The profile names no format."),
    "format before the first": (b"format = 0", "line 1: format: There is no format 0."),
    "a later format": (b"format = 2\nfuture = 1", "line 1: format: The profile is of format 2"),
    "not UTF-8": (b'format = 1\n\n[build]\nname = "\xff"', "line 4: The file is not UTF-8"),
    "UTF-16": ("format = 1".encode("utf-16"), "line 1: The file is not UTF-8"),
    "too large": (b"#" * (256 * 1024 + 1), "Expected 262144 at most"),
    "brackets in brackets": (b"format = 1\nx = " + b"[" * 9000, "line 2: Tables are nested too"),
    "a key of too many parts": (
        b"format = 1\nx = 1\n" + b".".join([b"a"] * 100_000) + b" = 1", "line 3: Tables are nested",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", FILES)
def test_files_that_are_no_profile(name: str) -> None:
    data, expected = FILES[name]
    said = complaint(data)
    assert said.startswith("plug.toml: ")
    assert expected in said
    assert "xpected" in said or "install a newer one" in said


def test_every_problem_is_found_and_the_first_in_the_file_is_said() -> None:
    text = 'format = 1\n[aim]\nmargin = "5"\n[water]\nsalinity = "x"\ntemperature = "18 g"\n'
    with pytest.raises(ProfileError) as caught:
        profile.read(text.encode(), "plug.toml")
    assert [p.line for p in caught.value.problems] == [3, 5, 6]
    assert "line 3: aim.margin" in str(caught.value)


def test_a_byte_order_mark_and_carriage_returns_are_accepted() -> None:
    build, odd = profile.read(
        b'\xef\xbb\xbfformat = 1\r\n[build]\r\nname = "Pike"\r\n', "plug.toml"
    )
    assert build.build.name == "Pike"
    assert odd == ()


def test_a_bare_number_takes_the_unit_that_the_build_names() -> None:
    text = 'format = 1\n[build]\nunits = { mass = "oz" }\n[weighing]\nmass = 0.5\n'
    build, _ = profile.read(text.encode(), "plug.toml")
    assert build.weighing.mass is not None
    assert build.weighing.mass.text == "0.5 oz"


@pytest.mark.parametrize("stations", [0, 1, 2])
def test_a_shape_only_begun_is_no_fault(stations: int) -> None:
    row = '[[shape.station]]\nx = "{x} mm"\ntop = "9 mm"\nbottom = "9 mm"\nhalf_breadth = "0 mm"\n'
    text = "format = 1\n" + "".join(row.format(x=i) for i in range(stations))
    build, _ = profile.read(text.encode(), "plug.toml")
    assert "shape_volume" not in derive(build).numbers


def test_a_form_of_another_program_is_read_and_named_in_a_warning() -> None:
    sizes = 'length = "90 mm"\nheight = "20 mm"\nthickness = "18 mm"\n'
    for form, drawn in (("Round-Taper", True), ("banana", False)):
        text = f'format = 1\n[shape]\nform = "{form}"\n{sizes}'
        derived = derive(profile.read(text.encode(), "plug.toml")[0])
        assert ("shape_volume" in derived.numbers) is drawn
        assert any("No form of that name" in f.text for f in derived.warnings) is not drawn


def test_stations_out_of_order_are_refused_where_they_stand() -> None:
    row = '[[shape.station]]\nx = "{} mm"\ntop = "9 mm"\nbottom = "0 mm"\nhalf_breadth = "4 mm"\n'
    said = complaint("format = 1\n" + row.format(0) + row.format(50) + row.format(40))
    assert said.startswith("plug.toml: line 13: shape.station[3].x: ")
    assert "Expected stations from nose to tail" in said


# Hostile text ---------------------------------------------------------------

HOSTILE = [
    "\x1b]52;c;aGk=\x07", "\x1b[2J", "\x9b31m", "\x7f\x00\x08\r", "\u202e\u2066", "[/b][red]",
    "\u200b\ufeff", "\x1b]8;;file:///etc\x07x",
]  # fmt: skip


def quoted(text: str) -> str:
    """A TOML string that holds exactly this text."""
    return '"' + "".join(f"\\u{ord(c):04X}" if not c.isalnum() else c for c in text) + '"'


def acts(text: str) -> list[str]:
    """Characters that could do something to a terminal."""
    return [c for c in text if unicodedata.category(c)[0] == "C" and c != "\n"]


@pytest.mark.parametrize("evil", HOSTILE)
def test_hostile_text_never_comes_out_raw(evil: str) -> None:
    text = (
        f"format = 1\n{quoted(evil)} = 1\n[build]\nname = {quoted(evil)}\nnotes = {quoted(evil)}\n"
        f"{quoted(evil)} = 2\n[stock]\nwood = {quoted(evil)}\n"
        f"[ballast]\nmetal = {quoted(evil)}\n[[hardware]]\nname = {quoted(evil)}\n"
        f"[[coat]]\nname = {quoted(evil)}\n"
    )
    build, odd = profile.read(text.encode(), "plug.toml")
    assert build.build.name == evil
    derived = derive(build)
    for shown in (
        review(build, derived, odd, working=True),
        document(f"{evil}.toml", build, derived, odd),
        complaint(f"format = 1\n[aim]\nbehaviour = {quoted(evil)}\n", f"{evil}.toml"),
        complaint(f"format = 1\n[weighing]\nmass = {quoted('1 g' + evil)}\n"),
        complaint(f"format = 1\n[build]\nunits = {{ mass = {quoted(evil)} }}\n"),
        complaint(f"format = 1\n[{quoted(evil)}]\nx = nan\n"),
        complaint(f"format = 1\n{quoted(evil)} = 1\n{quoted(evil)} = 2\n"),
    ):
        assert acts(shown) == []


def test_a_file_that_is_not_there_is_one_line(tmp_path: Path) -> None:
    for path in (tmp_path / "none.toml", tmp_path, tmp_path / "a\x1b[31m\n.toml"):
        with pytest.raises(Unreadable) as caught:
            open_profile(path)
        assert acts(str(caught.value)) == []
        assert "\n" not in str(caught.value)
        assert "expected" in str(caught.value)


# Any bytes ------------------------------------------------------------------


def read_or_fault(data: bytes) -> Any:
    """What a file is read as, or why it can't be."""
    try:
        return profile.read(data, "plug.toml")
    except ProfileError as error:
        return error


def loads_or_says_why(data: bytes) -> None:
    """A file either makes a build with numbers, or gives one clear line."""
    found = read_or_fault(data)
    if isinstance(found, ProfileError):
        assert str(found).startswith("plug.toml: ")
        assert acts(str(found)) == []
        assert "\n" not in str(found)
        assert all(p.wrong and (p.line is None or p.line >= 1) for p in found.problems)
        return
    build, odd = found
    document("plug.toml", build, derive(build), odd)
    assert profile.read(profile.write(build), "again.toml")[0] == build


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=300) | st.text(max_size=300).map(str.encode))
def test_any_bytes_load_or_give_one_clear_line(data: bytes) -> None:
    loads_or_says_why(b"format = 1\n" + data)
    loads_or_says_why(data)


WHOLE = ("format = 1\n" + tomli_w.dumps(build_with())).encode()


@settings(max_examples=100, deadline=None)
@given(st.data())
def test_a_good_profile_with_a_few_bytes_changed(data: st.DataObject) -> None:
    changed = bytearray(WHOLE)
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(changed) - 1))
        with_what = data.draw(
            st.sampled_from([b"", b'"', b"=", b"[", b"9", b"-", b"\n", b"\xc3", b"e", b"."])
        )
        changed[at : at + data.draw(st.integers(0, 3))] = with_what
    loads_or_says_why(bytes(changed))


SIZES = {
    "aim.sink_rate": "9 cm/s", "weighing.mass": "14 g", "weighing.resolution": "0.01 g",
    "density.length_resolution": "0.1 mm", "block.length": "40 mm", "block.thickness": "20 mm",
    "block.mass": "7 g", "nose.half_breadth": "9 mm", "tail.x": "90 mm", "tail.top": "20 mm",
    "hole.diameter": "9 mm", "piece.mass": "6 g", "coat.thickness": "0.1 mm", "hook.mass": "2 g",
    "hook.x": "40 mm", "hook.z": "-4 mm", "ballast.density": "11.3 g/mL", "trial.time": "2 s",
    "coat.density": "1.1 g/mL", "trial.depth": "40 cm", "water.temperature": "18 degC",
}  # fmt: skip
ABSURD = ("0", "0." + "0" * 30 + "1", "0.0000001", "0.01", "1", "999", "9999", "999999", "-1")


def sized(sizes: Mapping[str, str]) -> bytes:
    """A whole plug of these sizes."""
    s = sizes
    tail = {"x": s["tail.x"], "top": s["tail.top"], "bottom": "0 mm", "half_breadth": "9 mm"}
    block = {"length": s["block.length"], "width": "20 mm", "thickness": s["block.thickness"]}
    hook = {"mass": s["hook.mass"], "density": "7.85 g/mL", "x": s["hook.x"], "z": s["hook.z"]}
    trial = {"kind": "sink", "depth": s["trial.depth"], "time": s["trial.time"]}
    tables = {
        "format": 1,
        "water": {"temperature": s["water.temperature"], "salinity": "0 psu"},
        "aim": {"behaviour": "sinks", "sink_rate": s["aim.sink_rate"]},
        "weighing": {"mass": s["weighing.mass"], "resolution": s["weighing.resolution"]},
        "density": {
            "length_resolution": s["density.length_resolution"],
            "sample": [{"method": "block", "mass": s["block.mass"], **block}],
        },
        "shape": {"station": [tail | {"x": "0 mm", "half_breadth": s["nose.half_breadth"]}, tail]},
        "ballast": {
            "density": s["ballast.density"],
            "hole": [{"x": "30 mm", "diameter": s["hole.diameter"], "depth": "1 mm"}],
            "piece": [{"mass": s["piece.mass"]}],
        },
        "coat": [{"thickness": s["coat.thickness"], "density": s["coat.density"]}],
        "hardware": [hook],
        "trial": [trial],
    }
    return tomli_w.dumps(tables).encode()


@settings(max_examples=100, deadline=None)
@given(st.dictionaries(st.sampled_from(sorted(SIZES)), st.sampled_from(ABSURD), max_size=3))
def test_absurd_sizes_never_break_the_arithmetic(changed: dict[str, str]) -> None:
    absurd = {key: f"{number} {SIZES[key].split()[1]}" for key, number in changed.items()}
    loads_or_says_why(sized(SIZES | absurd))


def test_a_profile_cut_anywhere_is_told_from_a_whole_one() -> None:
    """As a stick that lost the rest leaves it; cut between two lines it is TOML still."""
    build, _ = profile.read(tomli_w.dumps({"format": 1, **build_with()}).encode(), "a.toml")
    whole = profile.write(build)
    ends = [n + 1 for n, sign in enumerate(whole) if sign == ord("\n")]
    for length in sorted({*range(0, len(whole), 11), *ends} - {len(whole)}):
        cut = whole[:length]
        if cut == whole.rstrip(b"\n"):
            assert profile.read(cut, "a.toml")[0] == build  # all but an empty line is there
            continue
        assert complaint(cut)
    at_a_line = whole[: whole.index(b"[[coat]]")]
    said = complaint(at_a_line)
    assert f"line {at_a_line.rstrip().count(10) + 1}: The file ends too early" in said
    by_hand = at_a_line.replace(b"# Its last line", b"# My last line")
    assert profile.read(by_hand, "a.toml")[0].coat is None
