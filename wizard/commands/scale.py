"""`plugwright scale`: a new build from another one, at another size or for another aim."""

from __future__ import annotations

import sys
from argparse import Namespace
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.commands.arguments import Parser, opened, parser, stop
from wizard.commands.output import clear

if TYPE_CHECKING:
    from wizard.plug.onward.scaled import Sibling, Wish
    from wizard.plug.record import Aim, Build, Water
    from wizard.quantity.reading import Quantity
    from wizard.quantity.units import Kind

EXAMPLES = """\
  plugwright scale harbour-sprat-95.toml --length "140 mm" --salinity "35 g/kg"
  plugwright scale my-plug.toml --factor 1.5 --wood "western redcedar"
  plugwright scale my-plug.toml --factor 1 --behaviour floats --margin "15 %"
  plugwright scale my-plug.toml --copies 6 --same-board
  plugwright scale my-plug.toml --factor 2 --dry-run --json
"""
MOST_COPIES = 100

AIMS = {"margin": "margin", "sink_rate": "sink-rate", "freeboard_fraction": "freeboard"}
"""Keys of the aim, and the option that asks for each."""


def _parser() -> Parser:
    about = (
        "Begin a new build from another one. Lengths grow by the factor, films stay, what comes "
        "in stock sizes is chosen again, and every answer that came over is marked."
    )
    asked = parser("scale", about, EXAMPLES)
    asked.add_argument("profile", help="the build to begin from")
    size = asked.add_mutually_exclusive_group()
    size.add_argument("--length", help='of the new body, such as "140 mm"')
    size.add_argument("--factor", help="of length, 0.2 to 5; 1 for the same size")
    asked.add_argument("--wood", help="another wood; its density is then the table's")
    asked.add_argument("--same-board", action="store_true", help="from the board that was tested")
    asked.add_argument("--temperature", help='of another water, such as "12 degC"')
    asked.add_argument("--salinity", help='of another water, such as "35 g/kg"')
    asked.add_argument("--behaviour", choices=("floats", "suspends", "sinks"), help="another aim")
    asked.add_argument("--margin", help='from neutral, such as "12 %%"')
    asked.add_argument("--sink-rate", help='instead of a margin, such as "20 cm/s"')
    asked.add_argument("--freeboard", help='share above water instead of a margin, such as "20 %%"')
    asked.add_argument("--copies", type=int, default=1, help="so many plugs of one plan")
    asked.add_argument("--name", help="of the new build")
    asked.add_argument("-o", "--output", metavar="FILE", help="where to write it")
    asked.add_argument("--folder", help="where builds live, instead of the usual place")
    asked.add_argument("--force", action="store_true", help="write over any file there")
    asked.add_argument("--dry-run", action="store_true", help="write nothing, only tell")
    asked.add_argument("--json", action="store_true", help="one JSON object, for programs")
    return asked


def run(arguments: list[str]) -> int:
    """Begin new builds from another one; returns the exit status."""
    asked = _parser().parse_args(arguments)
    if not 1 <= asked.copies <= MOST_COPIES:
        stop(f"--copies {asked.copies} is impossible; expected 1 to {MOST_COPIES}")
    if asked.output and asked.copies > 1:
        stop("--output names one file; leave it out for several copies, or use --folder")
    source = opened(asked.profile).build
    from wizard.plug.onward.scaled import NotScalable, scaled

    try:
        siblings = [scaled(source, wish) for wish in _wishes(asked, source)]
    except NotScalable as error:
        stop(f"{asked.profile}: {error}")
    places = [_kept(asked, sibling.build) for sibling in siblings]
    if asked.json:
        from wizard.report.scaling import siblings_document

        sys.stdout.write(siblings_document([str(p) for p in places], siblings) + "\n")
    else:
        for line in _told(asked, siblings, places):
            sys.stdout.write(line + "\n")
    return 0


def _told(asked: Namespace, siblings: list[Sibling], places: list[Path]) -> Iterator[str]:
    from wizard.report.scaling import sibling_lines
    from wizard.store.faults import shown

    yield from sibling_lines(siblings[0])
    yield ""
    if asked.dry_run:
        would = "one build" if len(siblings) == 1 else f"{len(siblings)} builds"
        yield f"Nothing was written; {would} would be."
        return
    for place in places:
        yield f"wrote {shown(place)}"
    yield f'Go on with: plugwright "{shown(places[0])}"'


def _wishes(asked: Namespace, source: Build) -> Iterator[Wish]:
    from wizard.plug.onward.scaled import Wish, factor_to

    factor = 1.0
    if asked.length is not None:
        factor = factor_to(source, _quantity(asked.length, "length", "--length").value)
    elif asked.factor is not None:
        factor = _quantity(asked.factor, "number", "--factor").value
    water, aim = _water(asked, source), _aim(asked, source)
    now = datetime.now().astimezone().replace(microsecond=0)
    for number in range(1, asked.copies + 1):
        yield Wish(
            factor,
            _name(asked, number),
            now,
            asked.wood,
            asked.same_board,
            water,
            aim,
            (number, asked.copies) if asked.copies > 1 else None,
        )


def _name(asked: Namespace, number: int) -> str:
    if not asked.name:
        return ""
    return asked.name if asked.copies == 1 else f"{asked.name}, {number} of {asked.copies}"


def _quantity(text: str, kind: Kind, option: str) -> Quantity:
    from wizard.quantity.reading import Refusal, read

    found = read(text, kind, negative=True)
    if isinstance(found, Refusal):
        stop(f"{option}: {found}")
    return found


def _checked(text: str, kind: Kind, option: str, *path: str) -> Quantity:
    """A measurement that may stand at an answer of the record."""
    from wizard.plug.limits import out_of_range
    from wizard.plug.paths import spec_at

    found = _quantity(text, kind, option)
    complaint = out_of_range(spec_at(path), found)
    if complaint:
        stop(f"{option}: {' '.join(complaint)}")
    return found


def _water(asked: Namespace, source: Build) -> Water | None:
    if asked.temperature is None and asked.salinity is None:
        return None
    water = replace(source.water, other={})
    if asked.temperature is not None:
        typed = _checked(asked.temperature, "temperature", "--temperature", "water", "temperature")
        water = replace(water, temperature=typed)
    if asked.salinity is not None:
        typed = _checked(asked.salinity, "salinity", "--salinity", "water", "salinity")
        water = replace(water, salinity=typed)
    return water


def _aim(asked: Namespace, source: Build) -> Aim | None:
    from wizard.plug.fields import specs
    from wizard.plug.paths import put
    from wizard.plug.record import Aim

    typed = {
        key: _checked(text, specs(Aim)[key].kind, f"--{option}", "aim", key)
        for key, option in AIMS.items()
        if (text := getattr(asked, option.replace("-", "_"))) is not None
    }
    if asked.behaviour is None and not typed:
        return None
    behaviour = asked.behaviour or source.aim.behaviour
    if behaviour == source.aim.behaviour and not typed:
        return None
    aim = Aim(behaviour=behaviour, tolerance=source.aim.tolerance, pitch=source.aim.pitch)
    for key, value in typed.items():
        aim = put(aim, (key,), value)
    return aim


def _kept(asked: Namespace, build: Build) -> Path:
    """Where the new build is, or would be."""
    from wizard.store.bin import InUse
    from wizard.store.faults import StoreError
    from wizard.store.folder import builds_folder, make_folder, profile_path_for
    from wizard.store.tidying import place

    folder = builds_folder(asked.folder)
    target = Path(asked.output) if asked.output else None
    if asked.dry_run:
        return target or profile_path_for(folder, build.build.name or "")
    try:
        if target is not None:
            return _saved(asked, target, build)
        make_folder(folder)
        return place(build, folder)
    except (StoreError, InUse) as fault:
        stop(str(fault))


def _saved(asked: Namespace, target: Path, build: Build) -> Path:
    from wizard.store.files import save
    from wizard.store.profile import write
    from wizard.store.reading import read

    clear(target, (Path(asked.profile),), asked.force, lambda data: False)
    there = read(target)[1] if target.exists() else None
    return save(target, write(build), expected=there).path
