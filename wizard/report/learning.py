"""What the bench has learned, as plain lines."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.learning.habits import Calibration, Habit, Progress, Start
from wizard.learning.offering import FEWEST, Offer, offers
from wizard.plug.record import Build
from wizard.quantity.showing import literal, plain
from wizard.report.tank import folded

_WORDS = {
    "drag": "drag over the published",
    "holes": "holes over their plan",
    "coats": "all coats over their plan",
}
_SORTS = {
    "coat": "{} on the skin",
    "wood": "{} over the table",
    "hardware": "{} over the table",
}


def learned_lines(known: Calibration) -> list[str]:
    """Every habit with how many speak, its mean and interval, and whether all of it helps."""
    return list(folded(_learned(known)))


def _learned(known: Calibration) -> Iterator[str]:
    if known.since is not None:
        yield f"Counted from {known.since.date().isoformat()} on."
    if not known.builds:
        yield "No finished build speaks yet."
        yield (
            "One counts from when it is finished at its review (“Finish: keep the numbers”); its "
            "trials and weighings are what speaks."
        )
        return
    yield f"From {known.builds} finished build{'s' if known.builds > 1 else ''}; ranges hold 95 %"
    for habit in known.habits:
        yield f"  {_line(habit)}"
    if known.start is not None:
        yield f"  {_start(known.start)}"
    if known.progress is not None:
        yield _progress(known.progress)


def _line(habit: Habit) -> str:
    what = f"{literal(_what(habit.key), 60):<40}"
    if habit.count == 1:
        return f"{what} {_value(habit.key, habit.mean)} (1 build: no range yet)"
    low, high = (_value(habit.key, end) for end in (habit.low, habit.high))
    early = "" if habit.count >= FEWEST else ", too few to offer"
    mean = _value(habit.key, habit.mean)
    return f"{what} {mean} ({low} to {high}; {habit.count} builds{early})"


def _what(key: str) -> str:
    sort, _, name = key.partition(":")
    return _SORTS[sort].format(name) if sort in _SORTS else _WORDS.get(key, key)


def _value(key: str, value: float) -> str:
    if key.startswith("coat:"):
        return f"{plain(value * 100.0, 3)} mg/cm2"
    return f"x {plain(value, 3)}"


def _start(start: Start) -> str:
    lead = "margin that starts one down"
    if start.stayed is None or start.went is None:
        end, does = (
            (start.went, "went down") if start.stayed is None else (start.stayed, "stayed up")
        )
        return f"{lead:<40} one at {_percent(end)} {does} ({start.count} near it)"
    low, high = sorted((start.stayed, start.went))
    mixed = ", where some went and some stayed" if start.stayed > start.went else ""
    return f"{lead:<40} {_percent(low)} to {_percent(high)}{mixed} ({start.count} near it)"


def _percent(share: float | None) -> str:
    return "-" if share is None else f"{100.0 * share:+.1f} %"


def _progress(p: Progress) -> str:
    first, last = (f"{plain(100.0 * v, 2)} %" for v in (p.first, p.last))
    many = (
        f"the first {p.compared} and the last {p.compared}" if p.compared > 1 else "first and last"
    )
    return f"Predictions missed by {first} of the weight at first and {last} of late ({many})."


def offer_lines(known: Calibration, build: Build) -> list[str]:
    """What a build may take over, a numbered line each; nothing is taken unasked."""
    found = offers(known, build)
    return list(folded(_offered(i, offer) for i, offer in enumerate(found, start=1)))


def _offered(number: int, offer: Offer) -> str:
    return (
        f"{number}  {offer.becomes} instead of {offer.instead} "
        f"({_what(offer.habit.key)}, {offer.habit.count} builds)"
    )
