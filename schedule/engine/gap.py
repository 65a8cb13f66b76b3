"""How far a plan is from the best there could be: its cost against its bound, term by term."""

from dataclasses import dataclass
from datetime import timedelta

from schedule.engine.bounds import Bound
from schedule.engine.objective import COMPLETION, CUTS, ELAPSED, LATE, SET_UP, TURNING, Score
from schedule.engine.plan import Plan

NOTHING = timedelta(0)


@dataclass(frozen=True, slots=True)
class Gap:
    """By how much a plan costs more than any plan must, in the objective's hours, by term.

    The bound is of lateness and finishes only, so only `lateness` and `completion` are measured
    against it; either may be below nothing, their sum is not. `handling` is what set-ups, turnings,
    cuts and time from first touch to delivery cost: that no plan can be without some of it is
    known, but not how much. `least` is the bound's cost; `last` how much later the last delivery
    is than it must be at least.
    """

    lateness: float
    completion: float
    handling: float
    least: float
    last: timedelta

    @property
    def part(self) -> float:
        """The gap in lateness and finishes as a part of the bound: 0.05 is five per cent."""
        return (self.lateness + self.completion) / self.least if self.least else 0.0


def gap_of(plan: Plan, score: Score, least: Bound) -> Gap | None:
    """Return the gap of a plan; None where there is none to tell: not all of it is planned."""
    if score.unfinished or least.last is None:
        return None
    last = max(one.finish for one in plan.finishes if one.finish is not None)
    return Gap(
        lateness=LATE * score.late - least.lateness / 60,
        completion=COMPLETION * score.completion - (least.cost - least.lateness) / 60,
        handling=(
            SET_UP * score.set_ups
            + TURNING * score.turnings
            + CUTS * score.cuts
            + ELAPSED * score.elapsed
        ),
        least=least.cost / 60,
        last=max(NOTHING, last - least.last),
    )
