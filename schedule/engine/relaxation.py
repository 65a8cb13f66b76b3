"""What no plan can undercut: the earliest that panels can be over, the hands shared freely.

Each task keeps its place in its panel and its gates keep their waits, but all people together are
one pair of hands that does as many slots of work in a slot as people are at work in it, and work
may be broken off and shared at will. Whatever a plan does, this can do too, so what is too early
here is too early for every plan; with one person and with several.
"""

import heapq
from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import accumulate

import numpy as np

from schedule.engine.hands import OpenTime
from schedule.engine.problem import Panel, Problem, Task
from schedule.engine.slots import MINUTE, SECOND, Grid

LONG_AGO = -(1 << 60)


@dataclass(frozen=True, slots=True)
class Hands:
    """Open time from the first slot of the present on: `done[n]` open slots lie before slot n."""

    done: list[int]

    def after(self, slot: int, work: int) -> int:
        """Return the first slot by which `work` can be done from `slot` on, at best the last."""
        wanted = self.done[min(slot, len(self.done) - 1)] + work
        return max(slot, min(bisect_left(self.done, wanted), len(self.done) - 1))

    def before(self, slot: int, work: int) -> int:
        """Return the last slot from which `work` can be done by `slot`, -1 for none."""
        left = self.done[min(slot, len(self.done) - 1)] - work
        return min(slot, bisect_right(self.done, left) - 1) if left >= 0 else -1


@dataclass(frozen=True, slots=True)
class Step:
    """A task of a panel: its least work in slots, its wait and earliest start in seconds, and who
    may do it."""

    work: int
    wait: int
    release: int
    hands: tuple[Hands, ...]
    by_hand: bool


@dataclass(frozen=True, slots=True)
class Way:
    """A panel's steps, and the second from which the first may start, from the first slot on."""

    opens: int
    steps: tuple[Step, ...]

    @property
    def work(self) -> int:
        """The slots of work on it."""
        return sum(step.work for step in self.steps)

    @property
    def tail(self) -> int:
        """The seconds it waits after its last work."""
        waits = 0
        for step in reversed(self.steps):
            waits += step.wait
            if step.by_hand:
                break
        return waits


@dataclass(frozen=True, slots=True)
class Relaxed:
    """A problem without its hands kept apart; times in seconds or slots from the first slot on."""

    origin: datetime
    now: int
    slot: int
    pool: Hands
    ways: dict[str, Way]

    @classmethod
    def of(cls, problem: Problem) -> "Relaxed":
        """Return the relaxation of a problem."""
        grid = Grid(problem.slot)
        present = grid.up(problem.now)
        origin = grid.moment(present)
        hours = {person.key: OpenTime.of(person, grid.micros) for person in problem.people}
        length = max((hour.ends[-1] - present for hour in hours.values() if hour.ends), default=0)
        length = max([length, *(grid.up(pin.end) - present for pin in problem.pins)])
        people = {
            key: _hands(hour, present, max(0, length), _pinned(problem, key, grid))
            for key, hour in hours.items()
        }
        pooled = [sum(at) for at in zip(*(hands.done for hands in people.values()), strict=True)]
        return cls(
            origin,
            -((origin - problem.now) // SECOND),
            problem.slot // SECOND,
            Hands(pooled or [0]),
            _ways(problem, origin, people),
        )

    def instant(self, second: int) -> datetime:
        """Return a second as an instant."""
        return self.origin + second * SECOND

    def earliest(self, panels: Sequence[str]) -> int:
        """Return the first second at which the pooled hands could have these panels over.

        They do nothing else before. Where the hours known do not suffice, all of them are taken.
        """
        ways = [self.ways[key] for key in panels]
        heads = [self._heads(way) for way in ways]
        low = max(over for _, over in heads)
        hours = (len(self.pool.done) - 1) * self.slot
        high = max([low, *(hours + sum(step.wait for step in way.steps) for way in ways)])
        while low < high:
            middle = (low + high) // 2
            if self._fits(ways, heads, middle):
                high = middle
            else:
                low = middle + 1
        return low

    def _heads(self, way: Way) -> tuple[list[int], int]:
        """Return the first slot of each step, and the second the panel is over on its own."""
        at, firsts = way.opens, []
        for step in way.steps:
            at = max(at, step.release)
            first = max(0, -(-at // self.slot))
            firsts.append(first)
            if step.by_hand:
                slot = min((hands.after(first, step.work) for hands in step.hands), default=first)
                at = max(at, slot * self.slot)
            at += step.wait
        return firsts, at

    def _fits(self, ways: list[Way], heads: list[tuple[list[int], int]], over: int) -> bool:
        """Say whether the pooled hands could have all these panels over by a second."""
        jobs: list[tuple[int, int, int]] = []
        for way, (firsts, _) in zip(ways, heads, strict=True):
            by = over
            for step, first in zip(reversed(way.steps), reversed(firsts), strict=True):
                by -= step.wait
                if not step.by_hand:
                    continue
                last = by // self.slot
                if last < 0:
                    return False
                start = max((hands.before(last, step.work) for hands in step.hands), default=-1)
                if start < first:
                    return False
                by = min(by, start * self.slot)
                if step.work:
                    jobs.append((self._pooled(first), self._pooled(last), step.work))
        return _feasible(sorted(jobs))

    def _pooled(self, slot: int) -> int:
        return self.pool.done[min(slot, len(self.pool.done) - 1)]


def _feasible(jobs: list[tuple[int, int, int]]) -> bool:
    """Say whether jobs (from, by, work), sorted, fit one pair of hands: the most urgent first."""
    at, place = 0, 0
    urgent: list[tuple[int, int]] = []
    while place < len(jobs) or urgent:
        if not urgent:
            at = max(at, jobs[place][0])
        while place < len(jobs) and jobs[place][0] <= at:
            heapq.heappush(urgent, jobs[place][1:])
            place += 1
        by, work = heapq.heappop(urgent)
        until = jobs[place][0] if place < len(jobs) else at + work
        done = min(work, until - at)
        at += done
        if at > by:
            return False
        if done < work:
            heapq.heappush(urgent, (by, work - done))
    return True


def _pinned(problem: Problem, person: str, grid: Grid) -> list[tuple[int, int]]:
    """Return the slots a person's pins hold, which may lie outside her windows."""
    return [(grid.up(p.start), grid.up(p.end)) for p in problem.pins if p.person == person]


def _hands(hours: OpenTime, present: int, length: int, pinned: Sequence[tuple[int, int]]) -> Hands:
    open_at = np.zeros(length, dtype=np.int64)
    for start, end in (*zip(hours.starts, hours.ends, strict=True), *pinned):
        open_at[max(0, start - present) : max(0, end - present)] = 1
    return Hands([0, *accumulate(open_at.tolist())])


def _ways(problem: Problem, origin: datetime, people: dict[str, Hands]) -> dict[str, Way]:
    mixes = Counter(task.mix for panel in problem.panels for task in panel.tasks if task.mix)
    return {
        panel.key: Way(
            (_opens(panel, problem) - origin) // SECOND,
            tuple(
                _step(task, problem, origin, _chosen(panel, task, problem, people), mixes)
                for task in panel.tasks
            ),
        )
        for panel in problem.panels
    }


def _opens(panel: Panel, problem: Problem) -> datetime:
    if panel.tasks and panel.tasks[0].begun_by:
        return problem.now
    opens = panel.opens or problem.now
    return max(opens, panel.not_before) if panel.tasks and panel.not_before else opens


def _chosen(
    panel: Panel, task: Task, problem: Problem, people: dict[str, Hands]
) -> tuple[Hands, ...]:
    """Return the hands of those who may do a task: a pin is not asked what its person can do."""
    if task.begun_by:
        return (people[task.begun_by],)
    pinned = {pin.person for pin in problem.pins if (pin.panel, pin.task) == (panel.key, task.key)}
    return tuple(
        people[person.key]
        for person in problem.people
        if not task.skill or task.skill in person.skills or person.key in pinned
    )


def _step(
    task: Task, problem: Problem, origin: datetime, chosen: tuple[Hands, ...], mixes: Counter[str]
) -> Step:
    length = task.minutes * MINUTE
    if task.begun_by:
        # It runs on from now, which may be before the first slot.
        length = max(timedelta(0), length - (origin - problem.now))
    elif mixes[task.mix] > 1:
        length -= task.set_up * MINUTE
    wait = task.gate.wait // SECOND if task.gate else 0
    held = task.not_before is not None and not task.begun_by
    release = (task.not_before - origin) // SECOND if held else LONG_AGO
    return Step(Grid(problem.slot).count(length), wait, release, chosen, task.minutes > 0)
