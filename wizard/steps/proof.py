"""Tank proof: what the plug does in water, what was mended, and how it swam."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from wizard.plug.record import Build
from wizard.steps import tank
from wizard.steps.prompts import Group, Prompt, Step


def _kind(*kinds: str) -> Callable[[Build, Any], bool]:
    def asked(build: Build, row: Any) -> bool:
        return row is not None and row.kind in kinds

    return asked


def _answered(key: str, *kinds: str) -> Callable[[Build, Any], bool]:
    """Asked once another answer of the row stands, or where it is answered itself."""

    def asked(build: Build, row: Any) -> bool:
        return row is not None and row.kind in kinds and getattr(row, key) is not None

    return asked


def _held(key: str) -> Callable[[Build, Any], bool]:
    """Shown where a profile has it; asked of nobody else, since the tank says it for all."""

    def asked(build: Build, row: Any) -> bool:
        return row is not None and getattr(row, key) is not None

    return asked


def _weighs(build: Build, row: Any) -> bool:
    """Something was hung on: to take it under, or to take it under as taped."""
    return row is not None and (
        row.kind == "float" or (row.kind == "taped" and row.result == "floats")
    )


def _spares(build: Build, row: Any) -> bool:
    return row is not None and row.kind == "taped" and row.result == "sinks"


def _mends_so_far(build: Build) -> int | None:
    return len(build.mend) or None


TRIALS = Group(
    "trial",
    one="trial",
    none="",
    start=(("kind", "look"), ("mends", _mends_so_far)),
    prompts=(
        Prompt(
            "kind",
            "Kind of trial",
            "Any of them tells something; a weight, a weighing or a timed run tells how much.",
            words=(
                ("look", "does it do what was asked"),
                ("sink", "time it over a known depth"),
                ("float", "weights hung on until it just goes under"),
                ("weigh", "hung from the scale by a thread, all of it under water"),
                ("rise", "time a floater on its way up"),
                ("freeboard", "how much stands out, by a mark at the waterline"),
                ("attitude", "how it lies, by eye or protractor"),
                ("heel", "move a weight across a floater, read its heel"),
                ("soak", "weigh it before and after an hour under water"),
                ("taped", "before drilling: float it with the ballast taped on"),
            ),
        ),
        Prompt(
            "as_asked",
            "Did it do what was asked",
            "The answer that counts.",
            words=(("yes", "as asked"), ("no", "not as asked")),
            when=_kind("look"),
        ),
        Prompt(
            "depth",
            "Way from release to the end",
            "Down to the bottom, or up to the surface; the longer the better.",
            "Depth of the water less the plug's own height.",
            unit="cm",
            when=_kind("sink", "rise"),
        ),
        Prompt(
            "time",
            "Time it took",
            "Let go from rest, just under the surface; a floater from the bottom.",
            unit="s",
            when=_kind("sink", "rise"),
        ),
        Prompt(
            "time_again",
            "Further runs over the same way",
            "Their scatter shows how well it can be timed.",
            "A semicolon between times, like 2.1; 2.3.",
            unit="s",
            optional=True,
            when=_answered("time", "sink", "rise"),
        ),
        Prompt(
            "time_accuracy",
            "How far off the watch may be",
            "Your reaction at start and stop.",
            "0.2 s by hand, 0.05 s from a film (from memory).",
            unit="s",
            optional=True,
            offer="0.2 s",
            when=_answered("time", "sink", "rise"),
        ),
        Prompt(
            "result",
            "With hardware and ballast on, it",
            "Sealed body, all hooks hung, ballast taped to the belly where it will go.",
            words=(("floats", "floats"), ("sinks", "sinks")),
            when=_kind("taped"),
        ),
        Prompt(
            "ballast",
            "Ballast taped on",
            "Outside it pushes water aside, which the sum allows for.",
            "Empty for the amount that the program gave.",
            unit="g",
            optional=True,
            when=_kind("taped"),
        ),
        Prompt(
            "weight",
            "Trial weight",
            "All that hangs on it when it just goes under, thread included.",
            unit="g",
            when=_weighs,
        ),
        Prompt("weight", "What the scale shows", "The weight that is left in the water.",
               "Tare with the thread hanging in the water alone.", unit="g",
               when=_kind("weigh")),
        Prompt("weight", "Weight that was moved", "Put on the back, then moved across.",
               "A tenth of the plug or less.", unit="g", when=_kind("heel")),
        Prompt("density", "Density of that weight", "Lead 11.34, steel 7.85 g/mL.",
               unit="g/mL", when=_weighs),
        Prompt(
            "weight_step",
            "The last piece hung on",
            "A smaller one might have done: half of it is taken off, the rest is doubt.",
            unit="g",
            optional=True,
            when=_answered("weight", "float"),
        ),
        Prompt(
            "spare",
            "Ballast taken off until it just hung",
            "What it had to spare.",
            unit="g",
            when=_spares,
        ),
        Prompt("tape", "Mass of the tape", "It weighs and floats too.", unit="g", optional=True,
               when=_kind("taped")),
        Prompt(
            "height",
            "Highest point above the water",
            "Of the body, hooks not counted.",
            "From a mark, plug dry; look along the water, not at the rim it climbs.",
            unit="mm",
            optional=True,
            when=_kind("freeboard"),
        ),
        Prompt(
            "share",
            "or share of its height that stands out",
            "At the middle of its length, by a pencil mark.",
            unit="%",
            optional=True,
            when=lambda build, row: _kind("freeboard")(build, row) and row.height is None,
        ),
        Prompt("moved", "Moved across by", "Straight across, measured.", unit="mm",
               when=_kind("heel")),
        Prompt("angle", "Heel that it made", "Two to five degrees are best.",
               "A straw across the back and a protractor.", unit="deg", when=_kind("heel")),
        Prompt("angle", "Nose-down pitch", "Nose up is typed with a minus.",
               "By eye it is good to about 3 degrees.", unit="deg", when=_kind("attitude")),
        Prompt("angle", "Nose-down pitch as taped", "It tells where the ballast belongs.",
               "Nose up is typed with a minus.", unit="deg", optional=True, when=_kind("taped")),
        Prompt("angle_accuracy", "How far off that angle may be", "By eye about 3 degrees.",
               unit="deg", optional=True, when=_answered("angle", "heel", "attitude")),
        Prompt("before", "Mass before", "Dry, all coats cured.", unit="g", when=_kind("soak")),
        Prompt("after", "Mass after", "Wiped dry, shaken out of hangers and holes.", unit="g",
               when=_kind("soak")),
        Prompt("soaked", "Time under water", "An hour unless typed.", unit="h", optional=True,
               when=_kind("soak")),
        Prompt("temperature", "Temperature of this trial's water",
               "Only if it is another one than the tank's.", unit="degC", optional=True,
               when=_held("temperature")),
        Prompt("salinity", "Salinity of this trial's water", "Likewise; tap water is 0.",
               unit="g/kg", optional=True, when=_held("salinity")),
        Prompt("salt", "Table salt in this trial's water", "Likewise, to each kg of water.",
               unit="g/kg", optional=True, when=_held("salt")),
        Prompt("notes", "Notes", "How it lay, how it went down, what was changed.",
               optional=True),
    ),
)  # fmt: skip


def _in_a_hole(build: Build, row: Any) -> bool:
    holes = build.ballast.hole if build.ballast else ()
    return row is not None and row.kind in ("inside", "remove") and bool(holes)


def _drilled_out(build: Build, row: Any) -> bool:
    return row is not None and row.kind == "remove" and row.hole is not None


def _placed(build: Build, row: Any) -> bool:
    return row is not None and row.kind in ("add", "inside", "remove") and row.hole is None


def _proved(build: Build, row: Any) -> bool:
    """A mend comes after a trial."""
    return bool(build.trial or build.mend)


def _swum(build: Build, row: Any) -> bool:
    return bool(build.trial or build.swim)


MENDS = Group(
    "mend",
    one="mend",
    none="",
    start=(("kind", "add"),),
    when=_proved,
    prompts=(
        Prompt(
            "kind",
            "What was done",
            "Write down what was really done, weighed: the sum goes on from there.",
            words=(
                ("add", "put on outside: wire, putty"),
                ("inside", "put in: a nail, ballast for backfill"),
                ("remove", "taken off, or drilled out of the ballast"),
                ("swap", "hooks or rings of another mass"),
            ),
        ),
        Prompt("hole", "In hole number", "Empty if it was not in a ballast hole.", optional=True,
               when=_in_a_hole),
        Prompt("hardware", "Which hardware", "Its number in the list of hardware.",
               when=_kind("swap")),
        Prompt("mass", "Mass", "Of what was put on, put in or taken off.", unit="g",
               when=_kind("add", "inside")),
        Prompt("mass", "Mass", "Of what came off or out: weigh the chips.", unit="g",
               when=_kind("remove")),
        Prompt("mass", "Mass of each new one", "Weigh them together and divide.", unit="g",
               when=_kind("swap")),
        Prompt("off", "Mass of each that came off", "As weighed now: better than as typed once.",
               unit="g", optional=True, when=_kind("swap")),
        Prompt("density", "Its density", "Tin 7.3, brass 8.5, lead 11.3, putty about 8 g/mL.",
               unit="g/mL", when=lambda build, row: _placed(build, row)),
        Prompt("diameter", "Drilled with", "Where the chips were not weighed.", unit="mm",
               optional=True, when=_drilled_out),
        Prompt("depth", "Drilled into the ballast by", "Below the backfill.", unit="mm",
               optional=True, when=_drilled_out),
        Prompt("x", "Aft of the nose", "Needed for how the plug lies.", unit="mm", optional=True,
               when=_placed),
        Prompt("z", "Above the baseline", "Below the belly is typed with a minus.", unit="mm",
               optional=True, when=_placed),
        Prompt("notes", "Notes", "Sealed and touched up with what.", optional=True),
    ),
)  # fmt: skip

SWIMS = Group(
    "swim",
    one="swim",
    none="",
    when=_swum,
    prompts=(
        Prompt("on", "Day", "Like 2026-04-02.", optional=True),
        Prompt("water", "Where", "Still, river, surf.", optional=True),
        Prompt("line", "Line and leader", "Thick line holds a plug up.", optional=True),
        Prompt("speed", "Speed of the retrieve", "The pull of speed on depth is not predicted.",
               unit="m/s", optional=True),
        Prompt("depth", "How deep it ran", "As seen or counted down.", unit="m", optional=True),
        Prompt("action", "Action seen", "Roll, wobble, sway, does it blow out.", optional=True),
        Prompt("tuning", "Tuning done", "Line tie bent, hooks changed.", optional=True),
    ),
)  # fmt: skip

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
