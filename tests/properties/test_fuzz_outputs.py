"""Whatever is still a profile has its numbers and its papers: in words, finite and harmless.

A usual run tries a few; PLUGWRIGHT_EXAMPLES sets the number for a long one, of which a
tenth comes here.
"""

from __future__ import annotations

import json
import os
import re
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime
from functools import cache
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.process.hostile_texts import acting
from tests.properties.altered import PROFILES, altered
from wizard.drawing.marking import marking_sheet
from wizard.drawing.marking_text import lines as marking_lines
from wizard.drawing.portrait import portrait
from wizard.drawing.scene import scene
from wizard.drawing.svg import element
from wizard.papers.export import Item, exported, picture_lines
from wizard.physics.validity import OutsideValidity
from wizard.plug.coats.proposing import with_proposal
from wizard.plug.coats.schedule import timetable
from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.onward.compare import comparison
from wizard.plug.onward.expecting import expected
from wizard.plug.onward.needs import needs
from wizard.plug.onward.scaled import NotScalable, Wish, scaled
from wizard.plug.record import Build
from wizard.report.account_csv import account_csv
from wizard.report.as_html import html
from wizard.report.as_markdown import markdown
from wizard.report.as_text import section_lines, text
from wizard.report.comparing import comparison_document, comparison_page
from wizard.report.machine import document
from wizard.report.needs import needs_section
from wizard.report.scaling import sibling_lines
from wizard.report.sheet import sheet
from wizard.report.tank_page import document as tank_document
from wizard.report.tank_page import page as tank_page
from wizard.report.text import review
from wizard.report.timetable import timetable_text
from wizard.report.timetable_data import timetable_document
from wizard.schedule.calendar import calendar_file
from wizard.session.layout import lay_out
from wizard.steps.walk import STEPS
from wizard.steps.wording import label
from wizard.store import profile
from wizard.store.problems import ProfileError

EXAMPLES = int(os.environ.get("PLUGWRIGHT_EXAMPLES", "60"))
some = settings(
    max_examples=max(EXAMPLES // 10, 5),
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
OTHER = profile.read(PROFILES[0].read_bytes(), "other.toml")[0]
TODAY, NOW = date(2026, 4, 2), datetime(2026, 4, 2, 18, 30, tzinfo=UTC)

NONSENSE = re.compile(r"(?<![\w-])-?(nan|NaN|inf|Infinity)(?![\w-])|\bNone\b|\de[+-]\d|\.0{12}")
"""What stands for no number, or is one that nobody at a bench could read."""


@cache
def other_numbers() -> Derived:
    """The numbers of the build that each is compared with."""
    return derive(OTHER)


@pytest.fixture(autouse=True, scope="module")
def far_west() -> Iterator[None]:
    """Where the clock is behind UTC, the first day of all has no moment in UTC's zone or ours."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TZ", "Etc/GMT+12")
        time.tzset()
        yield
    time.tzset()


def read(data: bytes) -> Build | ProfileError:
    """The build that a profile holds, or why it holds none."""
    try:
        return profile.read(data, "it.toml")[0]
    except ProfileError as error:
        return error


def texts(build: Build, derived: Derived) -> Iterator[tuple[str, str]]:
    """What is shown or printed of a build, by name."""
    yield "review", review(build, derived, (), working=True)
    page = sheet(build, derived, TODAY, "1")
    yield "sheet", text(page, picture_lines(build, derived))
    yield "sheet in Markdown", markdown(page)
    shown = scene(build, derived)
    drawn = "" if shown is None else element(portrait(shown, 170.0, 70.0), "it")
    yield "sheet in HTML", html([page], [drawn])
    yield "tank", tank_page(build, derived)
    coated = build if build.operation else with_proposal(build)
    yield "timetable", timetable_text(coated, derived, timetable(coated, NOW), NOW)
    found = needs(build, derived, expected(build))
    yield "needs", "\n".join(section_lines(needs_section(build, found)))
    marked = marking_sheet(build)
    yield "marking", "" if marked is None else "\n".join(marking_lines(marked))
    try:
        made = scaled(build, Wish(1.1))
    except NotScalable as reason:
        yield "no sibling", str(reason)
    else:
        assert_kept(made.build)
        yield "sibling", "\n".join(sibling_lines(made))
    builds = [build, OTHER]
    both = [derived, other_numbers()]
    compared = comparison(builds, both)
    yield "comparison", text(comparison_page(builds, both, compared, label, everything=True))


def documents(build: Build, derived: Derived) -> Iterator[tuple[str, str]]:
    """What programs are given of it."""
    yield "review", document("it.toml", build, derived, ())
    yield "tank", tank_document("it.toml", build, derived)
    made = timetable(build, NOW)
    yield "timetable", timetable_document("it.toml", build, derived, made, NOW, ())
    both = comparison([build, OTHER], [derived, other_numbers()])
    yield "comparison", comparison_document(["it.toml", "other.toml"], both)


def has_no_constant(text: str) -> None:
    """JSON has no nan and no infinity (RFC 8259, 6)."""
    raise AssertionError(f"{text} in JSON")


def assert_kept(build: Build) -> None:
    """What is written can be read again."""
    assert profile.read(profile.write(build), "again.toml")[0] == build


def judged(data: bytes) -> bool:
    """Hold all that comes of a profile to the promises; whether it was one at all."""
    found = read(data)
    if isinstance(found, ProfileError):
        assert all(acting(str(problem)) == [] for problem in found.problems)
        return False
    build, derived = found, derive(found)
    for name, said in texts(build, derived):
        assert acting(said) == [], name
        words = re.sub(r"svg path \{ fill: none; \}|<svg.*?</svg>", "", said, flags=re.DOTALL)
        odd = NONSENSE.search(words)
        assert odd is None, f"{name}: {words[max(odd.start() - 80, 0) : odd.end() + 40]}"
    for name, said in documents(build, derived):
        assert said.isascii(), name
        json.loads(said, parse_constant=has_no_constant)
    assert acting(account_csv(build, derived).replace("\r\n", "\n")) == []
    calendar_file(timetable(build, NOW), build.build.name or "Plug")
    for step in STEPS:  # the rows of its forms
        assert lay_out(build, step, {})
    assert_kept(build)
    assert_kept(with_proposal(build))
    return True


# What long runs found: each was a number with an exponent, or one that is none.
DART = next(path.read_bytes() for path in PROFILES if path.stem == "harbour-dart")
FOUND = {
    "a bound of what is common": (b'[weighing]\n', b'[weighing]\nmaximum = "5 g"\n'),
    "a bound in another unit": (b'count = 1\nmass = "2.04 g"', b'count = 1\nmass = "0.001 mg"'),
    "a doubt larger than the density": (b'mass_accuracy = "0.02 g"', b'mass_accuracy = "30 g"'),
    "a mass that moved": (b'[weighing]\n', b'[weighing]\nmass_later = "5 kg"\n'),
    "readings far apart": (b'mass = "13.01 g"', b'mass = "13.01 g"\nmass_again = ["4 kg"]'),
    "a drift of the empty scale": (b'mass = "13.01 g"', b'mass = "13.01 g"\nzero = "-0.7 lb"'),
    "a drift without a weighing": (b'mass = "13.17 g"', b'zero = "95 kg"'),
    "a body of next to nothing": (b'mass = "13.17 g"', b'mass = "0.0008 gr"'),
    "hardware lighter than air": (b'density = "7.85 g/mL"', b'density = "0.0000023 oz/in3"'),
    "a copy without its number": (b"[water]\n", b"[origin]\ncopies = 2\n[water]\n"),
    "a coat of next to nothing": (b'mass = "0.18 g"', b'mass = "0.0000001 mg"'),
    "more sealer than body": (
        b'stage = "ballasted"\n\n[[coat]]',
        b'stage = "ballasted"\n\n[[coat]]\nmass = "45 g"\ndensity = "1.1 g/mL"\nstage = "sealed"\n'
        b'\n[[coat]]',
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", FOUND)
def test_numbers_are_read_by_people(name: str) -> None:
    good, odd = FOUND[name]
    assert good in DART
    dunked = DART.replace(b"[weighing]\n", b'[weighing]\ngain = "38 g"\n', 1)
    assert judged((dunked if "sealer" in name else DART).replace(good, odd, 1))


def test_a_scale_that_drifted_by_twice_the_reading_weighed_nothing() -> None:
    """Half of it is taken off: the density came out below zero, and its logarithm was asked for."""
    drifted = DART.replace(b'mass = "13.01 g"', b'mass = "13.01 g"\nzero = "0.7 lb"', 1)
    with pytest.raises(ProfileError, match=r"density.sample\[1\].zero: The empty scale can't show"):
        profile.read(drifted, "it.toml")


@pytest.mark.parametrize("value", [1234567.0, 3e5, 2.5e-7, -4e9])
def test_the_reach_of_a_formula_is_written_out(value: float) -> None:
    said = str(OutsideValidity("Reynolds number", value, 0.00002, 3e8))
    assert NONSENSE.search(said) is None, said
    assert float(said.split()[3].rstrip(";")) == value


def test_a_start_at_the_end_of_time_is_refused() -> None:
    """It has no moment in UTC."""
    late = DART + b"[schedule]\nstart = 9999-12-31T23:59:59-14:00\n"
    with pytest.raises(ProfileError, match=r"schedule.start: The start is in the year 9999"):
        profile.read(late, "it.toml")


def test_a_dunk_that_is_all_sealer_does_not_count() -> None:
    """It made a body of less than nothing."""
    good, odd = FOUND["more sealer than body"]
    dunked = DART.replace(b"[weighing]\n", b'[weighing]\ngain = "38 g"\n', 1).replace(good, odd, 1)
    build, _ = profile.read(dunked, "it.toml")
    said = " ".join(review(build, derive(build), ()).split())
    assert "The coats that seal the body would fill more than it pushed aside (38 g)" in said


@pytest.mark.parametrize(
    ("good", "odd"),
    [
        (b'mass = "2.04 g"', b'mass = "0.0004 mg"'),  # scaled it is written as 0
        (b'x = "4 3/8 in"', b'x = "9.5 m"'),  # scaled it lies beyond all plugs
    ],
)
def test_no_sibling_is_written_that_could_not_be_read_again(good: bytes, odd: bytes) -> None:
    build, _ = profile.read(DART.replace(good, odd, 1), "it.toml")
    with pytest.raises(NotScalable, match="is impossible here"):
        scaled(build, Wish(0.9 if b"mass" in good else 1.1))


@pytest.mark.slow
@some
@given(st.randoms(use_true_random=False))
def test_any_profile_that_is_one_has_its_numbers_and_papers(chance: Random) -> None:
    judged(altered(chance))


@pytest.mark.slow
@settings(some, max_examples=max(EXAMPLES // 100, 3))
@given(st.randoms(use_true_random=False))
def test_and_its_file_to_print(chance: Random) -> None:
    found = read(altered(chance))
    if isinstance(found, ProfileError):
        return
    printed = exported([Item("it.toml", found)], ".pdf", TODAY, paper="a4")
    assert printed.startswith(b"%PDF-")
    assert printed.rstrip().endswith(b"%%EOF")
