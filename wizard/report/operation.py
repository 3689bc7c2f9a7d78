"""One operation of the coating schedule in words: its times, what goes before, what to mix."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import timedelta

from wizard.plug.coats.amounts import Amount, amount
from wizard.plug.coats.schedule import operation_name
from wizard.plug.coats.tins import Tin, kind_of, tin
from wizard.plug.record import Build
from wizard.quantity.showing import plain
from wizard.schedule.words import span
from wizard.tables import DEFERS, cautions


def detail_lines(build: Build, index: int) -> tuple[str, ...]:
    """All that is known of an operation, a line each.

    Args:
        build: the record.
        index: which operation, counted from zero.
    """
    row = build.operation[index]
    if kind_of(build, row) is None:
        return ("It is of no kind, so it isn't planned.",)
    known = tin(build, row)
    return tuple(
        line
        for line in (
            *([f"Note: {row.note}"] if row.note else []),
            *(f"Before: {what}" for what in [", ".join(known.before)] if what),
            *_times(known),
            *(_mixing(found) for found in [amount(build, row)] if found is not None),
            *_cautions(known.cautions),
        )
    )


def _times(known: Tin) -> Iterator[str]:
    parts = [_time(known, "hands_on", "at the bench"), _time(known, "pot_life", "pot life")]
    parts += [_time(known, "touch_dry", "dry to the touch"), _window(known)]
    parts += [_time(known, "full_cure", "cured")]
    said = [part for part in parts if part]
    if said:
        typical = any(key in known.typical and known[key] for key in _TIMES)
        tail = f" (* typical of {known.like}: the tin wins)" if typical else ""
        yield f"Times: {', '.join(said)}{tail}"
    air = [_limits(known, "temperature", 1.0, " °C"), _limits(known, "humidity", 100.0, " %")]
    if any(air):
        yield f"Shop: {', '.join(part for part in air if part)}"


_TIMES = ("hands_on", "pot_life", "touch_dry", "recoat_earliest", "recoat_latest", "full_cure")


def _time(known: Tin, key: str, words: str) -> str:
    seconds = known[key]
    if not seconds:
        return ""
    return f"{words} {_span(seconds)}{'*' * (key in known.typical)}"


def _span(seconds: float) -> str:
    return span(timedelta(seconds=seconds))


def _window(known: Tin) -> str:
    earliest, latest = known["recoat_earliest"], known["recoat_latest"]
    if not earliest and latest is None:
        return ""
    star = "*" * ("recoat_earliest" in known.typical)
    text = f"next coat from {_span(earliest or 0.0)}{star}"
    if latest is not None:
        text += f" to {_span(latest)}{'*' * ('recoat_latest' in known.typical)}"
    return text


def _limits(known: Tin, name: str, scale: float, unit: str) -> str:
    low, high = known[f"{name}_low"], known[f"{name}_high"]
    star = "*" * bool({f"{name}_low", f"{name}_high"} & known.typical)
    if low is not None and high is not None:
        return f"{name} {plain(scale * low)} to {plain(scale * high)}{unit}{star}"
    if low is not None:
        return f"{name} {plain(scale * low)}{unit} at least{star}"
    return f"{name} {plain(scale * high)}{unit} at most{star}" if high is not None else ""


def mixing_lines(build: Build) -> Iterator[str]:
    """What each coat that is still to come takes, a line each."""
    for index, row in enumerate(build.operation):
        found = amount(build, row) if row.finished is None else None
        if found is not None:
            yield f"{operation_name(build, index)}: {_mixing(found)}"


def _mixing(found: Amount) -> str:
    skin = "estimated skin" if found.skin.estimated else "skin"
    parts = [
        _cup(found),
        f"{_length(found.dry_film)} dry, {plain(found.wet_film * 1e6, 2)} µm wet",
        f"{skin} {plain(found.skin.area * 1e4, 3)} cm2",
        f"{plain(found.spread * 1e-3, 3)} m2/L",
        f"lost beside the plug: {plain(100.0 * found.loss, 3)} % of what stays on",
    ]
    if found.pot_life is not None:
        parts.append(f"workable for {_span(found.pot_life)}")
    tail = f" (typical: {', '.join(found.typical)})" if found.typical else ""
    return f"mix {'; '.join(parts)}{tail}"


def _cup(found: Amount) -> str:
    several = f" for {found.plugs} plugs" if found.plugs > 1 else ""
    if found.batch is not None:
        grams = _grams(found.batch.resin_mass), _grams(found.batch.hardener_mass)
        return f"{grams[0]} resin with {grams[1]} hardener{several}"
    if found.parts is not None:
        resin, hardener = (plain(v * 1e6, 3) for v in found.parts)
        return f"{resin} mL resin with {hardener} mL hardener{several}"
    volume = f"{plain(found.liquid_volume * 1e6, 3)} mL"
    weight = f", {_grams(found.liquid_mass)}" if found.liquid_mass is not None else ""
    return f"{volume}{weight}{several}"


def _grams(mass: float) -> str:
    return f"{plain(round(mass * 1e3, 2), 4)} g"


def _length(film: float) -> str:
    return f"{plain(film * 1e6, 3)} µm"


def cautions_of(build: Build) -> Mapping[str, tuple[str, ...]]:
    """Ids of the cautions of what is still to be done, each with the operations it is for."""
    found: dict[str, list[str]] = {}
    for index, row in enumerate(build.operation):
        if row.finished is None and kind_of(build, row) is not None:
            for id in tin(build, row).cautions:
                found.setdefault(id, []).append(operation_name(build, index))
    return {id: tuple(names) for id, names in found.items()}


def _cautions(named: tuple[str, ...]) -> Iterator[str]:
    for id in named:
        caution = cautions()[id]
        yield f"! {caution.name}: {caution.hazard} {caution.precaution}"
    if named:
        yield f"! {DEFERS}"
