"""Finding the line on which a key of a TOML text stands.

The standard parser reports no positions. This scanner follows table headers
and keys only, skipping over strings and brackets; where it loses its way it
answers with the nearest table's line.
"""

from __future__ import annotations

import re

from wizard.plug.paths import Path

_HEADER = re.compile(r"\s*(\[\[?)\s*([^\]#]+?)\s*\]\]?\s*(#.*)?$")
_KEY = re.compile(r"""\s*((?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*')(?:\s*\.\s*(?:[A-Za-z0-9_-]+|"[^"]*"|'[^']*'))*)\s*=""")  # fmt: skip  # noqa: E501
_PART = re.compile(r"""[A-Za-z0-9_-]+|"[^"]*"|'[^']*'""")
_QUOTED = re.compile(r"\"\"\"|'''|\"(?:[^\"\\]|\\.)*\"|'[^']*'|#.*")


def _parts(dotted: str) -> tuple[str, ...]:
    return tuple(part.strip("\"'") for part in _PART.findall(dotted))


class _Scan:
    """Walks the lines once and notes where each path begins."""

    def __init__(self) -> None:
        self.found: dict[Path, int] = {}
        self.counts: dict[Path, int] = {}
        self.table: Path = ()
        self.open_string: str | None = None
        self.depth = 0

    def header(self, brackets: str, dotted: str, line: int) -> None:
        path: Path = ()
        names = _parts(dotted)
        for i, name in enumerate(names):
            path = (*path, name)
            if i == len(names) - 1 and brackets == "[[":
                self.counts[path] = self.counts.get(path, -1) + 1
            if path in self.counts:
                path = (*path, self.counts[path])
            self.found.setdefault(path, line)
        self.table = path

    def skip(self, rest: str) -> None:
        """Follow strings and brackets that run on to later lines."""
        while rest:
            if self.open_string:
                end = rest.find(self.open_string)
                if end < 0:
                    return
                rest, self.open_string = rest[end + 3 :], None
            match = _QUOTED.search(rest)
            plain = rest[: match.start()] if match else rest
            self.depth += sum(plain.count(c) for c in "[{") - sum(plain.count(c) for c in "]}")
            if match is None:
                return
            if match.group() in ('"""', "'''"):
                self.open_string = match.group()
            rest = rest[match.end() :]

    def line(self, text: str, number: int) -> None:
        if self.open_string is None and self.depth <= 0:
            self.depth = 0
            header = _HEADER.match(text)
            if header:
                self.header(header[1], header[2], number)
                return
            key = _KEY.match(text)
            if key:
                path = self.table
                for name in _parts(key[1]):
                    path = (*path, name)
                    self.found.setdefault(path, number)
                text = text[key.end() :]
        self.skip(text)


def line_of(text: str, path: Path) -> int | None:
    """The line, counted from one, of a key or else of the table that holds it."""
    scan = _Scan()
    for number, line in enumerate(text.split("\n"), start=1):
        scan.line(line.rstrip("\r"), number)
    for length in range(len(path), 0, -1):
        if path[:length] in scan.found:
            return scan.found[path[:length]]
    return None
