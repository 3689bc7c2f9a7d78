"""All that follows from a build and is shown: worked out off the keys, in a thread."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from wizard.app.messages import Reckoned
from wizard.plug.body.drawing import is_drawn
from wizard.plug.derive import stages

if TYPE_CHECKING:
    from wizard.plug.record import Build


def reckoned(build: Build, past: Reckoned | None = None) -> Iterator[Reckoned]:
    """What is a sum at once; all numbers; then, if a body is drawn, its picture and promise.

    Args:
        build: the record.
        past: what was shown last; its picture stands until the new one is drawn.
    """
    for now in stages(build):
        if not now.is_whole:
            yield Reckoned(build, now)
    if not is_drawn(build.shape):
        yield Reckoned(build, now)
        return
    if past is not None:
        yield Reckoned(build, now, picture=past.picture, promise=past.promise)
    from wizard.drawing.scene import scene
    from wizard.plug.ballast.planned import planned

    yield Reckoned(build, now, picture=scene(build, now), promise=planned(build))
