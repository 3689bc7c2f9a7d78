"""Stock: the board, and the squared blank cut from it."""

from __future__ import annotations

from wizard.steps.prompts import Prompt, Step

STEP = Step(
    id="stock",
    title="Stock",
    phase="plan",
    hands=(
        "Pick a straight-grained board without knots; light wood leaves room for ballast.",
        "Saw a piece for the density sample off the same board, next to the blank.",
        "Square the blank, measure its three sides and, if you like, weigh it.",
    ),
    items=(
        Prompt(
            "stock.wood",
            "Wood",
            "The table's density is a first guess; your test replaces it.",
            "basswood, western redcedar, balsa, paulownia, ... or any other name.",
        ),
        Prompt(
            "stock.length",
            "Length of the blank",
            "Must hold the body and what saw and sander take.",
            "Steel rule along the grain.",
            sketch="sides",
            unit="mm",
        ),
        Prompt(
            "stock.width",
            "Width of the blank",
            "The side that the profile is drawn on: belly to back.",
            "Caliper at three places, the smallest counts.",
            sketch="sides",
            unit="mm",
        ),
        Prompt(
            "stock.thickness",
            "Thickness of the blank",
            "Must hold the widest point of the body.",
            "Caliper at three places, the smallest counts.",
            sketch="sides",
            unit="mm",
        ),
        Prompt(
            "stock.mass",
            "Mass of the squared blank",
            "With the three sides it is a density test by itself: the largest sample there is.",
            "Scale at zero first. Leave it empty if the blank is not squared yet.",
            unit="g",
            optional=True,
        ),
    ),
)
