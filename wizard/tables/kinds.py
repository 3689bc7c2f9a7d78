"""What a row of each table holds, in SI: kg/m3, kg, m, s; fractions as plain numbers."""

import math
from dataclasses import dataclass
from typing import Literal

Step = Literal[
    "plan",
    "stock",
    "shape",
    "weighing",
    "density",
    "ballast",
    "hardware",
    "coating",
    "proof",
    "review",
]
"""A step of a build, by the word that a profile uses."""


@dataclass(frozen=True)
class Span:
    """A value that lies between two bounds, in the unit of the field that holds it.

    Where the table names no typical value, the geometric middle of the bounds
    stands in for it and `is_middle` says so: a factor of two either way is what
    such ranges mean.
    """

    low: float
    typical: float
    high: float
    is_middle: bool = False

    @classmethod
    def between(cls, low: float, high: float, typical: float | None = None) -> "Span":
        """The span from low to high, its middle marked where no typical value is given.

        Raises:
            ValueError: when 0 <= low <= typical <= high does not hold.
        """
        given = low if typical is None else typical
        if not 0 <= low <= given <= high:
            raise ValueError(f"expected 0 <= low <= typical <= high, got {low}, {typical}, {high}")
        if typical is None:
            return cls(low, math.sqrt(low * high), high, is_middle=True)
        return cls(low, typical, high)

    @property
    def standard_uncertainty(self) -> float:
        """Standard uncertainty when any value between the bounds is as likely as another.

        Half the width over the root of 3, also where the typical value is not
        in the middle. Source: GUM (JCGM 100:2008), 4.3.7 and 4.3.8.
        """
        return (self.high - self.low) / math.sqrt(12)


@dataclass(frozen=True, kw_only=True)
class Row:
    """What every row has: a name to show, a source, and how far to trust it."""

    id: str
    name: str
    source: str
    how: str
    note: str = ""
    aliases: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    """Ids of the cautions that come with choosing this row."""

    @property
    def from_memory(self) -> bool:
        """Whether any figure of the row is remembered or judged rather than read or computed."""
        return "from memory" in self.how or "judgement" in self.how

    @property
    def known_as(self) -> tuple[str, ...]:
        """Every name by which the row may be asked for."""
        return (self.id, self.name, *self.aliases)


@dataclass(frozen=True, kw_only=True)
class Wood(Row):
    """A wood by its density, mass and volume both at about 12 % moisture [kg/m3].

    `variation` is the coefficient of variation within the species [1]. The
    specific gravities have the oven-dry mass over the volume at 12 % moisture and
    over the green volume ("basic") [1]. `basis` says in words what was tabulated.
    """

    botanical: str
    density: Span
    basis: str
    variation: float | None = None
    specific_gravity_12: float | None = None
    specific_gravity_basic: float | None = None

    @property
    def known_as(self) -> tuple[str, ...]:
        """Every name by which the wood may be asked for, the botanical one among them."""
        return (*super().known_as, self.botanical)

    @property
    def standard_uncertainty(self) -> float:
        """Of one board's density [kg/m3]: from the variation, else from the bounds."""
        if self.variation is not None:
            return self.variation * self.density.typical
        return self.density.standard_uncertainty


@dataclass(frozen=True, kw_only=True)
class Metal(Row):
    """A metal, or something as heavy that serves as one: density [kg/m3] and what it is for."""

    density: Span
    roles: tuple[Literal["ballast", "hardware"], ...]


@dataclass(frozen=True, kw_only=True)
class Filler(Row):
    """What fills a hole or holds a part: density when hard, and as poured [kg/m3]."""

    density: Span
    roles: tuple[Literal["backfill", "glue", "plug"], ...]
    liquid_density: float | None = None


@dataclass(frozen=True, kw_only=True)
class HardwareKind(Row):
    """One size of hook, ring, eye, wire or lip.

    `mass` [kg] is for each of `per`: a piece, a metre or a square metre.
    `density` [kg/m3] is that of its material. `outside` is the fraction of its
    volume outside the body [1] to start from, and `outside_because` the reason.
    """

    family: str
    size: str
    mass: Span
    material: str
    density: Span
    outside: float
    outside_because: str
    per: Literal["piece", "metre", "square metre"] = "piece"


@dataclass(frozen=True, kw_only=True)
class CoatKind(Row):
    """A generic coat; the label of the tin in hand wins.

    `film` is the dry film of one coat [m], `density` that of the dry film
    [kg/m3], `volume_solids` [1]. `handling` [s] is the time until it may be
    touched, the next coat may go on between `recoat_earliest` and
    `recoat_latest` [s] (None: no latest is known), `full_cure` [s] is the
    time before water. All at 20 to 23 degC. The limits of the shop's air
    (temperature [degC], relative humidity [1]) are None where nothing is
    published.
    """

    stage: Literal["sealed", "coated"]
    coats: tuple[int, int]
    film: Span
    density: Span
    volume_solids: Span
    handling: Span
    recoat_earliest: float
    full_cure: Span
    recoat_latest: float | None = None
    soak: str = ""
    temperature_low: float | None = None
    temperature_high: float | None = None
    humidity_low: float | None = None
    humidity_high: float | None = None
    conditions_source: str = ""


@dataclass(frozen=True, kw_only=True)
class OperationKind(Row):
    """A kind of operation of a coating schedule; what the tin in hand says wins.

    `hands_on` [s] is the work at the bench for one plug. `touch_dry`,
    `recoat_earliest` and `full_cure` [s] are those of what it leaves behind; None
    where its coat says that, and `coat` is the id of the row among the coats that
    stands in for a coat of unknown kind. `applied` is how that coat usually goes on.
    """

    hands_on: float
    touch_dry: float | None = None
    recoat_earliest: float | None = None
    full_cure: float | None = None
    coat: str | None = None
    applied: Literal["brush", "spray", "dip"] | None = None
    before: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Application(Row):
    """A way to put a coat on: `loss` is what goes beside the plug, over what stays on [1]."""

    loss: Span


@dataclass(frozen=True, kw_only=True)
class Caution(Row):
    """One caution: what may happen, what to do, whom it gives way to, where it is shown."""

    topic: str
    hazard: str
    precaution: str
    defers_to: str
    steps: tuple[Step, ...]


@dataclass(frozen=True, kw_only=True)
class Drill(Row):
    """A drill of a standard series: diameter [m]; `usual` sizes are those of common sets."""

    series: Literal["fractional", "number", "letter", "metric"]
    standard: str
    size: str
    diameter: float
    usual_sizes: tuple[str, ...] = ()

    @property
    def usual(self) -> bool:
        """Whether common sets hold this size."""
        return self.size in self.usual_sizes


@dataclass(frozen=True, kw_only=True)
class Wire(Row):
    """A wire by gauge number or plain size: diameter [m]."""

    gauge: str
    standard: str
    size: str
    diameter: float

    def mass_per_length(self, density: float) -> float:
        """Mass of one metre of round wire [kg/m], for a density [kg/m3].

        Source: geometry, density pi d^2 / 4.
        """
        return density * math.pi * self.diameter**2 / 4
