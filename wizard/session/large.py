"""What is worth large letters at a row of a form: its question, its answer, one number.

Pure: knows no widget.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from wizard.plug.record import Build, StepId
from wizard.report.showing import amount, number
from wizard.session.beside import beside
from wizard.session.card import Big, Card
from wizard.session.drill_list import drill_list
from wizard.session.layout import Asked, Chosen, Line, Row
from wizard.session.standing import DRILLING_STEPS, drilling
from wizard.steps.wording import label, typed

if TYPE_CHECKING:
    from wizard.plug.derived import Derived


NUMBER: Mapping[StepId, tuple[str, str]] = {
    "shape": ("shape_volume", "drawn volume"),
    "weighing": ("body_volume", "volume of the body"),
    "density": ("wood_density", "density of the wood"),
    "hardware": ("hardware_mass", "all hardware"),
    "coating": ("finished_mass", "finished plug"),
    "proof": ("proof_net", "weight left in the water, by the tank"),
    "review": ("finished_mass", "finished plug"),
}
"""The one number that matters at a step, and what it is called in few words."""


REFUSED = Big("NOT TAKEN", under="Why stands below.", rank=1)


def card(
    build: Build,
    step: StepId,
    row: Row | None,
    derived: Derived | None,
    *,
    text: str = "",
    pointed: str = "",
    is_draft: bool = False,
    refused: bool = False,
) -> Card:
    """What is worth large letters at a row.

    Args:
        build: the record.
        step: the step.
        row: of the form, the one at hand.
        derived: what follows from the build, once it is worked out.
        text: what stands in its line, if it has one.
        pointed: the option that is pointed at, if it has some.
        is_draft: whether the text was typed in an earlier sitting.
        refused: whether the text can't be taken; why is said elsewhere.
    """
    after = (REFUSED,) if refused else _number(build, step, derived)
    bigs = [*_row(build, row, text, pointed, is_draft), *after]
    return Card(tuple(bigs), alert_at(build, step, derived))


def alert_at(build: Build, step: StepId, derived: Derived | None) -> str:
    """Whether the holes may be drilled yet, at the steps where that is near."""
    state = drilling(build, derived) if derived and step in DRILLING_STEPS else None
    return "" if state is None else f"{'' if state[0] else '! '}{state[1]}"


def _row(build: Build, row: Row | None, text: str, pointed: str, is_draft: bool) -> tuple[Big, ...]:
    if isinstance(row, Asked):
        said = beside(build, row.question, text, is_draft=is_draft)
        understood = (Big(said, rank=3),) if said else ()
        prompt, answer = row.question.prompt, row.question.answer
        offer = f"({prompt.offer})" if prompt.offer and answer is None else "_"
        return Big(_named(row).upper()), Big(text or offer, rank=0), *understood
    if isinstance(row, Chosen):
        held = row.shown or typed(row.question.answer if row.question else None)
        return Big(_named(row).upper()), Big(pointed or held or "_", under=_held(held), rank=0)
    if isinstance(row, Line):
        hole = _hole(build, row)
        return hole or (Big(row.text.upper(), under=row.detail, rank=0),)
    return ()


def _named(row: Asked | Chosen) -> str:
    return label(row.question.path) if row.question is not None else row.label


def _held(held: str) -> str:
    return f"now: {held}" if held else "open"


def _hole(build: Build, row: Line) -> tuple[Big, ...]:
    """A hole that is laid out, as it is drilled."""
    if row.group is None or row.group.key != "ballast.hole":
        return ()
    found = drill_list(build)
    return found[row.row].bigs if row.row < len(found) else ()


def _number(build: Build, step: StepId, derived: Derived | None) -> tuple[Big, ...]:
    """The number that matters now; none while it is not known."""
    if derived is None:
        return ()
    if step == "ballast":
        return _to_add(build, derived)
    name, meaning = NUMBER.get(step, ("", ""))
    found = derived.numbers.get(name)
    if found is None:
        return ()
    return (_figure(meaning, number(found, build.build.units)),)


def _to_add(build: Build, derived: Derived) -> tuple[Big, ...]:
    from wizard.plug.ballast.to_add import ballast_to_add

    left = ballast_to_add(build, derived)
    if left is None:
        return ()
    laid_out = build.ballast is not None and bool(build.ballast.piece)
    words = "ballast to take out" if left.value < 0 else "ballast to add"
    if not laid_out:
        words = "ballast, the full answer"
    return (_figure(words, amount(-left if left.value < 0 else left, "g", build.build.units)),)


def _figure(meaning: str, shown: str) -> Big:
    """A number large, and its doubt small beside what it is."""
    value, _, doubt = shown.partition(" ± ")
    unit = doubt.partition(" ")[2]
    if not doubt:
        return Big(shown, over=meaning, rank=2)
    return Big(f"{value} {unit}".strip(), over=f"{meaning}, ± {doubt}", rank=2)
