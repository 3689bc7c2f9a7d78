"""The page on the command line, made from the parsers themselves."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from importlib import import_module
from textwrap import fill

from wizard.__main__ import COMMANDS, _app_parser

HEAD = """\
# plugwright, the command

This page is made from the program's own parsers; a test compares the two. To make it
anew after a change: `PLUGWRIGHT_DRAW=1 python -m pytest tests/process/test_command_line.py`.

## Name

plugwright: make a fishing plug float, hang or sink as meant.

## Synopsis

    plugwright [options] [profile]
    plugwright command [options] ...
"""

TAIL = """\
## Exit status

- **0**: done. For `review` and all that reads a profile: it was read; warnings may stand in it.
- **1**: the output could not be written, a build could not be saved, or the program met a
  fault of its own.
- **2**: the profile or the command line could not be used; one line on standard error says
  what is wrong, where, and what to do. So it is when there is no terminal to ask in.
- **128 + n**: ended by signal n, with all saved.

Answers go to standard output, messages to standard error. No command asks anything: what
it needs is on its line. With `--json` the output is one JSON object.

## Environment

- **PLUGWRIGHT_HOME**: the folder of builds, unless `--folder` names one.
- **NO_COLOR**: if set and not empty, no colour code is sent, greys included.
- **TERM**: `dumb` gives the line mode, `linux` ASCII alone.
- **LC_ALL**, **LC_CTYPE**, **LANG**: an encoding other than UTF-8, or LC_ALL=C, gives ASCII alone.
- **SSH_CONNECTION**, **SSH_TTY**, **TMUX**, **STY**: over a network or in a multiplexer the mouse
  stays off unless `--mouse` asks for it; in the last two a copied number is also sent in the
  form that they pass on.

## Files

`plugwright where` prints where they are.

- **the folder of builds**: one TOML file a build, described in [profile.md](profile.md), and
  `bench.toml`, described in [bench-file.md](bench-file.md).
- **.plugwright** in it: locks, drafts, earlier versions, the bin, and **plugwright.fault**, the
  report of the last fault of the program. The report is written at a fault and never sent
  anywhere. It holds the version, the kind of system and terminal, the kind of fault, and the
  places in the program that led to it (file, line, function). It holds no answer, no name of a
  build, and no folder of yours; the words of the fault are left out, since they may quote an
  answer.

There is no other log.
"""


def page() -> str:
    """The page as it should be."""
    parts = [HEAD, "## Without a command\n", *_command("", _app_parser()), "## Commands\n"]
    for name, module in COMMANDS.items():
        parts += [f"### {name}\n", *_command(name, import_module(module)._parser())]
    return "\n".join((*parts, TAIL))


def _command(name: str, made: argparse.ArgumentParser) -> Iterator[str]:
    yield fill(" ".join(f"{made.description}".split()), 92) + "\n"
    yield f"    {made.prog} {' '.join(_synopsis(made))}".rstrip() + "\n"
    lines = [f"- `{_named(action)}`: {action.help}" for action in _told(made)]
    if lines:
        yield "\n".join(lines) + "\n"
    examples = (made.epilog or "").partition("\n")[2]
    yield "\n".join(f"  {line}" for line in examples.splitlines()) + "\n"


def _told(made: argparse.ArgumentParser) -> list[argparse.Action]:
    return [action for action in made._actions if action.help and action.dest != "help"]


def _synopsis(made: argparse.ArgumentParser) -> Iterator[str]:
    if any(action.option_strings for action in _told(made)):
        yield "[options]"
    for action in made._actions:
        if not action.option_strings:
            word = _word(action)
            many = {"?": f"[{word}]", "+": f"{word} ..."}
            yield many.get(str(action.nargs), word)


def _word(action: argparse.Action) -> str:
    if action.choices:
        return "|".join(str(choice) for choice in action.choices)
    return str(action.metavar or action.dest)


def _named(action: argparse.Action) -> str:
    if not action.option_strings:
        return _word(action)
    takes = "" if action.nargs == 0 else f" {_word(action) if action.choices else _upper(action)}"
    return ", ".join(action.option_strings) + takes


def _upper(action: argparse.Action) -> str:
    return str(action.metavar or action.dest.upper())
