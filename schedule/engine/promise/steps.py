"""A plan as an order of steps, each a sitting, with its work and its waits in every scenario."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from schedule.engine.hands import OpenTime, micros
from schedule.engine.plan import Plan, PlannedSitting
from schedule.engine.problem import Panel, Pin, Problem, Task
from schedule.engine.promise.draws import Draws, Row
from schedule.engine.slots import MINUTE, Grid

PAUSE = 1.0
"""Slots between two sittings of one task, as the planner keeps them."""
EVER = -1e18


@dataclass(slots=True)
class Step:
    """One planned sitting of a person on a panel, both by their number in the problem.

    `need` is how many open slots on end it takes to begin it, judged by what was planned; `size`
    how many were; `work` how many it takes, and `gap` how many wall slots pass from its end until
    its panel may go on, in each scenario, but not before the wall slot `least`. `after` is the
    number of the panel's next step, None for its last; where that is `chained`, it is worked into
    this one while it is wet, by the same person and before all else, and `within` slots of it.

    `set_up` is what comes on top of `work` where its mix, by number, is not in hand. `wet` is how
    long after its end nothing may touch it. `fixed` says that it is pinned, `free` that it goes
    on whatever is wet (it runs), `opens` that it is its task's first. `due` and `wait` are `least`
    and `gap` as they were planned.
    """

    person: int
    panel: int
    need: int
    size: int
    work: Row
    gap: Row
    wet: Row
    least: Row | None = None
    after: int | None = None
    chained: bool = False
    within: float = np.inf
    set_up: int = 0
    mix: int = -1
    fixed: bool = False
    free: bool = False
    opens: bool = False
    wait: float = PAUSE
    due: float = EVER

    def hold(self, moment: Row | float, planned: float) -> None:
        """Let the panel not go on before a wall slot."""
        self.least = moment + 0 * self.gap if self.least is None else np.maximum(self.least, moment)
        self.due = max(self.due, planned)

    def add(self, wait: Row, planned: float) -> None:
        """Let the panel wait longer before it goes on."""
        self.gap = self.gap + wait
        self.wait += planned
        if self.least is not None:
            self.least = self.least + wait
            self.due += planned


@dataclass(frozen=True, slots=True)
class Steps:
    """All steps in the order of the plan.

    `ready` says, for the number of each panel's first step, from which wall slot it may start in
    each scenario; `dry`, for a panel on which nothing is left to do, when it is dry; `wet`, for a
    panel that is wet now, until when. Wall slots count from the one the present lies in.
    `unfinished` are the panels the plan leaves so, `fixed` the pins it keeps.
    """

    steps: tuple[Step, ...]
    ready: dict[int, Row]
    dry: dict[int, Row]
    wet: dict[int, Row]
    unfinished: frozenset[int]
    fixed: tuple[Pin, ...]


def steps_of(plan: Plan, draws: Draws) -> Steps:
    """Return a plan's sittings as steps, drawing for every task that is in it."""
    laying = _Laying(draws, plan)
    for place, panel in enumerate(draws.problem.panels):
        laying.lay(place, panel)
    steps = tuple(laying.steps[number] for number in range(len(laying.rows)))
    unfinished = frozenset(laying.unfinished)
    fixed = tuple(laying.fixed.values())
    return Steps(steps, laying.ready, laying.dry, laying.wet, unfinished, fixed)


def shared_set_ups(problem: Problem, rows: list[PlannedSitting]) -> set[tuple[str, str]]:
    """Return the tasks, by panel, that a plan begins with their mix in hand that day."""
    slot = Grid(problem.slot).micros
    hours = {person.key: OpenTime.of(person, slot) for person in problem.people}
    mixes = {(panel.key, task.key): task.mix for panel in problem.panels for task in panel.tasks}
    in_hand: set[tuple[str, int, str]] = set()
    begun, shared = set(), set()
    for row in rows:
        key = row.panel, row.task
        if mix := mixes[key]:
            day = row.person, hours[row.person].day(micros(row.start)), mix
            if key not in begun and day in in_hand:
                shared.add(key)
            in_hand.add(day)
        begun.add(key)
    return shared


@dataclass(slots=True)
class _Way:
    """How far a panel has been laid: its last step, or else from when it may go on."""

    free: Row
    before: int | None = None


class _Laying:
    """Steps being laid, panel by panel."""

    def __init__(self, draws: Draws, plan: Plan) -> None:
        problem = draws.problem
        self.draws = draws
        self.grid = Grid(problem.slot)
        self.base = self.grid.moment(self.grid.down(problem.now))
        self.now = self._slots(problem.now)
        self.people = {person.key: number for number, person in enumerate(problem.people)}
        self.rows = sorted(plan.sittings, key=lambda row: (row.start, self.people[row.person]))
        self.stints: dict[tuple[str, str], list[int]] = defaultdict(list)
        for number, row in enumerate(self.rows):
            self.stints[row.panel, row.task].append(number)
        self.shared = shared_set_ups(problem, self.rows)
        mixes = sorted({task.mix for panel in problem.panels for task in panel.tasks} - {""})
        self.mixes = {mix: number for number, mix in enumerate(mixes)}
        self.fixed = self._fixed()
        self.nothing = np.zeros(draws.scenarios)
        self.steps: dict[int, Step] = {}
        self.ready: dict[int, Row] = {}
        self.dry: dict[int, Row] = {}
        self.wet: dict[int, Row] = {}
        self.unfinished: set[int] = set()

    def _fixed(self) -> dict[int, Pin]:
        """Return the painter's own pins that the plan keeps, by the number of the sitting."""
        problem = self.draws.problem
        pins = {
            (pin.panel, pin.task, pin.person, pin.start, pin.end): pin
            for pin in problem.pins
            if pin.firm and pin.start >= problem.now
        }
        found = {}
        for number, row in enumerate(self.rows):
            if pin := pins.get((row.panel, row.task, row.person, row.start, row.end)):
                found[number] = pin
        return found

    def _slots(self, moment: datetime) -> float:
        return (moment - self.base) / self.draws.problem.slot

    def lay(self, place: int, panel: Panel) -> None:
        """Lay the steps of a panel, as far as the plan goes."""
        way = _Way(self._opening(place, panel))
        wet = panel.touched is not None
        for task in panel.tasks:
            inside = wet and task.within is not None and not task.begun_by
            wet = True
            if task.not_before:
                self._hold(way, self._slots(task.not_before))
            numbers = self.stints.get((panel.key, task.key), [])
            factor, wait = self.draws.of((panel.key, task.key), task.gate)
            whole = self._stints(place, task, numbers, factor, wait)
            for number in numbers:
                self._follow(way, number, inside=inside)
            if not whole:
                self.unfinished.add(place)
                return
            self._wait(way, task, wait, laid=bool(numbers))
        if way.before is None:
            self.dry[place] = way.free

    def _hold(self, way: _Way, moment: float) -> None:
        """Let a panel not go on before a wall slot."""
        if way.before is None:
            way.free = np.maximum(way.free, moment)
        else:
            self.steps[way.before].hold(moment, moment)

    def _wait(self, way: _Way, task: Task, wait: Row, *, laid: bool) -> None:
        """Let a panel wait after a task."""
        planned = task.gate.wait / self.draws.problem.slot if task.gate else 0.0
        if way.before is None:
            way.free = way.free + wait
        elif laid:
            self.steps[way.before].gap, self.steps[way.before].wait = wait, planned
        else:
            self.steps[way.before].add(wait, planned)

    def _follow(self, way: _Way, number: int, *, inside: bool) -> None:
        """Let a sitting follow the one before it on its panel, in its place if that is fixed.

        `inside` says that it is worked into what is laid before it while that is wet.
        """
        step = self.steps[number]
        if number in self.fixed:
            self._hold(way, self._slots(self.fixed[number].start))
        if way.before is None:
            # A sitting that runs goes on in the slot the present lies in.
            running = step.free
            self.ready[number] = way.free * 0 if running else np.maximum(way.free, self.now)
        else:
            self.steps[way.before].after = number
            same = self.steps[way.before].person == step.person
            step.chained = inside and same and not step.fixed
        way.before = number

    def _opening(self, place: int, panel: Panel) -> Row:
        """Return from which wall slot a panel's first task may start; note how long it is wet."""
        problem = self.draws.problem
        opens = panel.opens or problem.now
        until = panel.wet_until or opens
        if drying := self.draws.doubt.of_panels.get(panel.key):
            since = self._slots(drying.since)
            length = self.draws.still(panel.key, drying)
            planned = opens - drying.since
            share = (until - drying.since) / planned if planned and panel.wet_until else 1.0
            free, wet = since + length, since + length * min(max(share, 0.0), 1.0)
        else:
            free = np.full(self.draws.scenarios, self._slots(opens))
            wet = np.full(self.draws.scenarios, self._slots(until))
        if (wet > self.now).any():
            self.wet[place] = wet
        if panel.not_before and panel.tasks:
            free = np.maximum(free, self._slots(panel.not_before))
        return free

    def _stints(self, place: int, task: Task, numbers: list[int], factor: Row, wait: Row) -> bool:
        """Lay the sittings of a task, and say whether they are all of its work.

        Its work is shared out over them as the plan shares it. A set-up is not shared out: it comes
        on top of the first where the mix is not in hand.
        """
        if not numbers:
            return task.minutes == 0
        rows = [self.rows[number] for number in numbers]
        sizes = [self._size(row) for row in rows]
        lost = (rows[0].start - self.base) % self.draws.problem.slot
        full = self.grid.count(task.minutes * MINUTE + lost)
        bare = full
        if task.set_up and not task.begun_by:
            bare = self.grid.count((task.minutes - task.set_up) * MINUTE + lost)
        shared = (rows[0].panel, rows[0].task) in self.shared
        whole = sum(sizes) >= (bare if shared else full)
        paid = min(full - bare, max(0, sum(sizes) - bare), sizes[0])
        plain = [sizes[0] - paid, *sizes[1:]]
        planned = max(bare, sum(plain))
        work = self.draws.work(task.minutes - bool(full - bare) * task.set_up, planned, factor)
        done = np.rint(np.outer(np.cumsum(plain) / planned, work))
        parts = np.diff(done, axis=0, prepend=0).astype(np.int32)
        gate = task.gate
        wet = wait * (gate.touchable / gate.wait) if gate and gate.wait else self.nothing
        for number, size, part in zip(numbers, sizes, parts, strict=True):
            step = self.steps[number] = self._step(place, task, number, size)
            step.work, step.wet = part, wet
            step.opens = number == numbers[0]
            step.free = step.opens and bool(task.begun_by)
            step.need = 1 if step.free else step.need
            step.set_up = full - bare if step.opens else 0
        if task.within is not None:
            self.steps[numbers[-1]].within = task.within / self.draws.problem.slot
        return whole

    def _step(self, place: int, task: Task, number: int, size: int) -> Step:
        shortest = self.grid.count(task.shortest * MINUTE)
        return Step(
            self.people[self.rows[number].person],
            place,
            shortest if size >= 2 * shortest else size,
            size,
            self.nothing,
            np.full(self.draws.scenarios, PAUSE),
            self.nothing,
            mix=self.mixes.get(task.mix, -1),
            fixed=number in self.fixed,
        )

    def _size(self, row: PlannedSitting) -> int:
        """Return how many slots a sitting touches; only one already begun starts within a slot."""
        return self.grid.down(row.end) - self.grid.down(row.start)
