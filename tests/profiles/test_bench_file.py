"""The bench file: what it holds is kept as typed, what it can't hold is refused by its line."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from wizard.plug.bench import Bench
from wizard.plug.fields import specs
from wizard.plug.paths import put
from wizard.quantity import units
from wizard.store.bench import (
    BenchUnreadable,
    bench_path,
    open_bench,
    read,
    save_bench,
    write,
)
from wizard.store.faults import ChangedOutside
from wizard.store.folder import list_profiles
from wizard.store.profile import ProfileError

PAGE = (Path(__file__).parents[2] / "docs" / "bench-file.md").read_text(encoding="utf-8")
EXAMPLE = re.search(r"```toml\n(.*?)```", PAGE, re.DOTALL)
SHARED = ("coat", "operation")
"""Tables whose keys are those of a profile."""


def example() -> str:
    assert EXAMPLE is not None
    return EXAMPLE[1]


def declared(cls: type[Any] = Bench, prefix: str = "") -> Iterator[tuple[str, str]]:
    """Every key of a bench with what an answer may be, in words."""
    for key, spec in specs(cls).items():
        path = f"{prefix}{key}"
        if key == "other":
            continue
        if spec.table is not None and path not in SHARED:
            yield from declared(spec.table, f"{path}.")
        elif spec.form == "choice":
            yield path, ", ".join(spec.choices)
        elif spec.form == "quantity":
            yield path, spec.kind
        else:
            yield path, {"whole": "count", "raw": "table"}.get(spec.form, spec.form)


def test_the_page_lists_every_key_and_no_other() -> None:
    rows = re.findall(r"^\| `([^`]+)` \| [^|]+ \| ([^|]+) \|", PAGE, re.MULTILINE)
    assert sorted(rows) == sorted(declared())


def test_the_example_of_the_page_is_read_without_a_complaint() -> None:
    bench, odd = read(example().encode(), "bench.toml")
    assert odd == ()
    assert bench.piece[0].mass
    assert bench.piece[0].mass.text == "10.1 g"
    assert bench.drills.owned == ("6 mm", "8 mm", "3/8 in", "#7", "letter F")
    assert [tin.name for tin in bench.resin] == ["epoxy"]


def test_what_was_typed_is_written_back_as_typed() -> None:
    bench, _ = read(example().encode(), "bench.toml")
    again, _ = read(write(bench), "bench.toml")
    assert again == bench
    for typed in ('"10.1 g"', '"3/8 in"', "tested = 2026-04-02", 'undo = "f3,ctrl+e"'):
        assert typed in write(bench).decode()


def test_unknown_keys_are_kept_and_named() -> None:
    text = example() + '\n[attic]\nbox = 3\n\n[[piece]]\nmas = "3 g"\n'
    bench, odd = read(text.encode(), "bench.toml")
    said = {finding.path: finding.remedy for finding in odd}
    assert set(said) == {("attic",), ("piece", 2, "mas")}
    assert "mass" in said["piece", 2, "mas"]
    assert b"box = 3" in write(bench)
    assert b'mas = "3 g"' in write(bench)


def test_units_of_the_bench_serve_bare_numbers() -> None:
    bench, _ = read(
        b'format = 1\n[bench]\nunits = { mass = "oz" }\n[[piece]]\nmass = 0.25\n', "bench.toml"
    )
    assert bench.piece[0].mass
    assert bench.piece[0].mass.value == pytest.approx(units.to_core(0.25, "oz"))


@pytest.mark.parametrize(
    ("line", "wrong"),
    [
        ('[scale]\nresolution = "0.01"', "has no unit"),
        ('[scale]\nresolution = "0.01 mm"', "mass is asked"),
        ('[scale]\nresolution = "-0.01 g"', "impossible"),
        ('[drills]\nowned = ["3/8 in", "no such"]', "no drill known"),
        ('[drills]\nowned = [{ size = "3/8 in" }]', "no list of texts"),
        ('[[piece]]\nmass = "5 g"\ncount = -1', "no count"),
        ('[[piece]]\nform = "cube"', "not known here"),
        ('[bench]\nhours = "whenever"', "whenever"),
        ('[bench]\npaper = "a3"', "not known here"),
        ("[keys]\nundo = 3", "names no key"),
        ('[keys]\nundo = "u"', "“u” is no key for an act"),
        ('[keys]\nundo = "f25"', "“f25” is no key for an act"),
        ('[keys]\nundo = "ctrl+m"', "terminals send it for Enter"),
        ('[keys]\nundo = "ctrl+u"', "it edits a line"),
        ('[keys]\nundo = "f6"', "“f6” is the key of “notes”"),
        ('[keys]\nundoo = "f13"', "No act of the app is called so"),
        ('[bench]\nunits = { mass = "mm" }', "no unit of mass"),
        ('scale = "fine"', "no table"),
    ],
)
def test_the_impossible_is_refused_with_its_line(line: str, wrong: str) -> None:
    text = f"format = 1\n{line}\n"
    with pytest.raises(ProfileError) as refused:
        read(text.encode(), "bench.toml")
    (problem,) = refused.value.problems
    assert wrong in problem.wrong
    assert problem.line is not None
    assert problem.expected


@pytest.mark.parametrize("text", ["", "format = 2\n", "format = 'x'\n"])
def test_another_format_is_refused(text: str) -> None:
    with pytest.raises(ProfileError, match="bench file"):
        read(text.encode(), "bench.toml")


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=400))
def test_any_bytes_load_or_give_one_clear_error(data: bytes) -> None:
    said = ""
    try:
        read(b"format = 1\n" + data, "bench.toml")
    except ProfileError as error:
        said = str(error)
    assert said.isprintable()


def test_no_file_is_an_empty_bench(tmp_path: Path) -> None:
    opened = open_bench(bench_path(tmp_path))
    assert opened.bench == Bench()
    assert opened.fingerprint is None


def test_saved_beside_the_builds_and_no_build_itself(tmp_path: Path) -> None:
    folder = tmp_path / "builds"
    opened = open_bench(bench_path(folder))
    saved = save_bench(opened, put(opened.bench, ("bench", "name"), "Attic"))
    assert list_profiles(folder) == []
    assert open_bench(bench_path(folder)).bench.bench.name == "Attic"
    again = save_bench(saved, replace(saved.bench, learned={"a": 1}))
    assert open_bench(again.path).bench.learned == {"a": 1}


def test_a_change_from_outside_is_never_written_over(tmp_path: Path) -> None:
    opened = save_bench(open_bench(bench_path(tmp_path)), Bench())
    opened.path.write_text("format = 1\n[bench]\nname = 'by hand'\n", encoding="utf-8")
    with pytest.raises(ChangedOutside):
        save_bench(opened, put(opened.bench, ("bench", "name"), "Attic"))
    assert open_bench(opened.path).bench.bench.name == "by hand"


def test_a_broken_file_is_one_line(tmp_path: Path) -> None:
    path = bench_path(tmp_path)
    path.write_text("format = 1\n[scale]\nresolution = 'fine'\n", encoding="utf-8")
    with pytest.raises(BenchUnreadable, match=r"line 3: scale\.resolution"):
        open_bench(path)
