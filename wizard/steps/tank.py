"""What is asked of the tank itself; unless said otherwise its water is the fishing water."""

from __future__ import annotations

from typing import Any

from wizard.plug.record import Build
from wizard.steps.prompts import Prompt


def _salty(build: Build, row: Any) -> bool:
    """Salt is in play: the fishing water has some, or the tank."""
    at, tank = build.water.salinity, build.tank
    return bool((at and at.value > 0) or tank.salinity or tank.salt or tank.density)


def _mixed(build: Build, row: Any) -> bool:
    """Salt is in the tank, so its density is worth a check."""
    tank = build.tank
    typed = (tank.salinity, tank.salt)
    return any(t is not None and t.value > 0 for t in typed) or bool(tank.density)


def _weighs_bottles(build: Build, row: Any) -> bool:
    return _mixed(build, row) and build.tank.bottle_empty is not None


def _has_object(build: Build, row: Any) -> bool:
    return _mixed(build, row) and build.tank.float_volume is not None


def _timed(build: Build, row: Any) -> bool:
    return build.tank.width is not None or any(t.kind in ("sink", "rise") for t in build.trial)


PROMPTS = (
    Prompt(
        "tank.temperature",
        "Temperature of the tank",
        "Water at home is rarely the fishing water; the sum leads from one to the other.",
        "Empty if it is as warm as the fishing water.",
        unit="degC",
        optional=True,
    ),
    Prompt(
        "tank.volume",
        "How much water is in the tank",
        "For the mix sheet.",
        "Length times width times depth of the water: 60 x 30 x 25 cm are 45 L.",
        unit="L",
        optional=True,
        when=_salty,
    ),
    Prompt(
        "tank.use",
        "Salt to mix with",
        "Table salt is not the sea's: the grams differ.",
        words=(("table salt", "from the kitchen"), ("sea salt", "a mix for aquaria")),
        optional=True,
        when=_salty,
    ),
    Prompt(
        "tank.salt",
        "Table salt in the tank",
        "To each kilogram of water, as weighed.",
        "0 for tap water; the mix sheet says how much carries like the sea.",
        unit="g/kg",
        optional=True,
        when=_salty,
    ),
    Prompt(
        "tank.salinity",
        "or its salinity",
        "Says how much the tank's water carries.",
        "Of sea salt or real sea water, by hydrometer; tap water is 0.",
        unit="g/kg",
        optional=True,
        when=_salty,
    ),
    Prompt(
        "tank.density",
        "What a hydrometer reads",
        "A checked density stands for every trial.",
        "At the level of the water, not at its rim.",
        unit="g/mL",
        optional=True,
        when=_mixed,
    ),
    Prompt(
        "tank.bottle_empty",
        "A bottle with its cap, dry",
        "Weighed full of this water and of tap water it tells the density best.",
        "Half a litre or more, with a narrow neck; fill it to the brim both times.",
        unit="g",
        optional=True,
        when=_mixed,
    ),
    Prompt(
        "tank.bottle_tap",
        "The same, full of tap water",
        "Against it the salt is told: the same bottle, the same brim.",
        "As warm as the tank, so that only the salt differs; outside wiped dry.",
        unit="g",
        optional=True,
        when=_weighs_bottles,
    ),
    Prompt(
        "tank.bottle_full",
        "The same, full from the tank",
        "What it weighs more is the salt.",
        "Stir the tank first; fill to the brim, wipe the outside dry.",
        unit="g",
        optional=True,
        when=_weighs_bottles,
    ),
    Prompt(
        "tank.float_volume",
        "A test object: its volume",
        "A weighted tube that just hangs in the water tells its density too.",
        "By a dunk.",
        unit="mL",
        optional=True,
        when=_mixed,
    ),
    Prompt(
        "tank.float_mass",
        "Its mass when it just hangs",
        "When it hangs, it is as dense as the water.",
        "Load it until it neither rises nor sinks, then weigh it dry.",
        unit="g",
        optional=True,
        when=_has_object,
    ),
    Prompt(
        "tank.width",
        "Narrowest width of the tank",
        "Walls near by slow a plug.",
        "Rule across the water, at its narrowest.",
        unit="cm",
        optional=True,
        when=_timed,
    ),
)
