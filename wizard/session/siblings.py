"""A new build from another one, from texts as they were typed to files that are begun."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from wizard.plug.limits import out_of_range
from wizard.plug.onward.scaled import NotScalable, Sibling, Wish, factor_to, own_length, scaled
from wizard.plug.paths import put, spec_at
from wizard.plug.record import Aim, Build, Water
from wizard.plug.rule import rule_of, shown
from wizard.quantity.reading import Quantity, Refusal, read
from wizard.quantity.showing import plain
from wizard.store.bin import InUse
from wizard.store.faults import StoreError


@dataclass(frozen=True, slots=True)
class Plan:
    """What the new build is to be, as it was typed; empty texts leave things as they were.

    Attributes:
        factor: of length.
        salinity: of another water.
        temperature: of another water.
        behaviour: another one.
        margin: of that.
        wood: another one.
        same_board: whether it comes from the board that was tested.
        copies: how many plugs.
        name: what it is called.
    """

    factor: float = 1.0
    salinity: str = ""
    temperature: str = ""
    behaviour: str = ""
    margin: str = ""
    wood: str = ""
    same_board: bool = False
    copies: int = 1
    name: str = ""

    def size_words(self, source: Build) -> str:
        """The new length in words."""
        try:
            length = shown(self.factor * own_length(source), rule_of(source))
        except NotScalable as error:
            return str(error)
        return f"{length}, {plain(self.factor)} times" if self.factor != 1.0 else f"{length}, same"

    def water_words(self, source: Build) -> str:
        """The water in words."""
        water = self.water(source)
        parts = (water.temperature, water.salinity)
        return ", ".join(part.text for part in parts if part is not None) or "not answered"

    def aim_words(self, source: Build) -> str:
        """The aim in words."""
        aim = self.aim(source)
        given = (aim.margin, aim.sink_rate, aim.freeboard_fraction)
        told = [aim.behaviour or "not answered", *(one.text for one in given if one is not None)]
        return ", ".join(told)

    def wood_words(self, source: Build) -> str:
        """The wood in words."""
        if self.wood:
            return f"{self.wood}, its density from the table"
        wood = source.stock.wood or "the same wood"
        return f"{wood}, {'the same board' if self.same_board else 'another board'}"

    def water(self, source: Build) -> Water:
        """The water of the new build."""
        water = source.water
        for key in ("salinity", "temperature"):
            text = getattr(self, key)
            if text:
                water = put(water, (key,), _answer(text, ("water", key)))
        return water

    def aim(self, source: Build) -> Aim:
        """The aim of the new build."""
        if not self.behaviour:
            return source.aim
        kept = Aim(tolerance=source.aim.tolerance, pitch=source.aim.pitch)
        margin = _answer(self.margin, ("aim", "margin")) if self.margin else None
        return replace(kept, behaviour=self.behaviour, margin=margin)

    def trouble(self, source: Build) -> str:
        """Why something that was typed can't be taken; empty if it can."""
        try:
            self.water(source)
            self.aim(source)
        except _Unclear as error:
            return str(error)
        return ""

    def wishes(self, source: Build, now: datetime) -> Sequence[Wish]:
        """What is to be made, a wish a copy."""
        water, aim = self.water(source), self.aim(source)
        first = Wish(
            self.factor,
            self.name,
            now,
            self.wood or None,
            self.same_board,
            None if water == source.water else water,
            None if aim == source.aim else aim,
        )
        if self.copies == 1:
            return (first,)
        numbers = range(1, self.copies + 1)
        return tuple(
            replace(
                first,
                name=f"{self.name}, {n} of {self.copies}" if self.name else "",
                copy=(n, self.copies),
            )
            for n in numbers
        )


class _Unclear(ValueError):  # noqa: N818 - it names the state
    """A typed answer that can't be taken."""


def _answer(text: str, path: tuple[str, ...]) -> Quantity:
    spec = spec_at(path)
    found = read(text, spec.kind, {"salinity": "g/kg", "ratio": "%"}.get(spec.kind))
    if isinstance(found, Refusal):
        raise _Unclear(str(found))
    complaint = out_of_range(spec, found)
    if complaint:
        raise _Unclear(" ".join(complaint))
    return found


def understood_size(source: Build, typed: str) -> float | str:
    """The factor of length that a text asks for, or why there is none."""
    text = typed.strip()
    times = text.casefold().removesuffix("times").removesuffix("x").removesuffix("×").strip()
    if times != text.casefold():
        number = read(times, "number")
        if isinstance(number, Refusal):
            return str(number)
        wanted = number.value * own_length_or_one(source)
    else:
        length = read(text, "length")
        if isinstance(length, Refusal):
            return str(length)
        wanted = length.value
    try:
        return factor_to(source, wanted)
    except NotScalable as error:
        return str(error)


def own_length_or_one(source: Build) -> float:
    """The length to multiply [m]; where there is none, the refusal comes later."""
    try:
        return own_length(source)
    except NotScalable:
        return 1.0


def previewed(source: Build, plan: Plan, width: int) -> tuple[str, ...]:
    """The lines on what would come over, of a width; why it can't be, if it can't."""
    from wizard.report.scaling import sibling_lines

    found = _siblings(source, replace(plan, copies=1), None)
    return (found,) if isinstance(found, str) else tuple(sibling_lines(found[0], width))


def begun(source: Build, plan: Plan, folder: Path, now: datetime) -> tuple[Path, ...] | str:
    """Begin what is planned; where each build lies, or why it can't be.

    Args:
        source: the build to begin from.
        plan: what the new one is to be.
        folder: of builds.
        now: with an offset.
    """
    from wizard.store.folder import make_folder
    from wizard.store.tidying import place

    found = _siblings(source, plan, now)
    if isinstance(found, str):
        return found
    try:
        make_folder(folder)
        return tuple(place(sibling.build, folder) for sibling in found)
    except (StoreError, InUse) as fault:
        return str(fault)


def _siblings(source: Build, plan: Plan, now: datetime | None) -> tuple[Sibling, ...] | str:
    try:
        wishes = plan.wishes(source, now or datetime.now().astimezone())
        return tuple(scaled(source, wish) for wish in wishes)
    except (NotScalable, _Unclear) as error:
        return str(error)
