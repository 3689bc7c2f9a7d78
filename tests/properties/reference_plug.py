"""The numbers of a plug straight from the formulas: no code of the project is used here.

Plain floats, the GTC package for uncertainty (M. Balzer and B. Hall, Measurement
Standards Laboratory of New Zealand) and scipy for roots and Student's t. It reads the
tables of a profile and knows bodies that are circular cylinders only, whose volume, skin
and centres are closed forms.

Sources of the formulas:
    water: Millero and Poisson (1981), Deep-Sea Research 28A, 625-629 (on IPTS-68);
    viscosity: Sharqawy, Lienhard and Zubair (2010), Desalin. Water Treat. 16, 354, eq. 22-23;
    brine of NaCl: Laliberte and Cooper (2004), J. Chem. Eng. Data 49, 1141, coefficients of
        Laliberte (2009), J. Chem. Eng. Data 54, 1725;
    drag: Haider and Levenspiel (1989), Powder Technology 58, 63-70, general form;
    uncertainty: JCGM 100:2008, 4.2, 4.3.7, 5.1.2, 5.1.3 note 2, F.2.2.1, G.3.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Any

from GTC import constant, ureal
from GTC import uncertainty as gtc_u
from GTC import value as gtc_value
from scipy.optimize import brentq
from scipy.stats import t as student

AIR = 1.2  # kg/m3
G = 9.80665  # m/s2
DRAG_SPREAD = math.log(1.35) / math.sqrt(3)
ADDED_MASS, ADDED_MASS_U = 0.7, 0.25 / math.sqrt(3)
STAGES = ("bare", "ballasted", "sealed", "coated", "finished")
INCH, POUND = 0.0254, 0.45359237  # exact: international yard and pound agreement, 1959
FACTORS: Mapping[str, float] = {
    "mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": INCH, "ft": 12 * INCH,
    "mg": 1e-6, "g": 1e-3, "kg": 1.0, "oz": POUND / 16, "lb": POUND, "gr": POUND / 7000,
    "g/mL": 1e3, "g/cm3": 1e3, "kg/m3": 1.0,
    "lb/ft3": POUND / (12 * INCH) ** 3, "oz/in3": POUND / 16 / INCH**3,
    "degC": 1.0, "g/kg": 1.0, "psu": 1.0, "s": 1.0, "min": 60.0, "%": 1e-2, "m/s": 1.0,
    "cm/s": 1e-2, "ft/s": 12 * INCH, "in/s": INCH, "deg": math.pi / 180,
}  # fmt: skip


def si(text: str | None) -> float | None:
    """A quantity of a profile in SI; None for a missing one."""
    if text is None:
        return None
    number, unit = text.split()
    if unit == "degF":
        return (float(number) - 32.0) / 1.8
    return float(number) * FACTORS[unit]


def sea_density(t90: float, S: float) -> float | None:
    """Density of sea water [kg/m3]; None outside 0 to 40 degC and S of 0 to 42."""
    if not (0 <= t90 <= 40 and 0 <= S <= 42):
        return None
    t = 1.00024 * t90
    pure = (
        999.842594 + 6.793952e-2 * t - 9.09529e-3 * t**2 + 1.001685e-4 * t**3
        - 1.120083e-6 * t**4 + 6.536332e-9 * t**5
    )  # fmt: skip
    B = 8.24493e-1 - 4.0899e-3 * t + 7.6438e-5 * t**2 - 8.2467e-7 * t**3 + 5.3875e-9 * t**4
    C = -5.72466e-3 + 1.0227e-4 * t - 1.6546e-6 * t**2
    return pure + B * S + C * math.pow(S, 1.5) + 4.8314e-4 * S**2


def brine_density(t: float, salt: float) -> float | None:
    """Density of so much NaCl [g] in a kilogram of water [kg/m3]."""
    water = sea_density(t, 0.0)
    if water is None or salt > 117:
        return None
    w = salt / (1000 + salt)
    c0, c1, c2, c3, c4 = (
        -0.00324112223655149, 0.0636354335906616, 1.01371399467365, 0.0145951015210159,
        3317.34854426537,
    )  # fmt: skip
    apparent = (c0 * w + c1) * math.exp(1e-6 * (t + c4) ** 2) / (w + c2 + c3 * t)
    return 1 / ((1 - w) / water + w / apparent)


def viscosity(t: float, S: float) -> float:
    """Viscosity of sea water [Pa s]."""
    x = S * 35.16504 / 35 / 1000
    A = 1.541 + 1.998e-2 * t - 9.52e-5 * t**2
    B = 7.974 - 7.561e-2 * t + 4.724e-4 * t**2
    return (4.2844e-5 + 1 / (0.157 * (t + 64.993) ** 2 - 91.296)) * (1 + A * x + B * x**2)


@dataclass(frozen=True)
class Water:
    """Density and viscosity of one water."""

    density: float
    viscosity: float | None

    @property
    def rho(self) -> float:
        """What balances a scale reading: water less air."""
        return self.density - AIR


def sea(t: float | None, S: float | None) -> Water | None:
    """Sea water."""
    density = None if t is None or S is None else sea_density(t, S)
    if density is None or t is None or S is None:
        return None
    return Water(density, viscosity(t, S))


def brine(t: float | None, salt: float) -> Water | None:
    """Brine of table salt, as viscous as sea water of its density."""
    density = None if t is None else brine_density(t, salt)
    if density is None or t is None:
        return None
    heaviest = sea_density(t, 42.0)
    assert heaviest is not None
    if density > heaviest:
        return Water(density, None)

    def excess(S: float) -> float:
        return (sea_density(t, S) or 0.0) - density

    S = 0.0 if excess(0.0) >= 0 else brentq(excess, 0.0, 42.0, xtol=1e-14, rtol=1e-15)
    return Water(density, viscosity(t, S))


@dataclass(frozen=True)
class Cylinder:
    """A drawn body: a circular cylinder lying along x with flat ends."""

    nose: float
    tail: float
    bottom: float
    radius: float

    @property
    def volume(self) -> float:
        """Volume [m3]."""
        return math.pi * self.radius**2 * (self.tail - self.nose)

    @property
    def area(self) -> float:
        """Skin, ends included [m2]."""
        return 2 * math.pi * self.radius * (self.tail - self.nose + self.radius)

    @property
    def middle(self) -> tuple[float, float]:
        """Centre of volume and of skin, x and z [m]."""
        return (self.nose + self.tail) / 2, self.bottom + self.radius


def cylinder(shape: Mapping[str, Any]) -> Cylinder | None:
    """The body through stations of one circle; None while there are fewer than two."""
    stations = shape.get("station", [])
    if len(stations) < 2:
        return None
    first, last = stations[0], stations[-1]
    nose, tail, bottom, breadth = (
        si(s[k]) for s, k in ((first, "x"), (last, "x"), (first, "bottom"), (first, "half_breadth"))
    )
    return Cylinder(nose or 0.0, tail or 0.0, bottom or 0.0, breadth or 0.0)


def net_mass(v: float, V: float, A: float, water: Water, factor: float = 1.0) -> float:
    """Net mass that a steady speed asks for [kg], with the sign of the speed."""
    assert water.viscosity is not None
    d = (6 * V / math.pi) ** (1 / 3)
    p = math.pi * d**2 / A
    Re = water.density * abs(v) * d / water.viscosity
    b1 = math.exp(2.3288 - 6.4581 * p + 2.4486 * p**2)
    b2 = 0.0964 + 0.5565 * p
    b3 = math.exp(4.905 - 13.8944 * p + 18.4222 * p**2 - 10.2599 * p**3)
    b4 = math.exp(1.4681 + 12.2584 * p - 20.7322 * p**2 + 15.8855 * p**3)
    CD = 24 / Re * (1 + b1 * Re**b2) + b3 * Re / (b4 + Re)
    return math.copysign(0.5 * water.density * v**2 * CD * factor * math.pi * d**2 / 4 / G, v)


def speed(N: float, V: float, A: float, water: Water, factor: float = 1.0) -> float:
    """Steady speed that a net mass gives [m/s], with its sign."""

    def excess(log_v: float) -> float:
        return math.log(net_mass(math.exp(log_v), V, A, water, factor) / abs(N))

    return math.copysign(math.exp(brentq(excess, -20.0, 3.0, xtol=1e-15, rtol=1e-14)), N)


def timed_net(
    depth: float, time: float, V: float, A: float, water: Water, added: float, factor: float
) -> float:
    """Net mass of a plug that takes a time from rest for a depth [kg]."""

    def lateness(log_v: float) -> float:
        v = math.exp(log_v)
        s = net_mass(v, V, A, water, factor) / (water.density * V)
        L = (1 + s + added) * v**2 / (s * G)
        # t = L / v arccosh(exp(x / L)), without overflow
        x = depth / L
        return math.log(L / v * (x + math.log1p(math.sqrt(-math.expm1(-2 * x)))) / time)

    v = math.exp(brentq(lateness, math.log(depth / time) - 1e-9, 3.0, xtol=1e-15, rtol=1e-14))
    return net_mass(v, V, A, water, factor)


def through(function: Callable[..., float], *arguments: Any) -> Any:
    """A function of uncertain arguments, linear over plus and minus one u (GUM 5.1.3 note 2)."""
    at = [float(gtc_value(a)) for a in arguments]
    out = constant(function(*at))
    for i, a in enumerate(arguments):
        u = float(gtc_u(a))
        if u > 0:
            up = function(*at[:i], at[i] + u, *at[i + 1 :])
            down = function(*at[:i], at[i] - u, *at[i + 1 :])
            out = out + (up - down) / (2 * u) * (a - at[i])
    return out


@dataclass(frozen=True)
class Part:
    """Mass, outside volume, place (x, z), and the stage from which it is on the plug."""

    mass: Any
    volume: Any
    place: tuple[float, float] | None
    stage: str


def summed(values: Sequence[Any]) -> Any:
    """The sum; None if one is unknown."""
    if any(v is None for v in values):
        return None
    total = constant(0.0)
    for v in values:
        total = total + v
    return total


def centre(weights: Sequence[Any], places: Sequence[tuple[float, float] | None]) -> Any:
    """Weighted mean place as (x, z); None if anything of weight is unknown."""
    pairs = [(w, p) for w, p in zip(weights, places, strict=True) if not _nothing(w)]
    if not pairs or any(w is None or p is None for w, p in pairs):
        return None
    whole = summed([w for w, _ in pairs])
    return tuple(summed([w * p[i] for w, p in pairs if p is not None]) / whole for i in (0, 1))


def _nothing(weight: Any) -> bool:
    return weight is not None and gtc_value(weight) == 0 and gtc_u(weight) == 0


class Reference:
    """All numbers of a profile, as (value, u) in the published unit, by name."""

    def __init__(self, profile: Mapping[str, Any]) -> None:
        self.p = profile
        self.numbers: dict[str, tuple[float, float]] = {}
        self.accuracies: dict[str, Any] = {}
        self.fishing = sea(*(si(self._of("water").get(k)) for k in ("temperature", "salinity")))
        self.body = cylinder(self._of("shape"))
        self.drag = ureal(0.0, DRAG_SPREAD)
        self.added = ureal(ADDED_MASS, ADDED_MASS_U)
        self._work()

    def _of(self, table: str) -> Mapping[str, Any]:
        found: Mapping[str, Any] = self.p.get(table, {})
        return found

    def _put(self, name: str, value: Any, scale: float) -> None:
        if value is not None:
            self.numbers[name] = (float(gtc_value(value)) / scale, float(gtc_u(value)) / scale)

    def _accuracy(self, name: str, limit: float | None) -> Any:
        """One error common to all readings of an instrument."""
        if name not in self.accuracies:
            self.accuracies[name] = ureal(0.0, (limit or 0.0) / math.sqrt(3)) if limit else 0.0
        return self.accuracies[name]

    def _reading(self, text: Any, step: float | None, bias: Any) -> Any:
        x = si(text)
        assert x is not None
        own = ureal(0.0, step / math.sqrt(12)) if step else constant(0.0)
        return x + own + bias

    def _body_scale(self, text: Any) -> Any:
        w = self._of("weighing")
        bias = self._accuracy("weighing", si(w.get("accuracy")))
        return self._reading(text, si(w.get("resolution")), bias)

    def _sample_side(self, text: Any) -> Any:
        d = self._of("density")
        bias = self._accuracy("caliper", si(d.get("length_accuracy")))
        return self._reading(text, si(d.get("length_resolution")), bias)

    def _sample_scale(self, text: Any) -> Any:
        d = self._of("density")
        bias = self._accuracy("scale", si(d.get("mass_accuracy")))
        return self._reading(text, si(d.get("mass_resolution")), bias)

    # 2. Density ------------------------------------------------------------

    def _sample(self, s: Mapping[str, Any]) -> Any:
        if s["method"] == "known":
            return ureal(si(s["density"]), si(s.get("uncertainty")) or 0.0)
        m = self._sample_scale(s["mass"])
        if s["method"] == "block":
            L, W, T = (self._sample_side(s[k]) for k in ("length", "width", "thickness"))
            return m / (L * W * T)
        if s["method"] == "cylinder":
            D, L = (self._sample_side(s[k]) for k in ("diameter", "length"))
            return m / (math.pi / 4 * D * D * L)
        water = self.fishing
        if "temperature" in s:
            water = sea(si(s["temperature"]), si(s.get("salinity")) or 0.0)
        return None if water is None else m / (self._sample_scale(s["gain"]) / water.rho)

    def _wood(self) -> Any:
        test = self._of("density")
        known = [d for s in test.get("sample", []) if (d := self._sample(s)) is not None]
        scatter = si(test.get("board_scatter"))
        if not known:
            stock = self._of("stock")
            if not all(k in stock for k in ("length", "width", "thickness", "mass")):
                return None
            L, W, T = (self._sample_side(stock[k]) for k in ("length", "width", "thickness"))
            known = [self._sample_scale(stock["mass"]) / (L * W * T)]
        n = len(known)
        if n == 1:
            return known[0] + ureal(0.0, (scatter or 0.0) * gtc_value(known[0]))
        reach = self._reach([gtc_value(x) for x in known], [gtc_u(x) for x in known])
        much = max(reach) > 9 * min(reach)
        w = [1 / v if much else 1.0 for v in reach]
        mean = summed([wi * x for wi, x in zip(w, known, strict=True)]) / sum(w)
        squares = sum(
            wi * (gtc_value(x) - gtc_value(mean)) ** 2 for wi, x in zip(w, known, strict=True)
        )
        t = student.ppf((1 + 0.6827) / 2, n - 1)
        return mean + ureal(0.0, t * math.sqrt(squares / (n - 1) / sum(w)))

    @staticmethod
    def _reach(values: Sequence[float], own: Sequence[float]) -> list[float]:
        """What each sample says of its board, as a variance: its own and the board's."""
        if min(own) == 0:
            return [1.0] * len(own)

        def excess(v: float) -> float:
            w = [1 / (u * u + v) for u in own]
            m = sum(a * x for a, x in zip(w, values, strict=True)) / sum(w)
            seen = sum(a * (x - m) ** 2 for a, x in zip(w, values, strict=True))
            return seen - (len(values) - 1)

        widest = (max(values) - min(values)) ** 2
        v = brentq(excess, 0.0, widest, xtol=1e-30, rtol=1e-14) if excess(0.0) > 0 else 0.0
        return [u * u + v for u in own]

    # Parts -----------------------------------------------------------------

    def _hardware(self, h: Mapping[str, Any], wood: Any) -> Part:
        m, density = si(h.get("mass")), si(h.get("density"))
        place = None
        if "x" in h and "z" in h:
            place = (si(h["x"]) or 0.0, si(h["z"]) or 0.0)
        stage = h.get("stage", "finished")
        if m is None:
            return Part(None, None, place, stage)
        m *= h.get("count", 1)
        out = float(h.get("outside", 1.0))
        if density is None:
            return Part(
                constant(m) if out == 1 else None, constant(0.0) if out == 0 else None, place, stage
            )
        mass = constant(m)
        if out < 1:
            mass = None if wood is None else m - (1 - out) * m / density * wood
        return Part(mass, constant(out * m / density), place, stage)

    def _coat(self, c: Mapping[str, Any]) -> Part:
        density, film, m = si(c.get("density")), si(c.get("thickness")), si(c.get("mass"))
        area = self.body.area if self.body else None
        out = float(c.get("outside", 1.0))
        volume = None
        if m is None and film is not None and area is not None:
            volume = out * area * film
            m = None if density is None else density * area * film
        elif m is not None and density is not None:
            volume = out * m / density
        place = self.body.middle if self.body else None
        default = "sealed" if "seal" in c.get("name", "") else "coated"
        return Part(
            None if m is None else constant(m),
            None if volume is None else constant(volume),
            place,
            c.get("stage", default),
        )

    def _holes(self) -> list[float]:
        holes = self._of("ballast").get("hole", [])
        return [
            math.pi / 4 * (si(h["diameter"]) or 0.0) ** 2 * (si(h["depth"]) or 0.0) for h in holes
        ]

    def _pieces(self, metal: float) -> list[tuple[float, float, int | None]] | None:
        """Mass, volume and hole of each sort of piece."""
        rows = self._of("ballast").get("piece", [])
        out = []
        for r in rows:
            m = (si(r["mass"]) or 0.0) * r.get("count", 1)
            out.append((m, m / (si(r.get("density")) or metal), r.get("hole")))
        return out or None

    def _ballast_parts(self, answer: float | None, wood: Any) -> list[Part]:
        b = self._of("ballast")
        metal, fill = si(b["density"]) or 0.0, si(b["filler_density"]) or 0.0
        pieces, holes = self._pieces(metal), self._holes()
        if pieces is None and answer is not None:
            pieces = [(max(answer, 0.0), max(answer, 0.0) / metal, None)]
        if pieces is None or wood is None:
            return [Part(None, constant(0.0), None, "ballasted")]
        if not holes:
            m, v = sum(p[0] for p in pieces), sum(p[1] for p in pieces)
            return self._filled(float(b.get("hole_ratio", 1.0)) * v, m, v, wood, fill, None)
        parts = []
        whole = sum(holes)
        for i, (hole, row) in enumerate(zip(holes, b["hole"], strict=True), start=1):
            share = hole / whole
            m = sum(p[0] * (p[2] == i or (p[2] is None) * share) for p in pieces)
            v = sum(p[1] * (p[2] == i or (p[2] is None) * share) for p in pieces)
            parts += self._filled(hole, m, v, wood, fill, row)
        return parts

    def _filled(
        self, hole: float, m: float, v: float, wood: Any, fill: float, row: Any
    ) -> list[Part]:
        """Wood out, ballast at the blind end, filler at the mouth."""
        places: list[tuple[float, float] | None] = [None, None, None]
        if row is not None and self.body is not None and "x" in row:
            x, depth = si(row["x"]) or 0.0, si(row["depth"]) or 0.0
            share = min(v / hole, 1.0)
            if self.body.nose <= x <= self.body.tail:
                middles = (0.5, 1 - share / 2, (1 - share) / 2)
                places = [(x, self._level(row, depth * h)) for h in middles]
        zero, room = constant(0.0), hole - v
        parts = [
            Part(-1 * wood * hole, zero, places[0], "ballasted"),
            Part(constant(m), zero, places[1], "ballasted"),
        ]
        if room > 1e-6 * hole:
            parts.append(Part(constant(fill * room), zero, places[2], "ballasted"))
        return parts

    def _level(self, row: Mapping[str, Any], deep: float) -> float:
        """Height of a point so deep in a hole."""
        assert self.body is not None
        if row.get("axis") == "across":
            return si(row.get("z")) or self.body.middle[1]
        top = self.body.bottom + 2 * self.body.radius
        return top - deep if row.get("axis") == "down" else self.body.bottom + deep

    def _weighed(self, parts: list[Part]) -> list[Part]:
        """The list with the latest weighing of the whole plug in it."""
        rows = list(self.p.get("weight", []))
        if not rows:
            return parts
        at, _, row = max((STAGES.index(w["stage"]), i, w) for i, w in enumerate(rows))
        on = [p for p in parts if STAGES.index(p.stage) <= at]
        on = [
            Part(constant(0.0) if p.mass is None else p.mass, p.volume, p.place, p.stage)
            for p in on
        ]
        if "resolution" in row or "accuracy" in row:
            bias = self._accuracy(f"weight {at}", si(row.get("accuracy")))
            reading = self._reading(row["mass"], si(row.get("resolution")), bias)
        else:
            reading = self._body_scale(row["mass"])
        middle = centre([p.mass for p in on], [p.place for p in on])
        place = None
        if middle is not None:
            place = float(gtc_value(middle[0])), float(gtc_value(middle[1]))
        gap = Part(reading - summed([p.mass for p in on]), constant(0.0), place, row["stage"])
        return [*on, gap, *(p for p in parts if STAGES.index(p.stage) > at)]

    # The walk --------------------------------------------------------------

    def _work(self) -> None:
        if self.fishing:
            self._put("water_density", constant(self.fishing.density), 1e3)
        if self.body:
            self._put("shape_volume", constant(self.body.volume), 1e-6)
            self._put("shape_area", constant(self.body.area), 1e-4)
        wood = self._wood()
        self._put("wood_density", wood, 1e3)
        weighed = self._of("weighing").get("mass")
        m_b = None if weighed is None else self._body_scale(weighed)
        V_b = None if m_b is None or wood is None else m_b / wood
        self._put("body_volume", V_b, 1e-6)
        hardware, coats = self.p.get("hardware"), self.p.get("coat")
        middle = self.body.middle if self.body else None
        others = [Part(m_b, V_b, middle, "bare")]
        others += [self._hardware(h, wood) for h in hardware or []]
        others += [self._coat(c) for c in coats or []]
        m_hw = None
        if hardware is not None and all("mass" in h for h in hardware):
            m_hw = constant(sum((si(h["mass"]) or 0.0) * h.get("count", 1) for h in hardware))
        self._put("hardware_mass", m_hw, 1e-3)
        V = summed([p.volume for p in others])
        if self.fishing and V is not None:
            self._put("neutral_mass", self.fishing.rho * V, 1e-3)
        s = self._margin(V)
        target = None
        if s is not None and V is not None and self.fishing:
            target = (1 + s) * self.fishing.rho * V
            self._put("target_mass", target, 1e-3)
        if s is not None and V_b is not None and (hardware is None or m_hw is not None):
            bench = 1000.0 * V_b * (1 + s) - m_b - (0.0 if m_hw is None else m_hw)
            self._put("bench_ballast", bench, 1e-3)
        if "ballast" in self.p:
            answer = self._answer(target, summed([p.mass for p in others]), wood)
            self._put("ballast_mass", answer, 1e-3)
            fixed = None if answer is None else float(gtc_value(answer))
            self._finished(self._weighed(others + self._ballast_parts(fixed, wood)))

    def _margin(self, V: Any) -> Any:
        aim = self._of("aim")
        behaviour = aim.get("behaviour")
        if behaviour == "suspends":
            return constant(0.0)
        sign = -1.0 if behaviour == "floats" else 1.0
        if "margin" in aim:
            return constant(sign * abs(si(aim["margin"]) or 0.0))
        if "freeboard_fraction" in aim:
            return constant(-(si(aim["freeboard_fraction"]) or 0.0))
        if "sink_rate" not in aim or self.fishing is None or V is None or self.body is None:
            return None
        v, A, water = si(aim["sink_rate"]) or 0.0, self.body.area, self.fishing
        s = through(lambda V: net_mass(v, V, A, water) / (water.rho * V), V)
        return s * (1 - 2 * self.drag)

    def _answer(self, target: Any, others: Any, wood: Any) -> Any:
        if target is None or others is None or wood is None:
            return None
        b = self._of("ballast")
        rho_L, rho_f = si(b["density"]) or 0.0, si(b["filler_density"]) or 0.0
        holes = self._holes()
        if holes:
            V_h = sum(holes)
            return (target - others + wood * V_h - rho_f * V_h) / (1 - rho_f / rho_L)
        q = float(b.get("hole_ratio", 1.0))
        return (target - others) / (1 - q * wood / rho_L + (q - 1) * rho_f / rho_L)

    def _finished(self, parts: list[Part]) -> None:
        M, V = summed([p.mass for p in parts]), summed([p.volume for p in parts])
        self._put("finished_mass", M, 1e-3)
        self._put("displaced_volume", V, 1e-6)
        cg = centre([p.mass for p in parts], [p.place for p in parts])
        cb = centre([p.volume for p in parts], [p.place for p in parts])
        for name, at in (("cg", cg), ("cb", cb)):
            for axis, value in zip("xz", at or (), strict=False):
                self._put(f"{name}_{axis}", value, 1e-3)
        if self.fishing is None:
            return
        N = None
        if M is not None and V is not None:
            N = M - self.fishing.rho * V
            self._balance(M, V, N, cg, cb)
        self._proof(V, N)

    def _balance(self, M: Any, V: Any, N: Any, cg: Any, cb: Any) -> None:
        assert self.fishing is not None
        self._put("net_in_water", N, 1e-3)
        n, u, weight = float(gtc_value(N)), float(gtc_u(N)), float(gtc_value(M))
        if u > 0:
            sinks = NormalDist().cdf(n / u)
            self.numbers["chance_sinks"] = (sinks, 0.0)
            aim = self._of("aim")
            behaviour = aim.get("behaviour")
            if behaviour == "suspends":
                band = (si(aim.get("tolerance")) or 0.005) * weight
                within = NormalDist().cdf((band - n) / u) - NormalDist().cdf((-band - n) / u)
                self.numbers["chance_aim"] = (within, 0.0)
            elif behaviour:
                self.numbers["chance_aim"] = (sinks if behaviour == "sinks" else 1 - sinks, 0.0)
        if n > 1e-9 * weight and self.body is not None:
            A, water = self.body.area, self.fishing
            v = through(lambda N, V: speed(N, V, A, water), N, V) * (1 + self.drag)
            self._put("sink_rate", v, 1.0)
        sunk = n >= -1e-4 * weight and cg is not None and cb is not None
        if sunk and gtc_value(cb[1]) - gtc_value(cg[1]) > 1e-9:
            pitch = through(lambda gx, gz, bx, bz: math.atan2(bx - gx, bz - gz), *cg, *cb)
            self._put("rest_pitch", pitch, math.pi / 180)

    # 11. Tank --------------------------------------------------------------

    def _tank(self, trial: Mapping[str, Any]) -> Water | None:
        water = self._of("water")
        t = si(trial.get("temperature", water.get("temperature")))
        if "salt" in trial:
            salt = si(trial["salt"]) or 0.0
            return brine(t, salt) if salt > 0 else sea(t, 0.0)
        return sea(t, si(trial.get("salinity", water.get("salinity"))))

    def _proof(self, V: Any, predicted: Any) -> None:
        assert self.fishing is not None
        nets, speeds = [], []
        for trial in self.p.get("trial", []):
            tank = self._tank(trial)
            if tank is None or (V is None and tank.density != self.fishing.density):
                continue
            shift = 0.0 if V is None else V * (tank.density - self.fishing.density)
            if trial["kind"] == "float":
                m_t = self._body_scale(trial["weight"])
                nets.append(-1 * m_t * (1 - tank.rho / (si(trial["density"]) or 1.0)) + shift)
            elif V is not None and self.body is not None and tank.viscosity is not None:
                net, fast = self._timed(trial, tank, V)
                nets.append(net + shift)
                speeds.append(fast)
        if nets:
            self._put("proof_net", _combined(nets), 1e-3)
        if speeds:
            self.numbers.pop("sink_rate", None)
            v = _combined(speeds)
            if gtc_value(v) > 0:
                self._put("sink_rate", v, 1.0)

    def _timed(self, trial: Mapping[str, Any], tank: Water, V: Any) -> tuple[Any, Any]:
        assert self.body is not None
        assert self.fishing is not None
        depth, A, here = si(trial["depth"]) or 0.0, self.body.area, self.fishing
        time = ureal(si(trial["time"]), (si(trial.get("time_accuracy")) or 0.0) / math.sqrt(3))

        def net(t: float, V: float, ca: float, f: float) -> float:
            return timed_net(depth, t, V, A, tank, ca, f)

        def fast(t: float, V: float, ca: float, f: float) -> float:
            moved = net(t, V, ca, f) + V * (tank.density - here.density)
            return speed(moved, V, A, here, f)

        unseen = (time, V, self.added, 1 - 2 * self.drag)
        return through(net, *unseen), through(fast, *unseen)


def _combined(values: Sequence[Any]) -> Any:
    """Several trials as one: by certainty, or the plain mean if one has no doubt."""
    us = [float(gtc_u(v)) for v in values]
    w = [1 / u**2 for u in us] if all(us) else [1.0] * len(us)
    return summed([wi * v for wi, v in zip(w, values, strict=True)]) / sum(w)
