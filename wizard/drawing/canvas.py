"""A grid of dots and letters that turns into lines of text.

Each character holds two by four dots, as a braille sign does (Unicode, block
2800 to 28FF); for terminals without them every pattern of dots has a plain sign.
A canvas of one's own is a hundred lines and draws a whole picture in a few
milliseconds; a plotting package brings axes, colours and its own idea of size,
and a tilted hole full of lead would still have to be filled by hand.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from wizard.physics.curve import Numbers

Dots = NDArray[np.bool_]

ACROSS, DOWN = 2, 4  # dots in a character

LEAD, FILL = "⣿", "⢕"
PLAIN_LEAD, PLAIN_FILL = "#", ":"

_BRAILLE = 0x2800
_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))  # by row and column of a dot
_FULL = 4  # dots of a character that count as full


class Canvas:
    """Dots and letters, `columns` by `rows` characters; dots count right and down from 0."""

    def __init__(self, columns: int, rows: int) -> None:
        self.columns, self.rows = columns, rows
        shape = (rows * DOWN, columns * ACROSS)
        self._edge: Dots = np.zeros(shape, dtype=bool)
        self._lead: Dots = np.zeros(shape, dtype=bool)
        self._fill: Dots = np.zeros(shape, dtype=bool)
        self._letters: dict[tuple[int, int], str] = {}

    def stroke(self, points: Numbers, *, closed: bool = True) -> None:
        """Draw a line through points in dots, shape (n, 2)."""
        ends = np.concatenate([points, points[:1]]) if closed else points
        steps = np.abs(np.diff(ends, axis=0)).max(axis=1)
        along = np.concatenate([[0.0], np.cumsum(steps)])
        at = np.linspace(0.0, along[-1], int(along[-1] * 1.5) + 2)
        right = np.floor(np.interp(at, along, ends[:, 0])).astype(int)
        down = np.floor(np.interp(at, along, ends[:, 1])).astype(int)
        height, width = self._edge.shape
        seen = (right >= 0) & (right < width) & (down >= 0) & (down < height)
        self._edge[down[seen], right[seen]] = True

    def fill(self, points: Numbers, *, lead: bool) -> None:
        """Fill a closed line of points in dots, by the even-odd rule."""
        layer = self._lead if lead else self._fill
        limits = layer.shape[::-1]
        low = np.clip(np.floor(points.min(axis=0)), 0, limits).astype(int)
        high = np.clip(np.ceil(points.max(axis=0)), 0, limits).astype(int)
        x, y = (np.arange(a, b) + 0.5 for a, b in zip(low, high, strict=True))
        (x0, y0), (x1, y1) = points.T, np.roll(points, -1, axis=0).T
        crossed = (y0[:, np.newaxis] > y) != (y1[:, np.newaxis] > y)
        slope = (x1 - x0) / np.where(y0 == y1, 1.0, y1 - y0)
        at = x0[:, np.newaxis] + (y - y0[:, np.newaxis]) * slope[:, np.newaxis]
        right_of_x = crossed[..., np.newaxis] & (x < at[..., np.newaxis])
        layer[low[1] : high[1], low[0] : high[0]] |= right_of_x.sum(axis=0) % 2 == 1

    def letter(self, right: float, down: float, sign: str) -> None:
        """Put a letter into the character at a dot."""
        column, row = int(right // ACROSS), int(down // DOWN)
        if 0 <= column < self.columns and 0 <= row < self.rows:
            self._letters[row, column] = sign

    def free(self, row: int) -> list[int]:
        """The columns of a row in which nothing is drawn."""
        band = slice(row * DOWN, (row + 1) * DOWN)
        drawn: Dots = np.zeros(self.columns, dtype=bool)
        for layer in (self._edge, self._lead, self._fill):
            drawn |= layer[band].reshape(DOWN, self.columns, ACROSS).any(axis=(0, 2))
        return [c for c in range(self.columns) if not drawn[c] and (row, c) not in self._letters]

    def lines(self, *, plain: bool) -> list[str]:
        """The picture, a line a row, trailing spaces gone; `plain` uses ASCII alone."""
        cells = self._plain() if plain else self._braille()
        for (row, column), sign in self._letters.items():
            cells[row][column] = sign
        return ["".join(row).rstrip() for row in cells]

    def _braille(self) -> list[list[str]]:
        dotted = np.zeros_like(self._fill)
        dotted[::2, ::2] = dotted[1::2, 1::2] = True
        codes = _codes(self._edge | self._lead | (self._fill & dotted))
        return [[chr(_BRAILLE + c) if c else " " for c in row] for row in codes.tolist()]

    def _plain(self) -> list[list[str]]:
        signs = _plain_signs()
        cells = [[signs[c] for c in row] for row in _codes(self._edge).tolist()]
        for layer, sign in ((self._fill, PLAIN_FILL), (self._lead, PLAIN_LEAD)):
            count = _count(layer)
            # Something too small to fill any character still shows where most of it is.
            least = min(_FULL, int(count.max(initial=0)))
            if least:
                for row, column in np.argwhere(count >= least).tolist():
                    cells[row][column] = sign
        return cells


def _codes(layer: Dots) -> NDArray[np.uint8]:
    """Pattern of dots of every character, as the low byte of a braille sign."""
    codes = np.zeros((layer.shape[0] // DOWN, layer.shape[1] // ACROSS), dtype=np.uint8)
    for row, bits in enumerate(_BITS):
        for column, bit in enumerate(bits):
            codes |= layer[row::DOWN, column::ACROSS] * np.uint8(bit)
    return codes


def _count(layer: Dots) -> NDArray[np.int64]:
    blocks = layer.reshape(layer.shape[0] // DOWN, DOWN, layer.shape[1] // ACROSS, ACROSS)
    return np.asarray(blocks.sum(axis=(1, 3)))


@cache
def _plain_signs() -> tuple[str, ...]:
    """A plain sign for each of the 256 patterns of dots."""
    return tuple(_plain_sign(code) for code in range(256))


def _plain_sign(code: int) -> str:
    """The sign that runs as the dots do: steep, slanted, or flat at one of three heights."""
    left, right = (
        [row for row, bits in enumerate(_BITS) if code & bits[column]] for column in (0, 1)
    )
    both = [*left, *right]
    if not both:
        return " "
    longest = max(max(side) - min(side) for side in (left, right) if side)
    if longest >= 2:
        return "|"
    if left and right:
        drop = sum(right) / len(right) - sum(left) / len(left)
        if abs(drop) >= 2.0:
            return "\\" if drop > 0 else "/"
    height = sum(both) / len(both)
    if len(both) == 1 and height == 3:
        return "."
    return "'" if height <= 0.5 else "-" if height < 2.5 else "_"
