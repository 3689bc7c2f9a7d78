"""What keeps the numbers of a begun build from being known, and what would tell them."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.plug.account import coat_density, hardware_density
from wizard.plug.body.drawing import drawn_body
from wizard.plug.findings import Finding
from wizard.plug.paths import Path
from wizard.plug.record import Build


def missing(build: Build, wood_known: bool) -> tuple[Finding, ...]:
    """What keeps the sums of mass and volume from being known, part by part.

    Args:
        build: the record.
        wood_known: whether the density of its wood is known.
    """
    return (
        *_hardware(build),
        *_coats(build),
        *_ballast(build),
        *_balance(build, wood_known),
        *_trials(build),
        *_mends(build),
    )


def _say(path: Path, wrong: str, remedy: str) -> Finding:
    return Finding("warning", path, wrong, remedy)


def _hardware(build: Build) -> Iterator[Finding]:
    for i, item in enumerate(build.hardware or ()):
        path: Path = ("hardware", i)
        if item.mass is None:
            yield _say((*path, "mass"), "The mass of this hardware is missing.", "Weigh it.")
        elif hardware_density(item) is None:
            yield _say(
                (*path, "density"),
                "The density of this hardware is not known, so what it pushes aside is not.",
                "Type it: steel is 7.85 g/mL, brass 8.5 g/mL.",
            )


def _coats(build: Build) -> Iterator[Finding]:
    for i, coat in enumerate(build.coat or ()):
        path: Path = ("coat", i)
        if coat.mass is None and coat.thickness is None:
            wrong = "Neither the film nor the mass of this coat is known."
            yield _say((*path, "thickness"), wrong, "Type its dry film, or weigh it.")
        elif coat_density(coat) is None:
            wrong = "The density of this film is not known."
            remedy = "Type it: clear coats 1.05 to 1.2, paint to 1.5, primer to 1.8 g/mL."
            yield _say((*path, "density"), wrong, remedy)
        elif coat.mass is None and drawn_body(build) is None:
            wrong = "A film is predicted, but without a drawn shape its area is not known."
            yield _say((*path, "thickness"), wrong, "Draw the shape, or weigh the coat.")


def _ballast(build: Build) -> Iterator[Finding]:
    if build.ballast is None:
        return
    for i, hole in enumerate(build.ballast.hole):
        for key, value in (("diameter", hole.diameter), ("depth", hole.depth)):
            if value is None:
                path: Path = ("ballast", "hole", i, key)
                yield _say(path, f"The {key} of this hole is missing.", "Type it in.")
    for i, piece in enumerate(build.ballast.piece):
        if piece.mass is None:
            path = ("ballast", "piece", i, "mass")
            yield _say(path, "The mass of this piece is missing.", "Weigh it.")


def _balance(build: Build, wood_known: bool) -> Iterator[Finding]:
    """What a begun ballast needs beside itself."""
    if build.ballast is None:
        return
    if build.weighing.mass is None:
        yield _say(("weighing", "mass"), "The bare body is not weighed.", "Weigh it.")
    if not wood_known:
        wrong = "The density of the wood is not known."
        yield _say(("density", "sample"), wrong, "Measure and weigh a sample.")
    for key in ("temperature", "salinity"):
        if getattr(build.water, key) is None:
            wrong = f"The {key} of the fishing water is not given."
            yield _say(("water", key), wrong, "Give it: the balance needs the water.")
    yield from _aim(build)


def _aim(build: Build) -> Iterator[Finding]:
    aim = build.aim
    if aim.behaviour is None:
        wrong = "It is not said whether the plug floats, suspends or sinks."
        yield _say(("aim", "behaviour"), wrong, "Choose one: the ballast follows from it.")
    elif aim.sink_rate is not None and drawn_body(build) is None:
        wrong = "What a speed of sinking asks for is not known without a drawn shape."
        yield _say(("aim", "sink_rate"), wrong, "Draw it, or give a margin.")
    elif aim.behaviour != "suspends" and not (
        aim.margin or aim.sink_rate or aim.freeboard_fraction
    ):
        wrong = f"It is not said how far from hanging a plug that {aim.behaviour} should be."
        yield _say(("aim", "margin"), wrong, "Give a margin: 15 % is common, without a source.")


def _trials(build: Build) -> Iterator[Finding]:
    telling = ("float", "sink", "rise", "weigh", "freeboard")
    told = (i for i, trial in enumerate(build.trial) if trial.kind in telling)
    if build.ballast is None:
        for i in told:
            wrong = "The trial counts once the ballast is begun."
            yield _say(("trial", i), wrong, "Begin [ballast].")


_NEEDED = {"add": ("mass", "density"), "inside": ("mass",), "swap": ("hardware", "mass")}


def _mends(build: Build) -> Iterator[Finding]:
    """Mends that are not complete: what they changed is not known."""
    for i, mend in enumerate(build.mend):
        needed = _NEEDED.get(mend.kind or "", ("mass", "density"))
        if mend.kind == "remove" and mend.hole is not None:
            needed = () if mend.mass or mend.depth else ("depth",)
        if mend.kind is None:
            needed = ("kind",)
        for key in needed:
            if getattr(mend, key) is None:
                wrong = f"The {key} of this mend is missing, so the plug's weight is not known."
                yield _say(("mend", i, key), wrong, "Type it in.")
