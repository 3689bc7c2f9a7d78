"""Small drawings where words fail: where a measure is taken, in ASCII for any terminal."""

from __future__ import annotations

from collections.abc import Mapping

_DUNK = r"""
             needle
               |
 |             |             |
 |~~~~~~~~~~~~~|~~~~~~~~~~~~~|  water
 |         .---+---.         |
 |        (  body   )        |  just under,
 |         '-------'         |  touching no wall
 +---------------------------+
   [ scale: zeroed before; the gain now ]
"""

_SIDES = r"""
   +--------------------------+
  /                          /|  thickness:
 +--------------------------+ |  the way through
 |  grain ---------------->  | +
 |                          |/   width
 +--------------------------+
    length, along the grain
"""

_SIZES = r"""
 |<------------ length ------------>|
        _____________________         -+-
    .--'                     '--.__    |  height,
 --<                               >   |  seen from
    '--.____________________.---''     |  the side
                                      -+-
 thickness: the same seen from above, at the widest
"""

_PLACE = r"""
 |<----- x ---->|
               _o___________________
         .----'   ^                 '--.__
 nose   <         |                       >
         '--.____ | _________________.--''
 - - - - - - - - -+- - - - - - - - - - - -  baseline
 x: aft of the nose;  z: up from the baseline,
 the straight line under the belly at its lowest
"""

_STATION = r"""
 seen from the side              cut across at x
         _____________               top
     .--'     |       '--.__       .--+--.
    <         |             >     (   |   )
     '--._____|_______.--''        '--+--'
 - - - - - - -+- - - - - - -       bottom
    |<-- x -->|  baseline            |<-| half-breadth
"""

_HOLE = r"""
          ______________________
      .--'      ^               '--.__    back
     <          | wall of wood        >
      '--.____+-+-+___________.--''       belly
     |        |   |
     |<-- x --->| |  x: to the middle of the hole
              |<->|  diameter; depth: straight up
"""

_FREEBOARD = r"""
              _______         <- highest point
          .--'       '--.      |  of the body
 ~~~~~~~~/~~~~~~~~~~~~~~~\~~~  v  down to the water
         '---._______.---'
 Mark where the level water stands, not its rim.
"""

_REACH = r"""
 hanger  o   -+-
         O    |   ring
         |    |
         |    |   reach: to the farthest point
       \ | /  |
        '-'  -+-
"""

_PITCH = r"""
                          __---
                    __---'   _--'  tail
              __---'   __--''
 nose        '   __--''     the angle between the
            '--''           body and the level
 - - - - - - - - - - - - - - - - - - - - level
"""

_HEEL = r"""
   weight   [#]--->[#]     moved straight across
          .-----------.        /
         (      |      )      /  heel: how far
          '-----+-----'      /   it tips
 ~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~~
"""

_DRAWN = {
    "dunk": _DUNK,
    "sides": _SIDES,
    "sizes": _SIZES,
    "place": _PLACE,
    "station": _STATION,
    "hole": _HOLE,
    "freeboard": _FREEBOARD,
    "reach": _REACH,
    "pitch": _PITCH,
    "heel": _HEEL,
}

SKETCHES: Mapping[str, tuple[str, ...]] = {
    name: tuple(text.strip("\n").splitlines()) for name, text in _DRAWN.items()
}
"""Drawings by name, a line each; a prompt names the one that shows its measure."""
