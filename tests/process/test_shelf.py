"""The shelf on a real disk: what is told, what is kept, what is thrown away and comes back."""

from __future__ import annotations

import json
import os
import time
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.plug.paths import put
from wizard.plug.record import Build, Operation
from wizard.quantity.reading import Quantity, read
from wizard.session.found import Found, Look, look_through
from wizard.session.shelving import ORDERS, matching, on_show, ordered
from wizard.store import shelf as shelves
from wizard.store.bin import InUse, binned, delete, empty, restore
from wizard.store.faults import SaveFailed
from wizard.store.folder import profile_path_for
from wizard.store.history import remember, versions
from wizard.store.locks import Lock, hold
from wizard.store.names import backup
from wizard.store.opening import open_profile
from wizard.store.profile import write
from wizard.store.shelf import Entry, FolderGone, glance, shelf
from wizard.store.shelf_index import Index, load
from wizard.store.tidying import archive, changed, duplicate, place, rename, tag

NOW = datetime(2026, 4, 2, 12, 0, tzinfo=UTC)
OLD = 1_700_000_000.0  # a moment at which no test was running


def built(name: str, **heading: object) -> Build:
    build = put(Build(), ("build", "name"), name)
    for key, value in heading.items():
        build = put(build, ("build", key), value)
    return put(build, ("aim", "behaviour"), "sinks")


def kept(folder: Path, name: str, when: float = OLD, **heading: object) -> Path:
    """A build on the disk, last written at a moment."""
    folder.mkdir(exist_ok=True)
    path = place(built(name, **heading), folder)
    os.utime(path, (when, when))
    return path


def names(entries: Sequence[Entry | Found]) -> list[str]:
    return [entry.name for entry in entries]


# Looking ----------------------------------------------------------------------


def test_a_glance_and_a_reading_tell_the_same(tmp_path: Path) -> None:
    kept(tmp_path, "First", tags=("pier", "dusk"), step="ballast")
    kept(tmp_path, 'Second, with [brackets] = "quotes"', archived="yes")
    seen = glance(tmp_path, Index())
    full = shelf(tmp_path, NOW)
    assert [replace(entry, read=True) for entry in seen] == list(full)
    assert not any(entry.read for entry in seen)


@settings(deadline=None, max_examples=50)
@given(st.binary(max_size=200), st.sampled_from(["", "[build]\nname = ", "[aim]\n", "[[build]]\n"]))
def test_a_glance_at_any_bytes_tells_something_or_nothing(data: bytes, before: str) -> None:
    found = shelves._tables  # the part that sees the bytes
    try:
        assert isinstance(found(before.encode() + data), dict)
    except ValueError:
        return


def test_broken_profiles_are_listed_with_the_reason_and_the_rest_work(tmp_path: Path) -> None:
    kept(tmp_path, "Good one")
    (tmp_path / "not-toml.toml").write_text("x = [", encoding="utf-8")
    (tmp_path / "wrong-unit.toml").write_text('format = 1\n[weighing]\nmass = "3 km"\n')
    (tmp_path / "large.toml").write_bytes(b"#" * 300_000)
    (tmp_path / "binary.toml").write_bytes(bytes(range(256)))
    (tmp_path / "notes.txt").write_text("no build")
    found, trouble = look_through(tmp_path)
    assert trouble == ""
    reasons = {f.path.name: f.wrong for f in found}
    assert reasons.pop(profile_path_for(tmp_path / "elsewhere", "Good one").name) == ()
    assert set(reasons) == {"not-toml.toml", "wrong-unit.toml", "large.toml", "binary.toml"}
    assert all(why for why in reasons.values())
    assert "km" in reasons["wrong-unit.toml"][0]


def test_what_was_read_once_is_not_read_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept(tmp_path, "First")
    first = shelf(tmp_path, NOW)
    monkeypatch.setattr(shelves, "_read", lambda *_: pytest.fail("read again"))
    monkeypatch.setattr(shelves, "_glanced", lambda *_: pytest.fail("looked at again"))
    assert shelf(tmp_path, NOW) == first


def test_a_file_that_changed_is_read_again(tmp_path: Path) -> None:
    path = kept(tmp_path, "First")
    shelf(tmp_path, NOW)
    path.write_bytes(write(built("Other")))  # the same length, written later
    os.utime(path, (OLD + 1, OLD + 1))
    assert names(shelf(tmp_path, NOW)) == ["Other"]


def test_a_change_within_one_tick_of_the_clock_is_seen(tmp_path: Path) -> None:
    now = time.time()
    path = kept(tmp_path, "First", now)
    shelf(tmp_path, NOW)
    path.write_bytes(write(built("Other")))
    os.utime(path, (now, now))  # the file system's clock had not moved on
    assert names(shelf(tmp_path, NOW)) == ["Other"]


@pytest.mark.parametrize(
    "index",
    [b"", b"{", b"[]", b"null", b'{"made_by": 3}', b"\xff\xfe", b'{"files": 3}', b"[" * 5000],
)
def test_a_damaged_index_costs_a_reading_and_nothing_else(tmp_path: Path, index: bytes) -> None:
    kept(tmp_path, "First")
    before = shelf(tmp_path, NOW)
    (tmp_path / ".plugwright" / "shelf.json").write_bytes(index)
    assert shelf(tmp_path, NOW) == before


@pytest.mark.parametrize("bad", [{}, {"name": 1}, [], "x", None])
def test_an_entry_that_is_none_is_read_anew(tmp_path: Path, bad: object) -> None:
    path = kept(tmp_path, "First")
    shelf(tmp_path, NOW)
    place_of = tmp_path / ".plugwright" / "shelf.json"
    held = json.loads(place_of.read_text())
    held["files"][path.name]["entry"] = bad
    place_of.write_text(json.dumps(held))
    assert names(shelf(tmp_path, NOW)) == ["First"]


def test_the_index_forgets_what_is_gone(tmp_path: Path) -> None:
    path = kept(tmp_path, "First")
    other = kept(tmp_path, "Second")
    shelf(tmp_path, NOW)
    path.unlink()
    os.utime(other, (OLD + 5, OLD + 5))
    shelf(tmp_path, NOW)
    held = json.loads((tmp_path / ".plugwright" / "shelf.json").read_text())
    assert list(held["files"]) == [other.name]
    assert load(tmp_path).get(path.name, OLD, 1) is None


def test_a_folder_that_may_not_be_written_is_read_all_the_same(tmp_path: Path) -> None:
    kept(tmp_path, "First")
    (tmp_path / ".plugwright").write_text("a file in the way")
    assert names(shelf(tmp_path, NOW)) == ["First"]


def test_a_folder_that_vanishes_is_said_to_be_gone(tmp_path: Path) -> None:
    folder = tmp_path / "builds"
    assert look_through(folder) == ((), "")
    kept(folder, "First")
    look = Look(folder, was_there=True)
    assert names(look.at_once()) == ["First"]
    folder.rename(tmp_path / "moved")
    look = Look(folder, was_there=True)
    assert look.at_once() == ()
    assert "is gone" in look.trouble
    assert "bring the disk or folder back" in look.trouble
    with pytest.raises(FolderGone):
        glance(folder, Index(), known=True)


def test_reading_on_can_be_stopped_and_what_was_read_is_kept(tmp_path: Path) -> None:
    for n in range(5):
        kept(tmp_path, f"Build {n}")
    look = Look(tmp_path)
    assert len(look.at_once()) == 5
    reading = look.reading_on()
    assert [next(reading), next(reading)] == [4, 3]
    reading.close()
    again = Look(tmp_path)
    again.at_once()
    assert again.unread == 3
    assert list(again.reading_on()) == [2, 1, 0]


def test_what_is_due_is_told_at_any_later_moment(tmp_path: Path) -> None:
    recoat = read("4 h", "time")
    assert isinstance(recoat, Quantity)
    row = Operation(name="sealer", kind="seal", recoat_earliest=recoat, finished=NOW)
    build = replace(built("Sealed"), operation=(row, Operation(name="clear coat", kind="clear")))
    path = place(build, tmp_path)
    os.utime(path, (OLD, OLD))
    (entry,) = shelf(tmp_path, NOW)
    (again,) = shelf(tmp_path, NOW + timedelta(hours=1))
    soon, later = entry.due(NOW), again.due(NOW + timedelta(hours=1))
    assert soon is not None
    assert later is not None
    assert (soon.kind, later.kind) == ("waiting", "waiting")
    assert "in 4 h" in soon.text
    assert "in 3 h" in later.text
    after = again.due(NOW + timedelta(days=2))
    assert after is not None
    assert after.kind in ("due", "overdue")


# Finding and sorting ----------------------------------------------------------


def some() -> tuple[Found, ...]:
    return (
        Found(Path("a.toml"), "Pier herring", "step 3 of 10: Shape", "sinks", position=3,
              tags=("winter",), modified=30.0),
        Found(Path("b.toml"), "reed frog", "finished", "floats", True, position=10,
              result="did as asked", modified=10.0, due="next coat due", urgency=1),
        Found(Path("c.toml"), "Old perch", "finished", "sinks", True, position=10,
              is_archived=True, modified=20.0),
        Found(Path("d.toml"), wrong=("line 1: broken",), modified=99.0),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("", ["Pier herring", "reed frog", "Old perch", ""]),
        ("PIER", ["Pier herring"]),
        ("sinks herring", ["Pier herring"]),
        ("herring frog", []),
        ("winter", ["Pier herring"]),
        ("asked", ["reed frog"]),
        ("d.toml", [""]),
    ],
)
def test_every_word_that_is_typed_must_stand_somewhere(typed: str, expected: list[str]) -> None:
    assert names(matching(some(), typed)) == expected


def test_orders_of_the_shelf_with_broken_files_last() -> None:
    firsts = {order: ordered(some(), order)[0].name for order in ORDERS}
    assert firsts == {
        "modified": "Pier herring",
        "name": "Old perch",
        "step": "Old perch",
        "aim": "reed frog",
        "due": "reed frog",
    }
    assert all(ordered(some(), order)[-1].wrong for order in ORDERS)
    assert names(on_show(some(), archived=True)) == ["Old perch"]


# Renaming, copying, putting away ------------------------------------------------


def test_a_build_is_renamed_tagged_and_put_away_where_it_lies(tmp_path: Path) -> None:
    path = kept(tmp_path, "First")
    rename(path, "Better")
    tag(path, ("pier", "dusk"))
    archive(path, True)
    (entry,) = shelf(tmp_path, NOW)
    assert (entry.path, entry.name, entry.tags, entry.archived) == (
        path, "Better", ("pier", "dusk"), True,
    )  # fmt: skip
    archive(path, False)
    assert open_profile(path).build.build.archived is None


def test_a_duplicate_is_another_file_and_not_finished(tmp_path: Path) -> None:
    path = kept(tmp_path, "First", archived="yes")
    copy = duplicate(path, "Second", tmp_path, NOW)
    assert copy != path
    build = open_profile(copy).build
    assert (build.build.name, build.build.created, build.shown) == ("Second", NOW, None)
    assert build.build.archived is None
    assert build.aim == open_profile(path).build.aim
    same = duplicate(path, "Second", tmp_path, NOW)
    assert len({path, copy, same}) == 3


def test_nothing_is_changed_while_another_window_has_the_build(tmp_path: Path) -> None:
    path = kept(tmp_path, "First")
    before = path.read_bytes()
    lock = hold(path)
    assert isinstance(lock, Lock)
    with lock:
        for act in (
            lambda: rename(path, "Better"),
            lambda: delete(path, NOW),
            lambda: changed(path, lambda build: build),
        ):
            with pytest.raises(InUse, match="close it there first"):
                act()
    assert path.read_bytes() == before


# The bin ------------------------------------------------------------------------


def test_a_deleted_build_comes_back_with_its_versions(tmp_path: Path) -> None:
    path = kept(tmp_path, "First")
    data = path.read_bytes()
    backup(path).write_bytes(b"the one before")
    remember(path, data, NOW)
    thrown = delete(path, NOW)
    assert not path.exists()
    assert not backup(path).exists()
    assert versions(path) == []
    assert shelf(tmp_path, NOW) == ()
    assert binned(tmp_path) == (thrown,)
    assert thrown.profile.read_bytes() == data
    assert restore(thrown, tmp_path) == path
    assert path.read_bytes() == data
    assert backup(path).read_bytes() == b"the one before"
    assert len(versions(path)) == 1
    assert binned(tmp_path) == ()


def test_a_build_that_took_its_place_stays(tmp_path: Path) -> None:
    path = kept(tmp_path, "First")
    data = path.read_bytes()
    thrown = delete(path, NOW)
    path.write_bytes(write(built("Another")))
    back = restore(thrown, tmp_path)
    assert back != path
    assert back.read_bytes() == data
    assert open_profile(path).build.build.name == "Another"


def test_many_of_one_name_wait_in_the_bin(tmp_path: Path) -> None:
    thrown = []
    for _ in range(3):
        path = kept(tmp_path, "First")
        thrown.append(delete(path, NOW))
    assert len({one.place for one in thrown}) == 3
    assert len(binned(tmp_path)) == 3
    assert empty(tmp_path) == 3
    assert binned(tmp_path) == ()
    assert list((tmp_path / ".plugwright" / "bin").iterdir()) == []


def test_a_link_goes_into_the_bin_and_its_build_stays(tmp_path: Path) -> None:
    real = kept(tmp_path / "real", "First")
    remember(real, real.read_bytes(), NOW)
    link = tmp_path / "linked.toml"
    link.symlink_to(real)
    thrown = delete(link, NOW)
    assert real.exists()
    assert len(versions(real)) == 1
    assert restore(thrown, tmp_path) == link
    assert link.is_symlink()


def test_a_deletion_that_fails_leaves_the_build(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = kept(tmp_path, "First")
    data = path.read_bytes()

    def refuse(*_: object) -> None:
        raise PermissionError(13, "no")

    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(SaveFailed, match="may not be used"):
        delete(path, NOW)
    assert path.read_bytes() == data
    assert list((tmp_path / ".plugwright" / "bin").iterdir()) == []
    lock = hold(path)
    assert isinstance(lock, Lock)
    lock.release()
