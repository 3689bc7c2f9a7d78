"""What belongs to the ballast beside its plan, as lines: resin, metals, after the weighing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wizard.plug.ballast.after import AfterBallast, Because, Remains
from wizard.plug.ballast.backfill import Backfill
from wizard.plug.ballast.drill_checks import measured
from wizard.plug.ballast.other_metals import MetalCost
from wizard.plug.numbers import CATALOGUE
from wizard.plug.onward.whatif import Moved
from wizard.plug.rule import Rule
from wizard.quantity.showing import literal, plain
from wizard.report.showing import amount, chance

Units = Mapping[str, str]

_COARSE = 0.05  # hardener off by so much for one step of the scale is worth a word: from memory


def backfill_lines(found: Backfill, chosen: Units) -> Iterator[str]:
    """What to mix for the holes, or what closes them hollow."""
    mass = "-" if found.mass is None else amount(round(found.mass, 5), "g", chosen)
    volume = _millilitres(found.volume)
    if found.hollow:
        dowels = literal(found.filler)
        yield f"Hollow holes: {volume} left free; closed with dowels ({dowels}), {mass} in all."
        yield "  Glue them in watertight: a hole that fills with water is lost buoyancy."
        return
    yield f"Back flush: {volume} of {literal(found.filler)}, {mass} once hard"
    waste = f"{100 * found.waste:.0f} % for the cup counted"
    parts = []
    for name, room, weight in (
        ("resin", found.resin_volume, found.resin_mass),
        ("hardener", found.hardener_volume, found.hardener_mass),
    ):
        said = [_millilitres(room)] if room is not None else []
        said += [amount(round(weight, 5), "g", chosen)] if weight is not None else []
        if said:
            parts.append(f"{name} {' = '.join(said)}")
    if parts:
        yield f"  Mix {' and '.join(parts)}, {waste}."
    if found.missing:
        yield f"  For the mix the tin must still say: {'; '.join(found.missing)}."
    if found.step_share is not None and found.step_share > _COARSE:
        yield (
            f"  One step of your scale is {100 * found.step_share:.0f} parts in a hundred of so "
            "little resin: mix more than is needed, or use a finer scale."
        )
    if found.pot_life is not None:
        at = "" if found.pot_temperature is None else f" at {plain(found.pot_temperature)} degC"
        yield (
            f"  Pot life {plain(found.pot_life / 60.0, 3)} min{at}; about half of that 10 degC "
            "warmer, and a full cup heats itself. Have all pieces in before mixing."
        )


def _millilitres(volume: float) -> str:
    return f"{plain(round(volume * 1e6, 2), 3)} mL"


def metal_lines(
    costs: tuple[MetalCost, ...], diameter: float | None, say: tuple[Units, Rule]
) -> Iterator[str]:
    """The ballast metals side by side, and where lead is restricted.

    Args:
        costs: one a metal.
        diameter: of the hole in which the change is told as depth [m]; None without one.
        say: the maker's units and rule.
    """
    if not costs:
        return
    chosen, rule = say
    yield "Other metals for the same weight in the water"
    for one in costs:
        more = plain(round(abs(one.more) * 1e6, 2), 3)
        change = f"{more} mL {'more' if one.more > 0 else 'less'}"
        if diameter is not None:
            change += f", {measured(abs(one.depth_more(diameter)), rule)} of hole"
        mark = "chosen" if one.chosen else change
        mass = amount(round(one.mass, 5), "g", chosen)
        yield f"  {literal(one.name, 32):<34}{mass:>10}{_millilitres(one.volume):>10}  {mark}"
    warned = tuple(dict.fromkeys(name for one in costs for name in one.cautions))
    rules = [name for name in warned if "rules" in name]
    if rules:
        from wizard.tables import cautions

        found = [row for row in cautions().values() if row.name in rules]
        yield from (f"  ! {row.name}: {row.hazard} {row.precaution}" for row in found)


# After the ballast is in


_BECAUSE: Mapping[str, str] = {
    "more filler": "{} more filler than planned, standing proud or soaked in",
    "void": "a void of {} in the filler",
    "deeper": "every hole {} deeper than planned",
    "shallower": "every hole {} less deep than planned",
    "wood lost": "{} of wood sanded off the body",
}


def after_ballast_lines(found: AfterBallast, chosen: Units, rule: Rule) -> Iterator[str]:
    """What the scale says once the ballast is in."""
    gap = found.gap.value
    planned, actual = (amount(v.value, "g", chosen) for v in (found.planned, found.actual))
    size = amount(round(abs(gap), 5), "g", chosen)
    heavier = "heavier" if gap > 0 else "lighter"
    yield f"Ballast is in: {actual} on the scale, {planned} planned"
    if found.agrees:
        yield f"  {size} {heavier} is within the doubt of both: all as planned."
    else:
        yield f"  {size} {heavier}. Each of these would explain it by itself:"
        yield from (f"    {_because(one, rule)}" for one in found.because)
    yield from _course(found, chosen, rule)


def _because(one: Because, rule: Rule) -> str:
    if one.kind == "piece":
        said = "one piece more than planned" if one.amount > 0 else "one piece left out"
    elif one.kind == "pieces":
        way = "heavier" if one.amount > 0 else "lighter"
        said = f"pieces {100 * abs(one.amount):.1f} % {way} than typed"
    elif one.kind in ("deeper", "shallower"):
        said = _BECAUSE[one.kind].format(measured(one.amount, rule))
    else:
        said = _BECAUSE[one.kind].format(_millilitres(one.amount))
    return f"{said}{'' if one.likely else ' (more than is likely)'}"


def _course(found: AfterBallast, chosen: Units, rule: Rule) -> Iterator[str]:
    if found.lacking is None:
        yield "  What that does to the aim is not known yet."
        return
    band = amount(round(found.band, 5), "g", chosen)
    if found.on_course:
        yield f"  The rest as planned brings it to its aim within {band}: go on."
        return
    short = amount(round(abs(found.lacking), 5), "g", chosen)
    way = "light" if found.lacking > 0 else "heavy"
    yield (
        f"  With the rest as planned it ends {short} too {way} in the water ({band} counts as met)."
    )
    yield "  Each of these would make up for it:"
    yield from (f"    {_remains(one, chosen, rule)}" for one in found.remains)


def _remains(one: Remains, chosen: Units, rule: Rule) -> str:
    if one.kind == "coat":
        way = "more" if one.amount > 0 else "less"
        film = measured(abs(one.amount), rule)
        if not one.sensible:
            return f"coats can't: it would take {film} {way} of {literal(one.name)}"
        return f"{film} {way} of {literal(one.name)}"
    mass = amount(round(abs(one.amount), 5), "g", chosen)
    more = one.amount > 0
    said = {
        "hardware": f"hooks and rings {mass} {'heavier' if more else 'lighter'} in all",
        "ballast in": f"{mass} more ballast in a hole of its own",
        "ballast out": f"{mass} of ballast drilled out and filled again",
    }[one.kind]
    return f"{said}{'' if one.sensible else ' (more than there is)'}"


# What moved


def moved_lines(moves: tuple[Moved, ...], chosen: Units) -> Iterator[str]:
    """What an edit moved, a number a line; one line if nothing did."""
    for one in moves:
        before, after = (_number(one.name, v, chosen) for v in (one.before, one.after))
        yield f"{CATALOGUE[one.name].meaning}: {before} -> {after}"
    if not moves:
        yield "Nothing moved."


def _number(name: str, value: object, chosen: Units) -> str:
    from wizard.certainty import Uncertain

    if not isinstance(value, Uncertain):
        return "not known"
    if name.startswith("chance"):
        return chance(value.value)
    return amount(value, CATALOGUE[name].unit, chosen)
