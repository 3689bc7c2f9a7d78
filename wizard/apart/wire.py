"""What goes over the two pipes: pickled objects, each behind its length.

Both ends are this program, of one version; nothing else can write to the pipes.
"""

from __future__ import annotations

import pickle
import struct
from collections.abc import Callable
from typing import IO, Any

LENGTH = struct.Struct("<I")


def packed(message: object) -> bytes:
    """A message with its length before it."""
    body = pickle.dumps(message, pickle.HIGHEST_PROTOCOL)
    return LENGTH.pack(len(body)) + body


def read(stream: IO[bytes]) -> Any:
    """The next message.

    Raises:
        EOFError: there is none any more.
    """
    (length,) = LENGTH.unpack(_exactly(stream.read, LENGTH.size))
    return pickle.loads(_exactly(stream.read, length))


def _exactly(take: Callable[[int], bytes], count: int) -> bytes:
    data = take(count)
    if len(data) < count:
        raise EOFError
    return data
