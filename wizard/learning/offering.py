"""What a build may take over from the bench: offers, each a plain answer once accepted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from wizard.learning.habits import Calibration, Habit, calibration
from wizard.learning.observing import plain_name, seen
from wizard.physics.drag import DRAG_SPREAD
from wizard.plug.account import coat_density
from wizard.plug.derive import derive
from wizard.plug.paths import Path, get, put
from wizard.plug.record import Build
from wizard.quantity.making import bare, made
from wizard.quantity.reading import Quantity

FEWEST = 3
"""Observations from which a habit is offered: two would leave its scatter to chance."""


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing that a build may take over.

    Attributes:
        habit: what it rests on.
        answers: the answers that it fills, by path.
        instead: what stands there now, in words.
        becomes: what would stand there, in words.
    """

    habit: Habit
    answers: tuple[tuple[Path, Any], ...]
    instead: str
    becomes: str

    def accepted(self, build: Build) -> Build:
        """The build with the offer taken: nothing but plain answers in its profile."""
        for path, value in self.answers:
            build = put(build, path, value)
        return build


def learn(builds: Iterable[Build], since: datetime | None = None) -> Calibration:
    """What finished builds say together.

    Args:
        builds: the records of finished builds, in any order.
        since: those from before it are left out.
    """
    return calibration((seen(b, derive(b)) for b in builds), since)


def offers(known: Calibration, build: Build) -> tuple[Offer, ...]:
    """What the bench has to offer a build as it stands; empty where it holds already."""
    found = (*_drag(known, build), *_holes(known, build), *_films(known, build))
    return tuple(o for o in (*found, *_hardware(known, build)) if _changes(o, build))


def _changes(offer: Offer, build: Build) -> bool:
    return any(_told(get(build, path)) != _told(value) for path, value in offer.answers)


def _told(answer: Any) -> Any:
    return answer.text if isinstance(answer, Quantity) else answer


def _enough(known: Calibration, key: str) -> Habit | None:
    habit = known.habit(key)
    return habit if habit is not None and habit.count >= FEWEST else None


def _drag(known: Calibration, build: Build) -> Iterator[Offer]:
    """The maker's own drag, where it is better known than the published one.

    The doubt of a speed is half that of its drag: it covers the mean's own doubt and how
    far the next plug may lie from it.
    """
    habit = _enough(known, "drag")
    if habit is None or habit.spread / 2.0 >= DRAG_SPREAD:
        return
    factor, doubt = bare(habit.mean, 3), made(habit.spread / 2.0, "%", 1e-4)
    now = build.drag.factor.text if build.drag.factor else "1, as published"
    yield Offer(
        habit,
        (
            (("drag", "factor"), factor),
            (("drag", "doubt"), doubt),
            (("drag", "builds"), habit.count),
        ),
        f"drag factor {now}",
        f"drag factor {factor.text}, speeds within {doubt.text}",
    )


def _holes(known: Calibration, build: Build) -> Iterator[Offer]:
    habit = _enough(known, "holes")
    if habit is None or build.ballast is None:
        return
    factor = bare(habit.mean, 3)
    now = build.ballast.hole_factor.text if build.ballast.hole_factor else "1, as planned"
    path: Path = ("ballast", "hole_factor")
    yield Offer(habit, ((path, factor),), f"hole factor {now}", f"hole factor {factor.text}")


def _films(known: Calibration, build: Build) -> Iterator[Offer]:
    """The film of a coat by what it weighed on earlier plugs."""
    for i, coat in enumerate(build.coat or ()):
        density = coat_density(coat)
        habit = _enough(known, f"coat:{plain_name(coat.name or '')}")
        if habit is None or density is None or coat.mass is not None:
            continue
        film = made(habit.mean / density, "mm", 1e-6)
        now = coat.thickness.text if coat.thickness else "nothing"
        path: Path = ("coat", i, "thickness")
        yield Offer(habit, ((path, film),), f"dry film {now}", f"dry film {film.text}")


def _hardware(known: Calibration, build: Build) -> Iterator[Offer]:
    """The mass of a named hook or ring that is not weighed yet."""
    from wizard.tables import find_hardware

    for i, item in enumerate(build.hardware or ()):
        row = find_hardware(item.name) if item.name else None
        habit = _enough(known, f"hardware:{row.name}") if row is not None else None
        if row is None or habit is None or item.mass is not None:
            continue
        mass = made(habit.mean * row.mass.typical, "g", 1e-5)
        path: Path = ("hardware", i, "mass")
        yield Offer(habit, ((path, mass),), "mass of one: nothing", f"mass of one {mass.text}")


def without(build: Build) -> Build:
    """The build with nothing taken over any more: drag and holes as published and planned."""
    ballast = build.ballast
    own = replace(build.drag, factor=None, doubt=None, builds=None)
    plain = None if ballast is None else replace(ballast, hole_factor=None)
    return replace(build, drag=own, ballast=plain)
