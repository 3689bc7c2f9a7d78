"""Habits: the mean of what several builds say, how sure it is, and how much the next may differ."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from wizard.certainty.readings import deviation, mean
from wizard.certainty.student import t_factor
from wizard.learning.observing import Observation, Seen

SURE = 0.95


@dataclass(frozen=True, slots=True)
class Habit:
    """What this maker does as a rule.

    Attributes:
        key: what it is about, as in `Observation`.
        count: how many observations speak.
        mean: their geometric mean [unit of the observation].
        low: lower end of the interval that holds the true mean in 95 of 100 cases.
        high: upper end; both are the mean itself while there is only one.
        scatter: standard deviation of one observation, relative [1]; 0 for one.
    """

    key: str
    count: int
    mean: float
    low: float
    high: float
    scatter: float

    @property
    def spread(self) -> float:
        """Relative standard uncertainty of the next one, the mean's own doubt with it [1].

        Source: t(68.27 %, n - 1) s sqrt(1 + 1 / n), the interval of one more reading.
        """
        if self.count < 2:
            return math.inf
        n = self.count
        return t_factor(n - 1) * self.scatter * math.sqrt(1.0 + 1.0 / n)


def habit(key: str, values: Sequence[float]) -> Habit:
    """A habit from observations above zero; what is a share scatters by shares.

    Source: Student's interval of a mean (JCGM 100:2008, G.3), on logarithms.
    """
    logs = [math.log(value) for value in values]
    n, middle = len(logs), mean(logs)
    if n < 2:
        return Habit(key, n, values[0], values[0], values[0], 0.0)
    s = deviation(logs)
    half = t_factor(n - 1, SURE) * s / math.sqrt(n)
    return Habit(key, n, math.exp(middle), math.exp(middle - half), math.exp(middle + half), s)


def habits(found: Iterable[Observation]) -> tuple[Habit, ...]:
    """All habits, in the order in which their keys first appear."""
    by_key: dict[str, list[float]] = {}
    for one in found:
        if math.isfinite(one.value) and one.value > 0:
            by_key.setdefault(one.key, []).append(one.value)
    return tuple(habit(key, values) for key, values in by_key.items())


@dataclass(frozen=True, slots=True)
class Start:
    """The margin that really starts one down, between what stayed up and what went.

    Attributes:
        count: how many plugs near hanging speak.
        stayed: the largest margin of one that stayed up [1]; None if none did.
        went: the smallest margin of one that went down [1]; None if none did.
    """

    count: int
    stayed: float | None
    went: float | None


NEAR = 0.10
"""Margins up to here say something of where a plug starts down [1]: a judgement."""


def start(all_seen: Iterable[Seen]) -> Start | None:
    """Between which margins this maker's plugs start down; None while none says."""
    near = [
        (s.margin, s.went_down)
        for s in all_seen
        if s.margin is not None and s.went_down is not None and abs(s.margin) <= NEAR
    ]
    if not near:
        return None
    up = [margin for margin, down in near if not down]
    gone = [margin for margin, down in near if down]
    return Start(len(near), max(up, default=None), min(gone, default=None))


@dataclass(frozen=True, slots=True)
class Progress:
    """How much nearer the last predictions came than the first.

    Attributes:
        count: builds whose prediction was proved.
        compared: how many stand at either end.
        first: root mean square miss of the first, as a share of the mass [1].
        last: of the last.
    """

    count: int
    compared: int
    first: float
    last: float


MOST_COMPARED = 5


def progress(all_seen: Sequence[Seen]) -> Progress | None:
    """First against last predictions; None with fewer than two."""
    misses = [s.miss for s in all_seen if s.miss is not None]
    if len(misses) < 2:
        return None
    k = min(len(misses) // 2, MOST_COMPARED)
    return Progress(len(misses), k, _rms(misses[:k]), _rms(misses[-k:]))


def _rms(values: Sequence[float]) -> float:
    return math.sqrt(math.fsum(v * v for v in values) / len(values))


@dataclass(frozen=True, slots=True)
class Calibration:
    """All that the bench has learned.

    Attributes:
        since: builds from before count no more; None for all.
        builds: how many builds it rests on.
        habits: by key.
        start: where plugs start down.
        progress: whether it helps.
    """

    since: datetime | None = None
    builds: int = 0
    habits: tuple[Habit, ...] = ()
    start: Start | None = None
    progress: Progress | None = None

    def habit(self, key: str) -> Habit | None:
        """The habit of a key, if there is one."""
        return next((h for h in self.habits if h.key == key), None)


def calibration(all_seen: Iterable[Seen], since: datetime | None = None) -> Calibration:
    """What a maker's finished builds say together, oldest first.

    Args:
        all_seen: one for each build.
        since: builds from before, and without a date, are left out.
    """
    kept = [s for s in all_seen if since is None or (s.at is not None and _later(s.at, since))]
    kept.sort(key=lambda s: (s.at is not None, s.at.timestamp() if s.at else 0.0))
    found = habits(one for s in kept for one in s.found)
    return Calibration(since, len(kept), found, start(kept), progress(kept))


def _later(at: datetime, since: datetime) -> bool:
    return at.timestamp() >= since.timestamp()
