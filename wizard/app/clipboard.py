"""The terminal's clipboard: asked to take a text, since it never says whether it did."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterator, Mapping

TOLD = "Sent to the clipboard: {}. Not every terminal takes it: shown again on quitting."
"""What can honestly be said afterwards."""


def requests(text: str, environment: Mapping[str, str]) -> Iterator[str]:
    """Codes that ask for the clipboard, one for each program that may be in between.

    Args:
        text: to be copied.
        environment: names the terminal multiplexer, if there is one.

    Source: xterm's control sequences, OSC 52; tmux(1), allow-passthrough; screen(1),
    device control strings are passed on to the terminal outside.
    """
    plain = f"\x1b]52;c;{b64encode(text.encode('utf-8')).decode('ascii')}\a"
    yield plain
    if environment.get("TMUX"):
        doubled = plain.replace("\x1b", "\x1b\x1b")
        yield f"\x1bPtmux;{doubled}\x1b\\"
    elif environment.get("STY"):
        yield f"\x1bP{plain}\x1b\\"
