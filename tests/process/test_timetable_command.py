"""`timetable` from the command line: lines, data and calendar; what is refused, and how fast."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import vobject

from wizard.__main__ import main

BUILD = """
format = 1
[build]
name = "Slip Way Roach"
[water]
temperature = "12 degC"
salinity = "0 g/kg"
[shape]
form = "deep oval"
length = "95 mm"
height = "28 mm"
thickness = "20 mm"
[schedule]
hours = "Mon-Fri 19:00-22:00; Sat-Sun 08:00-20:00"
zone = "Europe/Vienna"
plugs = 2
[[coat]]
name = "clear sealer"
thickness = "0.02 mm"
[[coat]]
name = "epoxy topcoat"
thickness = "0.15 mm"
"""
FROM = "2026-06-01T18:00+02:00"
SEALED = """
[[operation]]
kind = "seal"
name = "clear sealer"
coat = 1
started = 2026-06-01T19:00:00+02:00
finished = 2026-06-01T19:20:00+02:00
[[operation]]
kind = "clear"
name = "epoxy topcoat"
coat = 2
resin_parts = 2
hardener_parts = 1
parts_by = "volume"
resin_density = "1.15 g/mL"
hardener_density = "0.97 g/mL"
"""


@pytest.fixture
def profile(tmp_path: Path) -> Path:
    path = tmp_path / "plug.toml"
    path.write_text(BUILD, encoding="utf-8")
    return path


def said(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    assert main(["timetable", *arguments]) == 0
    return capsys.readouterr().out


def refused(capsys: pytest.CaptureFixture[str], *arguments: str) -> str:
    """The one line on standard error of a run that ends with status 2."""
    with pytest.raises(SystemExit) as ended:
        main(["timetable", *arguments])
    assert ended.value.code == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.count("\n") == 1
    return str(err)


def test_a_build_without_operations_is_shown_what_it_would_get(
    capsys: pytest.CaptureFixture[str], profile: Path
) -> None:
    out = said(capsys, str(profile), "--from", FROM)
    assert "Slip Way Roach: 9 operations for 2 plugs" in out
    assert "Proposed: no operations are kept yet" in out
    assert max(len(line) for line in out.splitlines()) <= 78
    # Two plugs, 5 minutes each, from the first opening on the wall of the bench.
    assert "  1 may begin Mon 1 Jun 19:00  19:10      degrease" in out
    assert profile.read_text(encoding="utf-8") == BUILD


def test_marks_waits_mixing_and_cautions_in_words(
    capsys: pytest.CaptureFixture[str], profile: Path
) -> None:
    profile.write_text(BUILD + SEALED, encoding="utf-8")
    out = said(capsys, str(profile), "--from", "2026-06-03T19:30+02:00")
    # 24 h from the first plug, done at 19:10; the second clear coat starts 5 min late.
    assert "Now: epoxy topcoat is overdue by 24 h 25 min: scuff first" in out
    assert "  1 done      Mon 1 Jun 19:00  19:20      clear sealer" in out
    assert "Scuff before epoxy topcoat" in out
    assert "g resin with" in out
    assert "for 2 plugs" in out
    assert "Epoxy: skin and eyes (epoxy topcoat)" in out
    assert "spray" not in out.casefold().partition("cautions")[2]


def test_the_same_for_programs(capsys: pytest.CaptureFixture[str], profile: Path) -> None:
    profile.write_text(BUILD + SEALED, encoding="utf-8")
    found: dict[str, Any] = json.loads(
        said(capsys, str(profile), "--from", "2026-06-03T19:30+02:00", "--json")
    )
    assert found["next"]["state"] == "overdue"
    seal, scuff, clear = found["lines"]
    assert (seal["operation"], seal["state"], seal["finish"]) == (
        1, "done", "2026-06-01T19:20:00+02:00",
    )  # fmt: skip
    assert scuff["scuff"]
    assert "operation" not in scuff
    assert clear["operation"] == 2
    (mix,) = found["mix"]
    # 2 : 1 by volume, 1.15 and 0.97 g/mL: 42.1739 parts by mass on a hundred.
    assert 100 * mix["hardener_g"] / mix["resin_g"] == pytest.approx(42.1739)
    assert mix["estimated"] is False
    assert found["ready"] > found["lines"][-1]["finish"]


def test_other_hours_for_once(capsys: pytest.CaptureFixture[str], profile: Path) -> None:
    out = said(capsys, str(profile), "--from", FROM, "--hours", "Tue 06:00-07:00")
    assert "At the bench Tue 06:00-07:00" in out
    assert "Tue 2 Jun 06:00" in out


def test_a_calendar_that_another_library_reads(
    capsys: pytest.CaptureFixture[str], profile: Path, tmp_path: Path
) -> None:
    target = tmp_path / "coats.ics"
    found = json.loads(said(capsys, str(profile), "--from", FROM, "--json", "--ics", str(target)))
    events = list(vobject.readOne(target.read_text(encoding="utf-8")).vevent_list)
    assert len(events) == len(found["lines"]) + 1
    first = events[0]
    assert first.summary.value == "Slip Way Roach: degrease"
    assert first.dtstart.value == datetime(2026, 6, 1, 17, tzinfo=UTC)
    assert first.dtend.value - first.dtstart.value == timedelta(minutes=10)
    said(capsys, str(profile), "--from", FROM, "--ics", str(target))  # ours: written again
    uids = [e.uid.value for e in vobject.readOne(target.read_text(encoding="utf-8")).vevent_list]
    assert uids == [e.uid.value for e in events]


def test_nobodys_file_is_written_over(
    capsys: pytest.CaptureFixture[str], profile: Path, tmp_path: Path
) -> None:
    target = tmp_path / "coats.ics"
    target.write_text("BEGIN:VCALENDAR\nPRODID:-//Someone//Else//EN\n", encoding="utf-8")
    for other in (target, profile):
        before = other.read_bytes()
        assert "is there already" in refused(capsys, str(profile), "--ics", str(other))
        assert other.read_bytes() == before


@pytest.mark.parametrize(
    ("added", "said_of_it"),
    [
        (
            '[[operation]]\nkind = "clear"\nrecoat_earliest = "8 h"\nrecoat_latest = "2 h"\n',
            "operation[1].recoat_latest",
        ),
        ('[[operation]]\nkind = "seal"\ncoat = 7\n', "There is no coat 7"),
        ('[[operation]]\nkind = "seal"\nstarted = 2026-06-01T19:00:00\n', "offset"),
    ],
)
def test_contradictions_name_key_line_and_remedy(
    capsys: pytest.CaptureFixture[str], profile: Path, added: str, said_of_it: str
) -> None:
    profile.write_text(BUILD + added, encoding="utf-8")
    err = refused(capsys, str(profile))
    assert said_of_it in err
    assert f"line {BUILD.count(chr(10)) + added.count(chr(10))}: " in err


@pytest.mark.parametrize(
    ("option", "value"),
    [
        ("--hours", ""),
        ("--hours", "Mon 19:00-19:00"),
        ("--hours", "whenever"),
        ("--from", "tomorrow"),
        ("--from", "2026-06-01T19:00"),
        ("--from", "0001-01-01T00:00+14:00"),
    ],
)
def test_what_is_no_time_is_refused_in_one_line(
    capsys: pytest.CaptureFixture[str], profile: Path, option: str, value: str
) -> None:
    assert option in refused(capsys, str(profile), option, value)


def test_a_bench_too_seldom_open_is_said_and_nothing_is_planned(
    capsys: pytest.CaptureFixture[str], profile: Path
) -> None:
    out = said(capsys, str(profile), "--from", FROM, "--hours", "Mon 19:00-19:05")
    assert "Can't be planned" in out
    assert "longer than the bench" in out
    assert "may begin" not in out


def test_two_hundred_operations(capsys: pytest.CaptureFixture[str], profile: Path) -> None:
    rows = "".join(f'[[operation]]\nkind = "colour"\nname = "pass {n}"\n' for n in range(200))
    profile.write_text(BUILD + rows, encoding="utf-8")
    out = said(capsys, str(profile), "--from", FROM)
    assert "Slip Way Roach: 200 operations" in out
    assert "200 planned" in out
    assert max(len(line) for line in out.splitlines()) <= 78


def test_names_from_a_file_do_not_act(capsys: pytest.CaptureFixture[str], profile: Path) -> None:
    odd = '[[operation]]\nkind = "sand"\nname = "sand \\u001b]52;c;AAAA\\u0007"\nnote = "\\u202e"\n'
    profile.write_text(BUILD + odd, encoding="utf-8")
    out = said(capsys, str(profile), "--from", FROM)
    assert not [sign for sign in out if sign != "\n" and not sign.isprintable()]
