"""What of a build was tested, drilled, hung and coated: sections of its sheet."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.certainty.expanded import expanded
from wizard.plug.derived import Derived
from wizard.plug.record import Build, Sample
from wizard.quantity.showing import plain
from wizard.report.answers import Answers
from wizard.report.page import Row, Section, columns
from wizard.report.showing import amount

NOT_YET = "-"
"""What stands for an answer that is not given."""

_PIECE = {"block": "block", "cylinder": "cylinder", "dunk": "dunk", "known": "known before",
          "body": "the body itself"}  # fmt: skip


def density_section(build: Build, derived: Derived) -> Section:
    """The wood's density with its certainty, and the samples that it is from."""
    chosen, at = build.build.units, Answers(build)
    found = derived.wood.density
    wood = at.text("stock", "wood", otherwise="wood without a name")
    if found is None:
        return Section("Wood", (f"{wood}; its density is not tested yet.",))
    wide = expanded(found)
    whole = amount(found.value, "g/mL", chosen)
    sure = ""
    if wide.half_width > 0:
        share = 100 * wide.half_width / found.value
        sure = f" ± {plain(share, 2)} % in 95 of 100 cases (k = {plain(wide.factor, 3)})"
    carried = at.is_carried("density", "sample", 0, "density")
    known = ", an expectation until this board is tested *" if carried else ""
    rows = tuple(_samples(build, derived))
    return Section(
        "Wood",
        (f"{wood}: {whole}{sure}{known}.",),
        columns("sample", "how", "density", "note"),
        rows,
    )


def _samples(build: Build, derived: Derived) -> Iterator[Row]:
    chosen = build.build.units
    for sample in derived.wood.samples:
        density = amount(sample.density, "g/mL", chosen)
        if sample.path[0] != "density":
            yield "blank", "the squared blank", density, ""
            continue
        row = int(sample.path[2])
        typed = build.density.sample[row]
        yield str(row + 1), _how(typed), density, typed.note or ""


def _how(sample: Sample) -> str:
    day = f", {sample.tested:%Y-%m-%d}" if sample.tested else ""
    return f"{_PIECE.get(sample.method or '', 'piece')}{day}"


def ballast_sections(build: Build) -> Iterator[Section]:
    """Ballast: the holes, drilled or to be drilled, then the pieces that lie in them."""
    ballast, at = build.ballast, Answers(build)
    if ballast is None:
        return
    metal = at.text("ballast", "metal", otherwise="lead")
    filler = at.text("ballast", "filler", otherwise="epoxy")
    yield Section(
        "Ballast",
        (f"{metal}, backfilled with {filler}.",),
        columns("hole", "aft of the nose", "wide", "deep", "drilled from"),
        tuple(_hole(at, row) for row in range(len(ballast.hole))),
    )
    yield Section(
        "Pieces of ballast",
        (),
        columns("piece", "mass of one", "in hole"),
        tuple(
            (
                f"{piece.count} x {piece.name or piece.form or metal}",
                at.text("ballast", "piece", row, "mass", otherwise=NOT_YET),
                str(piece.hole or "shared"),
            )
            for row, piece in enumerate(ballast.piece)
        ),
    )


def _hole(at: Answers, row: int) -> Row:
    cells = (
        at.text("ballast", "hole", row, key, otherwise=NOT_YET)
        for key in ("x", "diameter", "depth")
    )
    axis = at.text("ballast", "hole", row, "axis", otherwise="up")
    side = {"up": "the belly", "down": "the back", "across": "the side"}
    return str(row + 1), *cells, side.get(axis.split(" ")[0], axis)


def hardware_section(build: Build) -> Section:
    """Hooks, rings, eyes: what hangs where."""
    at = Answers(build)
    rows = tuple(
        (
            at.text("hardware", row, "name", otherwise=f"hardware {row + 1}"),
            f"{item.count} x {at.text('hardware', row, 'mass', otherwise=NOT_YET)}",
            at.text("hardware", row, "x", otherwise=NOT_YET),
            at.text("hardware", row, "z", otherwise=NOT_YET),
        )
        for row, item in enumerate(build.hardware or ())
    )
    heads = columns("hardware", "mass", "aft of the nose", "above the baseline")
    return Section("Hardware", (), heads, rows)


def coats_section(build: Build, derived: Derived) -> Section:
    """The coats as they went on: film or weight, and what each came to."""
    at, chosen = Answers(build), build.build.units
    parts = [part for part in derived.parts if part.sort == "coat"]
    rows = []
    for row, coat in enumerate(build.coat or ()):
        part = parts[row] if row < len(parts) else None
        came_to = NOT_YET if part is None or part.mass is None else amount(part.mass, "g", chosen)
        rows.append(
            (
                at.text("coat", row, "name", otherwise=f"coat {row + 1}"),
                at.text("coat", row, "thickness", otherwise=NOT_YET),
                "weighed" if coat.mass is not None else "from the film",
                came_to,
                _when(build, row),
            )
        )
    heads = columns("coat", "dry film", "how", "weighs", "went on")
    return Section("Coats", (), heads, tuple(rows))


def _when(build: Build, row: int) -> str:
    """The days on which a coat went on, as far as its operations are marked."""
    marks = (op.finished or op.started for op in build.operation if op.coat == row + 1)
    days = dict.fromkeys(f"{mark:%Y-%m-%d}" for mark in marks if mark is not None)
    return ", ".join(days)
