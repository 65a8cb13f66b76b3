"""Why a commission is late: because of the other work, or because nothing could have been done."""

from dataclasses import dataclass, replace
from datetime import datetime

from schedule.engine.plan import Plan
from schedule.engine.planner import make_plan
from schedule.engine.problem import Problem
from schedule.engine.relaxation import Relaxed


@dataclass(frozen=True, slots=True)
class Lateness:
    """A late commission: no plan has it ready before `earliest`, even if it were the only one.

    `by_itself` is when it would be ready if it were the only one and planned by the simple rule,
    None where it could not be planned whole. (Aware UTC.)
    """

    commission: str
    wanted: datetime
    earliest: datetime
    by_itself: datetime | None

    @property
    def hopeless(self) -> bool:
        """Whether its wanted instant cannot be kept, whatever other work is put off."""
        return self.earliest > self.wanted

    @property
    def for_others(self) -> bool:
        """Whether it is late only because of other work: by itself, it would be in time."""
        return self.by_itself is not None and self.by_itself <= self.wanted


def why_late(problem: Problem, plan: Plan) -> dict[str, Lateness]:
    """Return, for each commission that is late in a plan, whether that could have been helped.

    Where neither is so, a better plan of it alone might keep the wanted instant; nobody knows.
    """
    late = {finish.commission for finish in plan.finishes if finish.late}
    if not late:
        return {}
    relaxed = Relaxed.of(problem)
    found = {}
    for commission in problem.commissions:
        if commission.key not in late:
            continue
        panels = [panel.key for panel in problem.panels if panel.commission == commission.key]
        earliest = relaxed.instant(relaxed.earliest(panels))
        alone = None
        if earliest <= commission.wanted:
            alone = make_plan(only(problem, commission.key)).finishes[0].finish
        found[commission.key] = Lateness(commission.key, commission.wanted, earliest, alone)
    return found


def only(problem: Problem, commission: str) -> Problem:
    """Return the problem as if a commission were the only one; faces stay, what is wet on them
    too, and people at work elsewhere are free."""
    mine = tuple(panel for panel in problem.panels if panel.commission == commission)
    keys = {panel.key for panel in mine}
    return replace(
        problem,
        commissions=tuple(one for one in problem.commissions if one.key == commission),
        panels=mine,
        pins=tuple(pin for pin in problem.pins if pin.panel in keys),
    )
