"""Older formats are carried forward with a copy of the file; later ones are refused kindly.

Format 1 is the first there is, so the present one is made format 3 here and two steps
lead to it, as later versions will have them.
"""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Any

import pytest

from wizard.plug.paths import put
from wizard.session.opening import resume
from wizard.store import profile
from wizard.store.formats import carried
from wizard.store.opening import Unreadable, open_profile

OLD = b"""# made by hand
format = 1
[build]
title = "Pier herring"
colour = "green"
[weighing]
grams = 13.620
"""


def name_of_title(tables: dict[str, Any]) -> dict[str, Any]:
    """Format 1 to 2: a build's title became its name."""
    heading = tables["build"]
    heading["name"] = heading.pop("title")
    return tables


def mass_with_unit(tables: dict[str, Any]) -> dict[str, Any]:
    """Format 2 to 3: the mass has got a unit."""
    tables["weighing"]["mass"] = f"{tables['weighing'].pop('grams').text} g"
    return tables


@pytest.fixture
def third(monkeypatch: pytest.MonkeyPatch) -> None:
    """This version reads and writes format 3."""
    older = {1: name_of_title, 2: mass_with_unit}
    monkeypatch.setattr(profile, "KIND", dataclasses.replace(profile.KIND, format=3, older=older))


@pytest.mark.usefixtures("third")
def test_a_file_of_the_first_format_takes_every_step() -> None:
    build, odd = profile.read(OLD, "old.toml")
    assert build.build.name == "Pier herring"
    assert build.weighing.mass is not None
    assert build.weighing.mass.text == "13.620 g"  # each digit as it was typed
    assert build.build.other == {"colour": "green"}
    texts = [finding.text for finding in odd]
    assert texts[0] == (
        "format: The profile is of format 1, made by an earlier version. "
        "Saving it makes it one of format 3."
    )
    assert profile.write(build).count(b"format = 3\n") == 1


@pytest.mark.usefixtures("third")
def test_a_step_is_taken_from_where_the_file_is() -> None:
    second = OLD.replace(b"format = 1", b"format = 2").replace(b"title", b"name")
    assert profile.read(second, "old.toml")[0] == profile.read(OLD, "old.toml")[0]


@pytest.mark.usefixtures("third")
def test_a_carried_file_is_kept_as_it_was_before_it_is_saved(tmp_path: Path) -> None:
    path = tmp_path / "plug.toml"
    path.write_bytes(OLD)
    copy = tmp_path / "plug.toml.older-format"
    assert open_profile(path).build.build.name == "Pier herring"
    assert not copy.exists()  # looking changes nothing
    for _ in range(2):  # opened twice, kept once
        session = resume(path, lambda kept: None)
        assert copy.read_bytes() == OLD
        assert path.read_bytes() == OLD
        session.close(5)
    session = resume(path, lambda kept: None)
    session.change(put(session.build, ("build", "notes"), "new"), ("build", "notes"), "notes")
    assert session.close(5)
    assert b"format = 3" in path.read_bytes()
    assert copy.read_bytes() == OLD
    assert sorted(p.name for p in tmp_path.glob("*.older*")) == [copy.name]


@pytest.mark.usefixtures("third")
def test_another_copy_is_never_written_over(tmp_path: Path) -> None:
    path = tmp_path / "plug.toml"
    path.write_bytes(OLD)
    (tmp_path / "plug.toml.older-format").write_bytes(b"another")
    resume(path, lambda kept: None).close(5)
    assert (tmp_path / "plug.toml.older-format").read_bytes() == b"another"
    assert (tmp_path / "plug.toml.older-format-2").read_bytes() == OLD


@pytest.mark.usefixtures("third")
def test_without_a_copy_it_is_not_opened(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "plug.toml"
    path.write_bytes(OLD)

    def refuse(*arguments: object, **named: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.open", _only_reading(refuse))
    with pytest.raises(Unreadable, match="no copy of it could be kept"):
        resume(path, lambda kept: None)
    monkeypatch.undo()
    assert path.read_bytes() == OLD


def _only_reading(refuse: Any) -> Any:
    import os

    real = os.open

    def opening(path: Any, flags: int, *more: Any) -> int:
        if flags & os.O_EXCL:
            refuse()
        return real(path, flags, *more)

    return opening


@pytest.mark.usefixtures("third")
@pytest.mark.parametrize(
    "text",
    [
        b"format = 1\n",
        b"format = 1\nbuild = 3\n",
        b"format = 1\n[build]\ntitle = 3\n[weighing]\ngrams = 'x'\n",
        b"format = 2\nweighing = []\n",
    ],
)
def test_an_older_file_that_holds_something_else_is_refused_in_one_line(text: bytes) -> None:
    with pytest.raises(profile.ProfileError) as caught:
        profile.read(text, "old.toml")
    assert "line 1: format:" in str(caught.value)
    assert "mend it, or go back to a copy" in str(caught.value)


@pytest.mark.usefixtures("third")
@pytest.mark.parametrize("number", [0, -1, -(2**63)])
def test_a_format_that_never_was_is_refused(number: int) -> None:
    with pytest.raises(profile.ProfileError, match=f"There is no format {number}"):
        profile.read(f"format = {number}\n".encode(), "old.toml")


@pytest.mark.parametrize("number", [2, 99, 2**63 - 1])
def test_a_later_format_is_refused_kindly_and_is_no_damage(number: int) -> None:
    with pytest.raises(profile.ProfileError) as caught:
        profile.read(f"format = {number}\n[what]\never = true\n".encode(), "new.toml")
    assert caught.value.is_later
    assert "made by a later version. This version reads format 1: install a newer one." in str(
        caught.value
    )


def test_the_tables_given_stay_as_they_are() -> None:
    tables = {"format": 1, "build": {"title": "a"}}

    def step(given: dict[str, Any]) -> dict[str, Any]:
        given["build"]["title"] = "b"
        return given

    assert carried(tables, 1, 2, {1: step}) == {"format": 2, "build": {"title": "b"}}
    assert tables == {"format": 1, "build": {"title": "a"}}
    with pytest.raises(KeyError):
        carried(tables, 1, 3, {1: step})
