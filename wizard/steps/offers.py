"""What bench and tables offer at a question: a default that the maker takes, changes or leaves."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields, replace
from typing import Any

from wizard.plug.bench import Bench, Board, ResinTin
from wizard.plug.body.drawing import usual_line_tie
from wizard.plug.paths import Path, get, put
from wizard.plug.record import Build, Coat, Resin
from wizard.plug.rule import rule_of, shown
from wizard.quantity.reading import Quantity
from wizard.quantity.showing import plain
from wizard.steps.picking import Pick
from wizard.steps.prompts import Question
from wizard.steps.while_empty import while_empty


def started(bench: Bench, build: Build) -> Build:
    """A new build with what it takes from the bench unasked: the units its maker writes in."""
    if build.build.units or not bench.bench.units:
        return build
    return put(build, ("build", "units"), dict(bench.bench.units))


def offers(bench: Bench, build: Build, question: Question) -> str:
    """What is offered at a question, as it would be typed; empty for what is usual."""
    path = question.path
    keys = ".".join(str(part) for part in path if not isinstance(part, int))
    if keys in _OFFERS:
        return _typed(_OFFERS[keys](bench, build))
    for prefix, of_row in _ROWS.items():
        if keys.startswith(prefix):
            return _typed(of_row(bench, build, path))
    return ""


def with_offer(bench: Bench, build: Build, question: Question) -> Question:
    """The question with what bench or table offers, and what counts while it is empty."""
    prompt = question.prompt
    offer, counts = offers(bench, build, question), while_empty(build, question.path)
    if offer:
        prompt = replace(prompt, offer=offer)
    if counts:
        how = prompt.how.partition("Empty")[0].rstrip()
        prompt = replace(prompt, how=f"{how} Empty: {counts}.".lstrip())
    return question if prompt is question.prompt else replace(question, prompt=prompt)


def bench_picks(bench: Bench, path: Path) -> tuple[Pick, ...]:
    """The maker's own things for the answer at a path."""
    keys = ".".join(str(part) for part in path if not isinstance(part, int))
    return tuple(_PICKS[keys](bench)) if keys in _PICKS else ()


def _typed(answer: Any) -> str:
    if isinstance(answer, Quantity):
        return answer.text
    return "" if answer is None else str(answer)


# Finding the row of the bench that a build is about


def _board(bench: Bench, build: Build) -> Board | None:
    """The board of the wood named, else the only one."""
    wood = (build.stock.wood or "").casefold()
    named = [b for b in bench.board if wood and wood in _names(b)]
    if named:
        return named[0]
    return bench.board[0] if len(bench.board) == 1 and not wood else None


def _names(board: Board) -> tuple[str, ...]:
    return tuple(name.casefold() for name in (board.name, board.wood) if name)


def _tin(bench: Bench, build: Build) -> ResinTin | None:
    """The resin that the filler is, else the only one while no filler is named."""
    filler = (build.ballast.filler if build.ballast else None) or ""
    named = [t for t in bench.resin if filler and (t.name or "").casefold() == filler.casefold()]
    if named:
        return named[0]
    return bench.resin[0] if len(bench.resin) == 1 and not filler else None


def _coat(bench: Bench, build: Build, path: Path) -> Coat | None:
    name = get(build, (*path[:2], "name"))
    if not name:
        return None
    return next((c for c in bench.coat if (c.name or "").casefold() == name.casefold()), None)


def _commonest_metal(bench: Bench) -> str | None:
    """The metal that most of the drawer is of, by mass."""
    held: dict[str, float] = {}
    for piece in bench.piece:
        if piece.metal and piece.mass:
            held[piece.metal] = held.get(piece.metal, 0.0) + piece.count * piece.mass.value
    return max(held, key=lambda metal: held[metal], default=None)


# What is offered where

_Offer = Callable[[Bench, Build], Any]
_OfferOfRow = Callable[[Bench, Build, Path], Any]


def _of_scale(key: str) -> _Offer:
    """The scale that weighed the body, as it was described there; else the bench's."""
    return lambda bench, build: getattr(build.weighing, key) or getattr(bench.scale, key)


def _of_board(key: str) -> _Offer:
    return lambda bench, build: getattr(_board(bench, build), key, None)


def _of_tin(key: str) -> _Offer:
    return lambda bench, build: getattr(_tin(bench, build), key, None)


def _of_line_tie(which: int) -> _Offer:
    """A lipless body's line tie, on the back, to the nearest line of the maker's rule."""

    def offer(bench: Bench, build: Build) -> str | None:
        place = usual_line_tie(build)
        return None if place is None else shown(place[which], rule_of(build))

    return offer


_OFFERS: Mapping[str, _Offer] = {
    "shape.line_tie.x": _of_line_tie(0),
    "shape.line_tie.z": _of_line_tie(1),
    "weighing.resolution": lambda bench, _: bench.scale.resolution,
    "weighing.accuracy": lambda bench, _: bench.scale.accuracy,
    "weighing.maximum": lambda bench, _: bench.scale.maximum,
    "density.mass_resolution": _of_scale("resolution"),
    "density.mass_accuracy": _of_scale("accuracy"),
    "density.mass_maximum": _of_scale("maximum"),
    "density.length_resolution": lambda bench, _: bench.caliper.resolution,
    "density.length_accuracy": lambda bench, _: bench.caliper.accuracy,
    "stock.wood": _of_board("wood"),
    "stock.width": _of_board("width"),
    "stock.thickness": _of_board("thickness"),
    "stock.moisture": _of_board("moisture"),
    "ballast.metal": lambda bench, _: _commonest_metal(bench),
    "ballast.filler": _of_tin("name"),
    "ballast.filler_density": _of_tin("density"),
    "ballast.wall": lambda bench, _: bench.drills.wall,
    "ballast.hole.point": lambda bench, _: bench.drills.point,
    **{f"ballast.resin.{field.name}": _of_tin(field.name) for field in fields(Resin)},
}


def _of_sample(bench: Bench, build: Build, path: Path) -> Any:
    """Density and doubt of a board that was tested before."""
    sample = get(build, path[:3])
    if sample is None or sample.method != "known":
        return None
    return getattr(_board(bench, build), str(path[-1]), None)


def _of_coat(bench: Bench, build: Build, path: Path) -> Any:
    return None if path[-1] == "name" else getattr(_coat(bench, build, path), str(path[-1]), None)


def _outside(bench: Bench, build: Build, path: Path) -> Any:
    """How much of a kind of hardware stands outside, as its table says."""
    from wizard.tables import find_hardware_material

    name = get(build, (*path[:2], "name"))
    row = find_hardware_material(name) if name else None
    return None if row is None else plain(row.outside)


_ROWS: Mapping[str, _OfferOfRow] = {
    "hardware.outside": _outside,
    "density.sample.density": _of_sample,
    "density.sample.uncertainty": _of_sample,
    "density.sample.tested": _of_sample,
    "coat.": _of_coat,
}


def _boards(bench: Bench) -> Iterator[Pick]:
    for board in bench.board:
        if board.wood:
            detail = ", ".join(q.text for q in (board.density, board.length) if q)
            yield Pick(board.wood, f"your board {board.name or ''} {detail}".strip())


def _coats(bench: Bench) -> Iterator[Pick]:
    return (Pick(c.name, "your tin") for c in bench.coat if c.name)


def _resins(bench: Bench) -> Iterator[Pick]:
    return (Pick(t.name, "your tin") for t in bench.resin if t.name)


def _drills(bench: Bench) -> Iterator[Pick]:
    from wizard.plug.ballast.drilling import drill_diameter, typed_diameter

    for size in bench.drills.owned:
        diameter = drill_diameter(size)
        if diameter is not None:
            typed = typed_diameter(diameter, "in" if "in" in size else "mm", bench.drills.owned)
            yield Pick(typed.text, "" if typed.text == size else f"your {size} drill")


_PICKS: Mapping[str, Callable[[Bench], Iterator[Pick]]] = {
    "stock.wood": _boards,
    "coat.name": _coats,
    "ballast.filler": _resins,
    "ballast.hole.diameter": _drills,
}
