"""What lies in the folder of builds, looked at without holding any of it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from wizard.store.faults import ReadRefused, shown
from wizard.store.folder import list_profiles


@dataclass(frozen=True, slots=True)
class Found:
    """One build of the folder, or a file that is none.

    Attributes:
        path: where it is.
        name: what its maker calls it.
        place: where it stands in the walk, in words.
        aim: what it is asked to do.
        is_finished: whether its maker called it finished.
        wrong: why it can't be read, all of it; empty if it can.
    """

    path: Path
    name: str = ""
    place: str = ""
    aim: str = ""
    is_finished: bool = False
    wrong: tuple[str, ...] = ()

    @property
    def is_under_way(self) -> bool:
        """Whether it can be gone on with."""
        return not self.wrong and not self.is_finished

    @property
    def act(self) -> str:
        """What choosing it does."""
        if self.wrong:
            return "! Can't be read:"
        return "Review" if self.is_finished else "Resume"

    @property
    def line(self) -> str:
        """The build in one line."""
        if self.wrong:
            return f"{shown(self.path.name)}: {self.wrong[0]}"
        name = self.name or f"a build without a name ({shown(self.path.name)})"
        aim = f" · {self.aim}" if self.aim else ""
        return f"{name}, {self.place}{aim}"


def look(path: Path) -> Found:
    """One file of the folder."""
    from wizard.report.finishing import is_finished
    from wizard.steps.walk import STEPS, position, step_named
    from wizard.store.opening import Unreadable, open_profile

    try:
        build = open_profile(path).build
    except Unreadable as error:
        return Found(path, wrong=tuple(line.removeprefix(f"{path}: ") for line in error.details))
    step = step_named(build.build.step)
    place = f"step {position(step)} of {len(STEPS)}: {step.title}"
    finished = is_finished(build)
    return Found(
        path,
        build.build.name or "",
        "finished" if finished else place,
        build.aim.behaviour or "",
        finished,
    )


def look_through(folder: Path) -> tuple[tuple[Found, ...], str]:
    """All that lies in a folder, last written first; and what kept it from being looked at."""
    try:
        return tuple(look(listed.path) for listed in list_profiles(folder)), ""
    except ReadRefused as error:
        return (), str(error)
