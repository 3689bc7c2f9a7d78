"""A new build from another one: by a factor of length, in other wood, water, or for another aim.

Lengths grow by k; a coat keeps its film, so its area and mass grow by k2; volumes and
masses of the same density by k3. What comes in steps is chosen again (`stock_sizes`).
What was measured on the old plug is an expectation for the new one: it is marked under
[origin], or left empty where only a new reading will do.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from wizard.physics.scaling import (
    LARGEST,
    SMALLEST,
    area_factor,
    checked,
    length_factor,
    volume_factor,
)
from wizard.physics.validity import OutsideValidity
from wizard.plug.body.drawing import drawn_body
from wizard.plug.checks import impossible
from wizard.plug.derive import derive
from wizard.plug.derived import Derived
from wizard.plug.fields import specs
from wizard.plug.limits import beyond_limits
from wizard.plug.onward.expected_wood import another_board, from_table, same_board
from wizard.plug.onward.expecting import Expectation, expected
from wizard.plug.onward.similar import FINEST_LENGTH, leaves, similar
from wizard.plug.onward.stock_sizes import FINEST_MASS, Offer, next_drill, next_hardware
from wizard.plug.paths import Path, get, words
from wizard.plug.record import (
    Aim,
    Ballast,
    Build,
    Coat,
    DensityTest,
    Hardware,
    Heading,
    Hole,
    Origin,
    Sample,
    Stock,
    Water,
    Weighing,
)
from wizard.quantity.making import bare, made
from wizard.quantity.reading import Quantity
from wizard.quantity.showing import literal, plain

INSTRUMENTS = ("resolution", "accuracy", "maximum", "thorough")
TEST_INSTRUMENTS = ("length_resolution", "length_accuracy", "mass_resolution", "mass_accuracy",
                    "mass_maximum", "moisture_accuracy")  # fmt: skip


class NotScalable(ValueError):  # noqa: N818 - it names the state, as the words shown do
    """A build that no other can be made from as asked; the message says why."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What the new build is to be.

    Attributes:
        factor: of length, k.
        name: what it is called; empty for a name made of the old one and the new length.
        created: when; None leaves it open.
        wood: another wood; None for the same.
        same_board: whether it comes from the very board that was tested.
        water: another water; None for the same.
        aim: another aim; None for the same.
        copy: which of how many plugs of one plan; None for a single one.
    """

    factor: float = 1.0
    name: str = ""
    created: datetime | None = None
    wood: str | None = None
    same_board: bool = False
    water: Water | None = None
    aim: Aim | None = None
    copy: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class Sibling:
    """A new build from another one.

    Attributes:
        build: its record.
        factor: of length, k.
        offers: what was chosen again, with the sizes to choose from.
        again: what must be measured or chosen anew, in words.
        open: what the old build had not answered either, in words.
        expected: what it will come to if it is carved as the old one was; None while the
            wood or the shape is not known.
    """

    build: Build
    factor: float
    offers: tuple[Offer, ...]
    again: tuple[str, ...]
    open: tuple[str, ...]
    expected: Expectation | None


def own_length(build: Build) -> float:
    """Length of the drawn or planned body [m].

    Raises:
        NotScalable: it has none.
    """
    body = drawn_body(build)
    if body is not None:
        return body.length
    if build.shape.length is not None:
        return build.shape.length.value
    name = literal(build.build.name or "this build", 60)
    raise NotScalable(
        f"“{name}” has no drawn shape and no length yet, so there is nothing to scale: "
        "give its length or draw its shape first"
    )


def factor_to(build: Build, length: float) -> float:
    """The factor that gives a build a new length [m].

    Raises:
        NotScalable: it has no length, or the factor is out of reason.
    """
    own = own_length(build)
    try:
        return length_factor(own, length)
    except OutsideValidity:
        raise NotScalable(
            f"a length of {plain(length * 1e3)} mm is {plain(length / own, 3)} times that of "
            f"{plain(own * 1e3)} mm; expected {SMALLEST:g} to {LARGEST:g} times"
        ) from None


def scaled(source: Build, wish: Wish) -> Sibling:
    """The new build.

    Args:
        source: a build at any stage; what it lacks is left open.
        wish: what the new one is to be.

    Raises:
        NotScalable: the factor is out of reason, or there is no length, or what is asked
            for contradicts itself.
    """
    length = own_length(source)
    try:
        factor = checked(wish.factor)
    except OutsideValidity:
        raise NotScalable(
            f"a factor of {plain(wish.factor)} makes no sibling; "
            f"expected {SMALLEST:g} to {LARGEST:g}"
        ) from None
    work = _Work(source, derive(source), factor, wish)
    build = work.build(length)
    for finding in (*beyond_limits(build), *impossible(build)):
        raise NotScalable(f"that can't be: {finding.text}")
    return Sibling(
        build,
        factor,
        tuple(work.offers),
        tuple(work.again),
        tuple(work.open),
        expected(build, work.body_volume()),
    )


@dataclass
class _Work:
    """Puts the new build together and notes what there is to say."""

    source: Build
    derived: Derived
    factor: float
    wish: Wish
    offers: list[Offer] = field(default_factory=list)
    again: list[str] = field(default_factory=list)
    open: list[str] = field(default_factory=list)

    def build(self, length: float) -> Build:
        old, k = self.source, self.factor
        build = Build(
            build=self._heading(length),
            water=self.wish.water or replace(old.water, other={}),
            aim=self.wish.aim or replace(old.aim, other={}),
            stock=Stock(wood=self.wish.wood or old.stock.wood),
            shape=similar(old.shape, k),
            weighing=Weighing(**_kept(old.weighing, INSTRUMENTS)),
            density=DensityTest(**_kept(old.density, TEST_INSTRUMENTS), sample=self._density()),
            ballast=self._ballast(),
            hardware=self._hardware(),
            coat=self._coats(),
            schedule=similar(old.schedule, k),
            operation=tuple(similar(row, k) for row in old.operation),
            drag=similar(old.drag, k),
        )
        self.again[:0] = ("the blank: its sides and weight", "the bare body's weight")
        copy, copies = self.wish.copy or (None, None)
        origin = Origin(
            name=old.build.name,
            factor=bare(k, 6),
            copy=copy,
            copies=copies,
            carried=tuple(self._marks(build)),
        )
        return replace(build, origin=origin)

    def _heading(self, length: float) -> Heading:
        old = self.source.build
        return Heading(
            name=self.wish.name or self._name(length),
            created=self.wish.created,
            step="plan",
            units=old.units,
            maker=old.maker,
            tags=old.tags,
        )

    def _name(self, length: float) -> str:
        old = self.source.build.name or "Plug"
        if self.factor != 1.0:
            old = f"{old.rstrip('0123456789 ')} {length * self.factor * 1e3:.0f}"
        return f"{old}, {self.wish.copy[0]} of {self.wish.copy[1]}" if self.wish.copy else old

    def _density(self) -> tuple[Sample, ...]:
        """The density as an expectation; notes what can't be expected."""
        old = self.source.stock.wood
        wood = self.wish.wood or old
        if not self.wish.same_board:
            self.again.append("the density of the new board")
        if wood != old:
            sample = from_table(wood)
            if sample is None:
                self.open.append(f"“{wood}” is not in the table of woods: its density is unknown")
            return (sample,) if sample else ()
        tested = self.derived.wood.density
        if tested is None:
            self.open.append("the density of the wood was never tested")
            return ()
        whence = self.source.build.name or "an earlier build"
        carry = same_board if self.wish.same_board else another_board
        return (carry(tested, whence, wood),)

    def _ballast(self) -> Ballast | None:
        old = self.source.ballast
        if old is None:
            self.open.append("the ballast was not begun")
            return None
        if old.piece:
            self.again.append("the pieces of ballast")
        holes = tuple(self._hole(hole, n) for n, hole in enumerate(old.hole))
        return replace(similar(old, self.factor), hole=holes)

    def _hole(self, hole: Hole, row: int) -> Hole:
        path: Path = ("ballast", "hole", row, "diameter")
        diameter, offer = next_drill(hole, self.factor, path)
        self.offers += [offer] if offer else []
        return replace(similar(hole, self.factor), diameter=diameter)

    def _hardware(self) -> tuple[Hardware, ...] | None:
        old = self.source.hardware
        if old is None:
            self.open.append("the hardware was not answered")
            return None
        if old and self.factor != 1.0:
            self.again.append("the weight of every hook, ring and eye")
        out = []
        for row, item in enumerate(old):
            name, mass, offer = next_hardware(item, self.factor, ("hardware", row, "name"))
            self.offers += [offer] if offer else []
            out.append(replace(similar(item, self.factor), name=name, mass=mass))
        return tuple(out)

    def _coats(self) -> tuple[Coat, ...] | None:
        old = self.source.coat
        if old is None:
            self.open.append("the coats were not answered")
            return None
        if old:
            self.again.append("the weight of each coat")
        return tuple(self._coat(coat, row) for row, coat in enumerate(old))

    def _coat(self, coat: Coat, row: int) -> Coat:
        """A coat with the film that it had: as typed, else as its weight says."""
        grown = similar(coat, self.factor)
        if coat.mass is None:
            return grown
        film = self._film(row)
        if film is not None:
            return replace(grown, thickness=film)
        mass = made(coat.mass.value * area_factor(self.factor), coat.mass.unit, FINEST_MASS)
        return replace(grown, thickness=None, mass=mass)

    def _film(self, row: int) -> Quantity | None:
        """The film that a weighed coat came to, m / (rho A)."""
        from wizard.plug.account import coat_density

        coat = (self.source.coat or ())[row]
        density, body = coat_density(coat), drawn_body(self.source)
        if coat.mass is None or density is None or body is None:
            return None
        return made(coat.mass.value / (density * body.area), "mm", FINEST_LENGTH)

    def body_volume(self) -> float | None:
        """Volume of the new body if it is carved as the old one was, k3 V_b [m3]."""
        volume = self.derived.value("body_volume")
        return None if volume is None else volume.value * volume_factor(self.factor)

    def _marks(self, build: Build) -> Iterator[str]:
        """The answers that came over, in the order of the profile; not those asked for anew."""
        for key, spec in specs(Build).items():
            if key in ("build", "origin") or spec.form == "raw":
                continue
            for path in leaves(build, (key,)):
                asked_for = key in ("water", "aim", "stock")
                if not asked_for or get(build, path) == get(self.source, path):
                    yield words(path)


def _kept(record: Any, keys: tuple[str, ...]) -> dict[str, Any]:
    return {key: getattr(record, key) for key in keys}
