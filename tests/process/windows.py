"""A window: the real program in a pseudo-terminal, its screen read as a maker reads it."""

from __future__ import annotations

import errno
import fcntl
import os
import select
import signal
import struct
import sys
import termios
import time
import warnings
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path

import pyte

PATIENCE = 30.0
"""Seconds after which what should show up counts as missing, on however slow a machine."""


class Window:
    """A process with a terminal of its own.

    Args:
        work: what the process does; it never returns from it.
        size: columns and lines.
    """

    def __init__(self, work: Callable[[], None], size: tuple[int, int] = (80, 24)) -> None:
        self.screen = pyte.Screen(*size)
        self._stream = pyte.ByteStream(self.screen)
        self.raw = bytearray()
        self.status: int | None = None
        with warnings.catch_warnings():  # a test runner has threads; the child starts anew
            warnings.simplefilter("ignore", DeprecationWarning)
            self.process, self.end = os.forkpty()
        if self.process == 0:
            fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", size[1], size[0], 0, 0))
            _live(work)

    @property
    def lines(self) -> list[str]:
        """What is on the screen."""
        return [line.rstrip() for line in self.screen.display]

    def line(self, beginning: str) -> str:
        """The first line that begins so; empty if none does."""
        return next((line for line in self.lines if line.startswith(beginning)), "")

    @property
    def text(self) -> str:
        """What is on the screen, as one text."""
        return "\n".join(self.lines)

    @property
    def words(self) -> str:
        """The same in one line, whatever it was wrapped to."""
        return " ".join(self.text.split())

    @property
    def pointed(self) -> str:
        """The line that the focus is in."""
        return self.line("> ")

    def point_at(self, label: str, key: str = "\x1b[A") -> None:
        """Press a key, up unless another is named, until the focus is at a label."""
        self.until(lambda: self._label)
        while not self._label.startswith(label):
            before = self._label
            self.send(key)
            self.until(lambda old=before: self._label not in ("", old))  # type: ignore[misc]

    @property
    def _label(self) -> str:
        return self.pointed[2:].split("[")[0].strip()

    def send(self, keys: str) -> None:
        """Press keys."""
        with suppress(OSError):
            os.write(self.end, keys.encode())

    def pump(self, seconds: float) -> bool:
        """Take what the program writes, for so long at most; False once it can write no more."""
        with suppress(InterruptedError):
            if not select.select([self.end], [], [], max(seconds, 0))[0]:
                return True
        try:
            data = os.read(self.end, 65536)
        except OSError as fault:
            if fault.errno != errno.EIO:  # Linux: nobody holds the other end
                raise
            return False
        self.raw += data
        self._stream.feed(data)
        if b"\x1b[?2026$p" in data:  # asked whether frames may be marked; they may
            self.send("\x1b[?2026;2$y")
        return bool(data)

    @property
    def is_whole(self) -> bool:
        """Whether no frame is half painted.

        Source: the terminal-wg's synchronized output, private mode 2026. Frames from before
        the program was told of it bear no mark: there, that it is at rest and no more comes.
        """
        begun, ended = (self.raw.rfind(b"\x1b[?2026" + end) for end in (b"h", b"l"))
        if begun < 0:
            return not (self._is_at_work or select.select([self.end], [], [], 0.02)[0])
        return begun <= ended

    @property
    def _is_at_work(self) -> bool:
        """Whether it paints or writes, or waits for its turn to; where no /proc tells, no.

        Two threads do that, and they are its oldest; another may load what is needed later.
        Source: proc(5), the field "state" of stat.
        """
        try:
            tasks = Path(f"/proc/{self.process}/task")
            oldest = sorted(tasks.iterdir(), key=lambda task: int(task.name))[:2]
            states = [(task / "stat").read_text().rpartition(")")[2].split()[0] for task in oldest]
        except OSError:
            return False
        return bool({"R", "D"} & set(states))

    def until(self, wanted: str | Callable[[], object], patience: float = PATIENCE) -> None:
        """Wait until a text is on the screen, however wrapped, or something holds."""
        deadline = time.monotonic() + patience
        while not self._is_there(wanted):
            alive = self.pump(0.05)
            assert time.monotonic() < deadline, f"never came: {wanted}\n{self.text}"
            assert alive or self._is_there(wanted), f"it ended before: {wanted}\n{self.text}"

    def _is_there(self, wanted: str | Callable[[], object]) -> bool:
        """Whether it holds on a screen that is painted to its end: what is shown on half a
        frame is partly of the screen before, and a key sent on the strength of it goes astray."""
        if isinstance(wanted, str):
            holds = wanted in self.text or wanted in self.words
        else:
            holds = bool(wanted())
        return holds and self.is_whole

    def signal(self, number: int) -> None:
        """Send a signal."""
        os.kill(self.process, number)

    def wait(self, patience: float = PATIENCE) -> float:
        """Wait until the process is gone, reading on; returns the seconds that it took."""
        start = time.monotonic()
        reading = True
        while self.status is None:
            reading = reading and self.pump(0.01)
            found, status = os.waitpid(self.process, os.WNOHANG)
            if found:
                self.status = status
            elif not reading:
                time.sleep(0.005)
            assert time.monotonic() < start + patience, f"it does not end\n{self.text}"
        took = time.monotonic() - start
        while reading and self.pump(0.02) and select.select([self.end], [], [], 0)[0]:
            pass
        return took

    def hang_up(self) -> None:
        """Close the terminal's end, as a window manager or a lost connection does."""
        os.close(self.end)
        self.end = -1

    def gone(self, patience: float = PATIENCE) -> float:
        """Wait for the end of a process whose terminal is closed; the seconds that it took."""
        start = time.monotonic()
        while os.waitpid(self.process, os.WNOHANG) == (0, 0):
            assert time.monotonic() < start + patience, "it does not end"
            time.sleep(0.002)
        self.status = 0
        return time.monotonic() - start

    def close(self) -> None:
        """Leave nothing behind."""
        if self.status is None:
            with suppress(ProcessLookupError):
                os.kill(self.process, signal.SIGKILL)
            with suppress(ChildProcessError):
                os.waitpid(self.process, 0)
        if self.end >= 0:
            os.close(self.end)

    def __enter__(self) -> Window:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def program(
    *arguments: str, environment: Mapping[str, str] | None = None, before: tuple[str, ...] = ()
) -> Callable[[], None]:
    """The program itself, started anew, perhaps by another one before it."""
    command = [*before, sys.executable, "-m", "wizard", *arguments]
    variables = {**os.environ, "TERM": "xterm-256color", "LC_ALL": "C.UTF-8", **(environment or {})}

    def work() -> None:
        os.execvpe(command[0], command, variables)

    return work


def _live(work: Callable[[], None]) -> None:
    """The life of the process: whatever happens, it never comes back into the test."""
    status = 70
    try:
        work()
        status = 0
    except SystemExit as end:
        status = end.code if isinstance(end.code, int) else 0
    except BaseException as fault:
        sys.stderr.write(f"{fault!r}\n")
    finally:
        with suppress(OSError, ValueError):
            sys.stdout.flush()
        os._exit(status)
