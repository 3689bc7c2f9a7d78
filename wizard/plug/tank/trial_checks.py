"""What is impossible in trials, tank and mends."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.plug.body.drawing import drawn_height
from wizard.plug.findings import Finding
from wizard.plug.paths import Path
from wizard.plug.record import Build, MendDone, Trial
from wizard.quantity import units
from wizard.quantity.reading import Quantity
from wizard.quantity.showing import plain

AFLOAT = ("float", "freeboard", "heel")
"""Kinds of trial of a plug that floats."""


def _refuse(path: Path, wrong: str, remedy: str) -> Finding:
    return Finding("refusal", path, wrong, remedy)


def _like(value: float, quantity: Quantity) -> str:
    return f"{plain(units.from_core(value, quantity.unit), 3)} {quantity.unit}"


def trial_refusals(build: Build) -> Iterator[Finding]:
    """What can't be in the trials, the tank and the mends of a build."""
    for i, trial in enumerate(build.trial):
        path: Path = ("trial", i)
        yield from _wrong_kind(trial, path)
        yield from _weight(build, trial, path)
        yield from _way(build, trial, path)
        yield from _taped(trial, path)
        yield from _mends_before(build, trial.mends, path)
    for i, row in enumerate(build.weight):
        yield from _mends_before(build, row.mends, ("weight", i))
    for i, mend in enumerate(build.mend):
        yield from _mend(build, mend, ("mend", i))
    yield from _bottle(build)


def _wrong_kind(trial: Trial, path: Path) -> Iterator[Finding]:
    if trial.kind == "sink" and trial.weight is not None:
        yield _refuse(
            (*path, "weight"),
            "A timed sink has no trial weight.",
            'Expected kind = "float" with weight and density.',
        )
    if trial.kind in AFLOAT and trial.time is not None:
        yield _refuse(
            (*path, "time"),
            "A floating plug has no sinking time.",
            'Expected kind = "sink" with depth and time, or "rise" for its way up.',
        )
    if trial.kind == "heel" and trial.angle is not None and trial.angle.value == 0:
        yield _refuse(
            (*path, "angle"),
            "A heel test needs a heel.",
            "Expected two to five degrees: move the weight further, or take a heavier one.",
        )
    if trial.kind == "freeboard" and trial.share is not None and trial.share.value >= 1.0:
        yield _refuse(
            (*path, "share"),
            f"A plug with {trial.share.text} of its height above water would weigh nothing.",
            "Expected less than 100 %.",
        )


def _weight(build: Build, trial: Trial, path: Path) -> Iterator[Finding]:
    if trial.kind not in ("float", "taped") or trial.density is None:
        return
    from wizard.plug.waters import tank_water

    water, _ = tank_water(build, trial, path)
    density = 1000.0 if water is None else water.density
    if trial.density.value <= max(density, 1000.0):
        yield _refuse(
            (*path, "density"),
            f"A trial weight of {trial.density.text} floats itself.",
            "Expected a metal: lead is 11.34 g/mL.",
        )


def _way(build: Build, trial: Trial, path: Path) -> Iterator[Finding]:
    """A timed way that is no way: the plug itself takes it all up."""
    height = drawn_height(build)
    if trial.kind not in ("sink", "rise") or trial.depth is None or height is None:
        return
    if trial.depth.value < height:
        yield _refuse(
            (*path, "depth"),
            f"A depth of {trial.depth.text} is less than the height of the plug.",
            f"Expected more than {_like(height, trial.depth)}: the way from release to the bottom.",
        )


def _taped(trial: Trial, path: Path) -> Iterator[Finding]:
    if trial.kind != "taped":
        return
    if trial.result == "floats" and trial.spare is not None:
        yield _refuse(
            (*path, "spare"),
            "A plug that floats has no ballast to spare.",
            "Expected weight and density of what just took it under.",
        )
    if trial.result == "sinks" and trial.weight is not None:
        yield _refuse(
            (*path, "weight"),
            "A plug that sinks needs no trial weight.",
            "Expected spare: the ballast taken off until it just hung.",
        )
    if trial.spare and trial.ballast and trial.spare.value > trial.ballast.value:
        yield _refuse(
            (*path, "spare"),
            f"{trial.spare.text} can't be taken off {trial.ballast.text} of ballast.",
            "Expected less than what was taped on.",
        )


def _mends_before(build: Build, count: int | None, path: Path) -> Iterator[Finding]:
    if count is not None and count > len(build.mend):
        yield _refuse(
            (*path, "mends"),
            f"{count} mends before it are more than the {len(build.mend)} written down.",
            "Expected how many [[mend]] rows had been done by then.",
        )


def _mend(build: Build, mend: MendDone, path: Path) -> Iterator[Finding]:
    holes = build.ballast.hole if build.ballast else ()
    items = build.hardware or ()
    if mend.hole is not None and mend.hole > len(holes):
        expected = f"Expected a number from 1 to {len(holes)}." if holes else "Leave the key out."
        yield _refuse((*path, "hole"), f"There is no hole {mend.hole}.", expected)
    elif mend.hole is not None and mend.kind == "remove" and mend.depth is not None:
        deep = holes[mend.hole - 1].depth
        if deep is not None and mend.depth.value > deep.value * (1 + 1e-9):
            yield _refuse(
                (*path, "depth"),
                f"{mend.depth.text} is deeper than the hole itself.",
                f"Expected less than {_like(deep.value, mend.depth)}.",
            )
    if mend.hardware is not None and mend.hardware > len(items):
        expected = f"Expected a number from 1 to {len(items)}." if items else "Leave the key out."
        wrong = f"There is no piece of hardware {mend.hardware}."
        yield _refuse((*path, "hardware"), wrong, expected)


def _bottle(build: Build) -> Iterator[Finding]:
    tank = build.tank
    for key in ("bottle_tap", "bottle_full"):
        full = getattr(tank, key)
        if full is not None and tank.bottle_empty and full.value <= tank.bottle_empty.value:
            yield _refuse(
                ("tank", key),
                f"A full bottle of {full.text} weighs no more than the empty one.",
                f"Expected more than {tank.bottle_empty.text}.",
            )
