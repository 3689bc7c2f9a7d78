"""The bench file: what a maker owns and knows, one TOML file beside the builds.

Read and written by the same walk as a profile, with the same strict grammar. It is
never required: where none is, the bench is empty.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from wizard.plug.bench import Bench, impossible
from wizard.plug.findings import Finding
from wizard.store.ending import PROMISE
from wizard.store.faults import ReadRefused
from wizard.store.folder import BENCH_FILE
from wizard.store.parsing import LARGEST
from wizard.store.problems import ProfileError
from wizard.store.reading import Fingerprint
from wizard.store.records import Kind, read_record
from wizard.store.writing import write_record

FORMAT = 1
HEADER = (
    "# A Plugwright bench: what new builds start from. Quantities stand as they were typed.\n"
    "# It may be mended by hand; the program keeps every key but not comments.\n"
    f"{PROMISE}\n\n"
)
KIND = Kind(Bench, "bench file", FORMAT, ("bench", "units"), HEADER, impossible)


class BenchUnreadable(Exception):  # noqa: N818 - it names the state
    """A bench file that can't be used, in one line."""


@dataclass(frozen=True, slots=True)
class OpenBench:
    """A bench as it was read.

    Attributes:
        path: where it lies, or would.
        bench: the record; empty where there is no file.
        odd: what is odd about the file itself.
        fingerprint: of the bytes read, for the next save; None where there is no file.
    """

    path: Path
    bench: Bench
    odd: tuple[Finding, ...] = ()
    fingerprint: Fingerprint | None = None


def bench_path(folder: Path) -> Path:
    """Where the bench file of a folder of builds lies."""
    return folder / BENCH_FILE


def read(data: bytes, source: str) -> tuple[Bench, tuple[Finding, ...]]:
    """The record that a bench file holds, and what is odd about the file itself.

    Raises:
        ProfileError: it can't be read; holds every problem found.
    """
    return read_record(data, source, KIND)


def write(bench: Bench) -> bytes:
    """The file of a bench, as bytes of UTF-8 TOML."""
    return write_record(bench, KIND)


def open_bench(path: Path) -> OpenBench:
    """Read a bench file; an empty bench where none is.

    Raises:
        BenchUnreadable: what is there can't be used, with the reason in one line.
    """
    from wizard.store.reading import read as read_bytes

    if not path.exists() and not path.is_symlink():
        return OpenBench(path, Bench())
    try:
        data, fingerprint = read_bytes(path, LARGEST)
        bench, odd = read(data, str(path))
    except (ReadRefused, ProfileError) as error:
        raise BenchUnreadable(str(error)) from None
    return OpenBench(path, bench, odd, fingerprint)


def save_bench(opened: OpenBench, bench: Bench) -> OpenBench:
    """Save a bench over what was read.

    Raises:
        ChangedOutside: another program has changed the file; nothing is written.
        SaveFailed: it can't be saved; the old file is as it was.
    """
    from wizard.store.files import save
    from wizard.store.folder import make_folder

    make_folder(opened.path.parent)
    saved = save(opened.path, write(bench), expected=opened.fingerprint)
    return OpenBench(opened.path, bench, opened.odd, saved.fingerprint)
