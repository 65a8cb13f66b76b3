"""What may be promised: a commission's finish with its likelihoods, and what it hangs on."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from enum import StrEnum
from math import ceil, isinf

import numpy as np

from schedule.engine.plan import Plan
from schedule.engine.problem import Commission, Problem
from schedule.engine.promise.doubt import Doubt
from schedule.engine.promise.draws import Draws, Row
from schedule.engine.promise.replay import LOOK_AHEAD, replay
from schedule.engine.promise.steps import steps_of
from schedule.engine.slots import MINUTE, Grid

SCENARIOS = 2000
"""Futures played: the share of them that keeps a date is then sure to about one in a hundred."""
SEED = 1
"""Where the draws start; any number would do, but always the same one."""
CHANCES = (0.01, *(n / 20 for n in range(1, 20)), 0.99)
"""The likelihoods a curve is drawn through."""
DRIVERS = 3
LEAST_STRENGTH = 0.1
"""Below this a rank correlation over the scenarios is hard to tell from chance."""


class DriverKind(StrEnum):
    """What a finish may hang on: one task's hours, one gate's wait, or all of either together."""

    HOURS = "hours"
    WAIT = "wait"
    PACE = "pace"
    AIR = "air"


@dataclass(frozen=True, slots=True)
class Driver:
    """What moves a finish, by how much: the rank correlation (van der Waerden's scores), -1 to 1.

    `panel` and `task` are empty for what all tasks share; `task` alone is for a gate that runs
    already.
    """

    kind: DriverKind
    strength: float
    panel: str = ""
    task: str = ""


@dataclass(frozen=True, slots=True)
class Outlook:
    """When a commission will be done and dry, by likelihood (aware UTC, up to the minute).

    `likely`, `fairly` and `surely` hold in 50, 80 and 95 of 100 futures (P50, P80, P95), `curve`
    has the instant for each of `CHANCES`; None stands for after the last working hours known, or
    for work the plan leaves undone. `chance` is that of its wanted instant, None where it has
    none. `drivers` come strongest first.
    """

    commission: str
    likely: datetime | None
    fairly: datetime | None
    surely: datetime | None
    chance: float | None
    curve: tuple[tuple[float, datetime | None], ...]
    drivers: tuple[Driver, ...]


def foresee(
    problem: Problem,
    plan: Plan,
    doubt: Doubt | None = None,
    *,
    scenarios: int = SCENARIOS,
    seed: int = SEED,
    ahead: int = LOOK_AHEAD,
) -> tuple[Outlook, ...]:
    """Return the outlook of each commission: the plan's order played through as many futures.

    The same call gives the same answer, and a task keeps its draws whatever is planned beside it,
    so that two plans are compared under one set of futures. `ahead` is how many of her next
    sittings a person chooses among. Raises ValueError for fewer than two scenarios or no look at
    the next sitting.
    """
    if scenarios < 2 or ahead < 1:
        raise ValueError("It takes at least two scenarios and a look at the next sitting.")
    draws = Draws(problem, doubt or Doubt(), scenarios, seed)
    steps = steps_of(plan, draws)
    panels = replay(problem, steps, scenarios=scenarios, ahead=ahead)
    finishes = np.stack(
        [_finish(item, problem, panels) for item in problem.commissions] or [draws.scores]
    )
    drivers = _drivers(finishes, draws)
    return tuple(
        _outlook(item, finish, drivers[place], problem)
        for place, (item, finish) in enumerate(zip(problem.commissions, finishes, strict=False))
    )


def _finish(commission: Commission, problem: Problem, panels: np.ndarray) -> Row:
    """Return when a commission is finished in each scenario, not before now; inf for never."""
    mine = [place for place, p in enumerate(problem.panels) if p.commission == commission.key]
    if not mine:
        return np.full(panels.shape[1], np.inf)
    grid = Grid(problem.slot)
    now = (problem.now - grid.moment(grid.down(problem.now))) / problem.slot
    return np.maximum(panels[mine].max(axis=0), now)


def _outlook(
    commission: Commission, finish: Row, drivers: tuple[Driver, ...], problem: Problem
) -> Outlook:
    grid = Grid(problem.slot)
    base = grid.moment(grid.down(problem.now))
    ordered = np.sort(finish)

    def by(chance: float) -> datetime | None:
        slots = float(ordered[ceil(chance * len(ordered) - 1e-9) - 1])
        if isinf(slots):
            return None
        return base + MINUTE * ceil(slots * (problem.slot / MINUTE) - 1e-6)

    chance = None
    if commission.wanted:
        wanted = (commission.wanted - base + timedelta(seconds=1e-3)) / problem.slot
        chance = float(np.mean(finish <= wanted))
    curve = tuple((share, by(share)) for share in CHANCES)
    return Outlook(commission.key, by(0.5), by(0.8), by(0.95), chance, curve, drivers)


def _drivers(finishes: np.ndarray, draws: Draws) -> list[tuple[Driver, ...]]:
    """Return for each row of finishes what it hangs on, strongest first.

    A finish that is the same in all scenarios hangs on nothing.
    """
    order = finishes.argsort(axis=1, kind="stable")
    scores = np.empty(finishes.shape)
    np.put_along_axis(scores, order, np.broadcast_to(draws.scores, finishes.shape), axis=1)
    scores[finishes.min(axis=1) == finishes.max(axis=1)] = 0
    causes = [Driver(DriverKind.PACE, 0), Driver(DriverKind.AIR, 0)]
    for panel, task, of_wait in draws.rows:
        kind = DriverKind.WAIT if of_wait else DriverKind.HOURS
        causes.append(Driver(kind, 0, panel, task))
    drawn = np.stack([draws.pace, draws.air, *draws.rows.values()], dtype=np.float32)
    strengths = scores.astype(np.float32) @ drawn.T / (draws.scores @ draws.scores)
    return [_strongest(row, causes) for row in strengths]


def _strongest(strengths: Row, causes: list[Driver]) -> tuple[Driver, ...]:
    # Rounded, as sums of many numbers differ in their last place from one machine to another.
    strengths = strengths.round(3)
    first = np.argsort(-np.abs(strengths), kind="stable")[:DRIVERS]
    return tuple(
        replace(causes[n], strength=float(strengths[n]))
        for n in first
        if abs(strengths[n]) >= LEAST_STRENGTH
    )
