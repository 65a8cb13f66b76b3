"""The futures: for every task and gate as many draws as there are scenarios."""

from dataclasses import dataclass, field
from hashlib import blake2b
from statistics import NormalDist

import numpy as np

from schedule.engine.problem import LONGEST_WAIT, Gate, Problem
from schedule.engine.promise.doubt import Doubt, Drying, TaskKey, Wait
from schedule.engine.slots import MINUTE

TAIL = 8.0
GRID = np.linspace(-TAIL, TAIL, 3201)
BELOW = np.array([NormalDist().cdf(z) for z in GRID])

Row = np.ndarray
"""One number for each scenario."""


def normal_scores(scenarios: int) -> Row:
    """Return the middles of as many equally likely slices of the normal distribution, in order."""
    normal = NormalDist()
    return np.array([normal.inv_cdf((n + 0.5) / scenarios) for n in range(scenarios)])


@dataclass(slots=True)
class Draws:
    """Draws by name: the same name and seed give the same row, whatever else is drawn.

    Each row is the normal scores in an order of its own (a Latin hypercube), so that few scenarios
    cover every case evenly and a row is its own ranks. `rows` keeps what was drawn, to be asked
    afterwards what drove the outcome: by panel, task and whether it is of the wait.
    """

    problem: Problem
    doubt: Doubt
    scenarios: int
    seed: int
    scores: Row = field(init=False)
    pace: Row = field(init=False)
    air: Row = field(init=False)
    rows: dict[tuple[str, str, bool], Row] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        self.scores = normal_scores(self.scenarios)
        self.pace, self.air = self._pair("", "")

    def _pair(self, panel: str, task: str) -> tuple[Row, Row]:
        name = f"{self.seed}\0{panel}\0{task}".encode()
        key = int.from_bytes(blake2b(name, digest_size=16).digest())
        dice = np.random.Generator(np.random.Philox(key=key))
        return dice.permutation(self.scores), dice.permutation(self.scores)

    def of(self, key: TaskKey, gate: Gate | None) -> tuple[Row, Row]:
        """Return a task's hours as multiples of those planned, and its gate's wait in slots."""
        panel, task = key
        work, dry = self._pair(panel, task)
        self.rows[panel, task, False] = work.astype(np.float32)
        sigma = self.doubt.of_tasks.get(key, self.doubt.hours)
        factor = np.exp(sigma * work + self.doubt.hours_in_common * self.pace)
        if gate is None:
            return factor, np.zeros(self.scenarios)
        self.rows[panel, task, True] = dry.astype(np.float32)
        wait = self.doubt.of_gates.get(key) or self._own(gate)
        return factor, self._slots(wait, wait.sigma * dry + self.doubt.drying_in_common * self.air)

    def _own(self, gate: Gate) -> Wait:
        """Return a gate's own spread, as far as it says one."""
        sigma = self.doubt.drying if gate.sigma is None else gate.sigma
        return Wait(gate.median or gate.wait, sigma)

    def still(self, panel: str, drying: Drying) -> Row:
        """Return how long a running gate takes from its start, in slots.

        Only the cases that take longer than the coat was found wet count.
        """
        dry, _ = self._pair(panel, "")
        self.rows[panel, "", True] = dry.astype(np.float32)
        wait = drying.wait
        bent = wait.sigma * dry + self.doubt.drying_in_common * self.air
        sigma = float(np.hypot(wait.sigma, self.doubt.drying_in_common))
        if drying.found_wet and wait.median and sigma:
            past = NormalDist().cdf(np.log(drying.found_wet / wait.median) / sigma)
            share = past + np.interp(bent / sigma, GRID, BELOW) * (1 - past)
            bent = np.interp(share, BELOW, GRID) * sigma
        return np.maximum(self._slots(wait, bent), drying.found_wet / self.problem.slot)

    def _slots(self, wait: Wait, bent: Row) -> Row:
        slot = self.problem.slot
        length = np.exp(bent) * (wait.median / slot)
        return np.clip(length, wait.least / slot, max(wait.least, LONGEST_WAIT) / slot)

    def work(self, minutes: int, planned: int, factor: Row) -> Row:
        """Return whole slots of work for planned minutes that the plan gave `planned` slots.

        What the plan rounded up stays so; how far a scenario is off goes to the nearest slot, since
        always rounding up would make everything longer. At least a slot is left of any work.
        """
        off = np.rint(minutes * MINUTE / self.problem.slot * (factor - 1))
        return np.maximum(planned + off, min(planned, 1))
