"""A panel on its way through the plan: which task is next, how much of it, and from when."""

from dataclasses import dataclass, field
from datetime import datetime, timedelta

from schedule.engine.plan import PlannedGate, PlannedSitting
from schedule.engine.problem import Commission, Panel, Problem, Task
from schedule.engine.slots import EPOCH, MINUTE, Bounds, Grid

NEVER = timedelta.max
Rank = tuple[timedelta, int, timedelta, str, str]


@dataclass(slots=True)
class Chain:
    """The state of one panel while planning: a cursor on its tasks and what has been planned."""

    panel: Panel
    commission: Commission
    grid: Grid
    tails: list[timedelta]
    ready: datetime
    step: int = 0
    rest: int = 0
    person: str = ""
    started: bool = False
    loose: bool = False
    planned: timedelta = timedelta(0)
    gates: list[PlannedGate] = field(default_factory=list)

    @classmethod
    def of(cls, panel: Panel, commission: Commission, problem: Problem) -> "Chain":
        """Return a panel's chain at the present, waits at its head already passed."""
        tails = [timedelta(0)]
        for task in reversed(panel.tasks):
            wait = task.gate.wait if task.gate else timedelta(0)
            tails.append(tails[-1] + task.minutes * MINUTE + wait)
        ready = panel.opens or problem.now
        chain = cls(panel, commission, Grid(problem.slot), tails[::-1], ready)
        chain._take_up()
        return chain

    @property
    def task(self) -> Task | None:
        """The task to be planned next; None when the panel is wholly planned."""
        return self.panel.tasks[self.step] if self.step < len(self.panel.tasks) else None

    @property
    def bounds(self) -> Bounds:
        """The bounds of a sitting of the next task."""
        return Bounds.of(self.panel.tasks[self.step], self.grid)

    @property
    def rank(self) -> Rank:
        """The panel's place in the queue, the smallest first.

        Earliest wanted, then weightiest, then the longest way still to go, then the keys.
        """
        wanted = self.commission.wanted
        return (
            wanted - EPOCH if wanted else NEVER,
            -self.commission.weight,
            self.planned - self.tails[self.step],
            self.commission.key,
            self.panel.key,
        )

    @property
    def minutes_left(self) -> int:
        """The hands-on minutes of this panel that are not planned, rounded up."""
        work = sum(task.minutes for task in self.panel.tasks[self.step :]) * MINUTE
        return -((self.planned - work) // MINUTE)

    def sit(self, person: str, start: datetime, end: datetime, rest: int) -> PlannedSitting:
        """Plan a sitting of the next task, leave `rest` slots of it, and move the cursor on."""
        task = self.panel.tasks[self.step]
        self.person, self.started, self.rest = person, True, rest
        self.planned += end - start
        # A slot's pause, or the longest sitting would bound nothing.
        self.ready = end + self.grid.slot if rest else end
        if not rest:
            self._close(task)
            self._take_up()
        return PlannedSitting(task.key, self.panel.key, self.commission.key, person, start, end)

    def _close(self, task: Task) -> None:
        if task.gate:
            self.ready += task.gate.wait
            gate = PlannedGate(
                task.key, self.panel.key, self.commission.key, task.gate.kind, self.ready
            )
            self.gates.append(gate)
        self.step += 1
        self.person, self.started, self.loose, self.planned = "", False, False, timedelta(0)

    def _take_up(self) -> None:
        while (task := self.task) and task.minutes == 0:
            self._close(task)
        if task:
            self.rest = self.grid.count(task.minutes * MINUTE)
            self.person = task.begun_by
