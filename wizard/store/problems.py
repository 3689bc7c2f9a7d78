"""What keeps a profile from being read: fields first, one line of words last."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.plug.paths import Path, words
from wizard.quantity.showing import literal


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that keeps a profile from being read.

    Attributes:
        path: the key it is about; empty for the file as a whole.
        line: counted from one, if known.
        wrong: what is wrong.
        expected: what was expected or what to do.
    """

    path: Path
    line: int | None
    wrong: str
    expected: str

    def __str__(self) -> str:
        """One line naming line, key and what is expected."""
        where = [f"line {self.line}"] if self.line else []
        if self.path:
            where.append(literal(words(self.path)))
        said = f"{literal(self.wrong, 300)} {literal(self.expected, 300)}".strip()
        return ": ".join([*where, said])


class ProfileError(Exception):
    """A profile that can't be read.

    Attributes:
        source: what the file is called.
        problems: all that is wrong, in the order of the file; at least one.
        is_later: whether nothing is wrong but that a later version made it.
    """

    def __init__(
        self, source: str, problems: tuple[Problem, ...], *, is_later: bool = False
    ) -> None:
        self.source = source
        self.problems = problems
        self.is_later = is_later

    def __str__(self) -> str:
        """The first problem in one line."""
        return f"{literal(self.source)}: {self.problems[0]}"
