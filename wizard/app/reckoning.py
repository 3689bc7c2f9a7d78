"""All that follows from a build and is shown: worked out off the keys, in a thread."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from wizard.app.messages import Reckoned
from wizard.plug.body.drawing import is_drawn
from wizard.plug.derive import derive

if TYPE_CHECKING:
    from wizard.plug.record import Build


def reckoned(build: Build, past: Reckoned | None = None) -> Iterator[Reckoned]:
    """The numbers of a build at once; then, if a body is drawn, its picture and its promise.

    Args:
        build: the record.
        past: what was shown last; its picture stands until the new one is drawn.
    """
    now = derive(build)
    if not is_drawn(build.shape):
        yield Reckoned(build, now)
        return
    if past is not None:
        yield Reckoned(build, now, picture=past.picture, promise=past.promise)
    from wizard.drawing.scene import scene
    from wizard.plug.ballast.planned import planned

    yield Reckoned(build, now, picture=scene(build, now), promise=planned(build))
