"""The search for a better plan, and what is known of how good the plan found is."""

from collections.abc import Callable
from dataclasses import dataclass
from time import monotonic

from schedule.engine.bounds import Bound, bound
from schedule.engine.exact import finished
from schedule.engine.gap import Gap, gap_of
from schedule.engine.hunt import Hunt
from schedule.engine.judge_score import score
from schedule.engine.objective import Score
from schedule.engine.outcome import express
from schedule.engine.pins import settled
from schedule.engine.plan import Plan
from schedule.engine.problem import Problem
from schedule.engine.rules import wanted_first

STEPS = 2000
"""How many plans a search makes unless told otherwise: some seconds for a year of work."""
SECONDS = 600.0
"""When the clock ends a search whose steps take far longer than they ever should."""

Progress = Callable[[int, int, float], None]


@dataclass(frozen=True, slots=True)
class Answer:
    """A searched plan: what it costs, by the judge's own reckoning, and how it came about.

    `simple_rule` is what the simple rule's plan costs. No plan costs less than the `bound`; `gap`
    says how far this one is from it and by which term, None where not all is planned. `steps` is
    how many plans were made; `cut_short` says that the search was cancelled, or ended by the
    clock, before it had made all it was allowed, so that another run may end elsewhere.
    """

    plan: Plan
    score: Score
    simple_rule: Score
    bound: Bound | None
    gap: Gap | None
    steps: int
    cut_short: bool


def search(
    problem: Problem,
    *,
    steps: int = STEPS,
    old: Plan | None = None,
    calm: bool = True,
    progress: Progress | None = None,
    cancel: Callable[[], bool] | None = None,
    seed: int = 1,
    seconds: float = SECONDS,
    bounded: bool = True,
    exact: float = 0.0,
) -> Answer:
    """Return the best plan found in so many steps; never worse than the simple rule's.

    The same call gives the same answer: the limit is a number of plans made, and `seconds` of the
    clock are a safety net only, which marks the answer as cut short. `old` is the plan she knows:
    the search begins with its order, and moving its near stages costs; a few dozen steps then do.
    Without `calm` it costs nothing, and what is near may move as freely as the rest.
    `progress` is told the steps made, the steps allowed and the best cost so far; once `cancel`
    says so, the best plan so far is the answer. Where it is not `bounded`, no bound is reckoned,
    which takes longer than a dozen plans. Where one commission alone has work left, `exact` units
    of effort (see `cp.solve.Limits`) go into a better plan of it, or bound, by the solver.
    """
    until = monotonic() + seconds
    ground = settled(problem, wanted_first)
    least = bound(problem) if bounded else None
    stop = _stop(cancel, until)
    hunt = Hunt(
        ground,
        allowed=steps,
        old=old,
        calm=calm,
        order=least.order if least else (),
        told=progress and (lambda made, cost: progress(made, steps, cost)),
        stop=stop,
        seed=seed,
    )
    simple = hunt.best.score
    hunt.go()
    plan = express(ground.works, hunt.best.run, ground.stops, ground.dropped)
    cost = score(problem, plan, old if calm else None)
    cut_short = hunt.stopped
    if exact and not cut_short:
        told = finished(ground, hunt.best.run, least, exact, until, stop)
        least, cut_short = told.bound, told.cut_short
        new = score(problem, told.plan or plan, old if calm else None)
        plan, cost = (told.plan, new) if new.total < cost.total else (plan, cost)
    gap = gap_of(plan, cost, least) if least else None
    return Answer(plan, cost, simple, least, gap, hunt.steps, cut_short)


def _stop(cancel: Callable[[], bool] | None, until: float) -> Callable[[], bool]:
    return lambda: bool(cancel and cancel()) or monotonic() > until
