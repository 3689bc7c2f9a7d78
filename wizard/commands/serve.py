"""`plugwright serve`: the app in a browser, on this computer or on a tablet at the bench."""

from __future__ import annotations

import os
import signal
import sys
from argparse import Namespace
from typing import TYPE_CHECKING

from wizard.commands.arguments import Parser, parser, stop

if TYPE_CHECKING:
    from wizard.serving.door import Door

LOOPBACK = "127.0.0.1"
"""The address that nobody but this computer reaches."""
EXAMPLES = """\
  plugwright serve                            on this computer alone
  plugwright serve --folder ~/plugs
  plugwright serve --host 192.168.1.20        for a tablet in your own network, on purpose
  plugwright serve --host 0.0.0.0 --port 8017 at every address of this computer
"""
WARNING = """\
! Whoever is in the same network can reach this address. The token keeps them out, but
! nothing is encrypted: who listens in can read what you do, and the token with it.
! Do this in your own network only, and end it when you are done.
"""
_NEEDS = (
    "the browser takes packages that are not installed ({missing})."
    " In the project's folder: pip install '.[serve]'"
)


def _parser() -> Parser:
    about = "Show the app in a browser: here, or on a tablet at the bench."
    asked = parser("serve", about, EXAMPLES)
    asked.add_argument("--folder", help="where builds live, instead of the usual place")
    asked.add_argument(
        "--host",
        default=LOOPBACK,
        metavar="ADDRESS",
        help=f"the address to listen at; {LOOPBACK}, this computer alone, unless you name another",
    )
    asked.add_argument(
        "--port", type=int, default=0, metavar="N", help="the port, else any that is free"
    )
    return asked


def run(arguments: list[str]) -> int:
    """Serve until Ctrl+C; returns the exit status."""
    asked = _parser().parse_args(arguments)
    if not asked.host:
        stop(f"--host is empty; expected an address of this computer, such as {LOOPBACK}")
    if not 0 <= asked.port <= 65535:
        stop(f"--port {asked.port} is impossible; expected 1 to 65535, or 0 for a free one")
    import asyncio

    try:
        import wizard.serving.square  # noqa: F401 - what is missing is told before it listens
        from wizard.serving.server import NotListening, Wish, serve
    except ModuleNotFoundError as missing:
        if (missing.name or "").startswith("wizard"):
            raise
        stop(_NEEDS.format(missing=missing.name))
    folder = (
        [f"--folder={os.path.abspath(os.path.expanduser(asked.folder))}"] if asked.folder else []
    )
    wish = Wish(asked.host, asked.port, (*folder, "--mouse"))
    try:
        ended, is_saved = asyncio.run(serve(wish, lambda door: _tell(door, asked)))
    except NotListening as fault:
        where = f"{asked.host}, port {asked.port}" if asked.port else asked.host
        stop(f"can't listen at {where}: {fault}. Name an address of this computer and a free port")
    except KeyboardInterrupt:  # where signals can't be waited for
        return 0
    if not is_saved:
        sys.stdout.write("\nEnded, but not every window could save: see above.\n")
        return 1
    sys.stdout.write("\nEnded. Every answer is saved.\n")
    return 0 if ended == signal.SIGINT else 128 + ended


def _tell(door: Door, asked: Namespace) -> None:
    from wizard.serving.door import TOKEN, bracketed, is_everywhere, is_loopback
    from wizard.store.faults import shown
    from wizard.store.folder import builds_folder

    host = _own_address(door.name) if is_everywhere(door.name) else door.name
    if not is_loopback(host):
        sys.stderr.write(WARNING)
        sys.stderr.flush()
    address = f"http://{bracketed(host)}:{door.port}/?{TOKEN}={door.token}"
    lines = (
        "Open this address in a browser:",
        "",
        f"  {address}",
        "",
        *([] if is_loopback(host) else _square(address)),
        f"Whoever has it works on your builds in {shown(builds_folder(asked.folder))}, as you do.",
        "It holds until you end this with Ctrl+C; open windows are saved then.",
    )
    sys.stdout.write("\n".join(lines) + "\n")
    sys.stdout.flush()


def _square(address: str) -> list[str]:
    """The address for a tablet's camera, where the output can hold it."""
    if not (sys.stdout.encoding or "").lower().startswith("utf"):
        return []
    from wizard.serving.square import square

    return ["or point the tablet's camera at this:", "", *square(address), ""]


def _own_address(wildcard: str) -> str:
    """The address by which others reach this computer; no packet is sent to find it.

    Source: RFC 5737 and 3849: addresses for documentation, to which nothing leads.
    """
    import socket

    is_new = ":" in wildcard
    family = socket.AF_INET6 if is_new else socket.AF_INET
    with socket.socket(family, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("2001:db8::1" if is_new else "192.0.2.1", 9))
        except OSError:  # in no network
            return "::1" if is_new else LOOPBACK
        name: str = probe.getsockname()[0]
        return name
