"""Read, written and read again: nothing typed is lost or rounded, known or not."""

from __future__ import annotations

import tomllib
from datetime import date, datetime, timedelta, timezone
from typing import Any

import tomli_w
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from wizard.plug.fields import Spec, specs
from wizard.plug.record import Build
from wizard.quantity.reading import Quantity, read
from wizard.quantity.units import labels
from wizard.store import profile


def again(text: str) -> str:
    """A profile as it stands after it was opened and saved."""
    build, _ = profile.read(text.encode(), "a.toml")
    written = profile.write(build)
    assert profile.read(written, "a.toml")[0] == build
    assert profile.write(profile.read(written, "a.toml")[0]) == written
    return written.decode()


def test_what_was_typed_is_kept_as_typed() -> None:
    text = """format = 1
[build]
units = { length = "in" }
[stock]
length = "5 1/2"
width = "1-1/2"
thickness = 0.8750
mass = "2,50 oz"
[ballast]
hole_ratio = 1.30
[shape.section]
widest = "9/20"
upper = 2
lower = "2,5"
[[hardware]]
outside = 0.500
[[weight]]
mass = "20.5 g"
"""
    tables = tomllib.loads(again(text))
    assert tables["stock"] == {
        "length": "5 1/2 in", "width": "1-1/2 in", "thickness": "0.8750 in", "mass": "2,50 oz",
    }  # fmt: skip
    assert tables["shape"]["section"] == {"widest": "9/20", "upper": 2, "lower": "2,5"}
    for line in ("hole_ratio = 1.30", "outside = 0.500", 'mass = "20.5 g"'):
        assert line in again(text)


UNKNOWN = """format = 1
tool = { name = "x", settings = [1, 2.50, { a = [] }] }
[water]
temperature = "18 degC"
tempereture = "19 degC"
colour = "tea"
[build]
units = { mass = "g", force = "N" }
other = "kept"
[future]
[[future.rows]]
when = 2031-01-01
clock = 07:32:00
[[hardware]]
name = "treble hook"
count = 2
"barbs and \\"points\\"" = 3
[[trial]]
[trial.deep.er]
x = 1
"""


def test_unknown_keys_and_tables_are_kept_and_named() -> None:
    build, odd = profile.read(UNKNOWN.encode(), "a.toml")
    said = {finding.path: finding.text for finding in odd}
    assert set(said) == {
        ("tool",), ("water", "tempereture"), ("water", "colour"), ("build", "units", "force"),
        ("build", "other"), ("future",), ("hardware", 0, 'barbs and "points"'),
        ("trial", 0, "deep"),
    }  # fmt: skip
    assert all(finding.level == "warning" for finding in odd)
    assert "“temperature”" in said["water", "tempereture"]
    assert tomllib.loads(profile.write(build).decode()) == tomllib.loads(UNKNOWN)
    assert "“other”" not in said["build", "other"]
    assert set(profile.read(again(UNKNOWN).encode(), "a.toml")[1]) == set(odd)


def test_none_is_not_the_same_as_not_answered() -> None:
    for text, hardware, ballast in (
        ("format = 1\n", None, False),
        ("format = 1\nhardware = []\n[ballast]\n", (), True),
    ):
        build, _ = profile.read(again(text).encode(), "a.toml")
        assert build.hardware == hardware
        assert (build.ballast is not None) is ballast


def test_the_file_says_what_it_is_and_that_comments_go() -> None:
    saved = again("# mine\nformat = 1 # here\n")
    assert saved.startswith("# A Plugwright profile")
    assert "not comments" in saved
    assert "mine" not in saved


TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
MOMENT = st.datetimes(
    datetime(1990, 1, 1), datetime(2090, 1, 1), timezones=st.just(timezone(timedelta(hours=2)))
).map(lambda at: at.replace(microsecond=0))
STRANGE: st.SearchStrategy[Any] = st.recursive(
    st.integers(-(2**63), 2**63 - 1) | st.booleans() | TEXT | st.dates() | st.floats(-1e9, 1e9),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(TEXT, inner, max_size=2),
    max_leaves=4,
)


@st.composite
def typed(draw: st.DrawFn, spec: Spec) -> Any:
    """A quantity that an answer may have, as its maker may type it."""
    low = 0.0 if spec.above is None and not spec.negative else 0.001
    high = 0.2 if spec.at_most is None else min(0.2, spec.at_most)
    number = f"{draw(st.floats(low, high)):.{draw(st.sampled_from([4, 5, 6]))}f}"
    if float(number) <= 0 and spec.above is not None:
        number = "0.0100"
    if spec.kind == "number":
        return draw(st.sampled_from([float(number), number]))
    label = draw(st.sampled_from(labels(spec.kind)))
    text = f"{number} {label}" if draw(st.booleans()) else f"{number}{label}"
    found = read(text, spec.kind)
    assert isinstance(found, Quantity)
    return text.replace(".", ",") if draw(st.booleans()) else text


def answer(spec: Spec) -> st.SearchStrategy[Any]:
    """Any answer that a key may have."""
    simple: dict[str, Any] = {
        "text": TEXT,
        "texts": st.lists(TEXT, max_size=2),
        "moment": MOMENT,
        "day": st.dates(date(1990, 1, 1), date(2090, 1, 1)),
        "units": st.just({"length": "in", "mass": "g"}),
        "raw": st.dictionaries(TEXT, TEXT, max_size=2),
    }
    if spec.form == "quantity":
        return typed(spec)
    if spec.form == "quantities":
        return st.lists(typed(spec), max_size=2)
    if spec.form == "choice":
        return st.sampled_from(spec.choices)
    if spec.form == "whole":
        return st.integers(int(spec.above or 0) + 1, int(spec.at_most or 9))
    if spec.form == "table":
        return table(spec.table)
    if spec.form == "tables":
        return st.lists(table(spec.table), max_size=2)
    found: st.SearchStrategy[Any] = simple[spec.form]
    return found


def table(cls: Any) -> st.SearchStrategy[dict[str, Any]]:
    """A table with some of its keys, and now and then one that is not known."""
    known = {key: answer(spec) for key, spec in specs(cls).items() if key != "other"}
    odd = st.dictionaries(st.sampled_from(["zz", "später", "a b"]), STRANGE, max_size=1)
    return st.tuples(st.fixed_dictionaries({}, optional=known), odd).map(lambda t: t[0] | t[1])


@settings(
    max_examples=60,
    deadline=None,
    # Were too many refused, the check for filtering would say so.
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
@given(table(Build))
def test_any_profile_survives_a_save(tables: dict[str, Any]) -> None:
    text = tomli_w.dumps({"format": 1, **tables})
    build, odd = read_or_none(text)
    assume(build is not None)
    again, odd_again = profile.read(profile.write(build), "a.toml")
    assert again == build
    assert sorted(odd_again, key=str) == sorted(odd, key=str)


def read_or_none(text: str) -> Any:
    """A profile as read, or nothing where its answers contradict each other."""
    try:
        return profile.read(text.encode(), "a.toml")
    except profile.ProfileError:
        return None, ()
