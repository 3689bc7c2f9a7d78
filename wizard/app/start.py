"""Opening the app: look at the terminal first, then load no more than it needs."""

from __future__ import annotations

import gc
import os
import signal
import sys
import warnings
from types import FrameType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pathlib import Path

    from wizard.app.app import Plugwright

PAINTS = 240
"""Ticks of a second at which may be painted; Textual lets one or two of them pass between two
paints, which is 4 to 8 ms here and 17 to 33 ms with its own 60."""


TURN = 0.0005
"""Seconds that the thread that saves may work while the one that paints waits: a tenth of usual."""


def run(
    profile: str | None,
    folder: str | None,
    *,
    plain: bool = False,
    ascii_only: bool = False,
    mouse: bool | None = None,
    theme: str | None = None,
) -> int:
    """Open the app, or the plain mode where there is no terminal for it.

    Args:
        profile: a build to open; begun if it isn't there.
        folder: where builds live; None for the usual place.
        plain: line by line instead of a screen.
        ascii_only: nothing but ASCII.
        mouse: whether the mouse is used; None: not over a network or a multiplexer.
        theme: the name of the colours; None for those of the bench, else the dark ones.

    Returns:
        The exit status.
    """
    if plain or not can_show_screens():
        from wizard.plain.start import run as run_plain

        return run_plain(profile, folder, ascii_only=ascii_only or needs_ascii())
    if not sys.warnoptions:  # what one library has to tell another is no news for a maker
        warnings.simplefilter("ignore")
    os.environ.setdefault("TEXTUAL_FPS", str(PAINTS))
    gc.disable()  # nothing to sweep while loading; later the app sees to it
    sys.setswitchinterval(TURN)
    from pathlib import Path

    from wizard.apart.elsewhere import Elsewhere
    from wizard.app.app import Plugwright
    from wizard.app.sweeping import Sweeper
    from wizard.store.folder import builds_folder, is_unused

    builds = builds_folder(folder)
    of_bench, keys, trouble = habits(builds)
    app = Plugwright(
        builds,
        Path(os.path.expanduser(profile)) if profile else None,
        ascii_only=ascii_only or needs_ascii(),
        theme=theme or of_bench or "dark",
        lead=f"! {trouble}" if trouble else "",
        first_run=profile is None and is_unused(builds),
        apart=Elsewhere(),
        sweeper=Sweeper(),
        driver_class=driver(),
    )
    app.use_keys(keys)
    _leave_on_signals(app)
    app.run(mouse=uses_mouse() if mouse is None else mouse)
    return app.return_value if app.return_value is not None else app.return_code or 0


def habits(builds: Path) -> tuple[str | None, dict[str, str], str]:
    """Colours and keys that the bench asks for; nothing is read where there is no bench.

    Args:
        builds: the folder of builds.

    Returns:
        The name of the colours, None unless there are such; keys by the act's name; and
        what keeps the bench from being used, if something does.
    """
    from wizard.store.folder import BENCH_FILE

    if not (builds / BENCH_FILE).exists():
        return None, {}, ""
    from wizard.app.themes import DESCRIBED
    from wizard.session.bench import bench_of

    bench, trouble = bench_of(builds)
    theme = bench.bench.theme
    keys = {act: str(key) for act, key in bench.keys.items()}
    return theme if theme in DESCRIBED else None, keys, trouble


NO_TERMINAL = (
    "there is no terminal to ask in; --plain reads answers from the input, "
    "review PROFILE prints what is known"
)


def has_terminal() -> bool:
    """Whether somebody can be asked: nobody answers a pipe, or a browser does."""
    return bool(os.environ.get("TEXTUAL_DRIVER")) or sys.stdin.isatty()


def can_show_screens() -> bool:
    """Whether the terminal can do more than lines."""
    return bool(os.environ.get("TEXTUAL_DRIVER")) or os.environ.get("TERM", "") not in ("", "dumb")


def driver() -> type[Any] | None:
    """The terminal's driver; None where Textual's own is the only one."""
    if sys.platform == "win32" or os.environ.get("TEXTUAL_DRIVER"):
        return None
    from wizard.app.driver import Terminal

    return Terminal


def needs_ascii() -> bool:
    """Whether ASCII alone is shown well: no UTF-8, the Linux console, the old one of Windows."""
    encoding = (getattr(sys.__stdout__, "encoding", "") or "").lower().replace("-", "")
    is_console = os.environ.get("TERM") == "linux"
    is_old_window = sys.platform == "win32" and "WT_SESSION" not in os.environ
    return is_console or is_old_window or encoding != "utf8" or not _locale_is_utf8()


def _locale_is_utf8() -> bool:
    """What the locale says of the terminal: Python itself writes UTF-8 where it says C."""
    named = (os.environ.get(name, "") for name in ("LC_ALL", "LC_CTYPE", "LANG"))
    said = next((value for value in named if value), "UTF-8")
    return "utf8" in said.lower().replace("-", "")


def uses_mouse() -> bool:
    """Whether the mouse is used unasked: a lost connection leaves its codes behind."""
    return not any(name in os.environ for name in ("SSH_CONNECTION", "SSH_TTY", "TMUX", "STY"))


def _leave_on_signals(app: Plugwright) -> None:
    """SIGTERM and SIGHUP save, give the terminal back and end, within a second."""

    def leave(number: int, frame: FrameType | None) -> None:
        app.leave_from_thread(128 + number)

    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), leave)
