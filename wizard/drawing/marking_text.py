"""The marking-out sheet as lines for the bench."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from wizard.drawing.marking import Face, MarkingSheet, MarkOut
from wizard.plug.body.blank import Box
from wizard.plug.rule import FINEST, Rule, bare, shown
from wizard.quantity.showing import inches, literal, plain

WIDTH = 78
_INDENT = 18
_TIED = "\u00a0"  # a length is never split between its number and its unit

_FINEST: dict[Rule, str] = {
    "mm": f"In millimetres, to the nearest {plain(FINEST['mm'] * 1e3)}.",
    "in": f"In inches, to the nearest 1/{round(0.0254 / FINEST['in'])}.",
}
_STATION_COLUMNS = (("from nose", 12), ("back", 12), ("belly", 12), ("widest", 12))
_STATIONS = (("station", 7), *_STATION_COLUMNS, ("half-breadth", 14))
_PLACES = (("from nose", 12), ("up", 12), ("off centre", 14))


def lines(sheet: MarkingSheet) -> tuple[str, ...]:
    """The whole sheet in lines of at most `WIDTH` characters."""
    return tuple(line.replace(_TIED, " ").rstrip() for line in _lines(sheet))


def _lines(sheet: MarkingSheet) -> Iterator[str]:
    yield f"Marking-out sheet: {literal(sheet.name or 'a build without a name', 57)}"[:WIDTH]
    for finding in sheet.findings:
        yield from wrap(f"! {finding.wrong} {finding.remedy}", WIDTH, subsequent_indent="  ")
    yield ""
    yield from _blank(sheet)
    if sheet.offsets:
        yield ""
        yield from _taper(sheet)
        yield ""
        yield from _marks(sheet)


def _entry(title: str, text: str) -> list[str]:
    wrapped = wrap(text, WIDTH - _INDENT, break_on_hyphens=False)
    heads = [title, *[""] * (len(wrapped) - 1)]
    return [f"{head:<{_INDENT}}{line}" for head, line in zip(heads, wrapped, strict=True)]


def _length(value: float, rule: Rule) -> str:
    return shown(value, rule).replace(" ", _TIED)


def _block(box: Box, rule: Rule) -> str:
    sides = (bare(side, rule).replace(" ", _TIED) for side in (box.length, box.height))
    return f"{' x '.join(sides)} x {_length(box.thickness, rule)}"


def _row(cells: tuple[str, ...], columns: tuple[tuple[str, int], ...]) -> str:
    return "".join(f"{cell:>{width}}" for cell, (_, width) in zip(cells, columns, strict=True))


def _heads(columns: tuple[tuple[str, int], ...]) -> str:
    return _row(tuple(head for head, _ in columns), columns)


def _blank(sheet: MarkingSheet) -> Iterator[str]:
    blank, rule = sheet.blank, sheet.rule
    sides = blank.sides
    yield from _entry("Square the blank", f"{_block(sides, rule)} (length x height x thickness)")
    spare = "no allowance for saw and sander is given"
    if blank.allowance is not None:
        spare = f"with {_length(blank.allowance, rule)} a side for saw and sander"
    yield from _entry("", f"the body is {_block(blank.body, rule)}, {spare}")
    yield from _entry(
        "Centre lines",
        f"{_length(sides.thickness / 2, rule)} from either side on back, belly and both ends; "
        f"{_length(sides.height / 2, rule)} from the lower edge on both sides",
    )
    before = (sides.length - blank.body.length) / 2
    nose = "the nose end of the blank"
    if before > FINEST[rule] / 2:
        nose = f"square round the blank, {_length(before, rule)} from its nose end"
    yield from _entry("Nose line", nose)
    yield from _entry("Tail line", f"{_length(blank.body.length, rule)} aft of the nose line")


def _taper(sheet: MarkingSheet) -> Iterator[str]:
    rule = sheet.rule
    text = (
        "Taper lines: square a line round the blank at each station. Mark back, belly and"
        " widest level up from the lower edge on both sides, and the half-breadth out from"
        f" the centre line on back and belly. {_FINEST[rule]}"
    )
    yield from wrap(text, WIDTH, break_on_hyphens=False)
    yield ""
    yield _heads(_STATIONS)
    for number, at in enumerate(sheet.offsets):
        lengths = (at.along, at.back, at.belly, at.widest, at.half_breadth)
        yield _row((str(number), *(bare(length, rule) for length in lengths)), _STATIONS)
    yield ""
    for title, word, found in (
        ("Deepest", "high", sheet.deepest),
        ("Widest", "thick", sheet.broadest),
    ):
        if found is not None:
            size, along = (_length(value, rule) for value in found)
            yield from _entry(title, f"{size} {word}, {along} from the nose")
    if sheet.face is not None:
        yield from _entry("Face line", _face(sheet.face, rule))


def _face(face: Face, rule: Rule) -> str:
    if face.slanted:
        low, high, aft = (_length(v, rule) for v in (face.low, face.high, face.back_to))
        return f"straight, from {low} up on the nose line to {high} up, {aft} aft of it"
    high, broad = _length(face.high - face.low, rule), _length(2 * face.half_breadth, rule)
    return f"square across the nose, {high} high and {broad} broad"


def _marks(sheet: MarkingSheet) -> Iterator[str]:
    if not sheet.marks:
        yield "No line tie, hangers or holes are placed yet."
        return
    yield f"{'Marks':<24}{_heads(_PLACES)}  on"
    for mark in sheet.marks:
        yield from _mark(mark, sheet.rule)


def _mark(mark: MarkOut, rule: Rule) -> Iterator[str]:
    """One mark: only the measures that are drawn on that side of the body."""
    side = "" if mark.off == 0 else " port" if mark.off > 0 else " stbd"
    along, up, off = bare(mark.along, rule), bare(mark.up, rule), bare(abs(mark.off), rule)
    cells = (
        "-" if mark.where in ("nose", "tail") else along,
        "-" if mark.where in ("belly", "back") else up,
        off + side if side else "-",
    )
    yield f"{literal(mark.name, 22)[:23]:<24}{_row(cells, _PLACES)}  {mark.where}"
    if mark.drill is not None:
        width, depth = mark.drill
        yield f"  drill {mark.way}, {_drill(width, rule)} wide, {shown(depth, rule)} deep"


def _drill(diameter: float, rule: Rule) -> str:
    """A drill by its own size: drills come in finer steps than a pencil draws."""
    return inches(diameter, 64) if rule == "in" else f"{plain(diameter * 1e3, 3)} mm"
