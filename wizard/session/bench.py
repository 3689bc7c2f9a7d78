"""The bench while it is edited: read, changed, saved after each change, and its list."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.plug.bench import Bench
from wizard.plug.record import Build
from wizard.session.layout import Asked, Row
from wizard.session.option import Option
from wizard.steps import bench as asked
from wizard.steps.offers import with_offer
from wizard.steps.prompts import Group, Question
from wizard.steps.wording import typed

if TYPE_CHECKING:
    from wizard.store.bench import OpenBench


def bench_of(folder: Path) -> tuple[Bench, str]:
    """The bench of a folder of builds; an empty one with the reason if it can't be read."""
    from wizard.store.bench import BenchUnreadable, bench_path, open_bench

    try:
        return open_bench(bench_path(folder)).bench, ""
    except BenchUnreadable as fault:
        return Bench(), str(fault)


def offered(bench: Bench, build: Build, laid_out: Iterable[Row]) -> tuple[Row, ...]:
    """The rows of a form with what the bench offers in place of what is usual."""
    return tuple(
        replace(row, question=with_offer(bench, build, row.question))
        if isinstance(row, Asked)
        else row
        for row in laid_out
    )


class Held:
    """One bench in hand.

    Attributes:
        bench: as it stands.
    """

    def __init__(self) -> None:
        self.bench = Bench()
        self._opened: OpenBench | None = None
        self._before: list[Bench] = []
        self._after: list[Bench] = []

    def read(self, folder: Path) -> str:
        """Read the file of a folder of builds; what keeps it from being used, or nothing."""
        from wizard.store.bench import BenchUnreadable, bench_path, open_bench

        try:
            self._opened = open_bench(bench_path(folder))
        except BenchUnreadable as fault:
            return f"{fault} Mend it by hand; nothing is changed here meanwhile."
        self.bench = self._opened.bench
        return ""

    def keep(self, bench: Bench) -> str:
        """Change it and save it; what keeps it from being saved, or nothing."""
        before = self.bench
        trouble = self._saved(bench)
        if not trouble and before != bench:
            self._before.append(before)
            self._after.clear()
        return trouble

    def undo(self) -> str | None:
        """Take the last change back; None if there is none, else what keeps it from being saved."""
        return self._turned(self._before, self._after)

    def redo(self) -> str | None:
        """Make again what was taken back; None if there is nothing."""
        return self._turned(self._after, self._before)

    def _turned(self, there: list[Bench], back: list[Bench]) -> str | None:
        if not there:
            return None
        now = self.bench
        trouble = self._saved(there[-1])
        if not trouble:
            there.pop()
            back.append(now)
        return trouble

    def _saved(self, bench: Bench) -> str:
        from wizard.store.bench import save_bench
        from wizard.store.faults import ChangedOutside, StoreError

        if self._opened is None:
            return "The bench file can't be read, so nothing is changed."
        try:
            self._opened = save_bench(self._opened, bench)
        except ChangedOutside:
            self.read(self._opened.path.parent)
            return "Something else changed the bench file: it is shown as it is now. Once more."
        except StoreError as fault:
            return str(fault)
        self.bench = bench
        return ""


def options(bench: Bench) -> tuple[Option, ...]:
    """The whole bench as a list to pick from.

    The value of an option says what to do with it: ask, unit, row or add, and its key.
    """
    return tuple(_options(bench))


def _options(bench: Bench) -> Iterator[Option]:
    for item in asked.ITEMS:
        if isinstance(item, Group):
            yield from _group(bench, item)
            continue
        question = next(q for q in asked.questions(bench) if q.prompt is item)
        key = ".".join(str(part) for part in question.path)
        yield Option(f"ask:{key}", item.ask, _shown(question))
    for kind in asked.UNITS:
        unit = bench.bench.units.get(kind, "-")
        yield Option(f"unit:{kind}", f"Unit of {kind} in new builds", unit)


def _group(bench: Bench, group: Group) -> Iterator[Option]:
    for row in range(asked.rows(bench, group)):
        text = f"{group.one[:1].upper()}{group.one[1:]} {row + 1}"
        yield Option(f"row:{group.key}.{row}", text, asked.row_line(bench, group, row))
    yield Option(f"add:{group.key}", f"Add a {group.one}")


def row_options(bench: Bench, group: Group, row: int) -> tuple[Option, ...]:
    """One row of a list as options: its answers, and taking it out."""
    found = []
    for question in asked.row_questions(bench, group, row):
        key = ".".join(str(part) for part in question.path)
        found.append(Option(key, question.prompt.ask, _shown(question)))
    return (*found, Option("remove", f"Remove this {group.one}"))


def _shown(question: Question) -> str:
    return typed(question.answer) or "-"
