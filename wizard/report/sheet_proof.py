"""What the scale, the tank and the water said of a build: sections of its sheet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wizard.plug.derived import Derived
from wizard.plug.fields import specs
from wizard.plug.onward.compare import typed
from wizard.plug.record import Build, MendDone, Swim, Trial
from wizard.plug.weightlog import LogLine, weight_log
from wizard.report.page import Row, Section, columns
from wizard.report.showing import amount

_APART = ("kind", "as_asked", "notes", "mends", "done", "other")
"""Answers of a trial or a mend that stand in a column of their own, or in none."""


def account_section(build: Build, derived: Derived) -> Section:
    """Every part with its mass and outside volume, and the sums."""
    chosen = build.build.units

    def row(name: str, mass: str, volume: str) -> Row:
        return name, mass, volume

    rows = [
        row(
            part.name,
            "-" if part.mass is None else amount(part.mass, "g", chosen),
            "-" if part.volume is None else amount(part.volume, "mL", chosen),
        )
        for part in derived.parts
    ]
    whole, pushed = derived.value("finished_mass"), derived.value("displaced_volume")
    if whole is not None or pushed is not None:
        rows.append(
            row(
                "the whole plug",
                "-" if whole is None else amount(whole, "g", chosen),
                "-" if pushed is None else amount(pushed, "mL", chosen),
            )
        )
    heads = columns("part", "mass", "outside volume", right=2)
    return Section("Weight account", (), heads, tuple(rows))


def weighings_section(build: Build, derived: Derived) -> Section:
    """Planned, weighed, difference: every weighing of the whole plug."""
    lines = weight_log(build, derived)
    rows = tuple(_weighing(line, build.build.units) for line in lines)
    heads = columns("on the scale", "planned", "weighed", "difference", right=3)
    return Section("Weighings", (), heads, rows)


def _weighing(line: LogLine, chosen: Mapping[str, str]) -> Row:
    stage = line.stage if line.coats is None else f"{line.stage}, {line.coats} coats on"
    planned = "-" if line.planned is None else amount(line.planned.value, "g", chosen)
    gap = line.gap
    return stage, planned, amount(line.actual.value, "g", chosen), signed(gap, chosen)


def signed(gap: object, chosen: Mapping[str, str]) -> str:
    """A difference of weights with its sign, to what a bench scale shows."""
    value = getattr(gap, "value", None)
    if value is None:
        return "-"
    sign = "+" if value >= 0 else "-"
    return sign + amount(round(abs(value), 5), "g", chosen)


def proof_section(build: Build, derived: Derived) -> Section:
    """The tank's word against the sum, and each trial as it was read."""
    chosen = build.build.units
    lines = []
    proof, net = derived.numbers.get("proof_net"), derived.numbers.get("net_in_water")
    if proof is not None:
        told = amount(proof.value, "g", chosen)
        summed = (
            "" if net is None else f"; the sum of its parts says {amount(net.value, 'g', chosen)}"
        )
        lines.append(f"By the tank it weighs {told} in the fishing water{summed}.")
    rows = tuple(_trial(trial, n) for n, trial in enumerate(build.trial, start=1))
    heads = columns("trial", "what was read", "did as asked", "note")
    return Section("Tank proof", tuple(lines), heads, rows)


def _trial(trial: Trial, number: int) -> Row:
    return (
        f"{number}: {trial.kind or 'look'}",
        ", ".join(_read(trial)),
        trial.as_asked or "",
        trial.notes or "",
    )


def mends_section(build: Build) -> Section:
    """What was put on or taken out after the proof."""
    rows = tuple(_mend(mend, n) for n, mend in enumerate(build.mend, start=1))
    return Section("Mends", (), columns("mend", "what was done", "when", "note"), rows)


def _mend(mend: MendDone, number: int) -> Row:
    day = f"{mend.done:%Y-%m-%d}" if mend.done else ""
    return f"{number}: {mend.kind or 'mend'}", ", ".join(_read(mend)), day, mend.notes or ""


def _read(record: Trial | MendDone) -> Iterator[str]:
    """The readings of a trial or a mend: what, and as it was typed."""
    for key, spec in specs(type(record)).items():
        value = getattr(record, key)
        if key not in _APART and spec.form != "raw" and value not in (None, ()):
            yield f"{key.replace('_', ' ')} {typed(value)}"


def swim_section(build: Build) -> Section:
    """How it swam, retrieve by retrieve."""
    keys = ("water", "line", "speed", "depth", "action", "tuning")
    rows = tuple(_swim(swim, keys) for swim in build.swim)
    return Section("Swim notes", (), columns("when", *keys), rows)


def _swim(swim: Swim, keys: tuple[str, ...]) -> Row:
    told = (getattr(swim, key) for key in keys)
    day = f"{swim.on:%Y-%m-%d}" if swim.on else ""
    return day, *("" if value is None else typed(value) for value in told)
