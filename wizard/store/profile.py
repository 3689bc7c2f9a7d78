"""The profile: one build as TOML, made to be read and mended by hand.

`read` turns bytes into a record and says all that is wrong with them; `write`
does the reverse. What was typed is kept as typed; keys that this version does
not know are kept and named.
"""

from __future__ import annotations

from wizard.plug.checks import impossible
from wizard.plug.findings import Finding
from wizard.plug.record import Build
from wizard.store.ending import PROMISE
from wizard.store.parsing import LARGEST
from wizard.store.problems import Problem, ProfileError
from wizard.store.records import Kind, read_record
from wizard.store.writing import write_record

__all__ = ["FORMAT", "LARGEST", "Problem", "ProfileError", "read", "write"]

FORMAT = 1
HEADER = (
    "# A Plugwright profile: one plug. Quantities stand as they were typed, with their unit.\n"
    "# It may be mended by hand; the program keeps every key but not comments.\n"
    f"{PROMISE}\n\n"
)
KIND = Kind(Build, "profile", FORMAT, ("build", "units"), HEADER, impossible)


def read(data: bytes, source: str) -> tuple[Build, tuple[Finding, ...]]:
    """The record that a profile holds, and what is odd about the file itself.

    Args:
        data: the file.
        source: what to call it in messages.

    Raises:
        ProfileError: it can't be read; holds every problem found.
    """
    return read_record(data, source, KIND)


def write(build: Build) -> bytes:
    """The profile of a build, as bytes of UTF-8 TOML."""
    return write_record(build, KIND)
