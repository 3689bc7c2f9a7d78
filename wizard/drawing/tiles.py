"""A figure larger than the paper: cut into tiles that are glued cross on cross."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from wizard.drawing.sheets import Figure, Label, Stroke, Window, cross, polyline, seen_through

_OVERLAP = 14.0  # mm that two sheets share
_ARM = 4.0  # mm, of a register mark
_NOTE = 5.0  # mm under a tiled figure for what it is


@dataclass(frozen=True, slots=True)
class Area:
    """The part of a sheet that figures may use [mm]."""

    width: float
    height: float

    def tiles(self, figure: Figure) -> tuple[int, int]:
        """Sheets that a figure takes across and down."""
        return _count(figure.width, self.width), _count(figure.height, self.height)

    def fits(self, figure: Figure) -> bool:
        """Whether a figure goes onto one sheet."""
        return self.tiles(figure) == (1, 1)


def _count(size: float, room: float) -> int:
    if size <= room + 1e-9:
        return 1
    return math.ceil((size - _OVERLAP) / (room - _OVERLAP) - 1e-9)


def tiled(figure: Figure, area: Area, letters: Iterator[str]) -> Iterator[tuple[Figure, Figure]]:
    """A figure over several sheets that share a strip: its register marks, then its part.

    Args:
        figure: larger than a sheet.
        area: what a sheet may hold.
        letters: names of seams that were not used yet.
    """
    across, down = area.tiles(figure)
    tile = Area(min(area.width, figure.width), min(area.height, figure.height + _NOTE))
    seams = [_Seam(True, n, j) for j in range(down) for n in range(1, across)]
    seams += [_Seam(False, n, i) for i in range(across) for n in range(1, down)]
    named = {seam: next(letters) for seam in seams}
    for j in range(down):
        for i in range(across):
            left, top = i * (tile.width - _OVERLAP), j * (tile.height - _OVERLAP)
            window = Window(left, top, tile.width, tile.height)
            strokes: list[Stroke] = []
            words = (
                f"{figure.name}, part {j * across + i + 1} of {across * down}: "
                "cut along the seam, lay crosses of one name on each other"
            )
            labels = [Label(words, tile.width / 2, tile.height - 1.0, 2.6, "middle")]
            for seam, name in named.items():
                at = seam.on(i, j, tile)
                if at is not None:
                    _register(strokes, labels, seam.upright, at, tile, name)
            marks = Figure("register", tile.width, tile.height, tuple(strokes), tuple(labels))
            yield marks, seen_through(window, figure)


@dataclass(frozen=True, slots=True)
class _Seam:
    """Where two tiles meet: an upright seam after column `number`, in row `other`, or the reverse.

    Counted so that seam 1 follows the first tile.
    """

    upright: bool
    number: int
    other: int

    def on(self, column: int, row: int, area: Area) -> float | None:
        """Where the seam runs on a tile, from its left or top [mm]; None if it isn't there."""
        own, other = (column, row) if self.upright else (row, column)
        if other != self.other or self.number - own not in (0, 1):
            return None
        size = area.width if self.upright else area.height
        return size - _OVERLAP / 2 if self.number - own == 1 else _OVERLAP / 2


def _register(
    strokes: list[Stroke], labels: list[Label], upright: bool, at: float, area: Area, name: str
) -> None:
    """A seam to cut along, with crosses that must meet those of the other sheet."""
    length = area.height if upright else area.width

    def point(along: float) -> tuple[float, float]:
        return (at, along) if upright else (along, at)

    strokes.append(polyline("cut", point(0.0), point(length)))
    for k, along in enumerate((2 * _ARM, length - 3 * _ARM), start=1):
        right, down = point(along)
        strokes += cross("rule", right, down, _ARM)
        labels.append(Label(f"{name}{k}", right + 1.0, down - 1.0, 2.6, bold=True))


def letter(number: int) -> str:
    """A, B, ... Z, AA, AB, ...: the name of a seam."""
    tens, ones = divmod(number, 26)
    return (letter(tens - 1) if tens else "") + chr(ord("A") + ones)
