"""What a planning run comes to: when each commission finishes, and what stands in the way."""

from collections.abc import Sequence
from datetime import timedelta

from schedule.engine.chains import Chain
from schedule.engine.plan import Finish, Trouble, TroubleKind
from schedule.engine.problem import Commission, Problem
from schedule.engine.slots import MINUTE, OpenTime


def finishes(problem: Problem, chains: Sequence[Chain]) -> tuple[Finish, ...]:
    """Return the finish of each commission: the instant the last gate of its last panel opens."""
    by_commission: dict[str, list[Chain]] = {item.key: [] for item in problem.commissions}
    for chain in chains:
        by_commission[chain.commission.key].append(chain)
    return tuple(_finish(item, by_commission[item.key]) for item in problem.commissions)


def _finish(commission: Commission, chains: Sequence[Chain]) -> Finish:
    if not chains or any(chain.task for chain in chains):
        return Finish(commission.key, None, timedelta(0))
    last = max(chain.ready for chain in chains)
    late = max(last - commission.wanted, timedelta(0)) if commission.wanted else timedelta(0)
    return Finish(commission.key, last, late)


def troubles(
    problem: Problem,
    chains: Sequence[Chain],
    hands: Sequence[OpenTime],
    finished: Sequence[Finish],
) -> tuple[Trouble, ...]:
    """Return what could not be planned, then which commissions are late."""
    left = [chain for chain in chains if chain.task]
    late = [
        Trouble(TroubleKind.LATE, finish.commission, minutes=-(-finish.late // MINUTE))
        for finish in finished
        if finish.late
    ]
    if not left:
        return tuple(late)
    if (closed := _closed(problem)) is not None:
        return (Trouble(closed), *late)
    return (*(_unplanned(chain, problem, hands) for chain in left), *late)


def _closed(problem: Problem) -> TroubleKind | None:
    """Return why nobody can do anything at all, if so it is."""
    if not problem.people:
        return TroubleKind.NO_PEOPLE
    ends = [window.end for person in problem.people for window in person.windows]
    if not ends:
        return TroubleKind.NO_HOURS
    return TroubleKind.HOURS_PAST if max(ends) <= problem.now else None


def _unplanned(chain: Chain, problem: Problem, hands: Sequence[OpenTime]) -> Trouble:
    task = chain.panel.tasks[chain.step]
    needed = min(chain.bounds.shortest, chain.rest)
    present = chain.grid.up(problem.now)
    roomiest = max(hours.room(present) for hours in hands)
    fits = chain.person or needed <= roomiest
    return Trouble(
        TroubleKind.BEYOND if fits else TroubleKind.NO_FIT,
        chain.commission.key,
        chain.panel.key,
        task.key,
        chain.minutes_left if fits else min(task.shortest, task.minutes),
    )
