"""What lies beside builds, garbled anyhow: bench file, drafts, locks, versions, the index.

None of it is ever needed to go on working, so whatever is in it is read, or passed over,
or refused in a line. PLUGWRIGHT_EXAMPLES sets the number of examples for a long run.
"""

from __future__ import annotations

import json
import os
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from tests.process.hostile_texts import acting
from tests.properties.altered import PROFILES, altered, altered_bench
from wizard.commands import listing
from wizard.learning.keeping import from_table
from wizard.plug.bench import Bench
from wizard.plug.record import Build
from wizard.report.learning import learned_lines, offer_lines
from wizard.session.bench import offered, options
from wizard.session.changes import changes
from wizard.session.earlier import earlier
from wizard.session.found import Look, look_through
from wizard.session.layout import lay_out
from wizard.session.opening import resume
from wizard.steps.walk import STEPS
from wizard.store import bench as bench_file
from wizard.store import profile
from wizard.store.bin import binned, restore
from wizard.store.history import Draft, read_draft, save_draft
from wizard.store.locks import HeldBy, Lock, hold
from wizard.store.names import DRAFT, HISTORY, LOCK, companion
from wizard.store.problems import ProfileError
from wizard.store.shelf_index import MADE_BY

EXAMPLES = int(os.environ.get("PLUGWRIGHT_EXAMPLES", "100"))
many = settings(
    max_examples=max(EXAMPLES // 2, 20),
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)
GOOD = PROFILES[0].read_bytes()
BUILD = profile.read(GOOD, "it.toml")[0]


@contextmanager
def a_build() -> Iterator[Path]:
    """A build in a folder of its own."""
    with tempfile.TemporaryDirectory() as name:
        path = Path(name).resolve() / "it.toml"
        path.write_bytes(GOOD)
        companion(path, "").parent.mkdir()
        yield path


@pytest.fixture(autouse=True, scope="module")
def far_west() -> Iterator[None]:
    """Where the clock is behind UTC, the first day of all has no local time."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TZ", "Etc/GMT+12")
        patch.setattr(os, "fsync", os.fstat)
        time.tzset()
        yield
    time.tzset()


# The bench file

PIECES = st.sampled_from(
    ["builds", "since", "habit", "start", "progress", "count", "mean", "low", "high", "key",
     "stayed", "went", "first", "last", "compared", "scatter", "x"]
)  # fmt: skip
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(PIECES, inner, max_size=5),
    max_leaves=12,
)


def read(data: bytes) -> Bench | ProfileError:
    """The bench that a file holds, or why it holds none."""
    try:
        return bench_file.read(data, "bench.toml")[0]
    except ProfileError as error:
        return error


@many
@given(st.randoms(use_true_random=False))
def test_any_bench_is_one_or_says_why_not(chance: Random) -> None:
    bench = read(altered_bench(chance))
    if isinstance(bench, ProfileError):
        assert acting(str(bench)) == []
        return
    assert bench_file.read(bench_file.write(bench), "bench.toml")[0] == bench
    for option in options(bench):
        assert option.text
    for step in STEPS:
        assert offered(bench, BUILD, lay_out(BUILD, step, {}))
    learned_lines(from_table(bench.learned))


@many
@given(st.dictionaries(PIECES, VALUES, max_size=6))
def test_whatever_was_learned_is_told_or_passed_over(table: dict[str, Any]) -> None:
    known = from_table(table)
    for line in (*learned_lines(known), *offer_lines(known, BUILD)):
        assert "nan" not in line.split()


# What stands beside one build


@many
@given(st.binary(max_size=200) | st.integers(0, 400))
def test_any_draft_comes_back_or_is_passed_over(garbled: bytes | int) -> None:
    with a_build() as path:
        place = companion(path, DRAFT)
        if isinstance(garbled, int):  # a good one with a flipped bit
            save_draft(path, Draft("build.notes", "oiled twice", "oiled"))
            data = bytearray(place.read_bytes())
            data[garbled % len(data)] ^= 1 << garbled % 8
            garbled = bytes(data)
        place.write_bytes(garbled)
        read_draft(path)
        resume(path, lambda kept: None).close(5)
        assert path.read_bytes() == GOOD


@many
@given(st.binary(max_size=300))
@example(b"bench\n1\n0001-01-01T00:00:00+00:00\n")
@example(b"bench\n1\n9999-12-31T23:59:59-14:00\n")
@example(b"bench\n-1\n0001-01-01\n")
@example(b"\x1b]0;x\x07\n99999999999999\n2026-04-02T18:30:00\n")
def test_any_record_of_a_lock_is_told_in_words(record: bytes) -> None:
    with a_build() as path:
        companion(path, LOCK).write_bytes(record)
        lock = hold(path)
        assert isinstance(lock, Lock)
        assert acting(str(lock.left_by)) == []
        companion(path, LOCK).write_bytes(record)  # while it is held
        held = hold(path)
        assert isinstance(held, HeldBy)
        assert acting(str(held)) == []
        lock.release()


NAMES = st.from_regex(r"\A[0-9]{6,20}-[0-9]{8}T[0-9]{6}Z\.toml\Z") | st.text(
    st.characters(exclude_characters="/\0", exclude_categories=["Cs"]), min_size=1, max_size=40
)


@many
@given(st.dictionaries(NAMES, st.just(GOOD) | st.binary(max_size=40), max_size=6))
@example({"000001-00010101T000000Z.toml": GOOD, "000002-99991231T235959Z.toml": GOOD + b"#\n"})
@example({"000001-20260231T000000Z.toml": GOOD})
def test_any_history_is_read_or_passed_over(files: dict[str, bytes]) -> None:
    with a_build() as path:
        folder = companion(path, HISTORY)
        folder.mkdir()
        for name, data in files.items():
            with suppress(OSError):  # . and .. and names too long
                (folder / name).write_bytes(data)
        for version in earlier(path):
            assert f"{version.when:%Y-%m-%d %H:%M}"
            assert version.build == BUILD


@pytest.mark.parametrize("moment", [-(10**11), 10**11, 2**40])
def test_files_of_any_date_are_told(moment: int, capsys: pytest.CaptureFixture[str]) -> None:
    with a_build() as path:
        backup = path.with_name("it.toml.bak")
        backup.write_bytes(GOOD)
        try:
            os.utime(backup, (moment, moment))
            os.utime(path, (moment, moment))
        except (OSError, OverflowError):
            pytest.skip("no file can have that date here")
        assert [version.key for version in earlier(path)] == ["last"]
        assert listing.run(["--folder", str(path.parent), "--json"]) == 0
        assert '"name": "Harbour dart 108"' in capsys.readouterr().out


@many
@given(st.randoms(use_true_random=False))
def test_any_two_versions_are_told_apart_in_words(chance: Random) -> None:
    builds = []
    for _ in range(2):
        with suppress(ProfileError):
            builds.append(profile.read(altered(chance), "it.toml")[0])
    for one, other in zip([BUILD, *builds], [*builds, BUILD], strict=True):
        for line in changes(one, other):
            assert acting(line) == []
            assert len(line) < 400
    assert changes(Build(), Build()) == ()


# The index of the shelf

ENTRY: dict[str, Any] = {
    "name": "it", "step": "plan", "behaviour": "floats", "finished": False, "archived": False,
    "tags": [], "result": "", "next": None, "wrong": [],
}  # fmt: skip
NEXT: dict[str, Any] = {
    "start": "2026-04-02T18:30:00+00:00", "finish": "2026-04-02T19:30:00+00:00", "name": "sealer",
    "kind": "seal", "hands_on": 600.0, "ready": "2026-04-05T18:30:00+00:00",
}  # fmt: skip
JSON = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=30) | st.lists(
    st.integers(), max_size=2
)  # fmt: skip


@many
@given(
    st.dictionaries(st.sampled_from(sorted(ENTRY)), JSON, max_size=3),
    st.none() | st.dictionaries(st.sampled_from(sorted(NEXT)), JSON, max_size=3),
)
@example({}, {"start": "yesterday"})
@example({}, {"hands_on": 1e300})
@example({}, {"start": "0001-01-01T00:00:00+14:00", "finish": "9999-12-31T23:59:59-14:00"})
@example({}, {"start": "2026-04-02T18:30:00"})
@example({"step": "varnish"}, None)
def test_any_index_gives_a_shelf(odd: dict[str, Any], odd_next: dict[str, Any] | None) -> None:
    with a_build() as path:
        os.utime(path, (1_000_000, 1_000_000))
        entry = {**ENTRY, "next": {**NEXT, **odd_next} if odd_next is not None else None, **odd}
        held = {
            "modified": path.stat().st_mtime,
            "size": len(GOOD),
            "seen": time.time(),
            "entry": entry,
        }
        index = {"made_by": MADE_BY, "files": {"it.toml": held}}
        companion(path.parent / "shelf.json", "").write_text(json.dumps(index))
        (found,), trouble = look_through(path.parent)
        assert trouble == ""
        assert found.line


@many
@given(st.binary(max_size=200))
@example(b"[build]\ntags = 5\n")
@example(b"[build]\ntags = true\nname = 3\n")
@example(b"[aim]\nbehaviour = []\n")
def test_any_file_can_be_glanced_at(data: bytes) -> None:
    with a_build() as path:
        path.write_bytes(data)
        look = Look(path.parent)
        (found,) = look.at_once()
        assert found.line
        for _ in look.reading_on():
            pass
        (found,) = look.all_found
        assert found.line


# The bin


@many
@given(st.text(st.characters(exclude_characters="/\0", exclude_categories=["Cs"]), max_size=30))
@example("00010101T000000Z-it.toml")
@example("20260231T000000Z-it.toml")
@example("20260402T183000Z-\x1b]0;x\x07.toml")
@example("20260402T183000Z-2-..toml")
def test_any_bin_is_listed(name: str) -> None:
    with a_build() as path:
        place = companion(path.parent / "bin", "") / name
        with suppress(OSError):  # . and .. and none
            place.mkdir(parents=True)
            (place / "build.toml").write_bytes(GOOD)
        for thrown in binned(path.parent):
            assert f"{thrown.when.astimezone():%Y-%m-%d %H:%M}"
            assert restore(thrown, path.parent).parent == path.parent
