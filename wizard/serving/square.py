"""An address as a square code, so that nobody types a token on a tablet."""

from __future__ import annotations

from itertools import zip_longest

import segno

BORDER = 4
"""Light modules around it; ISO/IEC 18004 asks for four."""
_HALVES = {(0, 0): "█", (0, 1): "▀", (1, 0): "▄", (1, 1): " "}
"""Two modules above each other; a light one is drawn, since most terminals are dark."""


def square(address: str) -> list[str]:
    """The lines of a QR code.

    Args:
        address: what it holds.
    """
    code = segno.make_qr(address, error="l")
    rows = [[min(module, 1) for module in row] for row in code.matrix_iter(border=BORDER)]
    light = [0] * len(rows[0])
    pairs = zip_longest(rows[::2], rows[1::2], fillvalue=light)
    return ["".join(_HALVES[both] for both in zip(*pair, strict=True)) for pair in pairs]
