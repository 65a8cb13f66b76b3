"""A plan as an order of steps, each a sitting, with its work and its waits in every scenario."""

from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from schedule.engine.plan import Plan, PlannedSitting
from schedule.engine.problem import Panel, Task
from schedule.engine.promise.draws import Draws, Row
from schedule.engine.slots import MINUTE, Grid

PAUSE = 1.0
"""Slots between two sittings of one task, as the planner keeps them."""


@dataclass(slots=True)
class Step:
    """One planned sitting of a person on a panel, both by their number in the problem.

    `need` is how many open slots on end it takes to begin it, judged by what was planned; `work`
    how many it takes, and `gap` how many wall slots pass from its end until its panel may go on,
    in each scenario. `after` is the number of the panel's next step, None for its last.
    """

    person: int
    panel: int
    need: int
    work: Row
    gap: Row
    after: int | None = None


@dataclass(frozen=True, slots=True)
class Steps:
    """All steps in the order of the plan.

    `ready` says, for the number of each panel's first step, from which wall slot it may start in
    each scenario; `dry`, for a panel on which nothing is left to do, when it is dry. Wall slots
    count from the one the present lies in. `unfinished` are the panels the plan leaves so.
    """

    steps: tuple[Step, ...]
    ready: dict[int, Row]
    dry: dict[int, Row]
    unfinished: frozenset[int]


def steps_of(plan: Plan, draws: Draws) -> Steps:
    """Return a plan's sittings as steps, drawing for every task that is in it."""
    laying = _Laying(draws, plan)
    for place, panel in enumerate(draws.problem.panels):
        laying.lay(place, panel)
    steps = tuple(laying.steps[number] for number in range(len(laying.rows)))
    return Steps(steps, laying.ready, laying.dry, frozenset(laying.unfinished))


class _Laying:
    """Steps being laid, panel by panel."""

    def __init__(self, draws: Draws, plan: Plan) -> None:
        problem = draws.problem
        self.draws = draws
        self.grid = Grid(problem.slot)
        self.base = self.grid.moment(self.grid.down(problem.now))
        self.now = (problem.now - self.base) / problem.slot
        self.people = {person.key: number for number, person in enumerate(problem.people)}
        self.rows = sorted(plan.sittings, key=lambda row: (row.start, self.people[row.person]))
        self.stints: dict[tuple[str, str], list[int]] = defaultdict(list)
        for number, row in enumerate(self.rows):
            self.stints[row.panel, row.task].append(number)
        self.pause = np.full(draws.scenarios, PAUSE)
        self.steps: dict[int, Step] = {}
        self.ready: dict[int, Row] = {}
        self.dry: dict[int, Row] = {}
        self.unfinished: set[int] = set()

    def lay(self, place: int, panel: Panel) -> None:
        """Lay the steps of a panel, as far as the plan goes."""
        free, before = self._opening(panel), None
        for task in panel.tasks:
            numbers = self.stints.get((panel.key, task.key), [])
            factor, wait = self.draws.of((panel.key, task.key), task.gate)
            whole = self._stints(place, task, numbers, factor)
            for number in numbers:
                if before is None:
                    # A sitting that runs goes on in the slot the present lies in.
                    self.ready[number] = free * 0 if task.begun_by else np.maximum(free, self.now)
                else:
                    self.steps[before].after = number
                before = number
            if not whole:
                self.unfinished.add(place)
                return
            if before is None:
                free = free + wait
            elif numbers:
                self.steps[before].gap = wait
            else:
                self.steps[before].gap = self.steps[before].gap + wait
        if before is None:
            self.dry[place] = free

    def _opening(self, panel: Panel) -> Row:
        """Return from which wall slot a panel's first task may start."""
        problem = self.draws.problem
        if drying := self.draws.doubt.of_panels.get(panel.key):
            since = (drying.since - self.base) / problem.slot
            return since + self.draws.still(panel.key, drying)
        opens = (panel.opens or problem.now) - self.base
        return np.full(self.draws.scenarios, opens / problem.slot)

    def _stints(self, place: int, task: Task, numbers: list[int], factor: Row) -> bool:
        """Lay the sittings of a task, and say whether they are all of its work.

        Its work is shared out over them as the plan shares it.
        """
        if not numbers:
            return task.minutes == 0
        rows = [self.rows[number] for number in numbers]
        sizes = [self._size(row) for row in rows]
        slot = self.draws.problem.slot
        lost = (rows[0].start - self.base) % slot
        planned = self.grid.count(task.minutes * MINUTE + lost)
        work = self.draws.work(task.minutes, planned, factor)
        done = np.rint(np.outer(np.cumsum(sizes) / max(planned, sum(sizes)), work))
        shortest = self.grid.count(task.shortest * MINUTE)
        parts = np.diff(done, axis=0, prepend=0).astype(np.int32)
        for number, row, size, part in zip(numbers, rows, sizes, parts, strict=True):
            need = shortest if size >= 2 * shortest else size
            if task.begun_by and number == numbers[0]:
                need = 1
            self.steps[number] = Step(self.people[row.person], place, need, part, self.pause)
        return sum(sizes) >= planned

    def _size(self, row: PlannedSitting) -> int:
        """Return how many slots a sitting touches; only one already begun starts within a slot."""
        return self.grid.down(row.end) - self.grid.down(row.start)
