"""The command line: arguments first, then one front end, imported late."""

from __future__ import annotations

import os
import sys
from argparse import BooleanOptionalAction
from collections.abc import Mapping
from contextlib import redirect_stdout
from importlib import import_module
from io import TextIOWrapper

from wizard import __version__
from wizard.commands.arguments import Parser, parser, stop
from wizard.commands.outlet import Outlet

COMMANDS: Mapping[str, str] = {
    "review": "wizard.commands.review",
    "ballast": "wizard.commands.ballast",
    "picture": "wizard.commands.picture",
    "marking": "wizard.commands.marking",
    "template": "wizard.commands.template",
    "tank": "wizard.commands.tank",
    "learned": "wizard.commands.learned",
    "timetable": "wizard.commands.timetable",
    "history": "wizard.commands.history",
    "list": "wizard.commands.listing",
    "compare": "wizard.commands.compare",
    "scale": "wizard.commands.scale",
    "needs": "wizard.commands.needs",
    "export": "wizard.commands.export",
    "serve": "wizard.commands.serve",
    "where": "wizard.commands.where",
    "completion": "wizard.commands.completion",
}
"""Commands by name, each a module with `run(arguments) -> exit status`."""

THEMES = ("dark", "light", "contrast", "terminal")
"""Names of the app's colours, the first one unasked."""

EXAMPLES = """\
  plugwright                                  open the app on your builds
  plugwright my-plug.toml                     open one build, or begin it
  plugwright review my-plug.toml              every number of a build
  plugwright review my-plug.toml --json       the same for programs
  plugwright review my-plug.toml --working    with formulas, values and sources
  plugwright ballast my-plug.toml             a drill plan from your drawer
  plugwright picture my-plug.toml             the body, tilted as it will lie
  plugwright marking my-plug.toml             what to draw on the blank
  plugwright template my-plug.toml -o t.pdf   paper to glue on it, at 1:1
  plugwright tank my-plug.toml                the proof: mix, verdict, suspects, mend
  plugwright learned                          what your finished builds say of your work
  plugwright timetable my-plug.toml           the coats in time, what is due
  plugwright history my-plug.toml             earlier versions, and the way back
  plugwright list                             your builds; --find, --sort, --json
  plugwright compare one.toml other.toml      side by side, real differences marked
  plugwright scale my-plug.toml --factor 1.5  a new build from this one
  plugwright needs my-plug.toml               what it takes, before you begin
  plugwright export my-plug.toml -o t.pdf     the sheet to pin up, or to hand on
  plugwright serve                            the app in a browser, here or on a tablet
  plugwright where                            your files: builds, bench, reports
  plugwright completion bash                  for the shell: bash, zsh, fish
"""


def _app_parser() -> Parser:
    asked = parser("", "Make a fishing plug float, hang or sink as meant.", EXAMPLES)
    asked.add_argument("profile", nargs="?", help="a build to open, or to begin there")
    asked.add_argument("--folder", help="where builds live, instead of the usual place")
    asked.add_argument("--plain", action="store_true", help="line by line, for screen readers")
    asked.add_argument("--no-color", action="store_true", help="no colours, as NO_COLOR does")
    asked.add_argument("--ascii", action="store_true", help="nothing but ASCII on the screen")
    asked.add_argument(
        "--mouse",
        action=BooleanOptionalAction,
        default=None,
        help="use the mouse or not; off over a network unless asked for",
    )
    asked.add_argument("--theme", choices=THEMES, help="the colours, else those of your bench")
    asked.add_argument("--version", action="version", version=f"plugwright {__version__}")
    return asked


def _app(arguments: list[str]) -> int:
    asked = _app_parser().parse_args(arguments)
    if asked.profile in COMMANDS and not os.path.lexists(asked.profile):
        stop(f"{asked.profile} comes before its options. Try: plugwright {asked.profile} --help")
    if asked.no_color:
        os.environ["NO_COLOR"] = "1"
    from wizard.app.start import NO_TERMINAL, has_terminal, run

    if not asked.plain and not has_terminal():
        stop(f"{NO_TERMINAL}. Try: plugwright --help")
    return run(
        asked.profile,
        asked.folder,
        plain=asked.plain,
        ascii_only=asked.ascii,
        mouse=asked.mouse,
        theme=asked.theme,
    )


def _run(arguments: list[str]) -> int:
    if arguments and arguments[0] in COMMANDS:
        if isinstance(sys.stdout, TextIOWrapper):  # a sign the terminal lacks must not stop it
            sys.stdout.reconfigure(errors="replace")
        with redirect_stdout(Outlet(sys.stdout)):
            status: int = import_module(COMMANDS[arguments[0]]).run(arguments[1:])
        return status
    return _app(arguments)


def _opened_streams() -> None:
    """Give a program started with its output closed somewhere to write to."""
    if sys.stdout is None:
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115 - until the end
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115


def _unwritten(fault: OSError) -> int:
    """The exit status when nobody takes the output, said in one line unless a reader just left."""
    # Python would try again at the end and complain in lines of its own.
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    if not isinstance(fault, BrokenPipeError):
        sys.stderr.write(f"plugwright: the output was not written: {fault.strerror}\n")
    return 1


def main(arguments: list[str] | None = None) -> int:
    """Run the program; returns the exit status."""
    # The arrays here are small: a pool of threads costs start-up time and gains none.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    _opened_streams()
    try:
        status = _run(sys.argv[1:] if arguments is None else arguments)
        sys.stdout.flush()
    except OSError as fault:
        if fault.filename is not None:  # a file, not the output
            return _faulty(fault, arguments)
        return _unwritten(fault)
    except Exception as fault:
        return _faulty(fault, arguments)
    return status


def _faulty(fault: Exception, arguments: list[str] | None) -> int:
    """The exit status for a fault of the program, told in one line; a caller gets the fault."""
    if arguments is not None:
        raise fault
    from wizard.session.faults import told
    from wizard.store.folder import builds_folder

    sys.stderr.write(f"{told(fault, builds_folder())}\n")
    return 1


if __name__ == "__main__":
    raise SystemExit(main())
