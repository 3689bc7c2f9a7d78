"""The builds that come along: each is read, adds up, and says what a maker would expect."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.findings import Finding
from wizard.plug.record import Build
from wizard.report.machine import document
from wizard.report.text import review
from wizard.store import profile

FOLDER = Path(__file__).parents[2] / "profiles"
FILES = sorted(FOLDER.glob("*.toml"))
UNFINISHED = {"slate-minnow"}
FINISHED = [path for path in FILES if path.stem not in UNFINISHED]


def named(path: Path) -> str:
    return path.stem


def opened(path: Path) -> tuple[Build, Derived, tuple[Finding, ...]]:
    """A build, what follows from it, and what is odd about its file."""
    build, odd = profile.read(path.read_bytes(), path.name)
    return build, derive(build), odd


def numbers(path: Path) -> dict[str, Any]:
    """The numbers of a build as programs read them."""
    build, derived, odd = opened(path)
    found: dict[str, Any] = json.loads(document(path.name, build, derived, odd))["numbers"]
    return {name: number["value"] for name, number in found.items()}


def test_there_is_one_of_each_behaviour_and_one_stopped_half_way() -> None:
    builds = {path.stem: opened(path)[0] for path in FILES}
    assert len(builds) >= 4
    finished = [build for name, build in builds.items() if name not in UNFINISHED]
    assert {build.aim.behaviour for build in finished} == {"floats", "suspends", "sinks"}
    assert any(
        build.aim.behaviour == "sinks" and build.water.salinity and build.water.salinity.value > 30
        for build in finished
    )
    assert all(build.build.step == "review" for build in finished)
    assert {builds[name].build.step for name in UNFINISHED} == {"ballast"}


@pytest.mark.parametrize("path", FILES, ids=named)
def test_it_is_read_and_written_back_without_loss(path: Path) -> None:
    build, odd = profile.read(path.read_bytes(), path.name)
    assert odd == ()
    assert profile.read(profile.write(build), path.name)[0] == build


@pytest.mark.parametrize("path", FINISHED, ids=named)
def test_a_finished_build_has_all_its_numbers_and_no_warning(path: Path) -> None:
    _, derived, _ = opened(path)
    assert [finding.text for finding in derived.warnings] == []
    found = set(numbers(path))
    afloat = {"draught", "freeboard", "gm"}
    lying = {"cg_x", "cg_z", "cb_x", "cb_z", "rest_pitch", "chance_sinks", "chance_aim"}
    assert {"ballast_mass", "finished_mass", "displaced_volume", "net_in_water"} | lying <= found
    floats = opened(path)[0].aim.behaviour == "floats"
    assert found & afloat == (afloat if floats else set())


@pytest.mark.parametrize("path", FINISHED, ids=named)
def test_its_volumes_and_weights_agree(path: Path) -> None:
    found = numbers(path)
    assert found["shape_volume"] == pytest.approx(found["body_volume"], rel=0.03)
    assert found["finished_mass"] == pytest.approx(found["target_mass"], rel=0.02)
    assert found["ballast_mass"] == pytest.approx(found["bench_ballast"], rel=0.15)
    assert 0.2 < found["wood_density"] < 0.6
    assert abs(found["rest_pitch"]) < 20


@pytest.mark.parametrize("path", FINISHED, ids=named)
def test_it_is_likely_to_do_what_was_asked(path: Path) -> None:
    found = numbers(path)
    assert found["chance_aim"] > 0.9
    behaviour = opened(path)[0].aim.behaviour
    share = found["net_in_water"] / found["finished_mass"]
    assert {"floats": share < -0.02, "sinks": share > 0.02, "suspends": abs(share) < 0.005}[
        behaviour or ""
    ]


@pytest.mark.parametrize("name", sorted(UNFINISHED))
def test_one_stopped_half_way_says_what_it_waits_for(name: str) -> None:
    path = FOLDER / f"{name}.toml"
    build, derived, odd = opened(path)
    assert build.hardware is None
    assert "hardware_mass" not in numbers(path)
    assert any("provisional" in finding.text for finding in derived.warnings)
    assert "Do not drill yet" in review(build, derived, odd)
