"""A few commissions put to the constraint solver whole, everything else staying where it is.

What comes back is a plan like any other, and is taken only if the judge finds nothing wrong with
it: where the model says a little more or less than the rules, that costs a plan and no soundness.

Measured on seeded studios with one commission of 90 to 205 sittings, after a second of search:
four plain ones of five are proved best for the cuts they have, within three seconds, and one came
from 0.58 to 0.49 per cent above the bound at an effort of 1; of five with turning, rack and wet
paint one came from 2.65 to 2.54 at 0.3. One or two commissions of five freed in turn after 1,500
plans, at 0.3 each, won a quarter of an hour in two studios of six and nothing in the others, for
as much time as the search itself took or twice that: a search of several does without it.
"""

from collections.abc import Callable, Collection, Mapping
from concurrent.futures import ThreadPoolExecutor, wait
from dataclasses import dataclass, replace
from datetime import timedelta
from threading import Event
from time import monotonic

from schedule.engine.bounds import LATE, Bound
from schedule.engine.cp.model import Model, Span
from schedule.engine.cp.solve import POLL, Answer, Limits, solve
from schedule.engine.decoder import Run
from schedule.engine.exact_model import Puzzle
from schedule.engine.hands import micros
from schedule.engine.judge import faults
from schedule.engine.outcome import express
from schedule.engine.pins import Ground
from schedule.engine.plan import Plan
from schedule.engine.problem import EPOCH
from schedule.engine.slots import MINUTE
from schedule.engine.works import Works

MOST = 300
"""Beyond so many sittings nothing is put to the solver."""


@dataclass(frozen=True, slots=True)
class Finished:
    """What the solver made of the one commission there is: a plan if it found another that the
    judge lets pass, the bound, a better one if it knows, and whether it was cut short."""

    plan: Plan | None
    bound: Bound | None
    cut_short: bool = False


def finished(
    ground: Ground,
    run: Run,
    least: Bound | None,
    effort: float,
    until: float,
    stop: Callable[[], bool],
) -> Finished:
    """Plan anew the commission that alone has work left; nothing where there are several.

    It begins with a plan that has all the work, `run`; `least` is the bound known, `until` when by
    the monotonic clock it ends at the latest. `stop` is asked ten times a second, from the caller's
    own thread.
    """
    works = ground.works
    busy = {works.commission_of[works.panel_of[t]] for t, work in enumerate(works.work) if work}
    whole = all(at == end for at, end in zip(run.cursor, works.last, strict=True))
    if len(busy) != 1 or not whole or len(run.sittings) > MOST:
        return Finished(None, least)
    alone = {c.key: n for n, c in enumerate(works.commissions) if n in busy}
    soonest = {n: micros(least.alone[key]) for key, n in alone.items()} if least else {}
    limits = Limits(effort, max(0.0, until - monotonic()))
    found = solved(works, run, busy, limits, soonest=soonest, stop=stop)
    if least and found.over is not None:
        least = _raised(works, least, found.over)
    plan = found.run and express(works, found.run, ground.stops, ground.dropped)
    if plan and faults(works.problem, plan):
        plan = None
    return Finished(plan, least, found.cut_short)


def _raised(works: Works, least: Bound, slot: int) -> Bound:
    """Return the bound if the one commission cannot be over before a slot."""
    over = EPOCH + slot * works.problem.slot
    if least.last is None or over <= least.last:
        return least
    (commission,) = works.problem.commissions
    late = max(timedelta(0), over - commission.wanted) if commission.wanted else timedelta(0)
    lateness = LATE * commission.weight * late // MINUTE
    cost = lateness + (over - works.problem.now) // MINUTE
    alone = {commission.key: over}
    return replace(least, last=over, alone=alone, cost=cost, lateness=lateness)


@dataclass(frozen=True, slots=True)
class Solved:
    """What the solver made of some commissions: a plan, None where it found none.

    `over` is the slot before which no plan has the one commission over, None where the model says
    more than the rules do or there are several.
    """

    run: Run | None
    over: int | None
    cut_short: bool


def solved(
    works: Works,
    run: Run,
    freed: Collection[int],
    limits: Limits,
    *,
    soonest: Mapping[int, int] | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> Solved:
    """Return a plan in which the commissions `freed`, by number, are planned anew.

    It keeps who does what, what is pinned, and what is running or worked into a coat that is wet
    now. `soonest` is when (microseconds) commissions are known to be over at the earliest.
    """
    puzzle = Puzzle(works, run, freed, soonest)
    model = puzzle.model()
    answer = _asked(model, puzzle.hint, limits, stop)
    over = None
    if puzzle.is_faithful() and answer.bound is not None and answer.starts:
        (delivery,) = model.deliveries
        least = (n for n in range(model.horizon + 1) if delivery.cost(n) >= answer.bound)
        over = works.present + next(least, model.horizon)
    found = puzzle.run_of(answer) if answer.starts else None
    return Solved(found, over, answer.cut_short)


def _asked(model: Model, hint: dict[str, Span], limits: Limits, stop: Callable[[], bool]) -> Answer:
    """Solve in a thread of its own, so that whoever is to be asked is asked from this one."""
    enough = Event()
    with ThreadPoolExecutor(1) as pool:
        solving = pool.submit(solve, model, limits=limits, hint=hint, cancel=enough.is_set)
        try:
            while not wait([solving], POLL).done:
                if stop():
                    enough.set()
        finally:
            enough.set()
        return solving.result()
