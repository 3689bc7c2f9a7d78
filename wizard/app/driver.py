"""The terminal's end: a lost one ends the program instead of hanging or spinning.

Extends Textual's driver at its seams: where it writes, and the loop in which it reads.
"""

from __future__ import annotations

import os
import selectors
import sys
from codecs import getincrementaldecoder
from collections.abc import Callable
from typing import IO, TYPE_CHECKING, Any

from textual._parser import ParseError
from textual._xterm_parser import XTermParser
from textual.drivers.linux_driver import LinuxDriver

if TYPE_CHECKING:
    from textual.app import App


class Outlet:
    """A file to write to that swallows what a lost terminal can't take.

    Args:
        file: the terminal.
        lost: called once when it is gone.
    """

    def __init__(self, file: IO[str], lost: Callable[[], None]) -> None:
        self._file, self._lost = file, lost
        self._is_lost = False

    def write(self, text: str) -> int:
        """Write, unless the terminal is gone."""
        self._try(lambda: self._file.write(text))
        return len(text)

    def flush(self) -> None:
        """Flush, unless the terminal is gone."""
        self._try(self._file.flush)

    def fileno(self) -> int:
        """The terminal's descriptor."""
        return self._file.fileno()

    def isatty(self) -> bool:
        """Whether it is a terminal."""
        return self._file.isatty()

    def _try(self, act: Callable[[], Any]) -> None:
        if self._is_lost:
            return
        try:
            act()
        except (OSError, ValueError):
            self._is_lost = True
            self._lost()


class Terminal(LinuxDriver):
    """Textual's driver, which here notices that its terminal is gone."""

    def __init__(self, app: App[Any], **options: Any) -> None:
        super().__init__(app, **options)
        terminals = (f for f in (sys.__stdout__, sys.__stderr__) if f is not None and f.isatty())
        outlet: Any = Outlet(next(terminals, sys.stderr), self._lost)
        self._file = outlet

    def _lost(self) -> None:
        leave = getattr(self._app, "leave_from_thread", None)
        if leave is not None:
            leave()

    def run_input_thread(self) -> None:
        """Read keys until told to stop or until the terminal is gone."""
        parser = XTermParser(self._debug)
        decode = getincrementaldecoder("utf-8")("replace").decode
        with selectors.SelectSelector() as selector:
            selector.register(self.fileno, selectors.EVENT_READ)
            while not self.exit_event.is_set():
                if selector.select(0.1):
                    try:
                        data = os.read(self.fileno, 4096)
                    except OSError:
                        data = b""
                    if not data:
                        self._lost()
                        break
                    for event in parser.feed(decode(data)):
                        self.process_message(event)
                for event in parser.tick():
                    self.process_message(event)
        try:
            for _ in parser.feed(""):
                pass
        except (EOFError, ParseError):
            pass
