"""The trade's words in plain ones, for the help of every front end."""

from __future__ import annotations

from collections.abc import Mapping

GLOSSARY: Mapping[str, str] = {
    "blank": "the squared piece of wood that the body is cut from",
    "body": "the carved wood alone, before hardware, ballast and coats",
    "plug": "the finished thing: body, ballast, hardware and coats",
    "face": "the front end, where the water strikes",
    "belly, back": "underside and top",
    "line tie": "the eye that the line is tied to",
    "hook hanger": "the eye or loop that a hook hangs from",
    "through-wire": "one wire from the line tie through the body to the last hook",
    "treble": "a hook with three points",
    "split ring": "the small double ring between hanger and hook",
    "ballast": "weight put into the body",
    "belly hole": "a hole drilled from the belly for ballast",
    "backfill": "what closes the hole over the ballast, sanded flush",
    "sealer": "the first coat, which keeps water out of the wood",
    "topcoat": "the last, hard coat",
    "cure": "hardening all the way through; full cure comes long after dry to the touch",
    "recoat window": "the time in which the next coat holds without sanding",
    "neutral": "hanging still: the plug weighs what the water carries",
    "margin": "how far from neutral, as a share of the neutral weight",
    "baseline": "a straight line under the belly from which heights are measured",
    "station": "a place along the body at which it is measured across",
    "half-breadth": "half of the width at a station",
    "draught": "how deep a floating plug lies",
    "freeboard": "how far it stands out of the water",
    "trim, pitch": "how it lies along its length; nose-down pitch is an angle",
    "displacement": "the water that the plug pushes aside",
    "centre of gravity (CG)": "the point at which all its weight can be thought to hang",
    "centre of buoyancy (CB)": "the middle of the water that it pushes aside",
    "metacentric height (GM)": "how stiffly it stands upright; below zero it rolls over",
    "bench sum": "the sum of common practice, with water at 1 g/mL and no coats",
    "dunk": "holding a piece just under water in a beaker on the scale, to find its volume",
    "gain": "what that scale shows more",
    "resolution": "the smallest step that an instrument shows",
    "accuracy": "how far off an instrument may be by itself, as its papers say",
    "± (standard uncertainty)": "the true value lies within it in about two of three cases",
    "k = 2": "twice the standard uncertainty: holds in about 95 of 100 cases",
}
