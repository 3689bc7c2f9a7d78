"""What the tank says of a build, and what the bench has learned, as lines and choices."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.plug.paths import Path as AnswerPath
from wizard.plug.record import Build
from wizard.session.option import Option

if TYPE_CHECKING:
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
        from datetime import datetime

        return self.what.applied(build, datetime.now().astimezone().replace(microsecond=0))


@dataclass(frozen=True, slots=True)
class Told:
    """What a page has to say and to offer."""

    lines: tuple[str, ...]
    doings: tuple[Doing, ...] = ()

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
    from wizard.learning.offering import learn, offers
    from wizard.quantity.showing import literal
    from wizard.report.learning import learned_lines
    from wizard.store.faults import ReadRefused
    from wizard.store.finished import finished_builds

    try:
        known = learn(finished_builds(folder))
    except ReadRefused as fault:
        return Told((f"! {fault}",))
    doings = tuple(
        Doing(offer, literal(f"{offer.becomes} instead of {offer.instead}"), offer.answers[0][0])
        for offer in offers(known, build)
    )
    return Told(tuple(learned_lines(known)), doings)
