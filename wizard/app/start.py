"""Opening the app: look at the terminal first, then load no more than it needs."""

from __future__ import annotations

import os
import signal
import sys
from types import FrameType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from wizard.app.app import Plugwright


def run(
    profile: str | None,
    folder: str | None,
    *,
    plain: bool = False,
    ascii_only: bool = False,
    mouse: bool | None = None,
    theme: str = "dark",
) -> int:
    """Open the app, or the plain mode where there is no terminal for it.

    Args:
        profile: a build to open; begun if it isn't there.
        folder: where builds live; None for the usual place.
        plain: line by line instead of a screen.
        ascii_only: nothing but ASCII.
        mouse: whether the mouse is used; None: not over a network or a multiplexer.
        theme: the name of the colours.

    Returns:
        The exit status.
    """
    if plain or not can_show_screens():
        from wizard.plain.start import run as run_plain

        return run_plain(profile, folder, ascii_only=ascii_only or needs_ascii())
    from wizard.app.app import Plugwright
    from wizard.session.opening import place
    from wizard.store.folder import builds_folder

    app = Plugwright(
        builds_folder(folder),
        place(profile) if profile else None,
        ascii_only=ascii_only or needs_ascii(),
        theme=theme,
        driver_class=driver(),
    )
    _leave_on_signals(app)
    app.run(mouse=uses_mouse() if mouse is None else mouse)
    return app.return_value if app.return_value is not None else app.return_code or 0


def can_show_screens() -> bool:
    """Whether there is a terminal that can do more than lines."""
    if os.environ.get("TEXTUAL_DRIVER"):  # a browser
        return True
    return os.environ.get("TERM", "") not in ("", "dumb") and sys.stdin.isatty()


def driver() -> type[Any] | None:
    """The terminal's driver; None where Textual's own is the only one."""
    if sys.platform == "win32" or os.environ.get("TEXTUAL_DRIVER"):
        return None
    from wizard.app.driver import Terminal

    return Terminal


def needs_ascii() -> bool:
    """Whether the terminal shows nothing but ASCII well: no UTF-8, or the Linux console."""
    encoding = (getattr(sys.__stdout__, "encoding", "") or "").lower().replace("-", "")
    return os.environ.get("TERM") == "linux" or encoding != "utf8"


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
