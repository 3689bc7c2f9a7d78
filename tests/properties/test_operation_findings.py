"""What contradicts itself in a list of operations is named in words."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from wizard.schedule.findings import Finding, operation_findings
from wizard.schedule.operations import Limits, Operation
from wizard.schedule.shop import shop_findings

HOUR = timedelta(hours=1)
NOON = datetime(2026, 6, 1, 12, tzinfo=UTC)
COAT = Operation(
    "top",
    "Topcoat",
    "clear",
    hands_on=HOUR / 2,
    touch_dry=6 * HOUR,
    recoat_earliest=4 * HOUR,
    recoat_latest=24 * HOUR,
    full_cure=72 * HOUR,
    pot_life=HOUR,
)


def only(found: tuple[Finding, ...]) -> Finding:
    assert len(found) == 1, found
    return found[0]


def test_a_sound_list_has_no_findings() -> None:
    cure = Operation("cure", "Final cure", "cure")
    assert operation_findings((COAT, cure), plugs=2) == ()
    assert operation_findings(()) == ()


@pytest.mark.parametrize(
    ("change", "level", "field", "words"),
    [
        ({"recoat_latest": 2 * HOUR}, "refusal", "recoat_latest", "4 h at the earliest"),
        ({"recoat_earliest": -HOUR}, "refusal", "recoat_earliest", "less than nothing"),
        ({"full_cure": 72 * 24 * 7 * HOUR}, "refusal", "full_cure", "504 d"),
        ({"temperature": Limits(30, 15)}, "refusal", "temperature", "lowest temperature"),
        ({"humidity": Limits(0.8, 0.2)}, "refusal", "humidity", "lowest humidity"),
        ({"started": datetime(2026, 6, 1)}, "refusal", "started", "where it is meant"),
        ({"finished": datetime(2026, 6, 1)}, "refusal", "finished", "such as +01:00"),
        ({"finished": datetime(1, 1, 1, tzinfo=UTC)}, "refusal", "finished", "in the year 1."),
        ({"started": datetime(9999, 12, 31, tzinfo=UTC)}, "refusal", "started", "1970 to 2199"),
        ({"started": NOON, "finished": NOON - HOUR}, "refusal", "finished", "before it was begun"),
        ({"hands_on": 0 * HOUR}, "warning", "hands_on", "no time at the bench"),
        ({"full_cure": 5 * HOUR}, "warning", "full_cure", "before it is touch-dry after 6 h"),
        ({"pot_life": HOUR / 6}, "warning", "pot_life", "Mix 3 batches"),
        ({"pot_life": 0 * HOUR}, "warning", "pot_life", "leave it out"),
        ({"kind": "cure"}, "warning", "recoat_latest", "not kept"),
    ],
)
def test_each_contradiction(change: dict[str, object], level: str, field: str, words: str) -> None:
    found = only(operation_findings((replace(COAT, **change),)))  # type: ignore[arg-type]
    assert (found.level, found.operation, found.field) == (level, "top", field)
    assert words in found.text
    assert "Topcoat" in found.text


def test_edges_are_no_contradiction() -> None:
    at_once = replace(COAT, recoat_latest=COAT.recoat_earliest, pot_life=COAT.hands_on)
    assert operation_findings((at_once,)) == ()


def test_plugs_share_a_mix() -> None:
    found = only(operation_findings((COAT,), plugs=3))
    assert found.text == (
        "Topcoat takes 1 h 30 min for 3 plugs, and the mix can be worked for 1 h. "
        "Mix 2 batches, one after the other."
    )


@pytest.mark.parametrize("plugs", [-1, 0, 1001, 10**15])
def test_a_number_of_plugs_that_nobody_has(plugs: int) -> None:
    found = only(operation_findings((replace(COAT, pot_life=None),), plugs))
    assert (found.level, found.field) == ("refusal", "plugs")
    assert found.text.endswith("Expected 1 to 1000.")


def test_marks_against_each_other() -> None:
    second = replace(COAT, id="second", name="Second")
    assert only(operation_findings((COAT, COAT))).field == "id"
    late = only(operation_findings((COAT, replace(second, finished=NOON))))
    assert late.text.startswith("Second is marked, but Topcoat before it isn't.")
    begun = tuple(replace(one, started=NOON) for one in (COAT, second))
    assert "at the same time: Topcoat, Second" in only(operation_findings(begun)).text


def test_marks_are_compared_as_instants() -> None:
    """On 25 October 2026 in Paris 02:50 comes before the second 02:10."""
    paris = ZoneInfo("Europe/Paris")
    started = datetime(2026, 10, 25, 2, 50, tzinfo=paris)
    finished = datetime(2026, 10, 25, 2, 10, tzinfo=paris, fold=1)
    assert operation_findings((replace(COAT, started=started, finished=finished),)) == ()


@pytest.mark.parametrize(
    ("temperature", "humidity", "words"),
    [
        (20.0, 0.5, []),
        (15.0, 0.7, []),
        (None, None, []),
        (14.9, None, ["The temperature of the shop is 14.9 °C, too low for Topcoat."]),
        (30.5, 0.71, ["is 30.5 °C, too high", "The humidity of the shop is 71 %, too high"]),
    ],
)
def test_the_air_of_the_shop(
    temperature: float | None, humidity: float | None, words: list[str]
) -> None:
    fussy = replace(COAT, temperature=Limits(15, 30), humidity=Limits(high=0.7))
    found = shop_findings((fussy, COAT), temperature, humidity)
    assert len(found) == len(words)
    assert all(part in finding.text for part, finding in zip(words, found, strict=True))
    done = replace(fussy, finished=NOON)
    assert shop_findings((done,), temperature, humidity) == ()


def test_what_the_air_should_be() -> None:
    cold = replace(COAT, temperature=Limits(low=10))
    assert "It needs at least 10 °C" in only(shop_findings((cold,), 5, None)).text
    wet = replace(COAT, humidity=Limits(0.3, 0.7))
    assert "It needs 30 % to 70 %" in only(shop_findings((wet,), None, 0.2)).text
