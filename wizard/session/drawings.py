"""What is cut by: the marking-out sheet, the template as a file, the girth factor taken in."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from wizard.plug.bench import Bench
from wizard.plug.body.girth import girth_applied, is_worth_taking
from wizard.plug.record import Build
from wizard.plug.rule import rule_of
from wizard.session.session import Session

if TYPE_CHECKING:
    from wizard.drawing.pages import Paper
    from wizard.drawing.template import Suffix

Kind = tuple["Suffix", "Paper"]

TEMPLATES: dict[str, tuple[Kind, str, str]] = {
    "pdf a4": ((".pdf", "a4"), "PDF, A4", "to print at 1:1 and glue on the blank"),
    "pdf letter": ((".pdf", "letter"), "PDF, US Letter", "the same"),
    "svg a4": ((".svg", "a4"), "SVG, A4", "for drawing programs and cutters"),
    "svg letter": ((".svg", "letter"), "SVG, US Letter", "the same"),
    "stl": ((".stl", "a4"), "STL", "the body as a solid, for a machine"),
}
"""Files of the template, with what each is called and for."""

NOTHING = ("Nothing to mark yet: give length, height and thickness, or stations.",)


def marking_lines(build: Build) -> tuple[str, ...]:
    """The marking-out sheet of a build, or what it waits for."""
    from wizard.drawing.marking import marking_sheet
    from wizard.drawing.marking_text import lines

    sheet = marking_sheet(build)
    return NOTHING if sheet is None else lines(sheet)


def usual_paper(build: Build, bench: Bench | None = None) -> Paper:
    """The paper in the maker's printer, else that of the rule: US Letter beside inches, or A4."""
    if bench is not None and bench.bench.paper in ("a4", "letter"):
        return "a4" if bench.bench.paper == "a4" else "letter"
    return "letter" if rule_of(build) == "in" else "a4"


def not_drawn(build: Build) -> str:
    """Why there is no template yet, in words; empty when there can be one."""
    from wizard.drawing.template import NotDrawn, body_of

    try:
        body_of(build)
    except NotDrawn as error:
        return str(error)
    return ""


def write_template(build: Build, kind: Kind, target: Path, profile: Path) -> str:
    """Write a template.

    Args:
        build: the record.
        kind: which file, and on which paper.
        target: where; an earlier template there is written over, nothing else.
        profile: the build's own file.

    Returns:
        What kept it from being written, in words; empty if it is written.
    """
    from datetime import date

    from wizard.drawing.pages import TooLarge
    from wizard.drawing.template import NotDrawn, file, ours
    from wizard.store.asked import in_the_way, write
    from wizard.store.faults import SaveFailed

    trouble = in_the_way(target, (profile,), ours)
    if trouble:
        return trouble
    try:
        write(target, file(build, *kind, date.today()))
    except (NotDrawn, TooLarge, SaveFailed) as fault:
        return str(fault)
    return ""


def take_girth(session: Session, girth: float | None) -> tuple[bool, str]:
    """Take the girth factor into the shape: whether that changed it, and what to say.

    Args:
        session: with the build.
        girth: the factor as it is worked out for that build [1]; None while it is not known.

    Raises:
        ReadOnly: another window has the build.
    """
    if girth is None:
        return False, "There is no girth factor yet: draw the body, weigh it and test the wood."
    if not is_worth_taking(girth):
        return False, "The drawing holds the weighed volume already."
    words = f"girth factor {girth:.3f} taken into the shape"
    session.change(girth_applied(session.build, girth), ("shape",), words)
    return True, f"The {words}."
