"""What a build is worked out to for a screen: functions that can be asked of another process.

All that they give goes through a pipe, so it is plain data and brings nothing heavy with it;
what they need for it is loaded where they work.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wizard.plug.body.drawing import drawn_body, is_drawn
from wizard.plug.derive import derive, stages
from wizard.plug.derived import Derived
from wizard.plug.findings import Finding
from wizard.plug.record import Build


def ready() -> Iterator[None]:
    """Have loaded what the numbers of a drawn body need."""
    import wizard.plug.body.lying
    import wizard.plug.tank.proof
    import wizard.report.planning  # noqa: F401

    yield None


def numbers(build: Build) -> Iterator[Derived | str]:
    """The sums; all numbers; then what the drawing promises, in one line, empty for nothing."""
    yield from stages(build)
    if not is_drawn(build.shape):
        yield ""
        return
    from wizard.plug.ballast.planned import planned
    from wizard.report.planning import planning_line

    yield planning_line(build, planned(build))


@dataclass(frozen=True, slots=True)
class Drawing:
    """A picture for a screen.

    Attributes:
        lines: of text; none where no body is drawn.
        station: where the section is cut, aft of the nose [m].
    """

    lines: tuple[str, ...] = ()
    station: float = 0.0


@dataclass(frozen=True, slots=True)
class Room:
    """What there is for a picture.

    Attributes:
        width: columns.
        rows: lines; as many as it takes if None.
        is_plain: whether nothing but ASCII can be shown.
    """

    width: int
    rows: int | None
    is_plain: bool


def picture(build: Build, now: Derived | None, station: float | None, room: Room) -> Drawing:
    """The picture of a build.

    Args:
        build: the record.
        now: what follows from it; worked out here if None.
        station: where to cut the section [m]; where it is largest if None.
        room: what there is for it.
    """
    if drawn_body(build) is None:
        return Drawing()
    from wizard.drawing.scene import scene
    from wizard.drawing.terminal import lines

    drawn = scene(build, now or derive(build), station)
    assert drawn is not None
    return Drawing(lines(drawn, room.width, plain=room.is_plain, rows=room.rows), drawn.station)


def lying(build: Build, now: Derived) -> tuple[str, ...]:
    """How it lies, in words; none while its weight in the water is not known."""
    from wizard.report.lying import lying_lines

    return tuple(lying_lines(build, now)) if "net_in_water" in now.numbers else ()


def next_cut(build: Build, station: float, way: int) -> float | None:
    """The next station that is marked out ahead (-1) or aft (1) of one [m]; None at the end."""
    from wizard.drawing.marking import working_stations

    body = drawn_body(build)
    if body is None:
        return None
    hair = body.length * 1e-6
    further = [s for s in working_stations(build, body) if (s - station) * way > hair]
    return (further[0] if way > 0 else further[-1]) if further else None


def review_page(build: Build, derived: Derived, odd: Sequence[Finding]) -> tuple[str, ...]:
    """The whole build on one page, and what moved since it was finished.

    Args:
        build: the record.
        derived: what follows from it.
        odd: what its file says that nobody here knows.
    """
    from wizard.report.text import review
    from wizard.session.standing import with_labels

    told = (with_labels(line) for line in review(build, derived, odd).splitlines())
    return (*_since_finished(build, derived), *told)


def _since_finished(build: Build, derived: Derived) -> Iterator[str]:
    from wizard.report.finishing import since_finished

    if build.shown is None or build.shown.at is None:
        return
    yield f"Finished {build.shown.at:%Y-%m-%d %H:%M} with version {build.shown.version}."
    changed = since_finished(build, derived)
    yield from (f"  ! since then: {line}" for line in changed)
    if not changed:
        yield "The numbers are the ones shown then."
    yield ""
