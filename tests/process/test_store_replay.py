"""What a power cut may leave, worked out and not waited for.

Every act of a few saves is recorded. Then, after every prefix of that record, each
state that a disk may be found in is built: of the names changed since the folder was
last flushed any subset has arrived, in whatever order; of the contents not flushed
nothing, half, zeros or all. What ALICE did to whole systems (Pillai and others, "All
file systems are not created equal", OSDI 2014), for one function.
"""

import itertools
import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from wizard.store.disk import Disk
from wizard.store.files import save

MAIN, BACKUP = "sprat.toml", "sprat.toml.bak"
VERSIONS = [b"one\n" * 50, b"two\n" * 400, b"three\n" * 3, b"", b"four\n" * 90]


@pytest.fixture(autouse=True, scope="module")
def no_waiting_for_the_medium() -> Iterator[None]:
    """The model decides what has arrived; the real disk only takes part."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "fsync", os.fstat)  # a descriptor is still needed
        yield


@dataclass(frozen=True)
class Named:
    """A name in the folder now leads to this file; `inode` None: to none."""

    name: str
    inode: int | None


@dataclass(frozen=True)
class Written:
    inode: int
    data: bytes


@dataclass(frozen=True)
class Flushed:
    """The contents of a file; `inode` None: the names in the folder."""

    inode: int | None


@dataclass(frozen=True)
class Acknowledged:
    """Here the maker read "saved"."""

    version: int


Event = Named | Written | Flushed | Acknowledged


class Recorder(Disk):
    """The real disk, taking at most `most` bytes a write, and a record of what was done.

    With `atomic` false a replaced name first leads nowhere, as on a FAT stick.
    """

    def __init__(self, most: int, *, atomic: bool) -> None:
        self.most, self.atomic = most, atomic
        self.events: list[Event] = []
        self.inodes: dict[str, int] = {}
        self.opened: dict[int, int] = {}
        self.numbers = itertools.count()

    def open(self, path: Path, flags: int, mode: int = 0o666) -> int:
        descriptor = super().open(path, flags, mode)
        if flags & os.O_CREAT:
            inode = next(self.numbers)
            self.inodes[path.name] = self.opened[descriptor] = inode
            self.events.append(Named(path.name, inode))
        return descriptor

    def write(self, descriptor: int, data: memoryview) -> int:
        taken = super().write(descriptor, data[: self.most])
        self.events.append(Written(self.opened[descriptor], bytes(data[:taken])))
        return taken

    def fsync(self, descriptor: int) -> None:
        super().fsync(descriptor)
        self.events.append(Flushed(self.opened[descriptor]))

    def replace(self, source: Path, target: Path) -> None:
        super().replace(source, target)
        inode = self.inodes.pop(source.name)
        if not self.atomic and target.name in self.inodes:
            self.events.append(Named(target.name, None))
        self.inodes[target.name] = inode
        self.events += [Named(target.name, inode), Named(source.name, None)]

    def unlink(self, path: Path) -> None:
        super().unlink(path)
        self.events.append(Named(path.name, None))

    def fsync_folder(self, folder: Path) -> None:
        super().fsync_folder(folder)
        self.events.append(Flushed(None))


@dataclass
class Model:
    """A disk between two power cuts: what is surely on it, and what may be."""

    names: dict[str, int | None] = field(default_factory=dict)
    pending: list[Named] = field(default_factory=list)
    stored: dict[int, bytes] = field(default_factory=dict)
    written: dict[int, bytes] = field(default_factory=dict)

    def take(self, event: Event) -> None:
        match event:
            case Named():
                self.pending.append(event)
            case Written(inode, data):
                self.written[inode] = self.written.get(inode, b"") + data
            case Flushed(None):
                self._arrive(self.names, self.pending)
                self.pending = []
            case Flushed(int(inode)):
                self.stored[inode] = self.written.get(inode, b"")

    def found(self) -> Iterator[tuple[bytes | None, bytes | None]]:
        """MAIN and BACKUP in every state that a power cut now may leave."""
        for size in range(len(self.pending) + 1):
            for arrived in itertools.combinations(self.pending, size):
                names = dict(self.names)
                self._arrive(names, arrived)
                yield from itertools.product(
                    self._contents(names.get(MAIN)), self._contents(names.get(BACKUP))
                )

    @staticmethod
    def _arrive(names: dict[str, int | None], changes: Sequence[Named]) -> None:
        names.update((change.name, change.inode) for change in changes)

    def _contents(self, inode: int | None) -> set[bytes | None]:
        if inode is None:
            return {None}
        stored, written = self.stored.get(inode, b""), self.written.get(inode, b"")
        if stored == written:
            return {stored}
        return {stored, written, written[: len(written) // 2], bytes(len(written))}


def recorded(folder: Path, most: int = 1000, *, atomic: bool = True) -> list[Event]:
    """The events of saving VERSIONS one after another."""
    disk = Recorder(most, atomic=atomic)
    expected = None
    for number, data in enumerate(VERSIONS):
        expected = save(folder / MAIN, data, expected=expected, disk=disk).fingerprint
        disk.events.append(Acknowledged(number))
    assert (folder / MAIN).read_bytes() == VERSIONS[-1]
    return disk.events


def examined(events: Sequence[Event], *, atomic: bool = True) -> int:
    """How many states were looked at; AssertionError at the first broken promise."""
    model, last, states = Model(), -1, 0
    for event in events:
        model.take(event)
        last = event.version if isinstance(event, Acknowledged) else last
        for main, backup in model.found():
            states += 1
            assert backup is None or backup in VERSIONS[: last + 1]
            if main is None:
                assert last < 0 or (not atomic and backup == VERSIONS[last])
            else:
                assert main in VERSIONS[max(last, 0) : last + 2]
    return states


@pytest.mark.parametrize("most", [7, 1000])
def test_after_any_power_cut_the_build_is_old_or_new(tmp_path: Path, most: int) -> None:
    assert examined(recorded(tmp_path, most)) >= 200


def test_where_replacing_is_not_one_step_the_backup_is_the_last_version(tmp_path: Path) -> None:
    assert examined(recorded(tmp_path, atomic=False), atomic=False) >= 200


def without(events: Sequence[Event], unwanted: Callable[[Event], bool]) -> list[Event]:
    return [event for event in events if not unwanted(event)]


def test_the_replay_finds_a_missing_flush_of_the_contents(tmp_path: Path) -> None:
    events = recorded(tmp_path)
    careless = without(events, lambda event: isinstance(event, Flushed) and event.inode is not None)
    with pytest.raises(AssertionError):
        examined(careless)


def test_the_replay_finds_a_missing_flush_of_the_folder(tmp_path: Path) -> None:
    careless = without(recorded(tmp_path), lambda event: event == Flushed(None))
    with pytest.raises(AssertionError):
        examined(careless)


def test_the_replay_finds_a_backup_that_is_not_flushed_first(tmp_path: Path) -> None:
    """Every folder flush but the one after each save's last step."""
    events = recorded(tmp_path, atomic=False)
    careless = [
        event
        for event, after in itertools.zip_longest(events, events[1:])
        if event != Flushed(None) or isinstance(after, Acknowledged)
    ]
    assert len(careless) < len(events)
    with pytest.raises(AssertionError):
        examined(careless, atomic=False)


def test_the_replay_finds_replacing_before_writing(tmp_path: Path) -> None:
    """Writing in place: the way of a program that never heard of power cuts."""
    events: list[Event] = [Named(MAIN, 0), Written(0, VERSIONS[0]), Flushed(0), Flushed(None)]
    events += [Acknowledged(0), Written(0, VERSIONS[1]), Flushed(0), Acknowledged(1)]
    with pytest.raises(AssertionError):
        examined(events)
