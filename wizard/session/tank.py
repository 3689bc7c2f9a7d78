"""What the tank says of a build, and what the bench has learned, as lines and choices."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.plug.paths import Path as AnswerPath
from wizard.plug.record import Build
from wizard.session.option import Option

if TYPE_CHECKING:
    from wizard.learning.habits import Calibration
    from wizard.learning.offering import Offer
    from wizard.plug.tank.mend import Mend


@dataclass(frozen=True, slots=True)
class Doing:
    """One thing that may be done to the build, with what it is called.

    Attributes:
        what: the mend or the offer.
        words: what it comes to.
        path: of the answers that it changes.
    """

    what: Mend | Offer
    words: str
    path: AnswerPath

    def done(self, build: Build) -> Build:
        """The build with it done: a mend as of now, an offer as plain answers."""
        from wizard.learning.offering import Offer

        if isinstance(self.what, Offer):
            return self.what.accepted(build)
        return self.what.applied(build, datetime.now().astimezone().replace(microsecond=0))


@dataclass(frozen=True, slots=True)
class Counting:
    """From when on finished builds count for the bench: begin anew, or count all again.

    Attributes:
        words: what it comes to.
        act: the same, to be said yes to.
        since: the moment; None for all builds.
    """

    words: str
    act: str
    since: datetime | None

    def kept(self, folder: Path) -> str:
        """Write it into the bench file; what was done, or why it could not be."""
        from wizard.learning.keeping import counting_from
        from wizard.session.bench import Held

        held = Held()
        trouble = held.read(folder) or held.keep(counting_from(held.bench, self.since))
        if trouble:
            return f"! {trouble}"
        return "All finished builds count." if self.since is None else "Counted from now on."


@dataclass(frozen=True, slots=True)
class Told:
    """What a page has to say and to offer."""

    lines: tuple[str, ...]
    doings: tuple[Doing | Counting, ...] = ()

    @property
    def options(self) -> list[Option]:
        """What may be picked."""
        return [Option(str(n), doing.words) for n, doing in enumerate(self.doings)]


def tank_says(build: Build, folder: Path) -> Told:
    """The page of the proof, and the mends that are known; takes a moment.

    Args:
        build: the record.
        folder: where builds live; the tank asks for none of them.
    """
    from wizard.plug.derive import derive
    from wizard.plug.tank.mend import mends
    from wizard.report.mending import OFFERED, what_to_do
    from wizard.report.tank_page import sections

    derived = derive(build)
    lines: list[str] = []
    for heading, said in sections(build, derived):
        lines += ["", heading.upper(), *(f"  {line}" for line in said)]
    found = mends(build, derived)[:OFFERED]
    doings = tuple(Doing(mend, what_to_do(build, mend), ("mend",)) for mend in found)
    return Told(tuple(lines[1:]), doings)


def bench_learned(build: Build, folder: Path) -> Told:
    """The habits that the finished builds of a folder show, and what the build may take over.

    Args:
        build: the record.
        folder: where builds live.
    """
    from wizard.learning.keeping import counted_from
    from wizard.learning.offering import learn, offers
    from wizard.quantity.showing import literal
    from wizard.report.learning import learned_lines
    from wizard.session.bench import bench_of
    from wizard.store.faults import ReadRefused
    from wizard.store.finished import finished_builds

    bench, trouble = bench_of(folder)
    try:
        known = learn(finished_builds(folder), counted_from(bench))
    except ReadRefused as fault:
        return Told((f"! {fault}",))
    doings = tuple(
        Doing(offer, literal(f"{offer.becomes} instead of {offer.instead}"), offer.answers[0][0])
        for offer in offers(known, build)
    )
    lines = (*((f"! {trouble}",) if trouble else ()), *learned_lines(known))
    return Told(lines, (*doings, *_counting(known)))


def _counting(known: Calibration) -> Iterator[Counting]:
    if known.builds:
        now = datetime.now().astimezone().replace(microsecond=0)
        yield Counting(
            "Begin anew: builds finished until now count no more",
            f"count {known.builds} build{'s' if known.builds > 1 else ''} no more",
            now,
        )
    if known.since is not None:
        yield Counting("Count all finished builds again", "count all again", None)
