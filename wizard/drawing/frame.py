"""What every sheet of the template carries: a heading, and a rule to prove the printer by."""

from __future__ import annotations

from dataclasses import replace

from wizard.drawing.sheets import Label, Part, polyline

MARGIN = 10.0
"""What printers leave white, with some to spare [mm]: common practice, no source."""

HEAD, FOOT = 14.0, 17.0
"""Height of heading and check rule [mm]."""


def framed(
    width: float, height: float, sheet: tuple[int, int], title: str, note: str
) -> tuple[Part, ...]:
    """Heading and check rule.

    Args:
        width: of the paper [mm].
        height: [mm].
        sheet: which sheet this is, of how many.
        title: over everything.
        note: a line under it.
    """
    top = MARGIN + 4.0
    labels = (
        Label(title, MARGIN, top, 4.2, bold=True),
        Label(note, MARGIN, top + 4.6, 2.8),
        Label(f"sheet {sheet[0]} of {sheet[1]}", width - MARGIN, top, 2.8, "right"),
    )
    return ("heading", (), labels), _check_rule(MARGIN, height - MARGIN - 2.0)


def _check_rule(left: float, down: float) -> Part:
    """100 mm over 4 in: both must measure true on the print."""
    strokes, labels = [], []
    for base, up, unit, length, parts, long in (
        (down - 6.0, 1.0, "mm", 100.0, 100, {10: 3.0, 5: 2.2, 1: 1.4}),
        (down - 4.6, -1.0, "in", 101.6, 32, {8: 3.0, 4: 2.2, 2: 1.8, 1: 1.4}),
    ):
        strokes.append(polyline("rule", (left, base), (left + length, base)))
        for k in range(parts + 1):
            tick = next(size for every, size in long.items() if k % every == 0)
            at = left + length * k / parts
            strokes.append(polyline("rule", (at, base), (at, base - up * tick)))
        labels += _rule_numbers(left, base, up, unit, length)
    words = ("Check rule: 100 mm and 4 in.", "Not true on the print? Print again at 100 %.")
    for n, line in enumerate(words):
        labels.append(Label(line, left + 112.0, down - 5.6 + 3.6 * n, 2.6))
    return "check rule", tuple(strokes), tuple(labels)


def _rule_numbers(left: float, base: float, up: float, unit: str, length: float) -> list[Label]:
    numbers = range(0, 101, 10) if unit == "mm" else range(5)
    down = base - up * 3.6 if up > 0 else base + 5.6
    made = [Label(str(n), left + length * n / numbers[-1], down, 2.2, "middle") for n in numbers]
    made[-1] = replace(made[-1], text=f"{numbers[-1]} {unit}")
    return made
