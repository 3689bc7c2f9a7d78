"""Processes for test_store_processes.py: started as a program, reports as JSON.

It forks, which a test runner with threads may not, and mounts, which wants a process
whose mounts die with it.
"""

import json
import os
import random
import select
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from wizard.store import locks
from wizard.store.files import SaveFailed, read, save
from wizard.store.history import (
    Draft,
    read_draft,
    read_version,
    remember,
    save_draft,
    versions,
)
from wizard.store.locks import HeldBy, Lock, hold
from wizard.store.rescue import clear_leftovers

Report = dict[str, object]


def document(number: int) -> bytes:
    """A build that shows any mixing: its number on each of up to 400 lines."""
    return b"%d\n" % number * (1 + number * 37 % 400)


def number_in(data: bytes) -> int:
    number = int(data.split(b"\n", 1)[0])
    assert data == document(number), "mixed"
    return number


def say(report: Report) -> None:
    sys.stdout.write(f"{json.dumps(report)}\n")
    sys.stdout.flush()


def forked(work: Callable[[], None]) -> int:
    process = os.fork()
    if process:
        return process
    try:
        work()
    except BaseException as fault:
        sys.stderr.write(f"{fault!r}\n")
        sys.stderr.flush()
        os._exit(1)
    os._exit(0)


def keep_saving(path: Path, acknowledgements: int) -> None:
    """What a session does, without end: lock, then save and say so, again and again."""
    lock = hold(path)
    assert isinstance(lock, Lock), f"stale lock: {lock}"
    assert lock.supported
    clear_leftovers(path)
    data, expected = read(path)
    number = number_in(data)
    while True:
        number += 1
        expected = save(path, document(number), expected=expected).fingerprint
        os.write(acknowledgements, b"%d\n" % number)
        if number % 5 == 0:
            remember(path, document(number), datetime.now())
            save_draft(path, Draft("weighing.mass", "1" * (number % 300)))


def killed(folder: Path, times: int, seed: int) -> Report:
    """Kill the saver again and again; each time compare the disk with what it claimed."""
    path, chance = folder / "sprat.toml", random.Random(seed)
    save(path, document(0), expected=None)
    acknowledged = ahead = 0
    for _ in range(times):
        reading, writing = os.pipe()
        process = forked(lambda end=writing: keep_saving(path, end))  # type: ignore[misc]
        os.close(writing)
        if chance.random() < 0.8:  # else perhaps before it has saved or locked anything
            select.select([reading], [], [], 10)
        time.sleep(chance.uniform(0.0, 0.02))
        os.kill(process, signal.SIGKILL)
        _, status = os.waitpid(process, 0)
        assert os.WIFSIGNALED(status), "the saver failed by itself"
        with os.fdopen(reading, "rb") as pipe:
            lines = pipe.read().split()
        acknowledged = int(lines[-1]) if lines else acknowledged
        on_disk = number_in(read(path)[0])
        assert on_disk in (acknowledged, acknowledged + 1), f"{on_disk} of {acknowledged}"
        ahead += on_disk > acknowledged
        acknowledged = on_disk
        for version in versions(path):
            number_in(read_version(version))
        draft = read_draft(path)
        assert draft is None or set(draft.text) <= {"1"}
    clear_leftovers(path)
    left = sorted(name for name in os.listdir(folder) if name.endswith(".tmp"))
    return {"saves": acknowledged, "ahead": ahead, "left": left}


def add_entries(path: Path, name: str, times: int, report: int) -> None:
    """Add lines to a shared file, one a save, under the lock."""
    refused = 0
    for number in range(times):
        while isinstance(lock := hold(path), HeldBy):
            refused += 1
            time.sleep(0.0002)
        with lock:
            assert lock.supported
            data, expected = read(path)
            save(path, data + f"{name}{number}\n".encode(), expected=expected)
    os.write(report, b"%d\n" % refused)


def keep_reading(path: Path, until: int) -> None:
    """Read without a lock: any moment must show a whole version, longer than the last."""
    last = b""
    while last.count(b"\n") < until:
        time.sleep(0.0005)
        data, _ = read(path)
        assert data.startswith(last), "a version went back or was torn"
        last = data


def raced(folder: Path, times: int) -> Report:
    """Two writers and a reader on one file."""
    # Other processes don't see the medium, and writers that needn't wait for it meet more.
    os.fsync = lambda fd: None
    path = folder / "sprat.toml"
    save(path, b"", expected=None)
    reading, writing = os.pipe()
    processes = [
        forked(lambda: add_entries(path, "a", times, writing)),
        forked(lambda: add_entries(path, "b", times, writing)),
        forked(lambda: keep_reading(path, 2 * times)),
    ]
    statuses = [os.waitpid(process, 0)[1] for process in processes]
    refused = [int(line) for line in os.read(reading, 1000).split()]
    lines = read(path)[0].decode().split()
    wanted = [f"{name}{number}" for name in "ab" for number in range(times)]
    return {
        "statuses": statuses,
        "refused": refused,
        "lost": sorted(set(wanted) - set(lines)),
        "twice": len(lines) - len(set(lines)),
    }


def filled(folder: Path) -> Report:
    """Save on a small disk of its own until it is full, then make room."""
    mounting = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(folder)],
        capture_output=True,
        text=True,
        check=False,
    )
    if mounting.returncode:
        return {"unmounted": mounting.stderr.strip()}
    path, ballast = folder / "sprat.toml", folder / "ballast"
    expected = save(path, b"a" * 9000, expected=None).fingerprint
    ballast.write_bytes(b"b" * 16_000)
    last, grown, message = b"a" * 9000, 9000, ""
    while not message:
        grown += 2000
        data = b"%d" % grown * (grown // 5)
        try:
            expected = save(path, data, expected=expected).fingerprint
            last = data
        except SaveFailed as failure:
            message = str(failure)
    kept, left = read(path)[0] == last, sorted(os.listdir(folder))
    held = hold(path)
    locked = isinstance(held, Lock)  # with or without a record
    ballast.unlink()
    again = save(path, data, expected=expected)
    return {
        "message": message,
        "kept": kept,
        "left": left,
        "locked": locked,
        "again": again.path.read_bytes() == data,
    }


def held(folder: Path) -> Report:
    """Hold the lock until told to go."""
    lock = hold(folder / "sprat.toml")
    assert isinstance(lock, Lock)
    say({"started": locks.process_started().timestamp()})
    sys.stdin.readline()
    lock.release()
    return {"released": True}


def main(act: str, folder: Path, *numbers: int) -> None:
    acts: dict[str, Callable[..., Report]] = {
        "killed": killed,
        "raced": raced,
        "filled": filled,
        "held": held,
    }
    say(acts[act](folder, *numbers))


if __name__ == "__main__":
    main(sys.argv[1], Path(sys.argv[2]), *map(int, sys.argv[3:]))
