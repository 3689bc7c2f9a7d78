"""A few body forms, each described by its geometry, as a start for a drawing.

A form is a rule that turns length, height and thickness into stations. Seen from
the side and from above one and the same outline runs from the nose to the widest
point and on to the tail; the axis on which the back and belly meet lies at the
form's widest level. Every proportion can be changed.

The proportions are common practice, no source.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

from wizard.physics.stations import Section, ShapeError, Station

SOURCE = "common practice, no source"

_STATIONS = 25
_NOTHING = 1e-6  # a proportion too small to draw
_MARK = 1e-3  # nearer to an end no station of its own is drawn


@dataclass(frozen=True)
class Outline:
    """How fully the outline swells from an end to the widest point.

    With u the distance from the widest point, 1 at the end, the outline stands at
    (1 - u^along)^across: 2 and 1/2 make a quarter of an ellipse, 2 and 1 a parabola
    that comes to a point; a larger `along` keeps the body full for longer.
    """

    along: float = 2.0
    across: float = 0.5

    def __call__(self, u: float) -> float:
        """Part of the full height or breadth at a distance from the widest point."""
        part: float = (1.0 - min(max(u, 0.0), 1.0) ** self.along) ** self.across
        return part


@dataclass(frozen=True)
class Form:
    """One body form and its usual proportions.

    Attributes:
        name: what makers can call it.
        description: its geometry in words, short enough for a line of a list.
        widest_at: where the widest point sits, as a fraction of the length.
        nose: height and breadth of a flat nose, as a fraction of the widest.
        tail: the same of a flat tail.
        face: fraction of the length that a slanted face takes from the back, 0 for none.
        entry: outline from the nose to the widest point.
        run: outline from the widest point to the tail.
        section: how a section is filled.
        line_tie: where the line is tied, on the back, as a fraction of the
            length; None if at the nose.
        least_height: least height as a fraction of the length, or None.
        source: where the proportions come from.
    """

    name: str
    description: str
    widest_at: float = 0.5
    nose: float = 0.0
    tail: float = 0.0
    face: float = 0.0
    entry: Outline = Outline()
    run: Outline = Outline()
    section: Section = field(default_factory=Section)
    line_tie: float | None = None
    least_height: float | None = None
    source: str = SOURCE


FORMS: dict[str, Form] = {
    form.name: form
    for form in (
        Form(
            "slant face",
            "lipless: face slanted over the first third, slim aft",
            widest_at=0.48,
            nose=0.12,
            tail=0.12,
            face=1 / 3,
            run=Outline(2.0, 0.8),
            section=Section(widest=0.45, upper=2.0, lower=2.2),
            line_tie=1 / 3,
            least_height=0.25,
        ),
        Form(
            "round taper",
            "round in section and nose, tapered to a slim tail",
            widest_at=0.42,
            tail=0.15,
            run=Outline(2.0, 0.9),
            section=Section(widest=0.5),
        ),
        Form(
            "full cylinder",
            "round in section, full throughout, both ends rounded",
            tail=0.3,
            entry=Outline(6.0, 0.5),
            run=Outline(6.0, 0.5),
            section=Section(widest=0.5),
        ),
        Form(
            "deep oval",
            "an oval on edge: tall, thin, both ends rounded",
            widest_at=0.45,
            tail=0.1,
            run=Outline(2.0, 0.7),
        ),
        Form(
            "blunt face",
            "flat end as face, widest well forward, slim tail",
            widest_at=0.25,
            nose=0.8,
            tail=0.25,
            run=Outline(2.0, 0.9),
            section=Section(widest=0.5),
        ),
        Form(
            "flat back",
            "round below, planed flat above, tapered to both ends",
            widest_at=0.45,
            tail=0.15,
            run=Outline(2.0, 0.8),
            section=Section(widest=0.55, upper=2.0, lower=2.0, flat_back=0.35),
        ),
    )
}


@dataclass(frozen=True)
class Departure:
    """A proportion that differs from common practice; a warning, not a refusal.

    Attributes:
        field: the proportion.
        text: what is unusual and what is usual.
    """

    field: str
    text: str


def stations(
    form: str | Form,
    length: float,
    height: float,
    thickness: float,
    *,
    widest_at: float | None = None,
    nose: float | None = None,
    tail: float | None = None,
    face: float | None = None,
) -> tuple[Station, ...]:
    """Stations of a form drawn to size.

    Args:
        form: a form or its name.
        length: from nose to tail [m].
        height: greatest height from belly to back [m].
        thickness: greatest breadth [m].
        widest_at: where the widest point sits [length].
        nose: size of a flat nose [height and thickness].
        tail: size of a flat tail [height and thickness].
        face: what a slanted face takes [length].

    Raises:
        ShapeError: an unknown form, a size that is not positive, or a proportion
            that leaves no body.
    """
    chosen = _chosen(form, widest_at, nose, tail, face)
    for name, size in (("length", length), ("height", height), ("thickness", thickness)):
        if not (math.isfinite(size) and size > 0):
            raise ShapeError(None, name, f"the {name} of a body is more than 0")
    return tuple(_station(chosen, at, length, height, thickness) for at in _places(chosen))


def _station(form: Form, at: float, length: float, height: float, thickness: float) -> Station:
    outline = _outline(form, at)
    axis = form.section.widest * height
    bottom = axis * (1.0 - outline)
    top = min(axis + (height - axis) * outline, _face_line(form, at, height))
    return Station(at * length, max(top, bottom), bottom, outline * thickness / 2)


def departures(
    form: str | Form, length: float, height: float, **proportions: float | None
) -> tuple[Departure, ...]:
    """Where a drawing leaves the common practice of its form; no source."""
    known = _named(form)
    found = []
    if known.least_height is not None and height < known.least_height * length:
        share = f"{known.least_height:.0%}"
        found.append(Departure("height", f"lower than {share} of the length, the usual least"))
    usual_face = known.face
    face = proportions.get("face")
    if usual_face and face is not None and abs(face - usual_face) > 0.1:
        found.append(Departure("face", "a face usually takes about a third of the length"))
    widest_at = proportions.get("widest_at")
    if widest_at is not None and abs(widest_at - known.widest_at) > 0.2:
        usual = f"{known.widest_at:.0%}"
        found.append(Departure("widest_at", f"the widest point usually sits near {usual}"))
    return tuple(found)


def named(text: str) -> Form | None:
    """The form of a name; case, spaces and hyphens don't matter."""
    return FORMS.get(" ".join(text.casefold().replace("-", " ").split()))


def _named(form: str | Form) -> Form:
    if isinstance(form, Form):
        return form
    found = named(form)
    if found is None:
        raise ShapeError(None, "form", f"no form of that name; there are {', '.join(FORMS)}")
    return found


def _chosen(
    form: str | Form,
    widest_at: float | None,
    nose: float | None,
    tail: float | None,
    face: float | None,
) -> Form:
    known = _named(form)
    chosen = replace(
        known,
        widest_at=_proportion("widest_at", widest_at, known.widest_at, whole=False),
        nose=_proportion("nose", nose, known.nose),
        tail=_proportion("tail", tail, known.tail),
        face=_proportion("face", face, known.face, whole=False),
    )
    if chosen.widest_at == 0.0 and chosen.nose == 0.0:
        raise ShapeError(None, "widest_at", "a body widest at its nose needs a flat nose")
    return chosen


def _proportion(name: str, given: float | None, usual: float, whole: bool = True) -> float:
    if given is None:
        return usual
    if not 0.0 <= given <= 1.0 or (given == 1.0 and not whole):
        raise ShapeError(None, name, "a proportion lies between 0 and 1")
    return given


def _places(form: Form) -> list[float]:
    """Stations as fractions of the length, closer towards the ends."""
    even = [(1.0 - math.cos(math.pi * i / (_STATIONS - 1))) / 2.0 for i in range(_STATIONS)]
    marks = [at for at in (form.widest_at, form.face) if _MARK < at < 1.0 - _MARK]
    apart = [x for x in even if all(abs(x - m) > 0.25 / _STATIONS for m in marks)]
    return sorted({0.0, 1.0, *apart, *marks})


def _outline(form: Form, at: float) -> float:
    """Part of the full height and thickness at a fraction of the length."""
    widest = form.widest_at
    if at < widest:
        return form.nose + (1 - form.nose) * form.entry((widest - at) / widest)
    return form.tail + (1 - form.tail) * form.run((at - widest) / (1 - widest))


def _face_line(form: Form, at: float, height: float) -> float:
    """The slanted face as a straight line from the nose up to the back; endless without one."""
    if form.face <= _NOTHING or at > form.face:
        return math.inf
    axis = form.section.widest * height
    low = axis * (1.0 - _outline(form, 0.0)) + form.nose * height * 0.5
    high = axis + (height - axis) * _outline(form, form.face)
    return low + (high - low) * at / form.face
