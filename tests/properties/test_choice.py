"""The choice of pieces against brute force, a general solver and published instances."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp

from wizard.physics.choice import Choice, choice
from wizard.physics.pieces import Piece, PieceSet, cut_length

LEAD = 11340.0
STEP = 1e-5


def balls(*steps: int, count: int = 1) -> list[Piece]:
    return [Piece(f"{n}: {s}", s * STEP, count, LEAD, "ball") for n, s in enumerate(steps)]


def in_steps(members: PieceSet) -> int:
    return round(members.mass / STEP)


def rank(members: PieceSet, wanted: int) -> tuple[int, int]:
    return members.pieces, abs(in_steps(members) - wanted)


def brute_force(drawer: list[Piece], wanted: int, tolerance: int) -> list[tuple[int, int]]:
    """(pieces, distance) of every set within the tolerance, best first: tries them all."""
    ranks = []
    for counts in itertools.product(*(range(piece.count + 1) for piece in drawer)):
        total = sum(n * round(piece.mass / STEP) for n, piece in zip(counts, drawer, strict=True))
        if sum(counts) and abs(total - wanted) <= tolerance:
            ranks.append((sum(counts), abs(total - wanted)))
    return sorted(ranks)


drawers = st.lists(st.tuples(st.integers(1, 400), st.integers(1, 3)), min_size=1, max_size=6).map(
    lambda rows: [Piece(str(n), m * STEP, c, LEAD, "ball") for n, (m, c) in enumerate(rows)]
)


@settings(max_examples=100, deadline=None)
@given(drawers, st.integers(1, 1200), st.integers(0, 60))
def test_best_sets_are_those_of_brute_force(
    drawer: list[Piece], wanted: int, tolerance: int
) -> None:
    found = choice(drawer, wanted * STEP, tolerance * STEP, alternatives=8)
    expected = brute_force(drawer, wanted, tolerance)
    assert [rank(members, wanted) for members in found.sets] == expected[:8]
    assert (found.limit is None) == bool(expected)
    listed = {tuple((t.piece.id, t.piece.count) for t in members.taken) for members in found.sets}
    assert len(listed) == len(found.sets)
    stock = {piece.id: piece.count for piece in drawer}
    assert all(0 < n <= stock[name] for members in listed for name, n in members)


@settings(max_examples=60, deadline=None)
@given(drawers, st.integers(1, 1200), st.integers(0, 60))
def test_trim_decides_among_equals_only(drawer: list[Piece], wanted: int, tolerance: int) -> None:
    def trim(members: PieceSet) -> float:
        return sum(math.sin(7 * int(t.piece.id) + 1) * t.piece.count for t in members.taken)

    found = choice(drawer, wanted * STEP, tolerance * STEP, trim=trim, most=10_000)
    expected = brute_force(drawer, wanted, tolerance)
    if not expected:
        assert found.best is None
        return
    assert found.complete
    assert found.best is not None
    best = math.inf
    for counts in itertools.product(*(range(piece.count + 1) for piece in drawer)):
        total = sum(n * round(p.mass / STEP) for n, p in zip(counts, drawer, strict=True))
        if (sum(counts), abs(total - wanted)) == expected[0]:
            score = sum(
                math.sin(7 * int(p.id) + 1) * n for n, p in zip(counts, drawer, strict=True)
            )
            best = min(best, score)
    assert rank(found.best, wanted) == expected[0]
    assert trim(found.best) == pytest.approx(best, abs=1e-9)


def general_solver(
    whole: list[tuple[int, int]], stocks: list[tuple[int, int]], wanted: int, tolerance: int
) -> tuple[int, int] | None:
    """Fewest pieces, then least distance, by scipy.optimize.milp (HiGHS).

    Args:
        whole: (steps, count) of whole pieces.
        stocks: (steps in stock, steps of the longest cut) of wire.
        wanted: steps.
        tolerance: steps.

    Variables: a number of each whole piece; for every possible cut whether it is made and
    what it weighs; the distance from the wanted sum.
    """
    cuts = [(n, cap) for n, (all_, cap) in enumerate(stocks) for _ in range(math.ceil(all_ / cap))]
    k, c = len(whole), len(cuts)
    width = k + 2 * c + 1
    total = np.array([m for m, _ in whole] + [0] * c + [1] * c + [0], dtype=float)
    rows, lows, highs = [], [], []

    def require(row: np.ndarray, low: float, high: float) -> None:
        rows.append(row)
        lows.append(low)
        highs.append(high)

    for i, (_, cap) in enumerate(cuts):
        row = np.zeros(width)
        row[k + c + i], row[k + i] = 1, -cap
        require(row, -np.inf, 0)
    for n, (everything, _) in enumerate(stocks):
        row = np.zeros(width)
        row[[k + c + i for i in range(c) if cuts[i][0] == n]] = 1
        require(row, -np.inf, everything)
    distance = np.zeros(width)
    distance[-1] = 1
    require(total - distance, -np.inf, wanted)
    require(total + distance, wanted, np.inf)
    upper = [n for _, n in whole] + [1] * c + [cap for _, cap in cuts] + [tolerance]
    pieces = np.array([1.0] * (k + c) + [0] * (c + 1))
    bounds, whole_numbers = (
        Bounds(np.zeros(width), np.array(upper, dtype=float)),
        np.ones(width, dtype=np.int64),
    )
    require(pieces, 1, np.inf)
    first = milp(
        pieces,
        constraints=LinearConstraint(np.array(rows), lows, highs),
        bounds=bounds,
        integrality=whole_numbers,
    )
    if first.fun is None:
        return None
    require(pieces, 0, round(first.fun))
    second = milp(
        distance,
        constraints=LinearConstraint(np.array(rows), lows, highs),
        bounds=bounds,
        integrality=whole_numbers,
    )
    assert second.fun is not None
    return round(first.fun), round(second.fun)


def cuts_hold(found: Choice, stocks: dict[str, tuple[int, int]]) -> None:
    """Every cut is within the longest, and no stock gives more than it has."""
    for members in found.sets:
        used: dict[str, int] = {}
        for taken in members.taken:
            if taken.piece.id in stocks:
                steps = round(taken.piece.mass / STEP)
                assert 1 <= steps <= stocks[taken.piece.id][1]
                used[taken.piece.id] = used.get(taken.piece.id, 0) + steps * taken.piece.count
        assert all(used[name] <= stocks[name][0] for name in used)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.integers(50, 900), st.integers(1, 4)), max_size=8),
    st.lists(st.tuples(st.integers(20, 500), st.sampled_from([1.0e-3, 1.5e-3])), max_size=2),
    st.integers(1, 3000),
    st.integers(0, 40),
)
def test_choice_with_wire_agrees_with_a_general_solver(
    whole: list[tuple[int, int]],
    wires: list[tuple[int, float]],
    wanted: int,
    tolerance: int,
) -> None:
    longest = 0.010
    drawer = [Piece(str(n), m * STEP, c, LEAD, "cylinder") for n, (m, c) in enumerate(whole)]
    stocks = {}
    for n, (steps, diameter) in enumerate(wires):
        drawer.append(Piece(f"wire {n}", steps * STEP, 1, LEAD, "wire", diameter))
        full = math.floor(round(LEAD * math.pi / 4 * diameter**2 * longest / STEP, 6))
        stocks[f"wire {n}"] = (steps, min(steps, full))
    found = choice(drawer, wanted * STEP, tolerance * STEP, longest_cut=longest)
    expected = general_solver(whole, list(stocks.values()), wanted, tolerance)
    assert (found.best and rank(found.best, wanted)) == expected
    cuts_hold(found, stocks)


def test_eighty_pieces_agree_with_a_general_solver() -> None:
    sizes = np.random.default_rng(80).integers(30, 3000, 80)
    found = choice(balls(*(int(s) for s in sizes)), 0.150, 5 * STEP)
    expected = general_solver([(int(s), 1) for s in sizes], [], 15000, 5)
    assert found.best is not None
    assert rank(found.best, 15000) == expected


@pytest.mark.parametrize(
    ("weights", "target", "solutions"),
    [
        # SUBSET_SUM, data for the subset sum problem, Florida State University (Burkardt): P01, P02
        # and P04 to P07, weights and targets read in stored copies of its programs. The number
        # of solutions is printed there for P01 (3) and is brute force's for the rest.
        ((15, 22, 14, 26, 32, 9, 16, 8), 53, 3),
        ((267, 493, 869, 961, 1000, 1153, 1246, 1598, 1766, 1922), 5842, None),
        ((41, 34, 21, 20, 8, 7, 7, 4, 3, 3), 50, None),
        ((81, 80, 43, 40, 30, 26, 12, 11, 9), 100, None),
        ((1, 2, 4, 8, 16, 32), 22, None),
        ((25, 27, 3, 12, 6, 15, 9, 30, 21, 19), 50, None),
    ],
)
def test_published_instances(weights: tuple[int, ...], target: int, solutions: int | None) -> None:
    found = choice(balls(*weights), target * STEP, 0.0, alternatives=10_000, most=10_000)
    subsets = [
        s
        for n in range(len(weights) + 1)
        for s in itertools.combinations(range(len(weights)), n)
        if sum(weights[i] for i in s) == target
    ]
    assert len(found.sets) == (solutions or len(subsets)) == len(subsets)
    assert all(in_steps(members) == target for members in found.sets)
    assert found.sets[0].pieces == min(len(s) for s in subsets)


def test_second_published_instance_has_the_printed_answer() -> None:
    # Printed with the instance: 869 + 961 + 1000 + 1246 + 1766 = 5842.
    weights = (267, 493, 869, 961, 1000, 1153, 1246, 1598, 1766, 1922)
    found = choice(balls(*weights), 5842 * STEP, 0.0)
    assert found.best is not None
    taken = sorted(round(t.piece.mass / STEP) for t in found.best.taken)
    assert taken == [869, 961, 1000, 1246, 1766]


def test_the_rest_is_cut_from_wire_to_its_length() -> None:
    # Rod of lead, 11.34 g/mL: 8.9064 g per 10 mm at 10 mm diameter, 1.425 g at 4 mm (geometry).
    assert cut_length(Piece("rod", 0.1, 1, LEAD, "wire", 0.010), 8.9064e-3) == pytest.approx(
        0.010, rel=1e-5
    )
    wire = Piece("wire", 0.050, 1, LEAD, "wire", 0.004)
    found = choice([*balls(1000, 700), wire], 18.43e-3, 0.0)
    assert found.best is not None
    cut = next(t for t in found.best.taken if t.cut)
    assert found.best.pieces == 3
    assert cut.piece.mass == pytest.approx(1.43e-3)
    assert cut.piece.length == pytest.approx(1.43 / 1.425 * 0.010, rel=1e-4)


@pytest.mark.parametrize(
    ("drawer", "wanted", "kind", "by"),
    [
        ([], 1000, "no pieces", 1000),
        (balls(500), -3, "nothing wanted", 3),
        (balls(500), 0, "nothing wanted", 0),
        (balls(5000, 6000), 1000, "pieces too heavy", 3990),
        (balls(100, 200), 1000, "drawer too light", 690),
        (balls(300, 900), 700, "between two sums", 190),
    ],
)
def test_contradictions_say_which_limit_binds(
    drawer: list[Piece], wanted: int, kind: str, by: int
) -> None:
    found = choice(drawer, wanted * STEP, 10 * STEP)
    assert found.limit is not None
    assert found.best is None
    assert found.limit.kind == kind
    assert found.limit.by == pytest.approx(by * STEP)


@settings(max_examples=60, deadline=None)
@given(drawers, st.integers(1, 1500))
def test_the_gap_names_the_nearest_sums(drawer: list[Piece], wanted: int) -> None:
    found = choice(drawer, wanted * STEP, 0.0)
    sums = {
        sum(n * round(p.mass / STEP) for n, p in zip(counts, drawer, strict=True))
        for counts in itertools.product(*(range(p.count + 1) for p in drawer))
    } - {0}
    if found.limit is None or found.limit.kind != "between two sums":
        return
    below = max((s for s in sums if s < wanted), default=None)
    above = min((s for s in sums if s > wanted), default=None)
    assert found.limit.below == (below and pytest.approx(below * STEP))
    assert found.limit.above == (above and pytest.approx(above * STEP))


def test_a_slip_of_the_pen_neither_hangs_nor_fills_the_memory() -> None:
    drawer = [Piece(str(n), (0.3 + n) * 1e3, 1000, LEAD, "ball") for n in range(40)]
    found = choice(drawer, 5e5, 1.0)
    assert found.step > STEP
    assert found.best is not None
    assert abs(found.best.mass - 5e5) <= 1.0 + found.step * found.best.pieces / 2


@pytest.mark.parametrize("wanted", [math.nan, math.inf])
def test_not_a_number_is_refused(wanted: float) -> None:
    with pytest.raises(ValueError, match="finite"):
        choice(balls(100), wanted, 0.0)
