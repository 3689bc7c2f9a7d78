"""Where builds live, and what each new one's file is called."""

import os
import stat
from dataclasses import dataclass
from pathlib import Path

from wizard.store.faults import ReadRefused, SaveFailed, words
from wizard.store.names import backup, file_name

HOME_VARIABLE = "PLUGWRIGHT_HOME"
BENCH_FILE = "bench.toml"
"""What the maker owns and knows; it lies beside the builds and is none itself."""


@dataclass(frozen=True)
class Listed:
    """A file that may be a build; it has not been opened.

    Attributes:
        path: where it is.
        modified: when it was last written, seconds since 1970.
        size: its length [byte].
    """

    path: Path
    modified: float
    size: int


def builds_folder(override: str | None = None) -> Path:
    """The folder of the maker's builds; it need not exist yet.

    Args:
        override: what the command line names; it goes before the environment's
            PLUGWRIGHT_HOME, and that before the system's place for a program's data.
    """
    named = override or os.environ.get(HOME_VARIABLE)
    if named:
        return Path(os.path.abspath(os.path.expanduser(named)))
    from platformdirs import user_data_path

    return user_data_path("plugwright", appauthor=False)


def make_folder(folder: Path) -> None:
    """Make the folder of builds, and those above it, for this user.

    Raises:
        SaveFailed: it can't be made.
    """
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except (OSError, ValueError) as fault:
        raise SaveFailed(folder, *words(fault)) from fault


def profile_path_for(folder: Path, name: str) -> Path:
    """A file for a new build where nothing is yet; always directly in `folder`.

    The same name gives the same file until one is there; a second build of that name
    gets a number.

    Args:
        folder: the folder of builds.
        name: whatever the maker calls it.
    """
    stem, number = file_name(name), 1
    path = folder / f"{stem}.toml"
    while any(map(os.path.lexists, (path, backup(path)))):  # a lost build keeps its past
        number += 1
        path = folder / f"{stem}-{number}.toml"
    return path


def list_profiles(folder: Path) -> list[Listed]:
    """The files in a folder that may be builds, last written first; none is opened.

    Raises:
        ReadRefused: the folder can't be looked into; one that isn't there is just empty.
    """
    try:
        with os.scandir(folder) as entries:
            found = [listed for entry in entries if (listed := _listed(entry))]
    except FileNotFoundError:
        return []
    except (OSError, ValueError) as fault:
        wrong, remedy = words(fault)
        raise ReadRefused(folder, wrong, "a folder of builds", remedy) from fault
    return sorted(found, key=lambda listed: (-listed.modified, listed.path.name))


def is_unused(folder: Path) -> bool:
    """Whether neither a bench file nor a build lies in a folder, as far as can be told."""
    if (folder / BENCH_FILE).exists():
        return False
    try:
        return not list_profiles(folder)
    except ReadRefused:
        return False


def _listed(entry: "os.DirEntry[str]") -> Listed | None:
    name = entry.name.lower()
    if name.startswith(".") or not name.endswith(".toml") or name == BENCH_FILE:
        return None
    try:
        state = entry.stat()  # a linked build is a build
    except OSError:  # a link to nowhere, or gone since
        return None
    if not stat.S_ISREG(state.st_mode):
        return None
    return Listed(Path(entry.path), state.st_mtime, state.st_size)
