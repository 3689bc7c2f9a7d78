"""Finding the line on which a key of a TOML text stands.

The standard parser reports no positions. This scanner knows the grammar of keys,
headers, strings, arrays and inline tables and nothing of values; in a text that is
no TOML it stops where it loses its way.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from dataclasses import dataclass
from functools import lru_cache

from wizard.plug.paths import Path

DEEPEST = 40
"""Tables within tables that are read; a profile has four."""

_BETWEEN = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_PART = re.compile(r"[A-Za-z0-9_-]+|\"(?:[^\"\\\n]|\\.)*\"|'[^'\n]*'")
_STRINGS = {
    '"""': re.compile(r'"{3}(?:[^\\]|\\.)*?"{3,5}', re.DOTALL),
    "'''": re.compile(r"'{3}.*?'{3,5}", re.DOTALL),
    '"': re.compile(r'"(?:[^"\\\n]|\\.)*"'),
    "'": re.compile(r"'[^'\n]*'"),
}
_PLAIN = re.compile(r"[^,\]}#\n]*")


class _Lost(Exception):  # noqa: N818 - it names the state
    """The text follows no grammar known here."""


@dataclass(frozen=True, slots=True)
class Statement:
    """A header, or a key with its value.

    Attributes:
        path: of the table or the value.
        first: the line it begins on, counted from one.
        last: the line it ends on; of a statement never finished, the last of the text.
    """

    path: Path
    first: int
    last: int


class Scan:
    """Where each path of a text begins, and its statements in order.

    Attributes:
        found: the line of each path, counted from one.
        statements: as far as the text could be followed.
        too_deep: the line on which tables are nested beyond `DEEPEST`, if any.
    """

    def __init__(self, text: str) -> None:
        self.found: dict[Path, int] = {}
        self.statements: list[Statement] = []
        self.too_deep: int | None = None
        self._text = text
        self._at = 0
        self._starts = [0, *(m.end() for m in re.finditer("\n", text))]
        self._counts: dict[Path, int] = {}
        try:
            self._document()
        except _Lost:
            return

    def at(self, line: int) -> Statement | None:
        """The last statement begun on a line or running over it."""
        hits = (s for s in reversed(self.statements) if s.first <= line <= s.last)
        return next(hits, None)

    def _line(self) -> int:
        return bisect_right(self._starts, self._at)

    def _take(self, pattern: re.Pattern[str]) -> str:
        match = pattern.match(self._text, self._at)
        if match is None:
            raise _Lost
        self._at = match.end()
        return match.group()

    def _sees(self, sign: str) -> bool:
        return self._text.startswith(sign, self._at)

    def _skip(self, sign: str) -> bool:
        seen = self._sees(sign)
        self._at += len(sign) if seen else 0
        return seen

    def _check_depth(self, path: Path) -> None:
        if len(path) > DEEPEST:
            self.too_deep = self._line()
            raise _Lost

    def _key(self) -> Path:
        parts: Path = ()
        while True:
            self._take(_SPACE)
            parts = (*parts, _name(self._take(_PART)))
            self._check_depth(parts)
            self._take(_SPACE)
            if not self._skip("."):
                return parts

    def _document(self) -> None:
        table: Path = ()
        while True:
            self._take(_BETWEEN)
            if self._at == len(self._text):
                return
            table = self._header() if self._sees("[") else self._assignment(table)

    def _header(self) -> Path:
        line = self._line()
        array = self._skip("[[")
        if not array:
            self._skip("[")
        path: Path = ()
        names = self._key()
        for i, name in enumerate(names):
            path = (*path, name)
            if array and i == len(names) - 1:
                self._counts[path] = self._counts.get(path, -1) + 1
            self.found.setdefault(path, line)
            if path in self._counts:
                path = (*path, self._counts[path])
                self.found.setdefault(path, line)
        self.statements.append(Statement(path, line, line))
        if not self._skip("]]" if array else "]"):
            raise _Lost
        return path

    def _assignment(self, table: Path) -> Path:
        """A key, the sign and a value; returns the table that it stands in."""
        line = self._line()
        path = table
        for name in self._key():
            path = (*path, name)
            self.found.setdefault(path, line)
        self._check_depth(path)
        self.statements.append(Statement(path, line, len(self._starts)))
        if not self._skip("="):
            self.statements[-1] = Statement(path, line, line)
            raise _Lost
        self._value(path)
        self.statements[-1] = Statement(path, line, self._line())
        return table

    def _value(self, path: Path) -> None:
        self._check_depth(path)
        self._take(_SPACE)
        if self._skip("["):
            self._array(path)
        elif self._skip("{"):
            self._inline_table(path)
        else:
            quotes = (pattern for opening, pattern in _STRINGS.items() if self._sees(opening))
            self._take(next(quotes, _PLAIN))

    def _array(self, path: Path) -> None:
        row = 0
        while True:
            self._take(_BETWEEN)
            if self._skip("]"):
                return
            self.found.setdefault((*path, row), self._line())
            self._value((*path, row))
            self._take(_BETWEEN)
            if not self._skip(",") and not self._sees("]"):
                raise _Lost
            row += 1

    def _inline_table(self, path: Path) -> None:
        self._take(_SPACE)
        while not self._skip("}"):
            here = path
            for name in self._key():
                here = (*here, name)
                self.found.setdefault(here, self._line())
            if not self._skip("="):
                raise _Lost
            self._value(here)
            self._take(_SPACE)
            if not self._skip(",") and not self._sees("}"):
                raise _Lost
            self._take(_SPACE)


def _name(part: str) -> str:
    """A part of a key without its quotes."""
    if part[0] == "'":
        return part[1:-1]
    if part[0] != '"':
        return part
    try:
        return str(tomllib.loads(f"k={part}")["k"])
    except tomllib.TOMLDecodeError:
        raise _Lost from None


@lru_cache(maxsize=1)
def scan(text: str) -> Scan:
    """The statements of a text; the last text is remembered."""
    return Scan(text)


def line_of(text: str, path: Path) -> int | None:
    """The line, counted from one, of a key or else of the nearest table that holds it."""
    found = scan(text).found
    return next((found[path[:n]] for n in range(len(path), 0, -1) if path[:n] in found), None)
