"""`plugwright completion`: a static script that completes commands and options in a shell.

The script is made once, from the very parsers of the commands; pressing Tab starts no
interpreter.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable, Iterator, Mapping
from importlib import import_module
from typing import Any

from wizard.commands.arguments import PROGRAM, Parser, parser

EXAMPLES = """\
  plugwright completion bash > ~/.local/share/bash-completion/completions/plugwright
  plugwright completion zsh > ~/.zfunc/_plugwright
  plugwright completion fish > ~/.config/fish/completions/plugwright.fish
"""
SHELLS = ("bash", "zsh", "fish")

Options = Mapping[str, tuple[str, ...]]
"""Options of a command, each with the words it takes; none for a file or free text."""


def _parser() -> Parser:
    asked = parser("completion", "Print a completion script for a shell.", EXAMPLES)
    asked.add_argument("shell", choices=SHELLS, help="the shell that you type in")
    return asked


def run(arguments: list[str]) -> int:
    """Print the script; returns the exit status."""
    asked = _parser().parse_args(arguments)
    sys.stdout.write(script(asked.shell))
    return 0


def script(shell: str) -> str:
    """The script for a shell, one of `SHELLS`."""
    commands = dict(_commands())
    lines = {"bash": _bash, "zsh": _zsh, "fish": _fish}[shell](commands)
    return "\n".join(lines) + "\n"


def _commands() -> Iterator[tuple[str, Options]]:
    """Each command with its options; the program's own under an empty name."""
    main: Any = import_module("wizard.__main__")
    yield "", _options(main._app_parser())
    for name, module in main.COMMANDS.items():
        own: Any = import_module(module)
        make = own._parser
        yield name, _options(make())


def _options(made: argparse.ArgumentParser) -> Options:
    found: dict[str, tuple[str, ...]] = {}
    for action in made._actions:
        words = tuple(str(choice) for choice in action.choices or ())
        if not action.option_strings and words:
            found[""] = words  # a positional word
        for option in action.option_strings:
            found[option] = words
    return found


def _listed(words: Iterable[str]) -> str:
    return " ".join(words)


def _named(options: Options) -> list[str]:
    return [option for option in options if option]


def _bash(commands: Mapping[str, Options]) -> Iterator[str]:
    names = [name for name in commands if name]
    yield f"# bash completion for {PROGRAM}; made by: {PROGRAM} completion bash"
    yield f"_{PROGRAM}() {{"
    yield '    local word="${COMP_WORDS[COMP_CWORD]}" before="${COMP_WORDS[COMP_CWORD-1]}"'
    yield '    local command="${COMP_WORDS[1]}" words="" file'
    yield "    COMPREPLY=()"
    yield '    case "$command:$before" in'
    for name, options in commands.items():
        for option, choices in options.items():
            if option and choices:
                pattern = f"{name}:{option}" if name else f"*:{option}"
                yield f'        {pattern}) words="{_listed(choices)}" ;;'
    yield "    esac"
    yield '    if [ -n "$words" ]; then'
    yield '        COMPREPLY=($(compgen -W "$words" -- "$word"))'
    yield "        return"
    yield "    fi"
    yield '    case "$command" in'
    for name in names:
        options = commands[name]
        yield f'        {name}) words="{_listed((*options.get("", ()), *_named(options)))}" ;;'
    yield f'        *) words="{_listed(_named(commands[""]))}" ;;'
    yield "    esac"
    yield f'    [ "$COMP_CWORD" -eq 1 ] && words="{_listed((*names, *_named(commands[""])))}"'
    yield '    COMPREPLY=($(compgen -W "$words" -- "$word"))'
    yield '    [ "${word#-}" = "$word" ] || return'
    yield '    while IFS= read -r file; do COMPREPLY+=("$file"); done < <(compgen -f -- "$word")'
    yield "}"
    yield f"complete -o filenames -F _{PROGRAM} {PROGRAM}"


def _zsh(commands: Mapping[str, Options]) -> Iterator[str]:
    names = [name for name in commands if name]
    yield f"#compdef {PROGRAM}"
    yield f"# made by: {PROGRAM} completion zsh"
    yield f"_{PROGRAM}() {{"
    yield '    local -a line=("${words[@]}") found'
    yield "    if (( CURRENT == 2 )); then"
    yield f"        found=({_listed((*names, *_named(commands[''])))})"
    yield "    else"
    yield '        case "$line[2]:$line[CURRENT-1]" in'
    for name, options in commands.items():
        for option, choices in options.items():
            if option and choices:
                pattern = f"{name}:{option}" if name else f"*:{option}"
                yield f"            {pattern}) found=({_listed(choices)}) ;;"
    yield "        esac"
    yield "        if (( $#found )); then"
    yield "            compadd -a found"
    yield "            return"
    yield "        fi"
    yield '        case "$line[2]" in'
    for name in names:
        options = commands[name]
        listed = _listed((*options.get("", ()), *_named(options)))
        yield f"            {name}) found=({listed}) ;;"
    yield f"            *) found=({_listed(_named(commands['']))}) ;;"
    yield "        esac"
    yield "    fi"
    yield "    compadd -a found"
    yield "    _files"
    yield "}"
    yield f'_{PROGRAM} "$@"'


def _fish(commands: Mapping[str, Options]) -> Iterator[str]:
    names = [name for name in commands if name]
    yield f"# fish completion for {PROGRAM}; made by: {PROGRAM} completion fish"
    first = "__fish_use_subcommand"
    for name in names:
        yield f"complete -c {PROGRAM} -n {first} -a {name}"
    for name, options in commands.items():
        where = f"'__fish_seen_subcommand_from {name}'" if name else first
        for option, choices in options.items():
            if not option:
                yield f"complete -c {PROGRAM} -n {where} -a '{_listed(choices)}'"
                continue
            flag = f"-l {option[2:]}" if option.startswith("--") else f"-s {option[1:]}"
            takes = f" -x -a '{_listed(choices)}'" if choices else ""
            yield f"complete -c {PROGRAM} -n {where} {flag}{takes}"
