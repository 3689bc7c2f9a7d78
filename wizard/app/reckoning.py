"""All that follows from a build and is shown: worked out off the keys, in a thread."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wizard.app.messages import Reckoned
from wizard.plug.derive import derive
from wizard.plug.drawing import is_drawn

if TYPE_CHECKING:
    from wizard.plug.record import Build


def reckoned(build: Build) -> Reckoned:
    """The numbers of a build and, once a body is drawn, its picture and its promise."""
    now = derive(build)
    if not is_drawn(build.shape):
        return Reckoned(build, now)
    from wizard.drawing.scene import scene
    from wizard.plug.planned import planned

    return Reckoned(build, now, picture=scene(build, now), promise=planned(build))
