"""The way out of every command: whatever a line was made of, nothing in it acts."""

from __future__ import annotations

from io import TextIOBase
from typing import TextIO


class Outlet(TextIOBase):
    """A file to write to that spells out what could steer a terminal.

    Lines are made harmless where they are made, since only there it is known how long a
    name may be. This one catches what was forgotten there.

    Args:
        out: where it all goes.
    """

    def __init__(self, out: TextIO) -> None:
        self._out = out

    @property
    def encoding(self) -> str:  # type: ignore[override]
        """What the signs become."""
        return self._out.encoding

    def write(self, text: str) -> int:
        """Write a text, its line ends as they are."""
        self._out.write(harmless(text))
        return len(text)

    def flush(self) -> None:
        """Send on what is held back."""
        self._out.flush()

    def isatty(self) -> bool:
        """Whether it goes to a terminal."""
        return self._out.isatty()

    def fileno(self) -> int:
        """The descriptor behind it."""
        return self._out.fileno()


def harmless(text: str) -> str:
    """A text of any lines in which nothing acts."""
    if text.isascii() and text.replace("\n", "").isprintable():
        return text
    from wizard.quantity.showing import literal

    return "\n".join(literal(line, len(line)) for line in text.split("\n"))
