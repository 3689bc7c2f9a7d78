"""How each number is worked out: formula, the values put in, source.

One function a number, beside each other so that they can be read as a page.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wizard.certainty import Uncertain
from wizard.physics.parts import Part
from wizard.plug.density.wood import SampleDensity, WoodTest
from wizard.plug.numbers import Provenance, Term, Working
from wizard.plug.record import Ballast, Build
from wizard.plug.waters import Water
from wizard.quantity.showing import plain

ARCHIMEDES = "Archimedes; scale readings in air, so rho = rho_w - rho_a with rho_a = 0.0012 g/mL"
BALANCE = "balance of masses, linear in m_L"


def _rho(water: Water) -> Term:
    return Term("rho", "water less air", water.buoyant, "g/mL")


def water_density(water: Water) -> Working:
    """Density of the fishing water."""
    return Working(
        f"rho_w = EOS-80({plain(water.temperature)} degC, S = {plain(water.salinity)})",
        (),
        "Millero and Poisson (1981), International one-atmosphere equation of state of seawater",
    )


METHODS: Mapping[str, str] = {
    "block": "m / (L W T)",
    "cylinder": "m / (pi d2 L / 4)",
    "dunk": "m rho / gain",
    "known": "carried over",
    "body": "m_b rho / gain of the body itself",
}


def wood_density(build: Build, wood: WoodTest) -> Working:
    """Density of the wood."""
    moved = any(sample.moisture for sample in wood.samples)
    terms = tuple(term for s in wood.samples for term in _sample_terms(build, s))
    handbook = "; moisture by Wood Handbook (2010), eq. 4-11 and 4-12" if moved else ""
    if wood.basis == "blank":
        tail = ", brought to the body's moisture" if moved else ""
        return Working(
            f"rho_wood = m / (L W T) of the squared blank{tail}",
            terms if moved else (),
            f"mass over volume of a squared block{handbook}",
        )
    formula = "rho_wood = mean of the samples" if len(wood.samples) > 1 else "rho_wood = rho_1"
    return Working(
        formula,
        terms,
        "JCGM 100:2008, 4.2.3, G.3: scatter as t(68.27 %, n - 1) s / sqrt(n), with the instruments"
        + handbook,
    )


def _sample_terms(build: Build, sample: SampleDensity) -> Iterator[Term]:
    """One sample's density, and how its moisture moved it."""
    if sample.path[0] == "stock":
        number, name = "blank", "squared blank"
    else:
        row = int(sample.path[2])
        number = str(row + 1)
        method = build.density.sample[row].method or "block"
        name = f"sample {number}, {method}: {METHODS[method]}"
    if sample.moisture is None:
        yield Term(f"rho_{number}", name, sample.density, "g/mL", "measured")
        return
    own, body = sample.moisture
    yield Term(f"rho_{number},x", f"{name}, as tested", sample.as_tested, "g/mL", "measured")
    yield Term(f"x_{number}", "moisture when tested", own, "1", "measured")
    yield Term("y", "moisture of the body", body, "1", "measured")
    yield Term(f"rho_{number}", "at the moisture of the body", sample.density, "g/mL")


def body_volume(mass: Uncertain, wood: Uncertain) -> Working:
    """Volume of the bare body."""
    return Working(
        "V_b = m_b / rho_wood",
        (
            Term("m_b", "body as weighed", mass, "g", "measured"),
            Term("rho_wood", "density test", wood, "g/mL"),
        ),
        "mass over density; the air's push is in both readings and cancels",
    )


def _drawing(build: Build) -> str:
    return (
        f"{len(build.shape.station)} stations"
        if build.shape.station
        else f"form “{build.shape.form}”"
    )


def shape_volume(build: Build) -> Working:
    """Volume of the drawn shape."""
    return Working(
        f"V = integral of the section area along x ({_drawing(build)})",
        (),
        "PCHIP stations (Fritsch and Butland 1984), superellipse halves, Gauss-Legendre quadrature",
    )


def shape_area(build: Build) -> Working:
    """Skin of the drawn shape."""
    return Working(
        f"A = integral of the skin, flat ends included ({_drawing(build)})",
        (),
        "surface integral over the stations' sections",
    )


def neutral_mass(water: Water, outside: Uncertain) -> Working:
    """Weight at which the plug hangs."""
    return Working(
        "M_neutral = rho V",
        (_rho(water), Term("V", "outside volume of all parts", outside, "mL")),
        ARCHIMEDES,
    )


def _margin(build: Build, margin: Uncertain) -> Term:
    typed = build.aim.margin is not None
    return Term("s", "margin of the aim", margin, "1", "as typed" if typed else "worked out")


def target_mass(build: Build, margin: Uncertain, neutral: Uncertain) -> Working:
    """Weight that the aim asks for."""
    return Working(
        "M = (1 + s) rho V",
        (
            _margin(build, margin),
            Term("rho V", "neutral weight", neutral, "g"),
        ),
        "definition of the margin",
    )


def hardware_mass(build: Build) -> Working:
    """All hardware."""
    terms = tuple(
        Term(f"{item.count} x", item.name or "hardware", item.mass.value, "g", "as typed")
        for item in build.hardware or ()
        if item.mass
    )
    return Working("m_hardware = sum of count x mass; counts are exact", terms, "sum")


def bench_ballast(
    build: Build, body: Uncertain, wood: Uncertain, margin: Uncertain, hardware: Uncertain
) -> Working:
    """The bench sum."""
    return Working(
        "m_L = V_b (1 + s) x 1 g/mL - m_b - m_hardware",
        (
            Term("V_b", "body volume", body / wood, "mL"),
            _margin(build, margin),
            Term("m_b", "body as weighed", body, "g", "measured"),
            Term("m_hardware", "all hardware", hardware, "g"),
        ),
        "common practice, no source",
    )


def _provenance(typed: object, named: str | None) -> Provenance:
    """Where a density comes from that may be typed, or be in a table under a name."""
    return "as typed" if typed else "from the table" if named else "assumed"


def _balance(
    target: Uncertain, others: Uncertain, wood: Uncertain, metal: float, held: Ballast
) -> list[Term]:
    return [
        Term("M", "weight that the aim asks for", target, "g"),
        Term("m_others", "body, hardware, coats", others, "g"),
        Term("rho_wood", "density test", wood, "g/mL"),
        Term("rho_L", "ballast metal", metal, "g/mL", _provenance(held.density, held.metal)),
    ]


def ballast(
    target: Uncertain,
    others: Uncertain,
    wood: Uncertain,
    metal: float,
    filler: float,
    ratio: float,
    held: Ballast,
) -> Working:
    """The full answer while the holes are not laid out."""
    terms = _balance(target, others, wood, metal, held)
    if ratio == 1.0:
        return Working("m_L = (M - m_others) / (1 - rho_wood / rho_L)", tuple(terms), BALANCE)
    terms.append(Term("q", "hole volume per ballast volume", ratio, "1", "as typed"))
    terms.append(_backfill(filler, held))
    return Working(
        "m_L = (M - m_others) / [1 - q rho_wood / rho_L + (q - 1) rho_fill / rho_L]",
        tuple(terms),
        BALANCE,
    )


def ballast_in_holes(
    target: Uncertain,
    others: Uncertain,
    wood: Uncertain,
    metal: float,
    filler: float,
    holes: float,
    held: Ballast,
) -> Working:
    """The full answer once the holes are laid out."""
    terms = _balance(target, others, wood, metal, held)
    terms.append(Term("V_h", "ballast holes", holes, "mL", "as typed"))
    terms.append(_backfill(filler, held))
    return Working(
        "m_L = (M - m_others + rho_wood V_h - rho_fill V_h) / (1 - rho_fill / rho_L)",
        tuple(terms),
        BALANCE,
    )


def _backfill(density: float, held: Ballast) -> Term:
    origin = _provenance(held.filler_density, held.filler)
    return Term("rho_fill", "backfill", density, "g/mL", origin)


def _of_part(part: Part) -> Provenance:
    """Where the mass of a part comes from; hardware let into the wood is less what it replaces."""
    if part.sort in ("body", "weighing"):
        return "measured"
    is_whole = part.sort == "hardware" and part.mass is not None and part.mass.u == 0
    return "as typed" if is_whole else "worked out"


def finished_mass(parts: tuple[Part, ...]) -> Working:
    """Weight of the finished plug."""
    terms = tuple(Term("m", p.name, p.mass, "g", _of_part(p)) for p in parts if p.mass is not None)
    return Working("M = sum of the masses of all parts", terms, "sum over the list of parts")


def displaced_volume(parts: tuple[Part, ...]) -> Working:
    """Water pushed aside."""
    terms = tuple(
        Term("V", p.name, p.volume, "mL")
        for p in parts
        if p.volume is not None and p.volume.value != 0
    )
    return Working("V = sum of the outside volumes", terms, "sum over the list of parts")


def net_in_water(M: Uncertain, water: Water, V: Uncertain) -> Working:
    """Weight left in the water."""
    return Working(
        "N = M - rho V",
        (
            Term("M", "finished weight", M, "g"),
            _rho(water),
            Term("V", "outside volume", V, "mL"),
        ),
        ARCHIMEDES,
    )


def chance_sinks(N: Uncertain) -> Working:
    """Chance that it sinks."""
    return Working(
        "P = Phi(N / u(N))",
        (Term("N", "net in water", N, "g"),),
        "normal distribution; ballast and holes taken as given (JCGM 100:2008, 6.2)",
    )


def chance_hangs(N: Uncertain, band: float) -> Working:
    """Chance that a suspender stays within its band."""
    return Working(
        "P = Phi((b - N) / u(N)) - Phi((-b - N) / u(N))",
        (Term("N", "net in water", N, "g"), Term("b", "tolerance of the weight", band, "g")),
        "normal distribution; ballast and holes taken as given (JCGM 100:2008, 6.2)",
    )
