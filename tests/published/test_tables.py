"""The starting tables: a source for every row, sound values, names that find a row."""

import copy
import subprocess
import sys
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import fields
from importlib.resources import files
from typing import Any

import pytest

from wizard import tables
from wizard.tables import Row, Span, TableError, nearest
from wizard.tables.reading import Table, table

FILES: dict[str, tuple[str, type[Row], Callable[[], Table[Any]]]] = {
    "woods.toml": ("wood", tables.Wood, tables.woods),
    "metals.toml": ("metal", tables.Metal, tables.metals),
    "fillers.toml": ("filler", tables.Filler, tables.fillers),
    "hardware.toml": ("hardware", tables.HardwareKind, tables.hardware),
    "coats.toml": ("coat", tables.CoatKind, tables.coats),
    "operations.toml": ("operation", tables.OperationKind, tables.operations),
    "cautions.toml": ("caution", tables.Caution, tables.cautions),
    "drills.toml": ("drill", tables.Drill, tables.drills),
    "wires.toml": ("wire", tables.Wire, tables.wires),
}

every_file = pytest.mark.parametrize("file", FILES)


def entries(file: str) -> list[dict[str, Any]]:
    text = files("wizard.tables").joinpath(file).read_text(encoding="utf-8")
    return list(tomllib.loads(text)[FILES[file][0]])


def rows(file: str) -> tuple[Any, ...]:
    return tuple(FILES[file][2]().values())


def test_every_file_of_the_package_is_looked_at_here() -> None:
    found = {path.name for path in files("wizard.tables").iterdir() if path.name.endswith(".toml")}
    assert found == set(FILES)


@every_file
@pytest.mark.parametrize("key", ["source", "how"])
@pytest.mark.parametrize("left", [None, "", "  "])
def test_a_row_without_its_source_is_refused(file: str, key: str, left: str | None) -> None:
    kind = FILES[file][1]
    for index, entry in enumerate(entries(file)):
        robbed = copy.deepcopy(entries(file))
        del robbed[index][key]
        if left is not None:
            robbed[index][key] = left
        with pytest.raises(TableError, match=f"{file}.*expected {key}") as refusal:
            table(file, robbed, kind)
        assert str(entry["id"]).split("{")[0] in str(refusal.value)


@every_file
def test_how_a_row_was_obtained_is_said_in_one_of_three_words(file: str) -> None:
    for row in rows(file):
        assert any(word in row.how for word in ("read", "computed", "from memory")), row.id
        remembered = row.source.startswith(("none", "common practice"))
        assert row.from_memory or not remembered, row.id


@every_file
def test_an_id_twice_is_refused(file: str) -> None:
    again = entries(file)
    with pytest.raises(TableError, match="the id is taken"):
        table(file, [*again, copy.deepcopy(again[0])], FILES[file][1])


@every_file
def test_a_name_of_two_rows_is_refused(file: str) -> None:
    first, second = entries(file)[:2]
    first_row = rows(file)[0]
    second = second | {"aliases": [first_row.name.upper()]}
    with pytest.raises(TableError, match="is a name of another row"):
        table(file, [first, second], FILES[file][1])


@every_file
def test_a_key_that_no_row_has_is_refused(file: str) -> None:
    with pytest.raises(TableError, match="colour"):
        table(file, [entries(file)[0] | {"colour": "red"}], FILES[file][1])


@every_file
def test_rows_are_kept_under_their_ids_and_found_by_every_name(file: str) -> None:
    found = FILES[file][2]()
    for row_id, row in found.items():
        assert row.id == row_id
        assert all(found.find(name) is row for name in row.known_as)


def spans(row: Row) -> Iterator[tuple[str, Span]]:
    for field in fields(row):
        value = getattr(row, field.name)
        if isinstance(value, Span):
            yield f"{row.id}: {field.name}", value


@every_file
def test_low_typical_and_high_stand_in_this_order(file: str) -> None:
    for row in rows(file):
        for where, span in spans(row):
            assert 0 < span.low <= span.typical <= span.high, where


@pytest.mark.parametrize("bounds", [(2.0, 1.0, None), (1.0, 2.0, 3.0), (1.0, 2.0, 0.5), (-1, 1, 0)])
def test_a_span_out_of_order_is_refused(bounds: tuple[float, float, float | None]) -> None:
    with pytest.raises(ValueError, match="low <= typical <= high"):
        Span.between(*bounds)


def test_a_span_without_a_typical_value_has_its_geometric_middle_marked() -> None:
    assert Span.between(2, 8) == Span(2, 4, 8, is_middle=True)
    assert Span.between(2, 8, 5) == Span(2, 5, 8, is_middle=False)


def test_bounds_alone_give_the_rectangular_uncertainty() -> None:
    # GUM (JCGM 100:2008), 4.3.7: half-width a gives a / sqrt(3); 4.4.5 has 96, 104 degC:
    # a = 4 degC, u = 2.3 degC.
    assert Span.between(96, 104, 100).standard_uncertainty == pytest.approx(2.3, abs=0.05)


@every_file
def test_cautions_named_by_a_row_exist(file: str) -> None:
    for row in rows(file):
        assert set(row.cautions) <= set(tables.cautions()), row.id


def test_lead_in_any_form_brings_its_cautions() -> None:
    for metal in tables.metals().values():
        holds_lead = metal.id.startswith("lead")
        assert ("lead-handling" in metal.cautions) is holds_lead, metal.id


@pytest.mark.parametrize(
    ("typed", "wood"),
    [
        ("basswood", "basswood"),
        ("Basswood", "basswood"),
        ("western red cedar", "western-redcedar"),
        ("Western Redcedar", "western-redcedar"),
        ("thuja plicata", "western-redcedar"),
        ("white cedar", "northern-white-cedar"),
        ("atlantic white cedar", "atlantic-white-cedar"),
        ("lime", "lime"),
        ("linden", "lime"),
        ("paulownia", "paulownia"),
        ("BALSA", "balsa"),
        ("hard maple", "sugar-maple"),
        ("cork", "cork"),
    ],
)
def test_a_wood_is_found_by_what_makers_call_it(typed: str, wood: str) -> None:
    found = tables.find_wood(typed)
    assert found is not None
    assert found.id == wood


@pytest.mark.parametrize("typed", ["cedar", "pine", "maple", "oak", "poplar", "baswood", "", "xyz"])
def test_a_vague_or_misspelt_wood_is_never_guessed(typed: str) -> None:
    assert tables.find_wood(typed) is None


@pytest.mark.parametrize(
    ("find", "typed", "row_id"),
    [
        (tables.find_metal, "Lead", "lead"),
        (tables.find_metal, "split shot", "lead-sinker"),
        (tables.find_metal, "aluminum", "aluminium"),
        (tables.find_metal, "tungsten putty", "tungsten-putty"),
        (tables.find_filler, "Epoxy", "epoxy"),
        (tables.find_filler, "super glue", "cyanoacrylate"),
        (tables.find_hardware, "treble hook 2/0", "treble-2/0"),
        (tables.find_coat, "clear sealer", "thin-sealer"),
        (tables.find_drill, "3/8", "3/8 in"),
        (tables.find_drill, "No. 7", "#7"),
        (tables.find_drill, "f", "letter F"),
        (tables.find_drill, "9.5mm", "9.5 mm"),
        (tables.find_wire, "16 SWG", "imperial 16"),
    ],
)
def test_other_rows_are_found_too(
    find: Callable[[str], Row | None], typed: str, row_id: str
) -> None:
    found = find(typed)
    assert found is not None
    assert found.id == row_id


def test_a_family_without_a_size_gives_all_its_sizes_alike() -> None:
    family = tables.hardware_family("Treble Hook")
    assert {"10", "1/0", "5/0"} <= {row.size for row in family}
    for kind in tables.hardware().values():
        shared = {
            (row.material, row.density, row.outside) for row in tables.hardware_family(kind.family)
        }
        assert shared == {(kind.material, kind.density, kind.outside)}
    assert tables.hardware_family("treble hook 1/0") == ()


def test_what_all_sizes_share_is_known_without_a_size() -> None:
    eye = tables.find_hardware_material("screw eye")
    assert eye is not None
    for size in tables.hardware_family("screw eye"):
        assert (size.density, size.outside) == (eye.density, eye.outside)
    assert tables.find_hardware_material("brass bell") is None


def test_the_nearest_name_is_offered_as_written() -> None:
    names = tables.woods().names
    assert nearest(names, "baswood") == "basswood"
    assert nearest(names, "western readcedar") in {"western redcedar", "western red cedar"}
    assert nearest(names, "qqqq") is None


def test_importing_the_tables_parses_nothing() -> None:
    code = "import sys, wizard.tables; print(*{'tomllib', 'difflib', 'pint'} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split() == []


def test_asking_for_one_table_parses_that_one_once(monkeypatch: pytest.MonkeyPatch) -> None:
    read_files = []
    real = tomllib.loads

    def loads(text: str) -> dict[str, Any]:
        read_files.append(list(real(text)))
        return real(text)

    monkeypatch.setattr(tomllib, "loads", loads)
    tables.metals.cache_clear()
    assert tables.metals() is tables.metals()
    assert read_files == [["metal"]]
