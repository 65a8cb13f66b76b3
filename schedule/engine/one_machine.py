"""One machine and a cost for each job that grows as it is finished later: the least total cost.

Costs are an array (job, work done so far): what a job costs that is finished when so much work has
been done in all. Exact up to twenty jobs, from below beyond.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

MOST_EXACT = 20
"""More jobs have too many subsets: a million at twenty."""
NEVER = np.int64(2**61)
ROUNDS = 150
"""Rounds of prices at most: a limit on time, no source."""
STALE = 5
"""Rounds without a better bound before the prices take smaller steps. Common practice, no
source."""
COARSE = 400_000
"""So many costs at most are looked at in a round while the prices of the jobs are sought: a
limit on time."""
SHORT = 400
"""A job of less than one part in so many of all work is left to its own best in a large case: a
limit on time, no source."""

Costs = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Least:
    """No order of the jobs costs less than `cost`; `order` is the best order known."""

    cost: int
    order: tuple[int, ...]


def least_cost(lengths: Sequence[int], costs: Costs) -> Least:
    """Return the least cost of any order of jobs of these lengths, all above nothing.

    `costs` has a row a job and a column for each amount of work from 0 to all of it, and no row
    ever falls.
    """
    if not lengths:
        return Least(0, ())
    if len(lengths) <= MOST_EXACT:
        return _exact(lengths, costs)
    return _from_below(lengths, costs)


def _exact(lengths: Sequence[int], costs: Costs) -> Least:
    """Every subset once: it is cheapest with the best of its jobs last."""
    count = len(lengths)
    done = np.zeros(1 << count, dtype=np.int64)
    size = np.zeros(1 << count, dtype=np.int8)
    for job, length in enumerate(lengths):
        bit = 1 << job
        done[bit : 2 * bit] = done[:bit] + length
        size[bit : 2 * bit] = size[:bit] + 1
    best = np.full(1 << count, NEVER, dtype=np.int64)
    best[0] = 0
    by_size = np.argsort(size, kind="stable")
    ends = np.cumsum(np.bincount(size))
    for number in range(1, count + 1):
        subsets = by_size[ends[number - 1] : ends[number]]
        for job in range(count):
            holding = subsets[(subsets >> job) & 1 == 1]
            cost = best[holding ^ (1 << job)] + costs[job][done[holding]]
            best[holding] = np.minimum(best[holding], cost)
    order, subset = [], (1 << count) - 1
    while subset:
        job = next(
            job
            for job in range(count)
            if subset >> job & 1
            and best[subset ^ 1 << job] + costs[job, done[subset]] == best[subset]
        )
        order.append(job)
        subset ^= 1 << job
    return Least(int(best[-1]), tuple(reversed(order)))


def _from_below(lengths: Sequence[int], costs: Costs) -> Least:
    """As `least_cost`, the short jobs apart: they move the others too little to be worth it."""
    total = sum(lengths)
    short = tuple(job for job, length in enumerate(lengths) if length * SHORT < total)
    if not short:
        return _priced(np.array(lengths, dtype=np.int64), costs)
    long = [job for job in range(len(lengths)) if job not in set(short)]
    rest = least_cost([lengths[job] for job in long], costs[long])
    alone = sum(int(costs[job, lengths[job]]) for job in short)
    return Least(rest.cost + alone, (*short, *(long[place] for place in rest.order)))


def _priced(lengths: Costs, costs: Costs) -> Least:
    """Jobs may be done twice or never, at a price for each that is sought so as to hinder that.

    The relaxation is that of Abdul-Razaq and Potts (1988), its prices found by steps along the
    subgradient; cited from memory.
    """
    count = len(lengths)
    unit = max(1, min(count * int(lengths.sum()) // COARSE, int(lengths.min())))
    coarse = _Priced.of(lengths, costs, unit)
    prices = best_prices = np.zeros(count, dtype=np.int64)
    best, dearest, order = int(-NEVER), int(NEVER), ()
    pace, idle = 1.0, 0
    for _ in range(ROUNDS):
        value, path = coarse.cheapest(prices)
        tried = _completed(path, lengths, costs)
        if (cost := _cost(tried, lengths, costs)) < dearest:
            dearest, order = cost, tuple(tried)
        idle += 1
        if value > best:
            best, best_prices, idle = value, prices, 0
        elif idle == STALE:
            pace, idle = pace / 2, 0
        slope = 1 - np.bincount(path, minlength=count)
        if not slope.any() or dearest <= best:
            break
        step = pace * (dearest - value) / float(slope @ slope)
        prices = prices + np.rint(step * slope).astype(np.int64)
    fine, _ = _Priced.of(lengths, costs, 1).cheapest(best_prices)
    return Least(max(best, fine), order)


@dataclass(frozen=True, slots=True)
class _Priced:
    """Jobs on one machine in units of work, rounded down so that nothing gets dearer."""

    lengths: Costs
    costs: Costs

    @classmethod
    def of(cls, lengths: Costs, costs: Costs, unit: int) -> "_Priced":
        rounded = lengths // unit
        return cls(rounded, costs[:, : int(rounded.sum()) * unit + 1 : unit])

    def cheapest(self, prices: Costs) -> tuple[int, list[int]]:
        """Return the least cost of any run of jobs as long as all together, and that run."""
        total, longest, step = (
            int(n) for n in (self.lengths.sum(), max(self.lengths), min(self.lengths))
        )
        best = np.full(longest + total + 1, NEVER, dtype=np.int64)
        best[longest] = 0
        last = np.zeros(total + 1, dtype=np.int64)
        back = longest - self.lengths[:, None]
        for first in range(1, total + 1, step):
            span = np.arange(first, min(first + step, total + 1))
            found = best[back + span] + self.costs[:, first : first + step]
            found -= prices[:, None]
            last[span] = found.argmin(axis=0)
            value = found.min(axis=0)
            best[longest + span] = np.where(value > NEVER // 2, NEVER, value)
        path, at = [], total
        while at > 0:
            path.append(int(last[at]))
            at -= int(self.lengths[path[-1]])
        return int(best[-1] + prices.sum()), path[::-1]


def _completed(path: list[int], lengths: Costs, costs: Costs) -> list[int]:
    """Return an order of all jobs: those of the path once, the others put where they cost least."""
    order = list(dict.fromkeys(path))
    for job in range(len(lengths)):
        if job in order:
            continue
        done = np.cumsum(lengths[order])
        before = np.concatenate(([0], np.cumsum(costs[order, done])))
        pushed = np.concatenate((np.cumsum(costs[order, done + lengths[job]][::-1])[::-1], [0]))
        own = costs[job, np.concatenate(([0], done)) + lengths[job]]
        order.insert(int((before + own + pushed).argmin()), job)
    return order


def _cost(order: list[int], lengths: Costs, costs: Costs) -> int:
    return int(costs[order, np.cumsum(lengths[order])].sum())
