"""The timetable of the coats by keys: begun, left, found again, weighed, finished."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
import tomli_w

from tests.properties.plugs import PLUG
from wizard.app import clock
from wizard.app.notice import notification
from wizard.app.reminder import moments
from wizard.plug.coats.schedule import started, timetable
from wizard.plug.derive import derive
from wizard.schedule.clock import Sighting
from wizard.store.opening import open_profile

if TYPE_CHECKING:
    from tests.app.conftest import Maker, Opening

MONDAY = datetime(2026, 6, 1, 19, tzinfo=UTC)
MINUTE, HOUR = timedelta(minutes=1), timedelta(hours=1)


class Clock:
    """A wall clock that a test sets, and a counter that goes on with it."""

    def __init__(self) -> None:
        self.now, self.counted = MONDAY, 1000.0

    def pass_by(self, length: timedelta) -> None:
        self.now += length
        self.counted += length.total_seconds()


@pytest.fixture
def wall(monkeypatch: pytest.MonkeyPatch) -> Clock:
    found = Clock()
    monkeypatch.setattr(clock, "now", lambda: found.now)
    monkeypatch.setattr(clock, "counted", lambda: found.counted)
    monkeypatch.setattr(clock, "sighting", lambda: Sighting(found.now, found.counted))
    return found


@pytest.fixture
def profile(folder: Path) -> Path:
    """A plug with its ballast in and two coats to come, its hours in the evening."""
    folder.mkdir()
    path = folder / "plug.toml"
    tables: dict[str, Any] = {
        **PLUG,
        "build": {"name": "Weir Bleak", "step": "coating"},
        "schedule": {"hours": "Mon-Sun 19:00-22:00", "zone": "UTC"},
        "hardware": [],
        "coat": [
            {"name": "clear sealer", "thickness": "0.02 mm"},
            {"name": "clear sealer", "thickness": "0.02 mm"},
            {"name": "epoxy topcoat", "thickness": "0.15 mm"},
        ],
    }
    path.write_bytes(tomli_w.dumps({"format": 1, **tables}).encode())
    return path


async def pointed_at(maker: Maker, line: str) -> None:
    """Move the pointer to a line of the list, from its top."""
    await maker.press("home")
    for _ in range(60):
        if line in maker.focused:
            return
        await maker.press("down")
    raise AssertionError(f"no line {line}\n{maker.screen}")


async def unfolded(maker: Maker, label: str) -> None:
    """Go to a question of the open row, among those that may stay empty if need be."""
    for _ in range(60):
        if label in maker.focused:
            return
        await maker.press("enter" if "may stay empty   Enter" in maker.focused else "down")
    raise AssertionError(f"no question {label}\n{maker.screen}")


async def choose(maker: Maker, option: str) -> None:
    """Choose from the list in view."""
    await maker.press(maker.digit_of(option), "enter")


async def mark(maker: Maker) -> None:
    """Begin and finish the line that is next."""
    await maker.press("enter")
    await maker.until("Enter again when it is finished")
    await maker.press("enter")
    await maker.until("finished. Next:")


async def weighed(maker: Maker, reading: str) -> None:
    await maker.press("f5")
    await choose(maker, "Weigh the plug now")
    await maker.type(reading, "enter")


async def test_the_sealer_is_begun_left_for_two_days_and_all_is_brought_to_its_end(
    opened: Opening, profile: Path, wall: Clock
) -> None:
    async with opened(profile) as maker:
        await maker.until("Step 8 of 10")
        await maker.press("f12")
        await maker.until("Proposed from your coats")
        await maker.press("enter")
        await maker.until("Taken over.")
        await mark(maker)  # degreased
        await weighed(maker, "34.10")
        await maker.until("Kept: 34.10 g, ballasted.")
        wall.pass_by(20 * MINUTE)  # the solvent flashes off
        await maker.press("enter")
        await maker.until("clear sealer 1 begun")
        assert "clear sealer 1: 10 min left" in maker.lines[1]

    built = open_profile(profile).build
    assert built.operation[1].started == MONDAY + 20 * MINUTE
    wall.pass_by(48 * HOUR)

    async with opened(profile) as maker:
        await maker.until("Step 8 of 10")
        await maker.press("f12")
        await maker.until("still marked as begun")  # overdue: its end was never marked
        await maker.press("enter")
        await maker.until("clear sealer 1 finished")
        await maker.press("up")  # its maker knows that it was finished two days ago
        await maker.press("f5")
        await choose(maker, "Change “clear sealer 1”")
        await maker.until("Kind of work")
        await unfolded(maker, "Finished")
        await maker.press("end", "ctrl+u")
        await maker.type("2026-06-01 19:30+00:00", "enter")

    async with opened(profile) as maker:
        await maker.until("Step 8 of 10")
        await maker.press("f12")
        await maker.until("clear sealer 2 is overdue by 23 h 50 min: scuff first")
        assert "Scuff before clear sealer 2" in maker.focused
        await weighed(maker, "34.29 g")
        await maker.until("clear sealer 0.19 g")
        await pointed_at(maker, "Wed 3 Jun 19:30")
        await maker.press("enter")
        await maker.until("“Scuff before clear sealer 2” before it is not marked as done.")
        await maker.press("escape")
        await maker.press("home")
        await pointed_at(maker, "Scuff before clear sealer 2")
        await mark(maker)
        await mark(maker)  # the second coat
        wall.pass_by(24 * HOUR)
        await maker.press("escape", "f12")  # looked at again
        for _ in range(2):  # fill, sand
            await mark(maker)
            wall.pass_by(24 * HOUR)
        await maker.until("eyes on")
        await mark(maker)
        wall.pass_by(2 * HOUR)
        await weighed(maker, "34.60")
        await maker.until("Kept: 34.60 g")
        await maker.press("enter")
        await maker.until("This is the last coat, and the plug would end")
        assert "12 %" in maker.screen  # what was asked; there is still a mend
        await choose(maker, "begin it")
        await maker.until("epoxy topcoat begun")
        await maker.press("enter")
        await maker.until("Next: earliest final cure in 9 h 50 min")
        await weighed(maker, "35.83")
        await maker.until("epoxy topcoat 1.23 g")
        wall.pass_by(20 * 24 * HOUR)
        await maker.press("escape", "f12")
        await maker.until("ready for the water")

    build = open_profile(profile).build
    assert [coat.mass.text if coat.mass else None for coat in build.coat or ()] == [
        "0.19 g", None, "1.23 g",
    ]  # fmt: skip
    assert all(row.finished for row in build.operation if row.kind != "cure")
    # What the scale said last, and nothing that was laid is left out.
    assert derive(build).numbers["finished_mass"].value.value == pytest.approx(35.83e-3)


async def begun(maker: Maker, wall: Clock) -> None:
    """The proposed timetable taken over and the sealer on."""
    await maker.until("Step 8 of 10")
    await maker.press("f12")
    await maker.until("Proposed from your coats")
    await maker.press("enter")
    await maker.until("Taken over.")
    await mark(maker)
    wall.pass_by(20 * MINUTE)
    await mark(maker)


async def test_too_early_is_warned_of_and_may_be_done_all_the_same(
    opened: Opening, profile: Path, wall: Clock
) -> None:
    async with opened(profile) as maker:
        await begun(maker, wall)
        await maker.until("earliest next coat in 1 h")
        await maker.press("enter")
        await maker.until("It is 1 h too early for what is beneath.")
        await maker.press("enter")  # leave it as it is
        assert "waiting" in maker.line("clear sealer 2")
        await maker.press("enter")
        await choose(maker, "begin it")
        await maker.until("clear sealer 2 begun")


async def test_a_mark_is_undone_and_the_rest_planned_anew(
    opened: Opening, profile: Path, wall: Clock
) -> None:
    async with opened(profile) as maker:
        await begun(maker, wall)
        await maker.press("f3", "f3")
        await maker.until("Undone: clear sealer 1 begun")
        assert "clear sealer 1" in maker.focused
        await maker.press("ctrl+y")
        await maker.until("Done again: clear sealer 1 begun")
        assert "begun" in maker.focused
        await maker.press("f5")
        await choose(maker, "Take the marks of “clear sealer 1” back")
        await maker.until("is unmarked")
    assert open_profile(profile).build.operation[1].started is None


async def test_the_countdown_counts_once_a_minute_and_not_unseen(
    opened: Opening, profile: Path, wall: Clock
) -> None:
    async with opened(profile) as maker:
        await begun(maker, wall)
        page: Any = maker.app.screen
        assert "in 1 h" in maker.lines[1]
        wall.pass_by(20 * MINUTE)
        page._tick()
        await maker.until("earliest next coat in 40 min")
        waits = page._timer
        assert waits is not None
        assert waits._interval <= 60.1
        await maker.press("f5")
        await maker.until("Weigh the plug now")
        assert page._timer is None
        await maker.press("escape")
        await maker.until("Timetable of the coats")
        assert page._timer is not None


async def test_a_clock_that_was_set_is_said(opened: Opening, profile: Path, wall: Clock) -> None:
    async with opened(profile) as maker:
        await begun(maker, wall)
        wall.now -= 5 * HOUR  # the wall clock alone
        await maker.press("escape", "f12")
        await maker.until("The clock was set back by 5 h")
        maker.app.reminder._look()
        await maker.until("The clock was set back by 5 h: times marked before may be wrong.")


async def test_a_coat_that_is_due_rings_once_and_says_so(
    opened: Opening, profile: Path, wall: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", "foot")
    monkeypatch.delenv("TMUX", raising=False)
    monkeypatch.delenv("STY", raising=False)
    async with opened(profile) as maker:
        await begun(maker, wall)
        rung: list[str] = []
        monkeypatch.setattr(maker.app, "bell", lambda: rung.append("bell"))
        monkeypatch.setattr(maker.app, "send_code", rung.append)
        maker.app.reminder._look()
        assert not rung
        wall.pass_by(60 * MINUTE)
        maker.app.reminder._look()
        await maker.until("Clear sealer 2 is due now")
        assert rung[0] == "bell"
        assert rung[1].startswith("\x1b]777;notify;Weir Bleak;clear sealer 2 is due now")
        maker.app.reminder._look()
        assert len(rung) == 2
        await maker.press("f5")
        await choose(maker, "Bell and notifications")
        await choose(maker, "neither")
        await maker.until("Kept on the bench")
        wall.pass_by(23 * HOUR)
        maker.app.reminder._look()
        assert len(rung) == 2


def test_what_is_worth_saying_comes_from_the_line_that_is_next(profile: Path) -> None:
    from wizard.plug.coats.proposing import with_proposal

    build = with_proposal(open_profile(profile).build)
    made = timetable(build, MONDAY - HOUR)
    assert list(moments(made)) == [MONDAY]
    running = started(build, 1, MONDAY)
    assert next(moments(timetable(running, MONDAY))) == MONDAY + 5 * MINUTE


@pytest.mark.parametrize(
    ("environment", "code"),
    [
        ({"TERM": "foot"}, "\x1b]777;notify;Plug;due  now\x07"),
        ({"TERM": "xterm-kitty"}, "\x1b]9;Plug: due  now\x07"),
        ({"TERM": "xterm-256color"}, None),
        ({"TERM": "foot", "TMUX": "/tmp/x"}, None),
        ({}, None),
    ],
)
def test_notifications_only_where_they_are_known_and_nothing_in_them_acts(
    environment: dict[str, str], code: str | None
) -> None:
    assert notification(environment, "Plug", "due; now") == code
    tamed = notification({"TERM": "foot"}, "a;b\x07", "c\x1b]52;\n\u202e") or ""
    assert tamed.count("\x1b") == 1
    assert tamed.count(";") == 3
    assert tamed.endswith("\x07")


async def test_more_coats_hours_and_a_calendar_by_keys(
    opened: Opening, profile: Path, wall: Clock
) -> None:
    async with opened(profile) as maker:
        await begun(maker, wall)
        for name, goes in (("sand", False), ("epoxy topcoat", True)):
            await pointed_at(maker, name)
            await maker.press("f5")
            await maker.until(f"Remove “{name}”")
            assert ("with its coat" in maker.line(f"Remove “{name}”")) is goes
            assert "Weigh the plug now  " in maker.line(
                "Weigh the plug"
            )  # what it means stands apart
            await maker.press("escape")
        await maker.press("f5")
        await choose(maker, "One more coat like the last one")
        await maker.until("One more coat is planned")
        await maker.press("f5")
        await choose(maker, "Hours at the bench")
        await maker.type(" nonsense", "enter")
        await maker.until("Error:")
        await maker.press(*["backspace"] * len(" nonsense"))
        await maker.type(", 06:00-07:00", "enter")
        await maker.until("Planned anew")
        await maker.press("f5")
        await choose(maker, "Write a calendar file")
        await maker.press("enter")
        await maker.until("Written:")
        await maker.press("escape")
        await maker.until("coat 4: epoxy topcoat, 0.15 mm")
        await maker.find("operation 1: degrease")
        assert maker.label.startswith(
            "operation 1: degrease, done"
        )  # the kind of the same word once
    build = open_profile(profile).build
    assert len(build.coat or ()) == 4
    assert build.schedule.hours == "Mon-Sun 19:00-22:00, 06:00-07:00"
    assert profile.with_suffix(".ics").read_bytes().startswith(b"BEGIN:VCALENDAR")


async def test_what_the_tin_says_is_kept_for_other_builds(
    opened: Opening, profile: Path, wall: Clock
) -> None:
    async with opened(profile) as maker:
        await begun(maker, wall)
        await maker.press("f5")
        await choose(maker, "Keep the tin of")
        await maker.until("Nothing new is typed about this tin")
        await maker.press("f5")
        await choose(maker, "Change “clear sealer 2”")
        await maker.until("Kind of work")
        await unfolded(maker, "Next coat not before")
        await maker.type("5 h", "enter")
        await maker.press("f12")
        await pointed_at(maker, "clear sealer 2")
        await maker.until("next coat from 5 h")
        await maker.press("f5")
        await choose(maker, "Keep the tin of “clear sealer 2”")
        await maker.until("Kept on the bench: clear sealer.")
    assert b'recoat_earliest = "5 h"' in (profile.parent / "bench.toml").read_bytes()


async def test_the_step_leads_to_it_and_nothing_more_is_asked_before(
    opened: Opening, profile: Path, wall: Clock
) -> None:
    async with opened(profile) as maker:
        await maker.until("Timetable of the coats (not begun; F12)")
        assert "Hours at the bench" not in maker.screen
        await maker.press("end")
        for _ in range(20):
            if "Timetable of the coats" in maker.focused:
                break
            await maker.press("down")
        await maker.press("enter")
        await maker.until("Proposed from your coats")
        await maker.press("escape")
        await maker.until("Step 8 of 10")
    assert open_profile(profile).build.operation == ()
