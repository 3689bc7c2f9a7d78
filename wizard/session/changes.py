"""What changed between two versions of a build, answer by answer, in plain words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher
from typing import Any

from wizard.plug.fields import Spec, specs
from wizard.plug.onward.compare import typed
from wizard.plug.paths import Path, get
from wizard.plug.record import Build
from wizard.quantity.showing import literal
from wizard.steps.wording import group_at, label, row_summary, row_title

LONGEST = 60
"""Signs of an answer that are shown; notes may be of any length."""

NO_ANSWERS: tuple[Path, ...] = (("build", "step"), ("build", "created"), ("shown",), ("origin",))
"""Where a build stands and what it once showed: nothing that a maker answers."""


def changes(before: Build, after: Build) -> tuple[str, ...]:
    """Every answer that is another one, in the order of the profile, a line each.

    Rows are matched by what they hold, so that a row taken out of the middle is one
    change and not one for each row behind it.

    Args:
        before: the earlier version.
        after: the later one.
    """
    return tuple(_Pair(before, after).lines())


def count(lines: Sequence[str]) -> str:
    """How many answers changed, in words."""
    many = "answer is" if len(lines) == 1 else "answers are"
    return f"{len(lines)} {many} different" if lines else "no answer is different"


class _Pair:
    """Two versions side by side."""

    def __init__(self, before: Build, after: Build) -> None:
        self.before, self.after = before, after

    def lines(self) -> Iterator[str]:
        yield from self._records(self.before, self.after, Build, (), ())
        if (self.before.shown is None) != (self.after.shown is None):
            yield "Called finished" if self.after.shown else "Not called finished any more"

    def _records(self, old: Any, new: Any, cls: type[Any], was: Path, now: Path) -> Iterator[str]:
        for key, spec in specs(cls).items():
            here = (*now, key)
            held, holds = getattr(old, key, None), getattr(new, key, None)
            if held == holds or here in NO_ANSWERS:
                continue
            if spec.form == "table" and spec.table is not None:
                yield from self._records(held, holds, spec.table, (*was, key), here)
            elif spec.form == "tables":
                yield from self._rows(held, holds, spec, (*was, key), here)
            elif spec.form != "raw":
                yield _line(label(here), _text(held), _text(holds))
            else:
                yield f"Keys that are not known here, under {label(now) if now else 'the build'}"

    def _rows(self, old: Any, new: Any, spec: Spec, was: Path, now: Path) -> Iterator[str]:
        held, holds = tuple(old or ()), tuple(new or ())
        if not held and not holds:  # open and none are two answers
            yield _line(label(now), *("open" if rows is None else "none" for rows in (old, new)))
            return
        matcher = SequenceMatcher(None, [repr(r) for r in held], [repr(r) for r in holds], False)
        assert spec.table is not None
        for _, first, last, start, end in matcher.get_opcodes():
            both = min(last - first, end - start)
            for row in range(both):
                one, other = first + row, start + row
                yield from self._records(
                    held[one], holds[other], spec.table, (*was, one), (*now, other)
                )
            for row in range(first + both, last):
                yield f"{_row(self.before, (*was, row))} is gone"
            for row in range(start + both, end):
                yield f"{_row(self.after, (*now, row))} is new"


def _row(build: Build, path: Path) -> str:
    """A row by its title and what it holds."""
    group, row = group_at(path), path[-1]
    assert isinstance(row, int)
    if group is not None:
        return f"{_capital(row_title(group, row))} ({_cut(row_summary(build, group, row))})"
    record = get(build, path)
    held = (typed(getattr(record, key)) for key in specs(type(record)) if getattr(record, key))
    return f"{_capital(label(path))} ({_cut(', '.join(held))})"


def _text(answer: Any) -> str:
    if answer is None or answer == () or answer == {}:
        return "open"
    return _cut(typed(answer))


def _cut(text: str) -> str:
    return literal(" ".join(text.split()), LONGEST)


def _line(called: str, was: str, now: str) -> str:
    return f"{_capital(called)}: {now}, was {was}"


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"
