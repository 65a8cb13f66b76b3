"""All scenarios of a plan's order played together, one step of each at a time."""

import numpy as np

from schedule.engine.promise.axis import Axis
from schedule.engine.promise.steps import Steps

LOOK_AHEAD = 8
"""How many of her next planned sittings someone considers before she waits: two days' work or so.
Strict order is too gloomy, for she would stand idle beside work that is ready. Common practice, no
source."""


def replay(
    steps: Steps, axis: Axis, *, panels: int, scenarios: int, ahead: int = LOOK_AHEAD
) -> np.ndarray:
    """Return when each panel is dry in each scenario, in wall slots from the present's.

    It is inf for after the last working hours. Whoever can begin first does: each person, of her
    next `ahead` planned sittings, the first that is ready and fits, else the one that will be so
    first. A sitting that takes longer than its window goes on when the next one opens. Nobody
    knows a future hour or wait beforehand.
    """
    done = np.full((panels + 1, scenarios), np.inf)
    for panel, dry in steps.dry.items():
        done[panel] = dry
    if steps.steps:
        play = _Play(steps, axis, done, ahead)
        for _ in steps.steps:
            play.next()
    done[list(steps.unfinished)] = np.inf
    return done[:panels]


class _Play:
    """Tables of the steps, a row for none at their end, and where every scenario stands.

    Scenarios run along the columns. `queue` holds each person's next planned steps in `ahead` rows
    of her own, `clock` the open slot she is free from.
    """

    def __init__(self, steps: Steps, axis: Axis, done: np.ndarray, ahead: int) -> None:
        self.axis, self.done, self.ahead = axis, done, ahead
        people, scenarios, none = len(axis.last), done.shape[1], len(steps.steps)
        nothing = np.zeros(scenarios)
        self.scenarios, self.columns = scenarios, np.arange(scenarios)
        self.after = np.array([none if s.after is None else s.after for s in steps.steps])
        finished = [s.panel if s.after is None else len(done) - 1 for s in steps.steps]
        self.finished = np.array(finished)
        rest = np.zeros(scenarios, dtype=np.int32)
        self.work = np.stack([*(s.work for s in steps.steps), rest]).ravel()
        self.gap = np.stack([*(s.gap for s in steps.steps), nothing]).ravel()
        opens = np.full((none + 1, scenarios), axis.never, dtype=np.int32)
        for number, free in steps.ready.items():
            opens[number] = np.clip(np.ceil(free - 1e-9), 0, axis.never)
        self.opens = opens.ravel()
        needs = sorted({s.need for s in steps.steps})
        fits = axis.fits(needs)
        self.fits = fits.ravel()
        rows = [needs.index(s.need) for s in steps.steps]
        self.fits_row = np.array([*rows, len(needs)]) * fits.shape[1]
        self._seat(steps, people, none)

    def _seat(self, steps: Steps, people: int, none: int) -> None:
        orders: list[list[int]] = [[] for _ in range(people)]
        for number, step in enumerate(steps.steps):
            orders[step.person].append(number)
        self.width = max(map(len, orders)) + self.ahead + 1
        padded = [row + [none] * (self.width - len(row)) for row in orders]
        self.orders = np.array(padded).ravel()
        self.person = np.repeat(np.arange(people), self.ahead)
        self.rows = np.arange(people * self.ahead)[:, None]
        self.first = self.axis.first.ravel()
        self.first_row = (self.person * self.axis.first.shape[1])[:, None]
        heads = self.orders.reshape(people, -1)[:, : self.ahead].reshape(-1, 1)
        self.queue = np.repeat(heads, self.scenarios, axis=1)
        self.drawn = np.full(people * self.scenarios, self.ahead)
        self.clock = np.repeat(self.axis.first[:, :1], self.scenarios, axis=1)

    def next(self) -> None:
        """Play one step in every scenario: the one that can begin first."""
        ready = self.opens.take(self.queue * self.scenarios + self.columns)
        place = self.first.take(ready + self.first_row)
        place = np.maximum(place, self.clock[self.person])
        place = self.fits.take(self.fits_row.take(self.queue) + place)
        pick = self.axis.wall.take(place).argmin(axis=0)
        cell = pick * self.scenarios + self.columns
        step, person = self.queue.take(cell), self.person.take(pick)
        self._sit(step, person, place.take(cell))
        self._move_up(pick, person)

    def _sit(self, step: np.ndarray, person: np.ndarray, start: np.ndarray) -> None:
        """Let a person work on a step from an open slot on, and its panel dry."""
        last = self.axis.last.take(person)
        cell = step * self.scenarios + self.columns
        work = self.work.take(cell)
        free = start + work
        busy = work > 0
        end = self.axis.wall.take(np.minimum(free - busy, last)) + busy
        dry = np.where(end > self.axis.never, np.inf, end + self.gap.take(cell))
        self.done[self.finished.take(step), self.columns] = dry
        opens = np.minimum(np.ceil(dry - 1e-9), self.axis.never)
        self.opens[self.after.take(step) * self.scenarios + self.columns] = opens
        self.clock[person, self.columns] = np.minimum(free, last)

    def _move_up(self, pick: np.ndarray, person: np.ndarray) -> None:
        """Close the gap in the person's queue and put her next planned step at its end."""
        tail = (person + 1) * self.ahead - 1
        moves = (self.rows[:-1] >= pick) & (self.rows[:-1] < tail)
        np.copyto(self.queue[:-1], self.queue[1:].copy(), where=moves)
        drawn = person * self.scenarios + self.columns
        place = self.drawn.take(drawn)
        self.queue[tail, self.columns] = self.orders.take(person * self.width + place)
        self.drawn[drawn] = place + 1
