"""Carrying files of older formats forward.

A kind of file names, for each format before its own, the one function that makes the
tables of that format into those of the next; a file takes all the steps from its format
to the present one. Format 1 of profiles and bench files is the first, so there is no
such function yet.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from copy import deepcopy
from typing import Any

Step = Callable[[dict[str, Any]], dict[str, Any]]
"""From the tables of one format to those of the next."""


def carried(
    tables: Mapping[str, Any], number: int, present: int, older: Mapping[int, Step]
) -> dict[str, Any]:
    """The tables of a file as the present format has them; those given stay as they are.

    Args:
        tables: of the file.
        number: its format.
        present: the format wanted.
        older: by format, the step to the next.

    Raises:
        KeyError: a step is missing.
    """
    now: dict[str, Any] = deepcopy(dict(tables))
    for step in range(number, present):
        now = older[step](now)
    return {**now, "format": present}
