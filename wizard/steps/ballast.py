"""Ballast: how much, of what, in which holes."""

from __future__ import annotations

from typing import Any

from wizard.plug.body.drawing import is_drawn
from wizard.plug.record import Build
from wizard.steps.prompts import Group, Prompt, Step

_MIXED = ("epoxy", "polyester", "polyurethane", "resin")


def _no_holes_yet(build: Build, row: Any) -> bool:
    return build.ballast is None or not build.ballast.hole


def _can_be_planned(build: Build, row: Any) -> bool:
    return is_drawn(build.shape)


def _left_hollow(build: Build, row: Any) -> bool:
    from wizard.plug.ballast.parts import is_hollow

    return build.ballast is not None and is_hollow(build.ballast)


def _mixed(build: Build, row: Any) -> bool:
    from wizard.plug.ballast.parts import DEFAULT_FILLER, is_hollow

    if build.ballast is None or not build.ballast.hole or is_hollow(build.ballast):
        return False
    filler = (build.ballast.filler or DEFAULT_FILLER).casefold()
    return any(word in filler for word in _MIXED)


def _across(build: Build, row: Any) -> bool:
    return row is not None and row.axis == "across"


def _has_form(build: Build, row: Any) -> bool:
    return row is not None and row.form not in (None, "sheet", "putty")


def _has_length(build: Build, row: Any) -> bool:
    return _has_form(build, row) and row.form != "ball"


HOLES = Group(
    "ballast.hole",
    one="hole",
    none="",
    prompts=(
        Prompt(
            "x",
            "Aft of the nose",
            "Says how the plug tips: ballast farther forward sinks the nose.",
            "Steel rule along the belly, from the tip of the nose to the hole's centre.",
            sketch="hole",
            unit="mm",
        ),
        Prompt(
            "diameter",
            "Diameter",
            "With the depth it says what the hole holds and how much wood goes.",
            "The size on the drill; 3/8 in is usual (common practice, no source).",
            sketch="hole",
            unit="mm",
        ),
        Prompt(
            "depth",
            "Depth",
            "From the belly straight up, of the full width; leave a wall at the back.",
            "Set the drill stop; the drill's point goes deeper.",
            sketch="hole",
            unit="mm",
        ),
        Prompt(
            "axis",
            "Drilled",
            "Up from the belly unless said otherwise.",
            optional=True,
            words=(
                ("up", "from the belly"),
                ("down", "from the back"),
                ("across", "from one side to the other"),
            ),
        ),
        Prompt(
            "z",
            "Above the baseline",
            "Says how high the hole lies: low ballast holds the plug steady.",
            "Rule from the flat it lies on to the hole's centre. Empty: half height.",
            sketch="place",
            unit="mm",
            optional=True,
            when=_across,
        ),
        Prompt(
            "point",
            "Point of the drill",
            "Its cone is wood drilled out too. Leave it empty for a flat end.",
            "A twist drill has 118 deg, a flat or Forstner bit 180 (from memory).",
            unit="deg",
            optional=True,
        ),
    ),
)

PIECES = Group(
    "ballast.piece",
    one="piece",
    none="",
    prompts=(
        Prompt(
            "mass",
            "Mass of one",
            "What goes into the holes weighs what the scale says, not the label.",
            "Weigh it: nominal sizes are often 5 % off (common practice, no source).",
            unit="g",
        ),
        Prompt(
            "count",
            "How many",
            "All pieces of one size are counted in one row.",
            "Count those that go in; 1 if it stays empty.",
            optional=True,
        ),
        Prompt(
            "hole",
            "In hole number",
            "Where it lies says how the plug tips.",
            "Number of the hole in the list above. Empty: shared over the holes.",
            optional=True,
        ),
        Prompt(
            "form",
            "Form",
            "Says how it lies in the hole. Leave it empty for metal that fills the hole.",
            optional=True,
            words=(
                ("ball", "split shot, round shot"),
                ("cone", "bullet or cone, point first"),
                ("egg", "egg or olive"),
                ("cylinder", "slug or rod of fixed length"),
                ("wire", "wire or rod cut to length"),
                ("sheet", "sheet folded into the hole"),
                ("putty", "putty pressed into the hole"),
            ),
        ),
        Prompt(
            "diameter",
            "Its diameter",
            "Says which hole it goes into. A ball's follows from its mass.",
            "Across its axis, with the caliper.",
            unit="mm",
            optional=True,
            when=_has_form,
        ),
        Prompt(
            "length",
            "Its length",
            "Says how deep the hole must be. It follows from mass and diameter if left empty.",
            "Along its axis, with the caliper.",
            unit="mm",
            optional=True,
            when=_has_length,
        ),
        Prompt(
            "density",
            "Its density, if it is another metal",
            "The same grams of a lighter metal take more room.",
            "From the table of metals. Empty: the ballast metal named above.",
            unit="g/mL",
            optional=True,
        ),
    ),
)

TIN = (
    Prompt(
        "ballast.resin.resin_parts",
        "Parts of resin",
        "To say how much of each part goes into the cup.",
        "As the tin has the ratio: 2 of 2 to 1, or 100 of 100 to 47.",
        optional=True,
        when=_mixed,
    ),
    Prompt(
        "ballast.resin.hardener_parts",
        "Parts of hardener",
        "To say how much of each part goes into the cup.",
        "The other number of the tin's ratio: 1 of 2 to 1.",
        optional=True,
        when=_mixed,
    ),
    Prompt(
        "ballast.resin.parts_by",
        "Parts are counted by",
        "The two differ: hardener is lighter than resin.",
        optional=True,
        words=(("volume", "measured in cups or syringes"), ("mass", "weighed")),
        when=_mixed,
    ),
    Prompt(
        "ballast.resin.resin_density",
        "Density of the resin",
        "Turns parts by volume into grams.",
        "From its data sheet.",
        unit="g/mL",
        optional=True,
        when=_mixed,
    ),
    Prompt(
        "ballast.resin.hardener_density",
        "Density of the hardener",
        "Turns parts by volume into grams.",
        "From its data sheet.",
        unit="g/mL",
        optional=True,
        when=_mixed,
    ),
    Prompt(
        "ballast.resin.waste",
        "Mixed beyond what is poured",
        "What stays in the cup and on the stick.",
        "Common practice, no source: 30 % of so small a batch.",
        unit="%",
        optional=True,
        when=_mixed,
    ),
    Prompt(
        "ballast.resin.pot_life",
        "Pot life",
        "What can't be poured in that time is mixed twice.",
        "On the tin or its data sheet, for the temperature it names.",
        unit="min",
        optional=True,
        when=_mixed,
    ),
    Prompt(
        "ballast.resin.pot_temperature",
        "Temperature that pot life is stated for",
        "A warm shop shortens it: 10 degC more halve it (rule of thumb, from memory).",
        "On the tin beside the pot life; most say 23 or 25 degC (from memory).",
        unit="degC",
        optional=True,
        when=_mixed,
    ),
)
"""What the tin of a two-part filler says."""

PREFERENCES = (
    Prompt(
        "ballast.wall",
        "Least wall of wood around a hole",
        "A plan leaves so much to the skin, to the next hole and to screws.",
        "Common practice, no source: 3 mm.",
        unit="mm",
        optional=True,
        when=_can_be_planned,
    ),
    Prompt(
        "ballast.drilled",
        "Holes are drilled",
        "For a plan: up from the belly unless said otherwise.",
        optional=True,
        words=(
            ("up", "from the belly"),
            ("down", "from the back"),
            ("across", "from one side to the other"),
        ),
        when=_can_be_planned,
    ),
    Prompt(
        "ballast.height",
        "Ballast lies",
        "Low holds the plug steady, high lets it roll wide. Leave it open for the fewest holes.",
        optional=True,
        words=(("low", "steady, rights itself at once"), ("high", "rolls wide, rights slowly")),
        when=_can_be_planned,
    ),
    Prompt(
        "ballast.most_holes",
        "Holes at most",
        "Fewer holes are less work; more of them spread the weight.",
        "From 1 to 4.",
        optional=True,
        when=_can_be_planned,
    ),
)
"""What a drill plan is to heed."""

STEP = Step(
    id="ballast",
    title="Ballast",
    phase="ballast",
    hands=(
        "Do not drill before hardware and coats are answered: the amount is provisional.",
        "Tape the ballast on outside and float the body with all hardware: the cheapest proof.",
        "Clamp the body in a jig, drill from the belly on the centre line, slowly.",
        "Press the ballast to the blind end, fill flush with resin, let it cure, sand flush.",
    ),
    items=(
        Prompt(
            "ballast.metal",
            "Ballast metal",
            "Its density says how much room it takes.",
            "lead, tungsten, tin, bismuth, brass, steel; lead is restricted in some waters.",
            offer="lead",
        ),
        Prompt(
            "ballast.density",
            "Its density, if you know better",
            "Cast pieces with voids are lighter than the table.",
            "Weigh a piece, dunk it on the scale: mass over gain is g/mL.",
            unit="g/mL",
            optional=True,
        ),
        Prompt(
            "ballast.filler",
            "Filled flush with",
            "What fills the rest of the hole weighs too.",
            "epoxy, polyester, epoxy with microballoons, ...; hollow leaves a hole empty.",
            offer="epoxy",
        ),
        Prompt(
            "ballast.filler_density",
            "Its density, if you know better",
            "Sets what the backfill adds to the plug.",
            "Cast a small cylinder, weigh and measure it.",
            unit="g/mL",
            optional=True,
        ),
        Prompt(
            "ballast.hole_ratio",
            "Hole volume per ballast volume",
            "1 when the ballast fills its hole; 1.3 for round shot. Until holes are laid out.",
            "Leave it empty for 1.",
            optional=True,
            when=_no_holes_yet,
        ),
        Prompt(
            "ballast.dowel",
            "Thickness of the dowels",
            "Hollow holes are closed with a dowel each; behind it they stay empty.",
            "Common practice, no source: 5 mm.",
            unit="mm",
            optional=True,
            when=_left_hollow,
        ),
        Prompt(
            "ballast.dowel_wood",
            "Wood of the dowels",
            "Its density counts.",
            "birch plug, beech plug",
            optional=True,
            when=_left_hollow,
        ),
        *PREFERENCES,
        HOLES,
        PIECES,
        *TIN,
    ),
    shows=(
        "neutral_mass",
        "target_mass",
        "bench_ballast",
        "ballast_mass",
        "chance_aim",
        "net_in_water",
        "rest_pitch",
        "sink_rate",
    ),
)
