"""The picture as lines of text, for any width, with or without braille signs."""

from __future__ import annotations

import math

from wizard.drawing.canvas import ACROSS, FILL, LEAD, PLAIN_FILL, PLAIN_LEAD
from wizard.drawing.panel import LETTERS, WATER, columns_of, drawn, extent, fitting, ruler
from wizard.drawing.scene import Scene
from wizard.plug.rule import shown

NARROWEST = 12
"""Columns below which nothing can be told."""

_BESIDE = 64  # columns from which the section stands beside the side view
_GAP = 3  # columns between two views
_SHORE = 2  # columns of water on either side of a section
_LEVEL = math.radians(20)  # up to this pitch side view and plan share one scale

_MEANINGS: tuple[tuple[str, str, str], ...] = (
    ("G", "centre of gravity", "CG"),
    ("B", "centre of buoyancy", "CB"),
    ("o", "hanger", "hanger"),
    ("*", "line tie", "tie"),
    (WATER, "water", "water"),
    ("lead", "ballast", "ballast"),
    ("fill", "backfill", "backfill"),
)
"""What the legend says of a letter or a role: in full and in short."""


def lines(
    scene: Scene, width: int, *, plain: bool = False, rows: int | None = None
) -> tuple[str, ...]:
    """The whole picture, or as much of it as there is room for.

    Args:
        scene: what to show.
        width: columns that may be used; fewer than `NARROWEST` count as that many.
        plain: use ASCII alone.
        rows: lines that may be used; the section falls away first, then the plan.

    Returns:
        Lines of at most `width` characters, the legend last.
    """
    width = max(width, NARROWEST)
    most = float("inf") if rows is None else rows
    for drawing in (_beside if width >= _BESIDE else _below, _without_section, _side_alone):
        out = drawing(scene, width, plain)
        if len(out) + 2 <= most:
            break
    fitted = [line[:width].rstrip() for line in (*out, "", legend(scene, width, plain=plain))]
    return tuple(fitted if rows is None else fitted[:rows])


def legend(scene: Scene, width: int, *, plain: bool = False) -> str:
    """What the letters mean, as much of it as one line takes."""
    views = (scene.side, scene.plan, scene.section)
    present = {LETTERS[m.sign] for view in views for m in view.marks}
    present |= {edge.role for view in views for edge in view.lines}
    if scene.water is not None:
        present.add(WATER)
    solid = {"lead": PLAIN_LEAD, "fill": PLAIN_FILL} if plain else {"lead": LEAD, "fill": FILL}
    rows = [row for row in _MEANINGS if row[0] in present]
    full, short = (
        [f"{solid.get(row[0], row[0])} {row[which]}" for row in rows] for which in (1, 2)
    )
    entries = full if len("  ".join(full)) <= width else short
    while len("  ".join(entries)) > width:
        entries.pop()
    return "  ".join(entries)


# Putting the views together ------------------------------------------------


def _below(scene: Scene, width: int, plain: bool) -> list[str]:
    """Side view, plan and section under each other."""
    rows, narrow = _tallest(width) // 2, NARROWEST - 2 * _SHORE
    cut = _section_scale(scene, max(width // 2, narrow), rows)
    return [*_without_section(scene, width, plain), "", *_section(scene, cut, plain)]


def _without_section(scene: Scene, width: int, plain: bool) -> list[str]:
    """Side view and plan at one scale, where it lies nearly level."""
    scales = [fitting(view, width, _tallest(width)) for view in (scene.side, scene.plan)]
    if abs(scene.pitch) < _LEVEL:
        scales = [min(scales)] * 2
    return [
        _side_title(scene, width, plain),
        *drawn(scene.side, scales[0], width, plain, scene.water),
        "",
        *_plan(scene, scales[1], width, plain),
    ]


def _side_alone(scene: Scene, width: int, plain: bool) -> list[str]:
    scale = fitting(scene.side, width, _tallest(width))
    return [
        _side_title(scene, width, plain),
        *drawn(scene.side, scale, width, plain, scene.water),
    ]


def _beside(scene: Scene, width: int, plain: bool) -> list[str]:
    """The section beside the side view and at its scale, the plan below."""
    tallest = _tallest(width)
    most = width // 3 - 2 * _SHORE
    across = extent(scene.side)[0] + _broadest(scene)
    cut = min(
        (width - _GAP - 2 * _SHORE - 2) * ACROSS / across, _section_scale(scene, most, tallest)
    )
    broad = math.ceil((_broadest(scene) * cut + 2) / ACROSS)
    taken = max(broad + 2 * _SHORE, len(_section_title(scene)) + 2)
    left = width - _GAP - taken
    side, plan = (fitting(view, left, tallest) for view in (scene.side, scene.plan))
    if abs(scene.pitch) < _LEVEL:
        side = plan = min(side, plan)
    port = [
        _side_title(scene, left, plain),
        *drawn(scene.side, side, left, plain, scene.water),
    ]
    return [
        *_joined(port, _section(scene, cut, plain), left + _GAP),
        "",
        *_plan(scene, plan, left, plain),
    ]


def _broadest(scene: Scene) -> float:
    """Breadth of the broadest section [m]."""
    return max(extent(scene.section)[0], extent(scene.plan)[1])


def _section_scale(scene: Scene, columns: int, rows: int) -> float:
    """Scale of the section [dots/m]: that of the broadest one, so that sections compare."""
    return min(fitting(scene.section, columns, rows), (columns * ACROSS - 2) / _broadest(scene))


def _tallest(width: int) -> int:
    """Rows that one view may take."""
    return 10 + width // 5


def _plan(scene: Scene, scale: float, width: int, plain: bool) -> list[str]:
    return [
        f"from above ({scene.rule})",
        *drawn(scene.plan, scale, width, plain),
        *ruler(scene, scale, width, plain),
    ]


def _section(scene: Scene, scale: float, plain: bool) -> list[str]:
    width = columns_of(scene.section, scale) + 2 * _SHORE
    return [
        _section_title(scene),
        *drawn(scene.section, scale, width, plain, scene.water_in_section, _SHORE),
    ]


def _section_title(scene: Scene) -> str:
    return f"section at {shown(scene.station, scene.rule)}"


def _joined(left: list[str], right: list[str], column: int) -> list[str]:
    rows = max(len(left), len(right))
    pairs = zip(left + [""] * (rows - len(left)), right + [""] * (rows - len(right)), strict=True)
    return [f"{a:<{column}}{b}".rstrip() for a, b in pairs]


def _side_title(scene: Scene, width: int, plain: bool) -> str:
    degree = " deg" if plain else "°"
    angle = round(abs(math.degrees(scene.pitch)))
    tilt = f"nose {'down' if scene.pitch > 0 else 'up'} {angle}{degree}" if angle else "level"
    how = {
        "floats": f"floats, {tilt}",
        "hangs": f"under water, {tilt}",
        "unknown": "how it lies is not known",
    }[scene.lies]
    wordings = (f"from port: {how}", how, tilt)
    return next((w for w in wordings if len(w) <= width), tilt)
