"""Whether what was being typed, when the program last ended, still has a place."""

from __future__ import annotations

import re
from contextlib import suppress

from wizard.plug.paths import get, parse, spec_at
from wizard.plug.record import Build
from wizard.steps.wording import typed
from wizard.store.history import Draft

_FIELD = re.compile(r"[a-z_]+(\.([a-z_]+|[0-9]{1,4}))*", re.ASCII)


def standing(build: Build, field: str) -> str:
    """The answer that stands in a field, as typed; empty where the field holds none."""
    if not _FIELD.fullmatch(field):
        return ""
    path = parse(field)
    with suppress(KeyError, AttributeError, TypeError):  # a line of the form, or no field at all
        spec_at(path)
        return typed(get(build, path))
    return ""


def still_holds(build: Build, draft: Draft) -> bool:
    """Whether a draft is of a field, and typed over the answer that stands there now."""
    return bool(_FIELD.fullmatch(draft.field)) and standing(build, draft.field) == draft.over
