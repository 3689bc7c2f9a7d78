"""Names of files: from what a maker calls a build, and of what stands beside it."""

import os
import re
from binascii import crc32
from pathlib import Path

_LONGEST_NAME = 255  # bytes: the limit of nearly every file system
_LONGEST_SLUG = 40  # characters
_HIDDEN_FOLDER = ".plugwright"
_TEMPORARY = ".plugwright-"

LOCK, DRAFT, HISTORY = ".lock", ".draft", ".history"  # companions of a build
FAULT = ".fault"  # of a folder of builds: the trace of the last fault of the program


def file_name(build_name: str) -> str:
    """An ASCII file name for any build name at all, without its ending.

    A readable part, then ten digits of a digest of the whole name.
    Spellings that Unicode calls the same (composed or not) give the same name, names
    that differ in case alone do not, and no name is reserved by any system.

    Args:
        build_name: whatever was typed.
    """
    import unicodedata
    from hashlib import blake2b

    composed = unicodedata.normalize("NFC", build_name)
    digest = blake2b(composed.encode("utf-8", "surrogatepass"), digest_size=5).hexdigest()
    ascii_only = unicodedata.normalize("NFKD", build_name).encode("ascii", "ignore").decode("ascii")
    slug = re.sub(r"[^a-z0-9]+", "-", ascii_only.lower()).strip("-")[:_LONGEST_SLUG].strip("-")
    return f"{slug or 'build'}-{digest}"


def sibling(target: Path, ending: str) -> Path:
    """The file beside `target` with `ending` added, its name shortened if it must be."""
    return target.with_name(_fitted(target.name, ending))


def backup(target: Path) -> Path:
    """Where the version before the last save is kept."""
    return sibling(target, ".bak")


def temporary(target: Path, token: str) -> Path:
    """A hidden name beside `target` for a file that is still being written."""
    return target.with_name(f"{_temporary_prefix(target)}{token}.tmp")


def is_temporary(name: str, *targets: Path) -> bool:
    """Whether a file of this name was being written: for one of `targets`, if any are named."""
    prefixes = tuple(map(_temporary_prefix, targets)) or (_TEMPORARY,)
    return name.startswith(prefixes) and name.endswith(".tmp")


def companion(path: Path, ending: str) -> Path:
    """Where the lock, draft or history of a build is: in a hidden folder beside it.

    Links are followed first, so that a build has one lock by whatever name it is opened.
    """
    target = Path(os.path.realpath(path))
    return target.parent / _HIDDEN_FOLDER / _fitted(target.name, ending)


def _temporary_prefix(target: Path) -> str:
    return f"{_TEMPORARY}{_short_sum(target.name)}-"


def _fitted(name: str, ending: str) -> str:
    """`name` and `ending`, cut to what file systems take; a sum keeps cut names apart."""
    if len(os.fsencode(name)) + len(ending) <= _LONGEST_NAME:
        return name + ending
    return f"{name[:_LONGEST_SLUG]}~{_short_sum(name)}{ending}"


def _short_sum(name: str) -> str:
    return f"{crc32(os.fsencode(name)):08x}"
