"""Names, outside edits, history and drafts, over whatever hypothesis thinks of."""

import builtins
import os
import re
import stat
import tempfile
import unicodedata
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path, PurePosixPath, PureWindowsPath

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from wizard.store import folder as builds
from wizard.store import names
from wizard.store.files import ChangedOutside, ReadRefused, SaveFailed, fingerprint, read, save
from wizard.store.history import (
    Draft,
    Version,
    drop_draft,
    read_draft,
    read_version,
    remember,
    save_draft,
    versions,
    worn_out,
)
from wizard.store.rescue import clear_leftovers, keep_both, last_good, set_aside

few = settings(max_examples=60, deadline=None)
any_text = st.text(st.characters(exclude_categories=()), max_size=40)  # surrogates too
NOON = datetime(2026, 4, 2, 12, 0, tzinfo=UTC)


@pytest.fixture(autouse=True, scope="module")
def no_waiting_for_the_medium() -> Iterator[None]:
    """What a flush is worth is the replay's subject; here it would only cost seconds."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "fsync", os.fstat)  # a descriptor is still needed
        yield


@contextmanager
def empty_folder() -> Iterator[Path]:
    """A folder for one example; hypothesis forbids the fixture's, which is shared by all."""
    with tempfile.TemporaryDirectory() as name:
        yield Path(name).resolve()


# Names

ODD_NAMES = [
    "",
    " ",
    ".",
    "..",
    "../../etc/passwd",
    "..\\..\\autoexec",
    "/etc/passwd",
    "C:\\plug",
    "\\\\server\\share",
    "a\0b",
    "CON",
    "con.toml",
    "nul",
    "COM1",
    "LPT9.txt",
    "trailing dot.",
    "trailing space ",
    ".hidden",
    "-rf",
    "~",
    "$HOME",
    "a" * 300,
    "é" * 300,
    "🎣" * 300,
    "x.toml",
    "x.bak",
    "\x1b]52;c;eA==\x07",
    "\u202eevil",
    "שפריט",
    "小魚",
    "Sprat",
    "sprat",
    "SPRAT",
    "ſprat",
    "straße",
    "strasse",
    "İ",
    "ı",
    "K",
    "K",
    "\ud800",
    "a/b",
    "a b",
    "a-b",
    "a_b",
    "a:b",
    "a*b?",
    "harbour sprat 95",
    "[/b]",
]


def path_for(name: str) -> Path:
    return builds.profile_path_for(Path("/builds"), name)


def assert_safe(name: str) -> None:
    path = path_for(name)
    assert path.parent == Path("/builds")
    assert re.fullmatch(r"[a-z0-9][a-z0-9-]{0,60}\.toml", path.name)
    assert PurePosixPath(path.name).name == path.name
    assert PureWindowsPath(path.name).name == path.name
    # "Naming files, paths, and namespaces", the documentation of Windows: these, with any ending.
    assert not re.match(r"(con|prn|aux|nul|com\d|lpt\d)(\.|$)", path.name)


@pytest.mark.parametrize("name", ODD_NAMES, ids=ascii)
def test_odd_names_stay_inside_the_folder(name: str) -> None:
    assert_safe(name)


def test_no_two_odd_names_share_a_file_on_any_system() -> None:
    distinct = {unicodedata.normalize("NFC", name) for name in ODD_NAMES}
    assert len({path_for(name).name.casefold() for name in ODD_NAMES}) == len(distinct)


@few
@given(any_text)
def test_any_name_stays_inside_the_folder(name: str) -> None:
    assert_safe(name)


@few
@given(any_text, any_text)
@example("Sprat", "sprat")
@example("a\u0301", "a")
def test_a_file_is_shared_exactly_by_spellings_of_one_name(one: str, other: str) -> None:
    same = unicodedata.normalize("NFC", one) == unicodedata.normalize("NFC", other)
    assert (path_for(one) == path_for(other)) is same


@few
@given(any_text)
def test_composed_or_not_a_name_finds_its_file(name: str) -> None:
    composed = unicodedata.normalize("NFC", name)
    assert path_for(composed) == path_for(unicodedata.normalize("NFD", composed))


def test_a_second_build_of_a_name_gets_a_file_of_its_own(tmp_path: Path) -> None:
    paths = []
    for data in (b"one", b"two", b"three"):
        paths.append(builds.profile_path_for(tmp_path, "Sprat"))
        save(paths[-1], data, expected=None)
    assert [path.read_bytes() for path in paths] == [b"one", b"two", b"three"]


def test_names_that_share_a_slug_share_no_file() -> None:
    assert len({path_for(chr(0x4E00 + number)) for number in range(5000)}) == 5000


def test_a_name_can_be_read_in_its_file_name() -> None:
    assert path_for("Harbour Sprat 95").name.startswith("harbour-sprat-95-")
    assert path_for("Épinoche").name.startswith("epinoche-")


@few
@given(st.text(st.characters(exclude_characters="/\0", exclude_categories=["Cs"]), min_size=1))
def test_what_stands_beside_a_file_has_a_name_that_fits(name: str) -> None:
    target = Path("/builds") / name.encode()[:255].decode("utf-8", "ignore")
    for ending in (".bak", ".lock", ".history", ".damaged-20260402-120000-12"):
        for path in (names.sibling(target, ending), names.companion(target, ending)):
            assert len(os.fsencode(path.name)) <= 255
            assert path.name.endswith(ending)
    assert len(os.fsencode(names.temporary(target, "0" * 12).name)) <= 255
    assert names.is_temporary(names.temporary(target, "0" * 12).name, target)
    assert not names.is_temporary(names.temporary(target, "0" * 12).name, Path("/builds/other"))


# The folder


def test_the_folder_is_named_by_the_maker_then_the_environment_then_the_system(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("PLUGWRIGHT_HOME", "~/mine")
    monkeypatch.chdir(tmp_path)
    assert builds.builds_folder("here") == tmp_path / "here"
    assert builds.builds_folder() == tmp_path / "mine"
    monkeypatch.setenv("PLUGWRIGHT_HOME", "")
    assert "plugwright" in builds.builds_folder().parts
    assert tmp_path in builds.builds_folder().parents
    assert os.listdir(tmp_path) == []


def test_the_folder_is_made_for_its_owner_alone(tmp_path: Path) -> None:
    folder = tmp_path / "a" / "b"
    builds.make_folder(folder)
    builds.make_folder(folder)
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(SaveFailed):
        builds.make_folder(tmp_path / "file" / "builds")


def test_a_listing_shows_builds_only_and_opens_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = save(tmp_path / "old.toml", b"a", expected=None)
    save(tmp_path / "old.toml", b"ab", expected=first.fingerprint)
    os.utime(tmp_path / "old.toml", (1000, 1000))
    for number in range(1000):
        path = tmp_path / f"build{number:04d}.toml"
        path.touch()
        os.utime(path, (2000 + number, 2000 + number))
    (tmp_path / "link.TOML").symlink_to("old.toml")
    (tmp_path / "lost.toml").symlink_to("gone.toml")
    (tmp_path / "loop.toml").symlink_to("loop.toml")
    (tmp_path / "folder.toml").mkdir()
    os.mkfifo(tmp_path / "pipe.toml")
    (tmp_path / ".hidden.toml").touch()
    (tmp_path / "notes.txt").touch()
    (tmp_path / "spoilt.toml").touch()
    set_aside(tmp_path / "spoilt.toml")
    save_draft(tmp_path / "old.toml", Draft("a", "b"))
    remember(tmp_path / "old.toml", b"a", NOON)

    def refuse(*arguments: object, **named: object) -> int:
        raise AssertionError("opened")

    with monkeypatch.context() as patch:
        patch.setattr(os, "open", refuse)
        patch.setattr(builtins, "open", refuse)
        listed = builds.list_profiles(tmp_path)
    assert [item.path.name for item in listed[:2]] == ["build0999.toml", "build0998.toml"]
    assert {item.path.name for item in listed[1000:]} == {"link.TOML", "old.toml"}
    assert [(item.size, item.modified) for item in listed[1000:]] == [(2, 1000.0)] * 2
    assert len(listed) == 1002


def test_a_folder_that_is_not_there_is_empty_and_a_file_is_refused(tmp_path: Path) -> None:
    assert builds.list_profiles(tmp_path / "gone") == []
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(ReadRefused, match="not a folder"):
        builds.list_profiles(tmp_path / "file")


# Edits from outside

some_bytes = st.binary(max_size=200)


@few
@given(old=some_bytes, outside=some_bytes, new=some_bytes)
@example(old=b"ab", outside=b"ba", new=b"c")
@example(old=b"a", outside=b"c", new=b"c")
@example(old=b"a", outside=b"a" * 300_000, new=b"c")
def test_an_outside_edit_is_never_overwritten(old: bytes, outside: bytes, new: bytes) -> None:
    with empty_folder() as folder:
        path = folder / "sprat.toml"
        held = save(path, old, expected=None).fingerprint
        path.write_bytes(outside)
        if outside in (old, new):
            save(path, new, expected=held)
            assert path.read_bytes() == new
            return
        before = {item.name: item.read_bytes() for item in folder.iterdir()}
        with pytest.raises(ChangedOutside):
            save(path, new, expected=held)
        assert {item.name: item.read_bytes() for item in folder.iterdir()} == before
        mine = keep_both(path, new, now=NOON)
        assert mine.name.startswith("sprat.mine-20260402-120000")
        assert mine.suffix == ".toml"
        assert (path.read_bytes(), mine.read_bytes()) == (outside, new)


@few
@given(st.binary(min_size=1, max_size=60), st.data())
def test_every_single_byte_counts(old: bytes, data: st.DataObject) -> None:
    place = data.draw(st.integers(0, len(old) - 1))
    change = data.draw(st.integers(1, 255))
    edited = bytearray(old)
    edited[place] ^= change
    assert fingerprint(bytes(edited)) != fingerprint(old)
    assert fingerprint(old[:place]) != fingerprint(old)


def test_a_file_that_should_not_be_there_is_not_overwritten(tmp_path: Path) -> None:
    path = tmp_path / "sprat.toml"
    path.write_bytes(b"someone else's")
    with pytest.raises(ChangedOutside):
        save(path, b"mine", expected=None)
    assert path.read_bytes() == b"someone else's"


@pytest.mark.parametrize("act", [keep_both, lambda path, data, now: set_aside(path, now=now)])
def test_second_places_never_meet(
    tmp_path: Path, act: Callable[[Path, bytes, datetime], Path]
) -> None:
    path = tmp_path / "sprat.toml"
    made = {}
    for number in range(5):
        data = b"version %d" % number
        path.write_bytes(data)
        made[act(path, data, NOON)] = data
    assert len(made) == 5
    assert {place: place.read_bytes() for place in made} == made


def test_keeping_the_same_version_twice_makes_one_file(tmp_path: Path) -> None:
    path = tmp_path / "sprat.toml"
    assert keep_both(path, b"a", now=NOON) == keep_both(path, b"a", now=NOON)
    assert len(os.listdir(tmp_path)) == 1


def test_a_damaged_target_is_moved_and_its_link_stays(tmp_path: Path) -> None:
    (tmp_path / "far").mkdir()
    link, target = tmp_path / "link.toml", tmp_path / "far" / "sprat.toml"
    link.symlink_to(target)
    first = save(link, b"good", expected=None)
    save(link, b"damaged", expected=first.fingerprint)
    aside = set_aside(link)
    assert aside.parent == target.parent
    assert aside.read_bytes() == b"damaged"
    good = last_good(link)
    assert good is not None
    save(link, read(good)[0], expected=None)
    assert link.is_symlink()
    assert target.read_bytes() == b"good"


def test_what_is_not_there_cannot_be_set_aside(tmp_path: Path) -> None:
    with pytest.raises(SaveFailed, match="moved aside"):
        set_aside(tmp_path / "gone.toml")
    assert os.listdir(tmp_path) == []


def test_leftovers_of_this_build_alone_are_cleared(tmp_path: Path) -> None:
    path, other = tmp_path / "sprat.toml", tmp_path / "other.toml"
    remember(path, b"a", NOON)
    history = names.companion(path, names.HISTORY)
    draft = names.companion(path, names.DRAFT)
    mine = [names.temporary(place, "00") for place in (path, names.backup(path), draft)]
    mine.append(names.temporary(history / "000002-20260402T120000Z.toml", "00"))
    for place in (*mine, names.temporary(other, "00"), path):
        place.touch()
    assert clear_leftovers(path) == 4
    assert not any(place.exists() for place in mine)
    assert names.temporary(other, "00").exists()
    assert path.exists()
    assert len(versions(path)) == 1


# History

moments = st.datetimes(
    min_value=datetime(1970, 1, 1), max_value=datetime(2100, 1, 1), timezones=st.just(UTC)
)


def at(moment: datetime, number: int) -> Version:
    return Version(number, moment, Path(f"{number}"))


@few
@given(st.lists(moments, max_size=80))
def test_worn_out_versions_are_neither_new_nor_the_last_of_their_time(
    clock: list[datetime],
) -> None:
    newest_first = [at(moment, number) for number, moment in enumerate(clock)][::-1]
    dropped = worn_out(newest_first)
    kept = [version for version in newest_first if version not in dropped]
    assert kept[:10] == newest_first[:10]
    assert len(kept) <= 10 + 12 + 14
    days = list(dict.fromkeys(version.when.date() for version in newest_first))[:14]
    for day in days:  # the last version of each of the last days stands
        assert next(version for version in newest_first if version.when.date() == day) in kept
    assert worn_out(kept) == []


@few
@given(st.lists(st.integers(1, 5000), min_size=1, max_size=60))
def test_dropping_as_it_goes_keeps_a_version_of_each_of_the_last_days(
    gaps: list[int],
) -> None:
    """Minutes between versions; what an early thinning drops is not missed by a later."""
    kept: list[Version] = []
    moment, every = NOON, []
    for number, gap in enumerate(gaps):
        moment += timedelta(minutes=gap)
        every.append(at(moment, number))
        kept.insert(0, every[-1])
        dropped = worn_out(kept)
        kept = [version for version in kept if version not in dropped]
    last_of_day = {version.when.date(): version for version in every}
    assert [*last_of_day.values()][-14:] == [
        version for version in kept[::-1] if version in [*last_of_day.values()][-14:]
    ]
    assert kept[:10] == every[::-1][:10]


@settings(max_examples=20, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 3), moments), max_size=12))
def test_versions_come_back_in_the_order_of_saving_whatever_the_clock(
    saved: list[tuple[int, datetime]],
) -> None:
    with empty_folder() as folder:
        path = folder / "sprat.toml"
        distinct: list[tuple[bytes, datetime]] = []
        for content, moment in saved:
            data = b"%d" % content
            made = remember(path, data, moment)
            repeated = bool(distinct) and distinct[-1][0] == data
            assert (made is None) is repeated
            if not repeated:
                distinct.append((data, moment.replace(microsecond=0)))
        found = [(read_version(version), version.when) for version in versions(path)]
        assert found[:10] == distinct[::-1][:10]


def test_a_version_is_dated_in_utc_from_any_zone(tmp_path: Path) -> None:
    path = tmp_path / "sprat.toml"
    remember(path, b"a", datetime(2026, 4, 2, 23, 30, tzinfo=timezone(timedelta(hours=-12))))
    assert versions(path)[0].when == datetime(2026, 4, 3, 11, 30, tzinfo=UTC)


def test_strangers_among_the_versions_are_passed_over(tmp_path: Path) -> None:
    path = tmp_path / "sprat.toml"
    remember(path, b"a", NOON)
    history = names.companion(path, names.HISTORY)
    for name in ("notes.txt", "000009-20269999T999999Z.toml", "x-20260402T120000Z.toml"):
        (history / name).write_bytes(b"?")
    os.mkfifo(history / "000007-20260402T120000Z.toml")
    assert [version.number for version in versions(path)] == [7, 1]
    with pytest.raises(ReadRefused):
        read_version(versions(path)[0])
    made = remember(path, b"a", NOON)
    assert made is not None
    assert made.number == 8


def test_history_is_for_its_owner_alone_and_none_is_none(tmp_path: Path) -> None:
    path = tmp_path / "sprat.toml"
    assert versions(path) == []
    assert os.listdir(tmp_path) == []
    remember(path, b"a", NOON)
    assert stat.S_IMODE((tmp_path / ".plugwright").stat().st_mode) == 0o700
    with pytest.raises(SaveFailed):
        remember(tmp_path / "gone" / "sprat.toml", b"a", NOON)


# Drafts


@few
@given(field=any_text, text=any_text, over=any_text)
@example(field="weighing.mass", text="13.6", over="\n\0\ud800")
def test_a_draft_comes_back_as_typed(field: str, text: str, over: str) -> None:
    with empty_folder() as folder:
        path = folder / "sprat.toml"
        assert read_draft(path) is None
        for draft in (Draft(field, text), Draft(field, text, over), Draft(field, over, text)):
            save_draft(path, draft)
            assert read_draft(path) == draft
        assert not path.exists()
        drop_draft(path)
        drop_draft(path)
        assert read_draft(path) is None


def test_a_draft_cut_or_garbled_by_a_power_cut_is_none(tmp_path: Path) -> None:
    path = tmp_path / "sprat.toml"
    save_draft(path, Draft("weighing.mass", "13.62 g", "13.6 g"))
    place = names.companion(path, names.DRAFT)
    whole = place.read_bytes()
    spoilt = [whole[:size] for size in range(len(whole))]
    spoilt += [bytes(len(whole)), whole + b"x", b"", b"\xff" * 300_000]
    spoilt += [
        whole[:at_byte] + bytes([whole[at_byte] ^ 1]) + whole[at_byte + 1 :]
        for at_byte in range(len(whole))
    ]
    for data in spoilt:
        place.write_bytes(data)
        assert read_draft(path) is None


def test_a_draft_longer_than_any_answer_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "sprat.toml"
    save_draft(path, Draft("a", "b"))
    with pytest.raises(SaveFailed, match="longer"):
        save_draft(path, Draft("a", "b" * 100_000))
    assert read_draft(path) == Draft("a", "b")


def test_each_build_has_its_own_draft(tmp_path: Path) -> None:
    save_draft(tmp_path / "one.toml", Draft("a", "1"))
    save_draft(tmp_path / "two.toml", Draft("a", "2"))
    assert read_draft(tmp_path / "one.toml") == Draft("a", "1")
    with pytest.raises(SaveFailed):
        save_draft(tmp_path / "gone" / "one.toml", Draft("a", "1"))
