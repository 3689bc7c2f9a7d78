"""A save under a failing disk: the file is the old one or the new one, and we are told which."""

import errno
import os
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import pytest

from wizard.store import faults, staging
from wizard.store.disk import FOR_READING, Disk
from wizard.store.files import (
    FOLDER_UNFLUSHED,
    WRITTEN_ANEW,
    ChangedOutside,
    Fingerprint,
    SaveFailed,
    fingerprint,
    put,
    save,
)
from wizard.store.rescue import clear_leftovers, keep_both, last_good, set_aside

OLDER, OLD, NEW = b"older\n" * 300, b"old\n" * 700, b"new\n" * 900
ERRORS = [errno.ENOSPC, errno.EROFS, errno.EACCES, errno.EIO, errno.EDQUOT]
ACTS = frozenset(name for name in vars(Disk) if name[0] != "_") - {"resolved", "writable", "sleep"}

Fault = Callable[[], BaseException]


class Watched(Disk):
    """The real disk, which notes every act and fails at the one numbered `at`.

    Files opened for reading seem to be someone else's, so that the acts which keep the
    owner take part for any user who runs the tests.
    """

    def __init__(
        self,
        at: int | None = None,
        fault: Fault = KeyError,
        *,
        lasting: bool = False,
        done_first: bool = False,
    ) -> None:
        self.at, self.fault, self.lasting, self.done_first = at, fault, lasting, done_first
        self.calls: list[str] = []
        self.slept: list[float] = []
        self.owners: list[tuple[int, int]] = []
        self.foreign: set[int] = set()

    def __getattribute__(self, name: str) -> Any:
        act = super().__getattribute__(name)
        if name not in ACTS:
            return act

        def watched(*arguments: Any) -> Any:
            number = len(self.calls)
            self.calls.append(name)
            fails = number == self.at or (self.lasting and self.at is not None and number > self.at)
            # A descriptor is gone even when close reports a fault.
            if fails and not self.done_first and name != "close":
                raise self.fault()
            answer = act(*arguments)
            if fails:
                raise self.fault()
            return answer

        return watched

    def open(self, path: Path, flags: int, mode: int = 0o666) -> int:
        descriptor = super().open(path, flags, mode)
        (self.foreign.add if flags == FOR_READING else self.foreign.discard)(descriptor)
        return descriptor

    def fstat(self, descriptor: int) -> os.stat_result:
        state = super().fstat(descriptor)
        if descriptor not in self.foreign:
            return state
        return os.stat_result((*state[:4], state.st_uid + 1, state.st_gid + 1, *state[6:]))

    def stat(self, path: Path) -> os.stat_result:
        state = super().stat(path)
        return os.stat_result(tuple(state)[:10])

    def set_owner(self, descriptor: int, user: int, group: int) -> None:
        self.owners.append((user, group))

    def sleep(self, seconds: float) -> None:
        self.slept.append(seconds)


@pytest.fixture(autouse=True, scope="module")
def no_waiting_for_the_medium() -> Iterator[None]:
    """What a flush is worth is the replay's subject; here it would only cost seconds."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "fsync", os.fstat)  # a descriptor is still needed
        yield


def failing(number: int) -> Callable[[], OSError]:
    return lambda: OSError(number, os.strerror(number))


@pytest.fixture
def place(tmp_path: Path) -> Callable[[], Path]:
    """Makes a folder with a build that was saved twice: NAME and NAME.bak."""
    made: list[Path] = []

    def fresh() -> Path:
        folder = tmp_path / f"builds{len(made)}"
        folder.mkdir()
        path = folder / "sprat.toml"
        path.write_bytes(OLD)
        path.chmod(0o640)
        (folder / "sprat.toml.bak").write_bytes(OLDER)
        made.append(path)
        return path

    return fresh


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def ordinary_acts(place: Callable[[], Path]) -> list[str]:
    disk = Watched()
    saved = save(place(), NEW, expected=fingerprint(OLD), disk=disk)
    assert saved.warnings == ()
    return disk.calls


def assert_untouched(path: Path) -> None:
    found = contents(path.parent)
    assert found.pop("sprat.toml") == OLD
    assert found.pop("sprat.toml.bak") in (OLDER, OLD)
    assert found == {}


def test_the_acts_of_a_save_stand_in_the_promised_order(place: Callable[[], Path]) -> None:
    acts = [act for act in ordinary_acts(place) if act not in ("stat", "fstat", "set_owner")]
    assert acts == [
        *("open", "read", "read", "close"),  # compare
        *("open", "set_mode", "write", "fsync"),  # the new version, whole and flushed
        "close",
        *("open", "set_mode", "write", "fsync", "close", "replace", "fsync_folder"),  # NAME.bak
        *("replace", "fsync_folder"),
    ]


@pytest.mark.parametrize("number", ERRORS, ids=errno.errorcode.__getitem__)
def test_every_act_failing_in_turn_leaves_the_old_or_the_new(
    place: Callable[[], Path], number: int
) -> None:
    acts = ordinary_acts(place)
    last = len(acts) - 1
    for at, act in enumerate(acts):
        path = place()
        disk = Watched(at, failing(number))
        try:
            saved = save(path, NEW, expected=fingerprint(OLD), disk=disk)
        except SaveFailed:
            assert_untouched(path)
            assert at < last
        else:
            assert contents(path.parent) == {"sprat.toml": NEW, "sprat.toml.bak": OLD}
            bearable = act in ("set_owner", "set_mode", "replace") and number == errno.EACCES
            assert bearable or at == last
            assert bool(saved.warnings) is (act != "replace")
        # Whatever happened, the next save of the same bytes works and loses nothing.
        assert save(path, NEW, expected=fingerprint(OLD)).warnings == ()
        assert contents(path.parent) == {"sprat.toml": NEW, "sprat.toml.bak": OLD}


@pytest.mark.parametrize("number", ERRORS, ids=errno.errorcode.__getitem__)
def test_a_disk_that_dies_for_good_at_any_act(place: Callable[[], Path], number: int) -> None:
    acts = ordinary_acts(place)
    for at in range(len(acts)):
        path = place()
        disk = Watched(at, failing(number), lasting=True)
        if at == len(acts) - 1:
            saved = save(path, NEW, expected=fingerprint(OLD), disk=disk)
            assert saved.warnings == (FOLDER_UNFLUSHED,)
            assert path.read_bytes() == NEW
        else:
            with pytest.raises(SaveFailed):
                save(path, NEW, expected=fingerprint(OLD), disk=disk)
            clear_leftovers(path)  # a dead disk doesn't even unlink; the next session does
            assert_untouched(path)


def test_an_act_done_but_reported_as_failed_can_be_retried(place: Callable[[], Path]) -> None:
    """As a network disk does when only the answer is lost."""
    for at in range(len(ordinary_acts(place))):
        path = place()
        disk = Watched(at, failing(errno.EIO), done_first=True)
        with suppress(SaveFailed):
            save(path, NEW, expected=fingerprint(OLD), disk=disk)
        assert path.read_bytes() in (OLD, NEW)
        save(path, NEW, expected=fingerprint(OLD))
        clear_leftovers(path)
        assert contents(path.parent) == {"sprat.toml": NEW, "sprat.toml.bak": OLD}


def test_memory_running_out_at_any_act(place: Callable[[], Path]) -> None:
    acts = ordinary_acts(place)
    for at in range(len(acts) - 1):
        path = place()
        with pytest.raises(SaveFailed, match="memory"):
            save(path, NEW, expected=fingerprint(OLD), disk=Watched(at, MemoryError))
        assert_untouched(path)
    path = place()
    saved = save(path, NEW, expected=fingerprint(OLD), disk=Watched(len(acts) - 1, MemoryError))
    assert saved.warnings == (FOLDER_UNFLUSHED,)
    assert path.read_bytes() == NEW


def test_an_interrupt_at_any_act_passes_and_leaves_nothing_behind(
    place: Callable[[], Path],
) -> None:
    for at in range(len(ordinary_acts(place)) - 1):
        path = place()
        with pytest.raises(KeyboardInterrupt):
            save(path, NEW, expected=fingerprint(OLD), disk=Watched(at, KeyboardInterrupt))
        assert_untouched(path)


def test_a_first_save_that_fails_leaves_nothing(tmp_path: Path) -> None:
    path = tmp_path / "sprat.toml"
    disk = Watched()
    save(path, NEW, expected=None, disk=disk)
    path.unlink()
    for at in range(len(disk.calls) - 1):
        with pytest.raises(SaveFailed):
            save(path, NEW, expected=None, disk=Watched(at, failing(errno.ENOSPC)))
        assert contents(tmp_path) == {}


class ShortWrites(Disk):
    """Takes a few bytes at a time."""

    def __init__(self, most: int) -> None:
        self.most, self.tries = most, 0

    def write(self, descriptor: int, data: memoryview) -> int:
        self.tries += 1
        assert self.tries < 100_000, "it would try forever"
        return super().write(descriptor, data[: self.most])


@pytest.mark.parametrize("most", [1, 7, 4096])
def test_short_writes_are_finished(place: Callable[[], Path], most: int) -> None:
    path = place()
    save(path, NEW, expected=fingerprint(OLD), disk=ShortWrites(most))
    assert contents(path.parent) == {"sprat.toml": NEW, "sprat.toml.bak": OLD}


def test_a_disk_that_takes_nothing_fails_instead_of_turning_forever(
    place: Callable[[], Path],
) -> None:
    path = place()
    with pytest.raises(SaveFailed):
        save(path, NEW, expected=fingerprint(OLD), disk=ShortWrites(0))
    assert_untouched(path)


@pytest.mark.parametrize("number", [errno.EINVAL, errno.ENOTSUP, errno.ENOSYS])
@pytest.mark.parametrize("act", ["fsync", "fsync_folder"])
def test_a_disk_that_cannot_flush_is_a_warning(
    place: Callable[[], Path], monkeypatch: pytest.MonkeyPatch, act: str, number: int
) -> None:
    def refuse(disk: Disk, thing: object) -> None:
        raise failing(number)()

    monkeypatch.setattr(Disk, act, refuse)
    path = place()
    saved = save(path, NEW, expected=fingerprint(OLD))
    assert saved.warnings == (staging.UNCONFIRMED,)
    assert path.read_bytes() == NEW


class Busy(Watched):
    """A reader keeps the file open for the first few tries, as on Windows."""

    def __init__(self, tries: int, number: int = errno.EACCES) -> None:
        super().__init__()
        self.tries, self.number = tries, number

    def replace(self, source: Path, target: Path) -> None:
        if self.tries:
            self.tries -= 1
            raise PermissionError(self.number, "held")
        super().replace(source, target)


def test_a_reader_that_lets_go_is_waited_for(place: Callable[[], Path]) -> None:
    path = place()
    disk = Busy(tries=3)
    assert save(path, NEW, expected=fingerprint(OLD), disk=disk).warnings == ()
    assert disk.slept == list(staging.RETRY_DELAYS[:3])
    assert path.read_bytes() == NEW


def test_a_reader_that_never_lets_go_is_given_up_within_seconds(
    place: Callable[[], Path],
) -> None:
    path = place()
    disk = Busy(tries=1000)
    with pytest.raises(SaveFailed):
        save(path, NEW, expected=fingerprint(OLD), disk=disk)
    assert 1 < sum(disk.slept) <= 2.5
    assert_untouched(path)


def test_a_refusal_that_time_cannot_cure_is_not_waited_for(place: Callable[[], Path]) -> None:
    path = place()
    disk = Busy(tries=1000, number=errno.EPERM)
    with pytest.raises(SaveFailed):
        save(path, NEW, expected=fingerprint(OLD), disk=disk)
    assert disk.slept == []


# What is kept


def test_a_link_stays_a_link_and_its_target_is_replaced(tmp_path: Path) -> None:
    (tmp_path / "far").mkdir()
    target = tmp_path / "far" / "sprat.toml"
    target.write_bytes(OLD)
    middle, link = tmp_path / "middle.toml", tmp_path / "link.toml"
    middle.symlink_to(Path("far") / "sprat.toml")
    link.symlink_to("middle.toml")
    saved = save(link, NEW, expected=fingerprint(OLD))
    assert saved.path == target.resolve()
    assert os.readlink(link) == "middle.toml"
    assert os.readlink(middle) == str(Path("far") / "sprat.toml")
    assert not target.is_symlink()
    assert target.read_bytes() == NEW
    assert last_good(link) == target.with_name("sprat.toml.bak")
    assert sorted(os.listdir(tmp_path)) == ["far", "link.toml", "middle.toml"]


def test_a_dangling_link_gets_its_target(tmp_path: Path) -> None:
    (tmp_path / "far").mkdir()
    link = tmp_path / "link.toml"
    link.symlink_to(tmp_path / "far" / "sprat.toml")
    save(link, NEW, expected=None)
    assert link.is_symlink()
    assert (tmp_path / "far" / "sprat.toml").read_bytes() == NEW


def test_links_that_lead_nowhere_are_refused(tmp_path: Path) -> None:
    (tmp_path / "one.toml").symlink_to("two.toml")
    (tmp_path / "two.toml").symlink_to("one.toml")
    (tmp_path / "lost.toml").symlink_to(tmp_path / "gone" / "sprat.toml")
    with pytest.raises(SaveFailed, match="circle"):
        save(tmp_path / "one.toml", NEW, expected=None)
    with pytest.raises(SaveFailed, match="folder is not there"):
        save(tmp_path / "lost.toml", NEW, expected=None)


@contextmanager
def umask(bits: int) -> Iterator[None]:
    before = os.umask(bits)
    try:
        yield
    finally:
        os.umask(before)


class Modes(Disk):
    """Notes the widest permissions that any file in the folder ever had."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.seen = folder, 0

    def look(self) -> None:
        for path in self.folder.iterdir():
            self.seen |= stat.S_IMODE(path.stat().st_mode)

    def write(self, descriptor: int, data: memoryview) -> int:
        self.look()
        return super().write(descriptor, data[:100])

    def set_mode(self, descriptor: int, mode: int) -> None:
        self.look()
        super().set_mode(descriptor, mode)

    def replace(self, source: Path, target: Path) -> None:
        self.look()
        super().replace(source, target)


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664, 0o755])
@pytest.mark.parametrize("mask", [0o000, 0o077])
def test_the_mode_is_kept_and_nothing_is_ever_wider(tmp_path: Path, mode: int, mask: int) -> None:
    path = tmp_path / "sprat.toml"
    path.write_bytes(OLD)
    path.chmod(mode)
    disk = Modes(tmp_path)
    with umask(mask):
        save(path, NEW, expected=fingerprint(OLD), disk=disk)
    assert stat.S_IMODE(path.stat().st_mode) == mode
    assert stat.S_IMODE((tmp_path / "sprat.toml.bak").stat().st_mode) == mode
    assert disk.seen == mode | 0o600


@pytest.mark.parametrize(("mask", "mode"), [(0o077, 0o600), (0o022, 0o644), (0o002, 0o664)])
def test_a_new_file_gets_what_the_umask_gives(tmp_path: Path, mask: int, mode: int) -> None:
    path = tmp_path / "sprat.toml"
    with umask(mask):
        save(path, NEW, expected=None)
    assert stat.S_IMODE(path.stat().st_mode) == mode


def test_owner_and_group_are_kept_in_that_they_are_asked_for(place: Callable[[], Path]) -> None:
    path = place()
    disk = Watched()
    save(path, NEW, expected=fingerprint(OLD), disk=disk)
    state = path.stat()
    assert disk.owners == [(-1, state.st_gid + 1), (state.st_uid + 1, -1)] * 2


@pytest.mark.skipif(os.geteuid() != 0, reason="only root may give files away")
def test_another_users_file_stays_theirs(tmp_path: Path) -> None:
    path = tmp_path / "sprat.toml"
    path.write_bytes(OLD)
    path.chmod(0o640)
    os.chown(path, 12345, 23456)
    assert save(path, NEW, expected=fingerprint(OLD)).warnings == ()
    for kept in (path, tmp_path / "sprat.toml.bak"):
        state = kept.stat()
        assert (state.st_uid, state.st_gid, stat.S_IMODE(state.st_mode)) == (12345, 23456, 0o640)


def test_a_group_that_cannot_be_kept_hands_its_rights_to_no_other(
    place: Callable[[], Path],
) -> None:
    class Mine(Watched):
        def set_owner(self, descriptor: int, user: int, group: int) -> None:
            raise PermissionError(errno.EPERM, "not yours to give")

    path = place()
    saved = save(path, NEW, expected=fingerprint(OLD), disk=Mine())
    assert saved.warnings == (staging.OWNER_LOST,)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


@contextmanager
def as_a_plain_user(folder: Path) -> Iterator[None]:
    """Root is refused nothing, so root steps down for a while."""
    if os.geteuid() != 0:
        yield
        return
    os.chown(folder, 65534, 65534)
    for path in folder.iterdir():
        os.chown(path, 65534, 65534)
    parents = [(parent, stat.S_IMODE(parent.stat().st_mode)) for parent in folder.parents[:-2]]
    for parent, mode in parents:
        parent.chmod(mode | 0o011)
    os.setegid(65534)
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)
        os.setegid(0)
        for parent, mode in parents:
            parent.chmod(mode)


def test_a_read_only_folder_and_a_read_only_file(place: Callable[[], Path]) -> None:
    path = place()
    with as_a_plain_user(path.parent):
        path.parent.chmod(0o555)
        with pytest.raises(SaveFailed, match="permissions"):
            save(path, NEW, expected=fingerprint(OLD))
        path.parent.chmod(0o755)
        path.chmod(0o444)
        with pytest.raises(SaveFailed, match="read-only"):
            save(path, NEW, expected=fingerprint(OLD))
        assert_untouched(path)
        path.chmod(0o644)
        assert save(path, NEW, expected=fingerprint(OLD)).warnings == ()


# What may not be overwritten


@pytest.mark.parametrize("kind", ["folder", "pipe", "device"])
def test_a_save_over_something_else_is_refused(tmp_path: Path, kind: str) -> None:
    path = tmp_path / "sprat.toml"
    if kind == "folder":
        path.mkdir()
    elif kind == "pipe":
        os.mkfifo(path)
    else:
        path.symlink_to("/dev/null")
    with pytest.raises(SaveFailed, match=f"it is a {kind}"):
        save(path, NEW, expected=None)
    assert os.listdir(tmp_path) == ["sprat.toml"]


def test_a_build_that_went_away_is_written_anew_and_said_so(tmp_path: Path) -> None:
    path = tmp_path / "sprat.toml"
    assert save(path, NEW, expected=fingerprint(OLD)).warnings == (WRITTEN_ANEW,)
    with pytest.raises(SaveFailed, match="folder is not there"):
        save(tmp_path / "pulled" / "sprat.toml", NEW, expected=fingerprint(OLD))


def test_saving_the_same_twice_keeps_the_version_before(tmp_path: Path) -> None:
    path = tmp_path / "sprat.toml"
    first = save(path, OLD, expected=None)
    assert last_good(path) is None
    second = save(path, NEW, expected=first.fingerprint)
    save(path, NEW, expected=second.fingerprint)
    assert (tmp_path / "sprat.toml.bak").read_bytes() == OLD


def test_a_file_grown_huge_outside_is_not_even_read(place: Callable[[], Path]) -> None:
    path = place()
    os.truncate(path, 50_000_000)
    disk = Watched()
    with pytest.raises(ChangedOutside):
        save(path, NEW, expected=fingerprint(OLD), disk=disk)
    assert "read" not in disk.calls
    assert path.stat().st_size == 50_000_000


class EditedMeanwhile(Disk):
    """Another program writes the file after it was compared and before it is replaced."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def fsync(self, descriptor: int) -> None:
        super().fsync(descriptor)
        self.path.write_bytes(b"by hand")


@pytest.mark.parametrize("there", [True, False])
def test_an_edit_between_comparing_and_replacing_is_noticed(tmp_path: Path, there: bool) -> None:
    path = tmp_path / "sprat.toml"
    if there:
        path.write_bytes(OLD)
    with pytest.raises(ChangedOutside):
        save(path, NEW, expected=fingerprint(OLD) if there else None, disk=EditedMeanwhile(path))
    found = contents(tmp_path)
    assert found.pop("sprat.toml") == b"by hand"
    assert found in ({}, {"sprat.toml.bak": OLD})


@pytest.mark.parametrize("act", ["keep_both", "set_aside", "put"])
@pytest.mark.parametrize("number", ERRORS, ids=errno.errorcode.__getitem__)
def test_second_places_fail_as_cleanly(place: Callable[[], Path], act: str, number: int) -> None:
    def perform(path: Path, disk: Disk) -> None:
        if act == "keep_both":
            keep_both(path, NEW, disk=disk)
        elif act == "set_aside":
            set_aside(path, disk=disk)
        else:
            put(path, NEW, disk)

    sound = Watched()
    perform(place(), sound)
    for at in range(len(sound.calls)):
        path = place()
        before = contents(path.parent)
        try:
            perform(path, Watched(at, failing(number)))
        except SaveFailed:
            assert contents(path.parent) == before
        else:
            after = contents(path.parent)
            held = {"keep_both": [OLD, OLDER, NEW], "set_aside": [OLD, OLDER], "put": [NEW, OLDER]}
            assert sorted(after.values()) == sorted(held[act])
            assert ("sprat.toml" in after) is (act != "set_aside")
            assert not [name for name in after if name.startswith(".")]


# Words


@pytest.mark.parametrize("number", sorted({*faults._REASONS, errno.ENOTTY}))
def test_messages_are_one_clear_line(number: int) -> None:
    failure = SaveFailed(
        Path("/tmp/a\x1b]52;c;eA==\x07\n\u202eb.toml"), *faults.words(failing(number)())
    )
    line = str(failure)
    assert line.isprintable()
    assert "was not saved" in line
    for banned in ("invalid", "please", "sorry", "oops", "errno"):
        assert banned not in line.lower()


def test_a_name_that_no_file_can_have_is_refused_in_words(tmp_path: Path) -> None:
    for name in ("a\0b.toml", "a\ud800b.toml"):
        with pytest.raises(SaveFailed, match="character"):
            save(tmp_path / name, NEW, expected=None)
    with pytest.raises(SaveFailed, match="too long"):
        save(tmp_path / ("a" * 300), NEW, expected=None)
    assert os.listdir(tmp_path) == []


def test_a_name_of_the_greatest_length_can_be_saved_again(tmp_path: Path) -> None:
    path = tmp_path / ("a" * 250 + ".toml")
    first = save(path, OLD, expected=None)
    save(path, NEW, expected=first.fingerprint)
    backup = last_good(path)
    assert backup is not None
    assert backup.read_bytes() == OLD
    assert set_aside(path).read_bytes() == NEW


def test_a_fingerprint_tells_size_and_contents() -> None:
    assert fingerprint(b"ab").size == 2
    assert fingerprint(b"ab") == fingerprint(b"ab") != fingerprint(b"ba")
    assert isinstance(fingerprint(b""), Fingerprint)
