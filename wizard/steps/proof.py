"""Tank proof: what the plug does in water, what was mended, and how it swam."""

from __future__ import annotations

from wizard.steps import tank
from wizard.steps.mends import MENDS, SWIMS
from wizard.steps.prompts import Step
from wizard.steps.trials import TRIALS

__all__ = ["MENDS", "STEP", "SWIMS", "TRIALS"]

STEP = Step(
    id="proof",
    title="Tank proof",
    phase="finish",
    hands=(
        "Only after full cure. Cap the hook points.",
        "Hold it under, let the bubbles go, release it just under the surface.",
        "Watch it rest, then time it, three times if it sinks.",
        "If it misses, mend it, write the mend down, and prove it again.",
    ),
    items=(*tank.PROMPTS, TRIALS, MENDS, SWIMS),
    shows=(
        "net_in_water",
        "chance_aim",
        "proof_net",
        "best_net",
        "sink_rate",
        "rest_pitch",
        "proof_pitch",
        "proof_gm",
        "proof_ballast",
    ),
)
