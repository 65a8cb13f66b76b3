"""What a studio's touch tests teach of its own drying: from intervals to a factor.

A test never shows when a coat became dry, only that it was still wet at one time and dry at
another: an interval-censored observation (the term of survival analysis; `jobs.paint.touch`
reads them). Each is weighed against what the published times say beforehand (Bayes' rule on a
grid), and a test that is simply wrong is allowed for, so that it teaches next to nothing.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from statistics import NormalDist

from jobs.paint.binders import binder
from jobs.paint.drying import FACTOR_RANGE, UNTAUGHT, Factor, spread_of
from jobs.paint.drying_tables import drying_value
from jobs.paint.gates import GATES, RECOAT, TOUCH_DRY
from jobs.paint.touch import Observation

JUDGED_BY_TOUCH = (TOUCH_DRY.key, RECOAT.key)
"""The gates a finger can judge; dryness in the depth shows only with time."""

_REACH = math.log(FACTOR_RANGE[1])
_STEPS = 600
_TINY = 1e-300
_TENTH = NormalDist().inv_cdf(0.9)


@dataclass(frozen=True)
class Prior:
    """What is held of a studio's factor beforehand: a lognormal of median 1.

    `sd` is its spread in the logarithm, `observation_sd` that of single coats in one studio.
    `wild_share` of the tests are taken to be slips, spread by `wild_spread` whatever the
    paint. ValueError for a spread of nothing or a share outside 0 to 1.
    """

    sd: float
    observation_sd: float
    wild_share: float = 0.0
    wild_spread: float = 2.0

    def __post_init__(self) -> None:
        if not (self.sd > 0 and self.observation_sd > 0 and self.wild_spread > 0):
            raise ValueError("A spread is more than nothing.")
        if not 0 <= self.wild_share < 1:
            raise ValueError("The share of slips lies between 0 and 1.")


@dataclass(frozen=True)
class Posterior:
    """What is held of a studio's factor after the tests.

    `grid` holds logarithms of factors in equal steps; `before` and `after` are the densities
    of the prior and the posterior there, per unit of the logarithm. `median` and the 80 %
    interval `low` to `high` are factors, `sd` is the spread of the logarithm; `tests` counts
    the observations.
    """

    grid: tuple[float, ...]
    before: tuple[float, ...]
    after: tuple[float, ...]
    median: float
    low: float
    high: float
    sd: float
    tests: int

    @property
    def factor(self) -> Factor:
        """For `drying`; the published times as they stand when there was no test."""
        least, most = FACTOR_RANGE
        return Factor(min(max(self.median, least), most), self.sd) if self.tests else UNTAUGHT

    @property
    def points(self) -> tuple[tuple[float, float, float], ...]:
        """(factor, density before, density after) for a plot over the factor's logarithm."""
        factors = (math.exp(u) for u in self.grid)
        return tuple(zip(factors, self.before, self.after, strict=True))


def prior_for(binder_key: str, gate: str = TOUCH_DRY.key) -> Prior:
    """The prior of a binder's factor: its published spread, worth about three tests.

    A quarter of the variance is then between studios, three quarters between the coats of one
    (`drying.spread_of`; common practice, no source). ValueError for an unknown binder, one
    that nobody waits for, or a gate that a finger cannot judge.
    """
    if gate not in JUDGED_BY_TOUCH:
        label = GATES[gate].label if gate in GATES else gate
        raise ValueError(f"A finger cannot judge whether a coat is {label}.")
    paint = binder(binder_key)
    if gate not in paint.waits:
        raise ValueError(f"Nobody waits for {paint.name} to dry.")
    sd, observation_sd = spread_of(paint.waits[gate].sigma)
    return Prior(sd, observation_sd, drying_value("wild-share"), drying_value("wild-spread"))


def posterior(observations: Sequence[Observation], prior: Prior) -> Posterior:
    """The studio's factor after `observations`, on a grid from 1/20 to 20.

    With u the factor's logarithm and Phi the normal distribution, an observation weighs
    (1 - w) (Phi((log high - u) / s) - Phi((log low - u) / s)) + w c, where c is the chance of
    that interval among slips whatever u: a test far from the rest is all slip, flat in u, and
    moves nothing (contaminated normal: Tukey 1960, from memory). No observation leaves the
    prior exactly as it is.
    """
    grid = tuple(_REACH * (2 * step / _STEPS - 1) for step in range(_STEPS + 1))
    before = _scaled([-0.5 * (u / prior.sd) ** 2 for u in grid])
    if not observations:
        tenth = math.exp(_TENTH * prior.sd)
        return Posterior(grid, before, before, 1.0, 1 / tenth, tenth, prior.sd, 0)
    weighed = [-0.5 * (u / prior.sd) ** 2 for u in grid]
    for observation in observations:
        for place, chance in enumerate(_chances(observation, prior, grid)):
            weighed[place] += math.log(max(chance, _TINY))
    after = _scaled(weighed)
    low, median, high = (math.exp(_quantile(grid, after, share)) for share in (0.1, 0.5, 0.9))
    step = grid[1] - grid[0]
    mean = step * sum(u * each for u, each in zip(grid, after, strict=True))
    variance = step * sum((u - mean) ** 2 * each for u, each in zip(grid, after, strict=True))
    return Posterior(grid, before, after, median, low, high, math.sqrt(variance), len(observations))


def _chances(observation: Observation, prior: Prior, grid: Sequence[float]) -> list[float]:
    low = math.log(observation.low) if observation.low else -math.inf
    high = math.log(observation.high)
    slip = prior.wild_share * _between(low / prior.wild_spread, high / prior.wild_spread)
    sd, right = prior.observation_sd, 1 - prior.wild_share
    return [right * _between((low - u) / sd, (high - u) / sd) + slip for u in grid]


def _between(low: float, high: float) -> float:
    """The standard normal's share between two values, exact in either tail."""
    if low > 0:
        low, high = -high, -low
    return 0.5 * (math.erfc(-high / math.sqrt(2)) - math.erfc(-low / math.sqrt(2)))


def _scaled(logs: Sequence[float]) -> tuple[float, ...]:
    """Densities on the grid from their logarithms, so that they add up to one."""
    top = max(logs)
    raw = [math.exp(each - top) for each in logs]
    whole = sum(raw) * 2 * _REACH / _STEPS
    return tuple(each / whole for each in raw)


def _quantile(grid: Sequence[float], density: Sequence[float], share: float) -> float:
    areas = [(a + b) / 2 * (grid[1] - grid[0]) for a, b in pairwise(density)]
    wanted = share * sum(areas)
    for place, reached in enumerate(accumulate(areas)):
        if reached >= wanted:
            missing = (reached - wanted) / areas[place] if areas[place] else 0.0
            return grid[place + 1] - missing * (grid[1] - grid[0])
    return grid[-1]
