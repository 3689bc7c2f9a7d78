"""Saying and asking, a line at a time."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from textwrap import wrap
from typing import TextIO

from wizard.quantity.showing import literal

WIDTH = 78


class Gone(Exception):  # noqa: N818 - it names what happened
    """There is nobody to ask any more: the input has ended."""


class Talk:
    """Two files to talk over.

    Args:
        heard: where answers come from; the standard input if None.
        spoken: where words go; the standard output if None.
        ascii_only: whether signs are spelt out in ASCII.
    """

    def __init__(
        self,
        heard: TextIO | None = None,
        spoken: TextIO | None = None,
        *,
        ascii_only: bool = False,
    ) -> None:
        self._heard = heard or sys.stdin
        self._spoken = spoken or sys.stdout
        self._ascii = ascii_only

    def say(self, *lines: str) -> None:
        """Say lines, long ones wrapped."""
        for line in lines:
            for part in self._wrapped(self._spelled(line)):
                self._write(f"{part}\n")

    def ask(self, question: str) -> str:
        """Ask on a line of its own and wait for the answer.

        Raises:
            Gone: the input has ended.
        """
        asked = "\n".join(self._wrapped(self._spelled(question)))
        self._write(f"{asked} ")
        answer = self._heard.readline()
        if not answer or not self._heard.isatty():  # no Enter is seen on the screen
            self._write("\n")
        if not answer:
            raise Gone
        return answer.rstrip("\r\n")

    def choose(self, title: str, options: Iterable[str], at: int | None = None) -> str:
        """Show numbered options and ask for one; the answer is not judged."""
        self.say(title)
        for number, option in enumerate(options, start=1):
            held = " (this one holds)" if at == number - 1 else ""
            self.say(f"  {number} {option}{held}")
        return self.ask("Number:")

    def _spelled(self, text: str) -> str:
        shown = literal(text, 2000)
        if self._ascii:
            shown = shown.replace("±", "+/-").encode("ascii", "replace").decode()
        return shown

    def _wrapped(self, line: str) -> list[str]:
        if len(line) <= WIDTH:
            return [line]
        lead = " " * (len(line) - len(line.lstrip(" ")))
        return wrap(
            line,
            WIDTH,
            initial_indent=lead,
            subsequent_indent=f"{lead}  ",
            break_long_words=False,  # a path stays in one piece: it is there to be copied
            break_on_hyphens=False,
        )

    def _write(self, text: str) -> None:
        self._spoken.write(text)
        self._spoken.flush()
