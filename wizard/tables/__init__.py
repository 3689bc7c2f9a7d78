"""Starting tables: woods, metals, fillers, hardware, coats, operations, drills, wires, cautions.

TOML files with a source for every row. Each function parses its own file on
first use and no other; nothing is read on import. A table maps ids to rows in
the file's order. Values are in SI, fractions plain numbers, temperatures in
degrees Celsius.

A leaf: imports nothing of the project but itself.
"""

from collections.abc import Iterable
from functools import cache

from wizard.tables.kinds import (
    Application,
    Caution,
    CoatKind,
    Drill,
    Filler,
    HardwareKind,
    Metal,
    OperationKind,
    Row,
    Span,
    Step,
    Wire,
    Wood,
)
from wizard.tables.reading import Table, TableError, plain, read

__all__ = [
    "DEFERS",
    "Application",
    "Caution",
    "CoatKind",
    "Drill",
    "Filler",
    "HardwareKind",
    "Metal",
    "OperationKind",
    "Row",
    "Span",
    "Step",
    "Table",
    "TableError",
    "Wire",
    "Wood",
    "applications",
    "cautions",
    "cautions_for",
    "coats",
    "drills",
    "fillers",
    "find_coat",
    "find_drill",
    "find_filler",
    "find_hardware",
    "find_hardware_material",
    "find_metal",
    "find_wire",
    "find_wood",
    "hardware",
    "hardware_family",
    "metals",
    "nearest",
    "operations",
    "wires",
    "woods",
]

DEFERS = "Local rules, the maker's data sheet and licensed practice come first."
"""What every caution gives way to."""


@cache
def woods() -> Table[Wood]:
    """Woods and cork by density at about 12 % moisture."""
    return read("woods.toml", "wood", Wood)


@cache
def metals() -> Table[Metal]:
    """Ballast and hardware metals."""
    return read("metals.toml", "metal", Metal)


@cache
def fillers() -> Table[Filler]:
    """Resins, glues and plugs that close a hole."""
    return read("fillers.toml", "filler", Filler)


@cache
def hardware() -> Table[HardwareKind]:
    """Hooks, rings, swivels, eyes, wire and lips with typical masses."""
    return read("hardware.toml", "hardware", HardwareKind)


@cache
def coats() -> Table[CoatKind]:
    """Generic coats with typical films, densities and times."""
    return read("coats.toml", "coat", CoatKind)


@cache
def operations() -> Table[OperationKind]:
    """Kinds of operation of a coating schedule, in the usual order of the bench."""
    return read("operations.toml", "operation", OperationKind)


@cache
def applications() -> Table[Application]:
    """Ways to put a coat on, with what is lost."""
    return read("operations.toml", "application", Application)


@cache
def cautions() -> Table[Caution]:
    """Every caution."""
    return read("cautions.toml", "caution", Caution)


@cache
def drills() -> Table[Drill]:
    """Fractional, number, letter and metric drills, each series from small to large."""
    return read("drills.toml", "drill", Drill)


@cache
def wires() -> Table[Wire]:
    """Wires by gauge and by plain size."""
    return read("wires.toml", "wire", Wire)


def find_wood(text: str) -> Wood | None:
    """The wood of exactly this name; case, spaces and hyphens don't matter."""
    return woods().find(text)


def find_metal(text: str) -> Metal | None:
    """The metal of exactly this name; case, spaces and hyphens don't matter."""
    return metals().find(text)


def find_filler(text: str) -> Filler | None:
    """The filler of exactly this name; case, spaces and hyphens don't matter."""
    return fillers().find(text)


def find_hardware(text: str) -> HardwareKind | None:
    """The hardware of exactly this name and size; case, spaces and hyphens don't matter."""
    return hardware().find(text)


def hardware_family(text: str) -> tuple[HardwareKind, ...]:
    """Every size of the family of exactly this name ("treble hook"); empty when there is none.

    All sizes of a family share material, density and the fraction outside.
    """
    return tuple(row for row in hardware().values() if plain(row.family) == plain(text))


def find_hardware_material(text: str) -> HardwareKind | None:
    """The hardware of this name, in any size where none is named ("screw eye").

    For what all sizes of a family share only: material, density, fraction outside.
    """
    return find_hardware(text) or next(iter(hardware_family(text)), None)


def find_coat(text: str) -> CoatKind | None:
    """The coat of exactly this name; case, spaces and hyphens don't matter."""
    return coats().find(text)


def find_drill(text: str) -> Drill | None:
    """The drill of exactly this size ("3/8 in", "#7", "F", "9.5 mm")."""
    return drills().find(text)


def find_wire(text: str) -> Wire | None:
    """The wire of exactly this gauge and number ("music 15", "1.5 mm")."""
    return wires().find(text)


def nearest(names: Iterable[str], text: str) -> str | None:
    """The name most like the text, to be offered as "did you mean", never taken silently.

    Args:
        names: what may have been meant, such as `woods().names`.
        text: what was typed.

    Returns:
        One of the names, or None when none is close.
    """
    from difflib import get_close_matches

    by_plain = {plain(name): name for name in names}
    found = get_close_matches(plain(text), by_plain, n=1)
    return by_plain[found[0]] if found else None


def cautions_for(step: Step) -> tuple[Caution, ...]:
    """The cautions shown at a step, in the table's order; `DEFERS` belongs beside them."""
    return tuple(caution for caution in cautions().values() if step in caution.steps)
