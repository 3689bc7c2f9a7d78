"""The second process: does what it is asked, one request after the other."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from queue import SimpleQueue
from threading import Thread
from typing import Any, BinaryIO

from wizard import __version__
from wizard.apart import wire

PART, END, FAILED = "part", "end", "failed"
DROP = None
"""In the place of a function: the request of that number is not wanted any more."""


def main() -> None:
    """Serve the pipes at standard input and output until the other end is gone."""
    if sys.argv[-1] != __version__:  # the program was changed under the one that runs
        return
    replies = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())  # what is printed is no reply
    requests: SimpleQueue[Any] = SimpleQueue()
    dropped: set[int] = set()
    Thread(target=_listen, args=(sys.stdin.buffer, requests, dropped), daemon=True).start()
    while True:
        number, what, arguments = requests.get()
        for reply in _replies(number, what, arguments, dropped):
            replies.write(reply)
            replies.flush()


def _listen(stream: BinaryIO, requests: SimpleQueue[Any], dropped: set[int]) -> None:
    """Take requests as they come, also while one is worked on; end when there are no more."""
    try:
        while True:
            number, what, arguments = wire.read(stream)
            if what is DROP:
                dropped.add(number)
            else:
                requests.put((number, what, arguments))
    finally:
        os._exit(0)  # whatever is being worked on: nobody waits for it


def _replies(number: int, what: Any, arguments: Any, dropped: set[int]) -> Iterator[bytes]:
    try:
        if number in dropped:
            return
        for part in what(*arguments):
            if number in dropped:
                return
            yield wire.packed((number, PART, part))
        yield wire.packed((number, END, None))
    except Exception:  # the asker does it over in its own process, where a fault can be told
        yield wire.packed((number, FAILED, None))
    finally:
        dropped.discard(number)
