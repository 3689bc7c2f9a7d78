"""The timetable against a scheduler that tries everything, and against its own rules."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from random import Random

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from wizard.schedule import timetable as module
from wizard.schedule.hours import BenchHours, fits, next_start, read_hours
from wizard.schedule.operations import Kind, Operation
from wizard.schedule.timetable import Timetable, marked, plan

HOUR = timedelta(hours=1)
MONDAY = datetime(2026, 6, 1, tzinfo=UTC)
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
COATS = ("seal", "base", "colour", "clear")


def hours(text: str, zone: str = "UTC") -> BenchHours:
    found = read_hours(text, zone)
    assert isinstance(found, BenchHours), found
    return found


def film(
    kind: Kind,
    hands_on: float,
    earliest: float = 0,
    latest: float | None = None,
    cure: float = 0,
    dry: float = 0,
    bonds: bool | None = None,
    covers: bool | None = None,
) -> Operation:
    """An operation, all times in hours."""
    return Operation(
        kind,
        kind,
        kind,
        hands_on=hands_on * HOUR,
        touch_dry=dry * HOUR,
        recoat_earliest=earliest * HOUR,
        recoat_latest=None if latest is None else latest * HOUR,
        full_cure=cure * HOUR,
        needs_window=bonds,
        covers=covers,
    )


def numbered(*operations: Operation) -> tuple[Operation, ...]:
    return tuple(replace(one, id=f"op{index}") for index, one in enumerate(operations))


# ---------------------------------------------------------------------------
# The rules, written a second time: plug by plug, forwards, on whole hours


@dataclass(frozen=True)
class Line:
    operation: Operation
    start: datetime
    finish: datetime
    scuff: bool = False


def still_open(lines: list[Line]) -> list[Line]:
    """The lines on whose work the next one is laid."""
    films: list[Line] = []
    for line in lines:
        kind, covers = line.operation.kind, line.operation.covers
        hides = kind in COATS if covers is None else covers
        films = [line] if hides or kind == "sand" else [*films, line]
    return films


def allows(lines: list[Line], later: Operation, start: datetime, plugs: int) -> bool:
    """Whether an operation may begin, judged for each plug by itself."""
    if lines and start < lines[-1].finish:
        return False
    bonds = later.needs_window
    if bonds is None:
        bonds = later.kind in (*COATS, "fill")
    for line in still_open(lines):
        under = line.operation
        for plug in range(plugs):
            begun = start + plug * later.hands_on
            done = line.start + (plug + 1) * under.hands_on
            if under.kind == "cure":
                done = line.finish - (plugs - 1 - plug) * under.hands_on
            soonest = done + under.recoat_earliest
            if later.kind not in COATS:
                soonest = max(soonest, done + under.touch_dry)
            if begun < soonest:
                return False
            latest = under.recoat_latest if bonds and under.kind != "cure" else None
            if latest is not None and begun > done + latest:
                return False
    return True


def cured(lines: list[Line]) -> datetime:
    ends = [MONDAY]
    for line in lines:
        one = line.operation
        waits = (one.touch_dry, one.recoat_earliest, one.full_cure)
        ends.append(line.finish if one.kind == "cure" else line.finish + max(waits))
    return max(ends)


def laid(lines: list[Line], operation: Operation, start: datetime, plugs: int) -> Line:
    finish = start + plugs * operation.hands_on
    if operation.kind == "cure":
        finish = max(finish + operation.full_cure, cured(lines))
    return Line(operation, start, finish)


@dataclass(frozen=True)
class Tryout:
    """Every plan on whole hours that keeps the rules and has cured by the horizon."""

    bench: BenchHours
    plugs: int
    horizon: datetime

    def plans(self, operations: tuple[Operation, ...], lines: list[Line]) -> Iterator[list[Line]]:
        if not operations:
            yield lines
            return
        first, rest = operations[0], operations[1:]
        befores = [lines]
        if lines:
            # Nothing has to follow a scuff in time, so its soonest hour is as good as any.
            scuff = Operation(f"scuff {first.id}", "", "sand", HOUR)
            for scuffed in self.starts(lines, scuff):
                befores.append([*lines, replace(scuffed[-1], scuff=True)])
                break
        for before in befores:
            for after in self.starts(before, first):
                yield from self.plans(rest, after)
                if first.kind == "cure":
                    break  # nor has anything to follow a cure in time

    def starts(self, lines: list[Line], operation: Operation) -> Iterator[list[Line]]:
        start = lines[-1].finish if lines else MONDAY
        block = self.plugs * operation.hands_on
        while start + block <= self.horizon:
            open_all = all(self.open_at(start + hour * HOUR) for hour in range(block // HOUR))
            if open_all and allows(lines, operation, start, self.plugs):
                after = [*lines, laid(lines, operation, start, self.plugs)]
                if cured(after) > self.horizon:
                    return
                yield after
            start += HOUR

    def open_at(self, moment: datetime) -> bool:
        return any(
            opening.day == moment.weekday()
            and opening.opens.hour <= moment.hour < (opening.closes.hour or 24)
            for opening in self.bench.openings
        )


def compare(
    operations: tuple[Operation, ...],
    bench: BenchHours,
    patience: int,
    plugs: int,
    horizon: datetime,
) -> Timetable | None:
    """Hold the timetable against the best of all plans; None if the horizon is too near."""
    plans = list(Tryout(bench, plugs, horizon).plans(operations, []))
    if not plans:
        return None
    latest = min(map(cured, plans)) + patience * HOUR
    if latest > horizon:
        return None
    best = min(
        (sum(line.scuff for line in lines), cured(lines), lines[-1].start)
        for lines in plans
        if cured(lines) <= latest
    )
    found = plan(operations, bench, MONDAY, plugs, patience * HOUR, HOUR)
    assert (found.scuffs, found.ready, found.entries[-1].start) == best
    scuffs = [entry.inserted for entry in found.entries]
    for lines in plans:
        if [line.scuff for line in lines] == scuffs:
            pairs = zip(found.entries, lines, strict=True)
            assert all(entry.start <= line.start for entry, line in pairs)
    return found


def drawn(seed: int) -> tuple[tuple[Operation, ...], BenchHours, int, int]:
    """A small case: operations, hours, patience in hours, plugs."""
    draw = Random(seed)
    operations: list[Operation] = []
    kinds: list[Kind] = ["clear", "clear", "clear", "colour", "eyes", "fill", "sand", "cure"]
    for _ in range(draw.choice([2, 3, 3, 4])):
        kind = draw.choice(kinds)
        earliest = draw.choice([0, 0, 1, 3, 8])
        latest = draw.choice([None, 0, 0, 1, 2, 3, 8, 16])
        operations.append(
            film(
                kind,
                draw.choice([0, 0, 1]) if kind == "cure" else draw.choice([1, 1, 2]),
                earliest,
                None if latest is None else earliest + latest,
                draw.choice([0, 0, 8, 30]),
                draw.choice([0, 0, 2, 5]),
                draw.choice([None, None, True]),
                draw.choice([None, None, False]),
            )
        )
    openings = []
    for day in DAYS:
        opens, length = draw.randint(6, 20), draw.choice([1, 2, 3, 5])
        openings.append(f"{day} {opens:02}:00-{min(opens + length, 23):02}:00")
    text = "; ".join(draw.sample(openings, draw.randint(5, 7)))
    return (
        numbered(*operations),
        hours(text),
        draw.choice([0, 4, 12, 30]),
        draw.choice([1, 1, 2, 3]),
    )


@given(st.integers(0, 2**32))
@settings(max_examples=100, deadline=None)
def test_best_of_all_plans(seed: int) -> None:
    assume(compare(*drawn(seed), horizon=MONDAY + timedelta(days=5)) is not None)


# Rare cases, each of which one shortcut in the search would get wrong.
HARD = {
    "an early scuff readies it sooner, a late one lets work go on sooner": (
        numbered(
            film("clear", 1, 3, 6, cure=120, covers=False),
            film("fill", 1, 1, 1, dry=5),
            film("clear", 2, 3, 17, bonds=True, covers=False),
            film("clear", 2, 3, 4, cure=50, dry=5, bonds=True, covers=False),
        ),
        "Mon 18:00-21:00; Tue 08:00-09:00,14:00-15:00; Wed 11:00-16:00; Thu 09:00-11:00; "
        "Fri 11:00-14:00",
        4,
        1,
    ),
    "the film that cures longest is not the last": (
        numbered(
            film("clear", 1, 0, 1, cure=120),
            film("clear", 2, 0, 0, dry=5, covers=False),
            film("fill", 1, 8, 16),
            film("clear", 1, 12, 15, cure=50, dry=2, bonds=True),
        ),
        "Mon 16:00-18:00; Tue 10:00-11:00,18:00-23:00; Thu 16:00-21:00; Fri 13:00-14:00; "
        "Sat 06:00-09:00",
        0,
        1,
    ),
    "one scuff more is ready in time": (
        numbered(
            film("eyes", 1, cure=80),
            film("clear", 1, 1, 3),
            film("clear", 1, 0, 0),
            film("clear", 2, 0, 0),
            film("clear", 2, 30),
            film("sand", 1),
        ),
        "Tue 11:00-14:00,20:00-23:00; Wed 08:00-12:00; Thu 18:00-20:00; Sat 07:00-08:00,"
        "11:00-14:00; Sun 07:00-12:00",
        24,
        1,
    ),
    "two plugs, the second operation slower": (
        numbered(
            film("fill", 1, 12, 12),
            film("fill", 2, 1, 4, dry=5, bonds=True),
            film("eyes", 1, 12, 25, cure=50, dry=5, covers=False),
        ),
        "Mon 15:00-23:00; Tue 10:00-16:00; Thu 06:00-08:00",
        4,
        2,
    ),
    "a cure that needs hands": (
        numbered(film("cure", 1, bonds=True, dry=2, earliest=1), film("cure", 1, 12, cure=0)),
        "Mon 10:00-15:00; Tue 17:00-19:00",
        12,
        2,
    ),
    "the last operation of two equal plans": (
        numbered(
            film("clear", 1, 0, 0, cure=50),
            film("fill", 1, 1, 4, cure=8),
            film("clear", 1, 1, 4, cure=8, covers=False),
        ),
        "Mon 18:00-20:00; Tue 09:00-14:00,18:00-19:00; Wed 08:00-10:00",
        12,
        1,
    ),
    "a scuff before the eyes, for the coat after them": (
        numbered(film("clear", 1, 0, 0), film("eyes", 1, dry=1), film("clear", 1)),
        "Fri 08:00-11:00; Sat 08:00-10:00",
        0,
        1,
    ),
}


@pytest.mark.parametrize("name", HARD)
def test_hard_cases(name: str) -> None:
    operations, text, patience, plugs = HARD[name]
    horizon = MONDAY + timedelta(days=7)
    assert compare(operations, hours(text), patience, plugs, horizon) is not None


# ---------------------------------------------------------------------------
# Longer lists: the rules hold, and going on by the plan keeps it


def checked(found: Timetable, bench: BenchHours, plugs: int) -> None:
    """Every line keeps the rules, the written ones and the bench's."""
    lines: list[Line] = []
    for entry in found.entries:
        block = plugs * entry.operation.hands_on
        assert not block or fits(bench, entry.start, block)
        assert allows(lines, entry.operation, entry.start, plugs), entry
        lines.append(Line(entry.operation, entry.start, entry.finish, entry.inserted))
        assert entry.finish == laid(lines[:-1], entry.operation, entry.start, plugs).finish
    assert found.ready == cured(lines)


@given(
    st.integers(0, 2**32),
    st.integers(1, 3),
    st.sampled_from(["Mon-Fri 19:00-22:00; Sat-Sun 08:00-20:00", "Mon-Sun 00:00-24:00"]),
)
@settings(max_examples=50, deadline=None)
def test_longer_lists_keep_every_rule(seed: int, plugs: int, text: str) -> None:
    operations = numbered(*(one for offset in range(8) for one in drawn(seed + offset)[0]))
    operations = tuple(replace(one, hands_on=one.hands_on / 3) for one in operations)
    bench = hours(text, "Europe/Paris")
    checked(plan(operations, bench, MONDAY, plugs), bench, plugs)


@given(st.integers(0, 2**32), st.integers(0, 3))
@settings(max_examples=100, deadline=None)
def test_what_goes_by_the_plan_stays_on_it(seed: int, steps: int) -> None:
    """The rest of a soonest plan is the soonest plan of the rest."""
    operations, bench, _, plugs = drawn(seed)
    whole = plan(operations, bench, MONDAY, plugs, timedelta(0))
    now = MONDAY
    for entry in whole.entries[:steps]:
        now = max(now, entry.finish)
        operations = marked(operations, whole, entry.operation.id, entry.start, entry.finish)
    rest = plan(operations, bench, now, plugs, timedelta(0))
    assert [entry.start for entry in rest.entries] == [entry.start for entry in whole.entries]
    assert rest.ready == whole.ready
    assert not [finding for finding in rest.findings if finding.field == "started"]


def counting(monkeypatch: pytest.MonkeyPatch) -> list[datetime]:
    """Every moment from which the plan looks for an open bench."""
    asked: list[datetime] = []

    def counted(bench: BenchHours, moment: datetime, block: timedelta) -> datetime | None:
        asked.append(moment)
        return next_start(bench, moment, block)

    monkeypatch.setattr(module, "next_start", counted)
    return asked


@pytest.mark.parametrize("latest", [3, 6, 24, 48])
@pytest.mark.parametrize("covers", [True, False])
def test_two_hundred_operations(
    latest: float, covers: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = counting(monkeypatch)
    coats = numbered(*[film("clear", 1 / 3, 2, latest, cure=72, covers=covers)] * 200)
    bench = hours("Mon-Fri 19:00-22:00; Sat-Sun 08:00-20:00", "Europe/Paris")
    found = plan(coats, bench, MONDAY)
    checked(found, bench, 1)
    assert len(found.entries) == 200 + found.scuffs
    assert len(asked) < 100 * 200


def test_a_window_that_no_hours_hold_is_given_up_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Glue that sets for a minute longer than the window beneath lasts."""
    asked = counting(monkeypatch)
    minute = 1 / 60
    coats = numbered(*[film("clear", 0.25, 1, 4), film("glue", 0.25, 3.75 + minute)] * 20)
    found = plan(coats, hours("Mon-Sun 00:00-24:00"), MONDAY)
    assert found.scuffs == 19
    assert len(asked) < 100 * 40


# ---------------------------------------------------------------------------
# What a maker would say


EVENINGS = hours("Mon-Fri 19:00-22:00; Sat-Sun 08:00-20:00")


def starts(found: Timetable) -> list[str]:
    return [f"{entry.operation.kind} {entry.start:%a %H:%M}" for entry in found.entries]


def test_delaying_a_coat_saves_the_window() -> None:
    coats = numbered(film("clear", 0.5, 4, 8), film("clear", 0.5))
    friday = datetime(2026, 6, 5, 18, tzinfo=UTC)
    assert starts(plan(coats, EVENINGS, friday)) == ["clear Sat 08:00", "clear Sat 12:30"]
    hasty = plan(coats, EVENINGS, friday, patience=timedelta(0))
    assert starts(hasty) == ["clear Fri 19:00", "sand Sat 08:00", "clear Sat 08:10"]
    assert [finding.text for finding in hasty.findings if finding.level == "note"] == [
        "clear can't go on before its window closes on Sat 6 Jun 03:30. "
        "Scuff before clear is planned."
    ]


def test_a_window_that_no_week_holds_is_scuffed() -> None:
    coats = numbered(film("clear", 0.5, 14, 16), film("clear", 0.5))
    found = plan(coats, hours("Mon-Fri 19:00-22:00"), MONDAY)
    assert starts(found) == ["clear Mon 19:00", "sand Tue 19:00", "clear Tue 19:10"]


def test_a_night_that_is_an_hour_shorter_saves_the_window() -> None:
    """The clocks go from 02:00 to 03:00 in the night to 29 March 2026."""
    coats = numbered(film("clear", 1, 0, 22), film("clear", 1))
    bench = hours("Sat-Sun 19:00-20:00", "Europe/Paris")
    scuffs = {
        week: plan(coats, bench, datetime(2026, 3, 21 + week, tzinfo=UTC), patience=0 * HOUR).scuffs
        for week in (0, 7)
    }
    assert scuffs == {0: 1, 7: 0}


def test_no_hours_at_all() -> None:
    found = plan(numbered(film("clear", 1)), BenchHours(()), MONDAY)
    assert found.entries == ()
    assert [finding.text for finding in found.findings] == [
        "The bench is never open, so nothing can be planned. "
        "Give its hours, such as Mon-Fri 19:00-22:00; Sat-Sun 08:00-20:00."
    ]


def test_what_never_fits_is_named() -> None:
    coats = numbered(film("seal", 0.5), film("clear", 1))
    found = plan(coats, hours("Mon-Fri 19:00-22:00"), MONDAY, plugs=4)
    assert [(finding.operation, finding.level) for finding in found.findings] == [
        ("op1", "refusal")
    ]
    assert "4 h for 4 plugs without a break" in found.findings[0].text


def test_an_hour_a_year_is_found() -> None:
    """Only the Sunday on which the clocks go back has 25 hours."""
    found = plan(numbered(film("glue", 25)), hours("Sun 00:00-24:00", "Europe/Paris"), MONDAY)
    assert found.entries[0].start == datetime(2026, 10, 24, 22, tzinfo=UTC)


def test_any_patience_is_taken() -> None:
    coats = numbered(film("clear", 0.5, 4, 8), film("clear", 0.5))
    assert plan(coats, EVENINGS, MONDAY, patience=timedelta.max).scuffs == 0
    assert plan(coats, EVENINGS, MONDAY, patience=timedelta.min).scuffs == 1


def test_nothing_to_do() -> None:
    assert plan((), EVENINGS, MONDAY) == Timetable(MONDAY)


def test_contradictory_windows_stop_the_plan() -> None:
    found = plan(numbered(film("clear", 1, 4, 2)), EVENINGS, MONDAY)
    assert found.entries == ()
    assert found.findings[0].field == "recoat_latest"


def two_coats(latest: float | None = 24) -> tuple[Operation, ...]:
    return numbered(film("seal", 0.5, 4, latest), film("clear", 0.5, cure=72))


def test_late_is_scuffed_and_said() -> None:
    first, second = two_coats()
    done = (replace(first, finished=MONDAY), second)
    found = plan(done, EVENINGS, MONDAY + timedelta(days=3))
    assert starts(found) == ["seal Sun 23:30", "sand Thu 19:00", "clear Thu 19:10"]
    assert [finding.text for finding in found.findings] == [
        "The window for clear closed 2 d ago. Scuff first."
    ]


def test_marks_too_early_and_too_late() -> None:
    first, second = two_coats()
    for offset, words in ((1, "3 h too early"), (30, "6 h after the window")):
        begun = MONDAY + offset * HOUR
        done = (replace(first, finished=MONDAY), replace(second, started=begun))
        found = plan(done, EVENINGS, begun)
        assert [words in finding.text for finding in found.findings] == [True]
    right = (replace(first, finished=MONDAY), replace(second, started=MONDAY + 5 * HOUR))
    assert plan(right, EVENINGS, MONDAY + 5 * HOUR).findings == ()


def test_a_mark_in_the_future() -> None:
    first, second = two_coats()
    found = plan((replace(first, finished=MONDAY + HOUR), second), EVENINGS, MONDAY)
    assert [finding.text for finding in found.findings] == [
        "seal is marked 1 h in the future. Look at the computer's clock, then correct the mark."
    ]


def test_an_operation_begun_ends_in_its_time_or_now() -> None:
    first, second = two_coats()
    begun = (replace(first, started=MONDAY), second)
    assert plan(begun, EVENINGS, MONDAY).entries[0].finish == MONDAY + HOUR / 2
    late = plan(begun, EVENINGS, MONDAY + 2 * HOUR)
    assert late.entries[0].finish == MONDAY + 2 * HOUR
    assert late.entries[1].earliest == MONDAY + 6 * HOUR


def test_a_cure_goes_on_while_nobody_looks() -> None:
    coats = numbered(film("clear", 0.5, cure=72), film("cure", 0), film("hang", 0.5))
    done = (replace(coats[0], finished=MONDAY), *coats[1:])
    for days in (0, 1, 2):
        found = plan(done, EVENINGS, MONDAY + timedelta(days=days))
        assert found.entries[1].finish == MONDAY + timedelta(days=3)
        assert starts(found)[2] == "hang Thu 19:00"


def test_sanding_ends_a_window() -> None:
    coats = numbered(film("clear", 0.5, 4, 6), film("sand", 0.5), film("clear", 0.5))
    assert plan(coats, EVENINGS, MONDAY).scuffs == 0


def test_a_window_stays_open_over_eyes() -> None:
    coats = numbered(film("colour", 0.5, 1, 20), film("eyes", 0.5, 24), film("clear", 0.5))
    found = plan(coats, EVENINGS, MONDAY)
    assert [entry.inserted for entry in found.entries] == [False, True, False, False]
    assert found.entries[1].latest == found.entries[0].finish + 20 * HOUR


def test_marking_a_scuff_makes_it_part_of_the_build() -> None:
    first, second = two_coats()
    now = MONDAY + timedelta(days=3)
    operations = (replace(first, finished=MONDAY), second)
    found = plan(operations, EVENINGS, now)
    scuffed = marked(operations, found, "scuff-op1", now, now + HOUR / 6)
    assert [one.id for one in scuffed] == ["op0", "scuff-op1", "op1"]
    again = plan(scuffed, EVENINGS, now + HOUR)
    assert again.scuffs == 0
    assert again.findings == ()
    with pytest.raises(KeyError):
        marked(operations, found, "op7", now)


def test_marks_in_two_zones_are_the_same_instants() -> None:
    from zoneinfo import ZoneInfo

    first, second = two_coats()
    here = MONDAY.astimezone(ZoneInfo("Asia/Tokyo"))
    assert plan((replace(first, finished=here), second), EVENINGS, here) == plan(
        (replace(first, finished=MONDAY), second), EVENINGS, MONDAY
    )
