"""Any text and any bytes against the grammar and the readers: an answer or a refusal, no more.

A usual run tries some hundreds; PLUGWRIGHT_EXAMPLES sets the number for a long one.
"""

from __future__ import annotations

import math
import os
import unicodedata
from collections.abc import Callable
from pathlib import Path
from typing import TypeVar, get_args

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from wizard.plug.limits import counts
from wizard.plug.paths import get
from wizard.plug.record import Build
from wizard.quantity import units
from wizard.quantity.reading import LONGEST, Quantity, Refusal, read, whole
from wizard.quantity.units import Kind
from wizard.schedule.hours import BenchHours, read_hours
from wizard.steps.answering import Unclear, answer
from wizard.steps.prompts import questions
from wizard.steps.walk import STEPS
from wizard.store import profile
from wizard.store.bench import read as read_bench
from wizard.store.lines import Scan
from wizard.store.problems import ProfileError

EXAMPLES = int(os.environ.get("PLUGWRIGHT_EXAMPLES", "100"))
many = settings(
    max_examples=EXAMPLES,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)

Read = TypeVar("Read")
KINDS: tuple[Kind, ...] = get_args(Kind)
LABELS = sorted({label for kind in KINDS for label in units.labels(kind)})
PROFILES = sorted((Path(__file__).parents[2] / "profiles").glob("*.toml"))
BUILDS = [profile.read(path.read_bytes(), path.name)[0] for path in PROFILES]

# Texts that look like measurements, and texts that look like nothing.
PIECES = st.sampled_from(
    ["0", "1", "9", "12", "003", "½", "⅜", "¼", "٣", "１", "²", ".", ",", "..", "/", "-", "−", "+",
     "±", "e", "E5", "1e999", "x", "*", "^", "**", "(", ")", "%", "°", "'", '"', "″", "′", " ",
     "\u00a0", "\u2009", "\u202e", "\x00", "\n", "nan", "inf", "None", "__import__", "9" * 30,
     *LABELS]
)  # fmt: skip
TYPED = st.lists(PIECES, max_size=9).map("".join) | st.text(max_size=80)


@pytest.mark.parametrize("text", ["²", "①", "٣", "9" * 5000, "0000001" + "9" * 5000, "-1", "1_0"])
def test_what_is_a_digit_only_to_python_is_no_number(text: str) -> None:
    assert whole(text) == 0
    for build in BUILDS:
        for step in STEPS:
            for question in questions(build, step):
                assert answer(build, question, text)


def test_a_count_is_held_to_the_same_limits_typed_and_in_the_file() -> None:
    seen = 0
    for build in BUILDS:
        for question in (q for step in STEPS for q in questions(build, step)):
            if question.spec.form != "whole":
                continue
            least, most = counts(question.spec)
            for number in (least - 1, most + 1):
                assert isinstance(answer(build, question, str(number)), Unclear)
            for number in (least, most):
                taken = answer(build, question, str(number))
                if isinstance(taken, Build):
                    assert profile.read(profile.write(taken), "again.toml")[0] == taken
                    seen += 1
    assert seen > 10


def is_clear(said: str) -> bool:
    """Whether a message is words on one line that act on nothing."""
    return bool(said) and not any(unicodedata.category(c)[0] == "C" for c in said)


@many
@given(TYPED, st.sampled_from(KINDS), st.sampled_from([None, *LABELS]), st.booleans())
@example("1e999 g", "mass", None, False)
@example("9" * 5000, "mass", "g", False)
@example("9" * 59, "length", "m", False)
@example(",000½", "length", None, False)
@example("1/0 in", "length", None, False)
@example("0/0", "number", None, True)
def test_any_text_is_a_quantity_or_a_refusal(
    text: str, kind: Kind, default: str | None, negative: bool
) -> None:
    unit = default if default is None or default in units.labels(kind) else None
    found = read(text, kind, unit, negative=negative)
    if isinstance(found, Refusal):
        assert found.wrong
        assert found.remedy
        assert len(str(found)) < 400  # whoever shows it spells out what acts in it
        for choice in found.choices:  # each is an answer, but for its unit or sign
            chosen = read(choice, kind, unit, negative=negative)
            reads = isinstance(chosen, Quantity) or chosen.reason in ("no unit", "sign")
            assert reads or len(choice) > LONGEST - 8
        return
    assert math.isfinite(found.value)
    assert negative or found.value >= 0 or kind == "temperature"
    assert len(found.text) <= LONGEST + 12
    again = read(found.text, kind, negative=negative)  # what is kept needs no unit any more
    assert isinstance(again, Quantity)
    assert (again.value, again.unit) == (found.value, found.unit)


@many
@given(TYPED | st.text(alphabet="MonTuefri-sat ;,:0123456789.\x00\u202e", max_size=60))
def test_any_hours_are_hours_or_a_refusal(text: str) -> None:
    found = read_hours(text)
    if not isinstance(found, BenchHours):
        assert found.wrong
        assert found.remedy


@many
@given(TYPED, st.sampled_from(range(len(BUILDS))), st.randoms(use_true_random=False))
def test_any_text_typed_at_any_question_is_taken_or_unclear(
    text: str, number: int, chance: object
) -> None:
    build = BUILDS[number]
    asked = [q for step in STEPS for q in questions(build, step)]
    question = chance.choice(asked)  # type: ignore[attr-defined]
    taken = answer(build, question, text)
    if isinstance(taken, Unclear):
        assert taken.wrong
        return
    assert isinstance(taken, Build)
    # What is taken can be saved, and read again to the same answer.
    back, _ = profile.read(profile.write(taken), "again.toml")
    assert get(back, question.path) == get(taken, question.path)


def reads_or_says_why(data: bytes) -> Build | None:
    """A profile, or one clear line about each thing that is wrong with it."""
    found = faults(lambda: profile.read(data, "plug.toml")[0])
    if not isinstance(found, ProfileError):
        return found
    assert str(found).startswith("plug.toml: ")
    assert is_clear(str(found))
    lines = data.count(b"\n") + 1
    for problem in found.problems:
        assert is_clear(str(problem))
        assert problem.line is None or 1 <= problem.line <= lines
    return None


def faults(read_it: Callable[[], Read]) -> Read | ProfileError:
    """What a file is read as, or why it can't be."""
    try:
        return read_it()
    except ProfileError as error:
        return error


@many
@given(st.binary(max_size=400) | st.text(max_size=400).map(lambda t: t.encode("utf-8", "replace")))
def test_any_bytes_are_a_profile_or_say_why_not(data: bytes) -> None:
    reads_or_says_why(data)
    reads_or_says_why(b"format = 1\n" + data)
    bench = faults(lambda: read_bench(b"format = 1\n" + data, "bench.toml"))
    assert not isinstance(bench, ProfileError) or is_clear(str(bench))
    Scan(data.decode("utf-8", "replace"))


SNIPS = [
    b"", b'"', b"'", b'"""', b"=", b"[", b"]", b"[[", b"{", b"}", b",", b".", b"#", b"\n", b"\r",
    b"\x00", b"\xff", b"\xc3", b"\xf0\x9f", b"-", b"+", b"9", b"e9", b"inf", b"nan", b"true",
    b"1979-05-27", b"\\u0041", b"\\", b" mm", b" in", b"[build]", b"format = 2\n", b"9" * 40,
    b"/", b"_", b"0x", b"\xe2\x80\xae", b"\x1b[", b"x = {y = [", b"[[coat]]\n", b"other = 1\n",
]  # fmt: skip


@many
@given(st.data())
def test_a_good_profile_damaged_anyhow_is_a_profile_or_says_why_not(data: st.DataObject) -> None:
    changed = bytearray(PROFILES[data.draw(st.integers(0, len(PROFILES) - 1))].read_bytes())
    for _ in range(data.draw(st.integers(1, 5))):
        at = data.draw(st.integers(0, len(changed)))
        changed[at : at + data.draw(st.integers(0, 20))] = data.draw(st.sampled_from(SNIPS))
    build = reads_or_says_why(bytes(changed))
    if build is not None:
        assert profile.read(profile.write(build), "again.toml")[0] == build


@pytest.mark.slow
@settings(max_examples=max(EXAMPLES // 100, 5), deadline=None)
@given(st.data())
def test_a_damaged_profile_that_is_still_one_has_its_numbers(data: st.DataObject) -> None:
    from wizard.plug.derive import derive
    from wizard.report.machine import document
    from wizard.report.text import review

    text = PROFILES[data.draw(st.integers(0, len(PROFILES) - 1))].read_text()
    digits = [n for n, sign in enumerate(text) if sign.isdigit()]
    changed = list(text)
    for _ in range(data.draw(st.integers(1, 6))):
        changed[data.draw(st.sampled_from(digits))] = str(data.draw(st.integers(0, 9)))
    found = reads_or_says_why("".join(changed).encode())
    if found is not None:
        derived = derive(found)
        review(found, derived, (), working=True)
        document("plug.toml", found, derived, ())
