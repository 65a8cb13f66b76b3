"""How good any plan could be at best: what the planner's own plan is measured against."""

from dataclasses import dataclass
from datetime import datetime

import numpy as np

from schedule.engine import objective
from schedule.engine.one_machine import Costs, least_cost
from schedule.engine.problem import Commission, Problem
from schedule.engine.relaxation import LONG_AGO, Relaxed
from schedule.engine.slots import SECOND
from schedule.engine.turning import turned

LATE = int(objective.LATE)
"""What a step late costs against a step later done, in whole numbers so that nothing is rounded."""


@dataclass(frozen=True, slots=True)
class Bound:
    """What no plan of a problem can undercut that does all of its work.

    `last` is the instant before which the last commission cannot be over, None when there is
    none; `alone` the same for each commission with panels if it were the only one, by key. `cost`
    is in minutes: over the commissions, `late` x weight x the minutes late, and the minutes from
    now until it is over; `lateness` is the part of it that is for being late, in the best order
    known. `order` is that order, a good one to begin a search with.
    """

    last: datetime | None
    alone: dict[str, datetime]
    cost: int
    lateness: int
    order: tuple[str, ...]


def bound(problem: Problem, *, late: int = LATE) -> Bound:
    """Return what no plan of a problem can undercut.

    A plan's commissions are over in some order, and by the end of each the people together have
    done at least all work of those before it; so a single machine that does the commissions one
    by one at the rate all people work at, each over no sooner than it could be alone, costs no
    more. This holds for one person and for several.
    """
    relaxed = Relaxed.of(problem)
    panels: dict[str, list[str]] = {}
    for panel in problem.panels:
        panels.setdefault(panel.commission, []).append(panel.key)
    turning = turned(problem, relaxed)
    alone = {
        key: max(relaxed.earliest(held), turning.get(key, LONG_AGO))
        for key, held in sorted(panels.items())
    }
    commissions = [item for item in problem.commissions if item.key in panels]
    commissions.sort(key=lambda item: item.key)
    work = {key: sum(relaxed.ways[panel].work for panel in held) for key, held in panels.items()}
    priced = _Prices(relaxed, late, sum(work.values()))
    busy = [item for item in commissions if work[item.key]]
    idle = [item for item in commissions if not work[item.key]]
    tails = [
        min(relaxed.ways[panel].tail for panel in panels[item.key] if relaxed.ways[panel].work)
        for item in busy
    ]
    rows = [priced.row(item, alone[item.key], tail) for item, tail in zip(busy, tails, strict=True)]
    least = least_cost([work[item.key] for item in busy], np.array(rows))
    rest = sum(int(priced.over(item, np.array(alone[item.key]))) for item in idle)
    ends = np.cumsum([work[busy[place].key] for place in least.order], dtype=np.int64)
    lateness = sum(
        priced.lateness(busy[place], int(end), alone[busy[place].key], tails[place])
        for place, end in zip(least.order, ends, strict=True)
    ) + sum(int(priced.late_by(item, np.array(alone[item.key]))) for item in idle)
    everything = [panel.key for panel in problem.panels]
    last = max(relaxed.earliest(everything), *alone.values()) if everything else None
    return Bound(
        None if last is None else relaxed.instant(last),
        {key: relaxed.instant(second) for key, second in alone.items()},
        (least.cost + rest) // 60,
        min(lateness, least.cost + rest) // 60,
        (*(item.key for item in idle), *(busy[place].key for place in least.order)),
    )


class _Prices:
    """What a commission costs as one machine gets on with the work of all, in weighted seconds."""

    def __init__(self, relaxed: Relaxed, late: int, work: int) -> None:
        self.relaxed = relaxed
        self.late = late
        done = np.array(relaxed.pool.done, dtype=np.int64)
        reached = np.searchsorted(done, np.arange(work + 1))
        self.ends = np.minimum(reached, len(done) - 1) * relaxed.slot

    def row(self, commission: Commission, alone: int, tail: int) -> Costs:
        """Return its cost for each amount of work done when its last work is."""
        return self.over(commission, np.maximum(self.ends + tail, alone))

    def lateness(self, commission: Commission, work: int, alone: int, tail: int) -> int:
        """Return what it costs for being late, its last work done when so much is in all."""
        return int(self.late_by(commission, np.maximum(self.ends[work] + tail, alone)))

    def over(self, commission: Commission, over: Costs) -> Costs:
        """Return its cost for each second at which it may be over."""
        return np.maximum(over - self.relaxed.now, 0) + self.late_by(commission, over)

    def late_by(self, commission: Commission, over: Costs) -> Costs:
        """Return what it costs for being late, for each second at which it may be over."""
        if commission.wanted is None:
            return np.zeros_like(over)
        wanted = -((self.relaxed.origin - commission.wanted) // SECOND)
        return self.late * commission.weight * np.maximum(over - wanted, 0)
