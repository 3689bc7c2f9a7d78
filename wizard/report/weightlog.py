"""The weight log as plain lines: plan, scale, gap, and the margin that it leads to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wizard.certainty import Uncertain
from wizard.plug.derived import Derived
from wizard.plug.record import Build
from wizard.plug.weightlog import LogLine, weight_log
from wizard.report.showing import amount


def weight_log_lines(build: Build, derived: Derived) -> Iterator[str]:
    """Every weighing of the whole plug, a line each; nothing while there is none."""
    lines = weight_log(build, derived)
    if not lines:
        return
    asked = "" if derived.margin is None else f" (asked {_percent(derived.margin.value)})"
    yield f"Weight log; margin{asked} if the rest goes as planned"
    yield f"  {'stage':<20}{'planned':>13}{'on the scale':>15}{'heavier by':>13}{'margin':>11}"
    for line in lines:
        yield _line(line, build.build.units)


def _line(line: LogLine, chosen: Mapping[str, str]) -> str:
    stage = line.stage if line.coats is None else f"{line.stage}, {line.coats} on"
    gap = line.gap
    heavier = "-" if gap is None else _signed(gap, chosen)
    margin = "-" if line.margin is None else _percent(line.margin.value)
    planned = "-" if line.planned is None else amount(line.planned.value, "g", chosen)
    actual = amount(line.actual.value, "g", chosen)
    return f"  {stage:<20}{planned:>13}{actual:>15}{heavier:>13}{margin:>11}"


def _signed(gap: Uncertain, chosen: Mapping[str, str]) -> str:
    sign = "+" if gap.value >= 0 else "-"
    return sign + amount(round(abs(gap.value), 5), "g", chosen)


def _percent(share: float) -> str:
    return f"{100 * share:+.1f} %"
