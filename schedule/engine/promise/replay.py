"""All scenarios of a plan's order played together, one step of each at a time."""

import numpy as np

from schedule.engine.problem import Problem
from schedule.engine.promise.axis import Axis
from schedule.engine.promise.runs import first_places
from schedule.engine.promise.steps import Steps
from schedule.engine.promise.wet import Wet

LOOK_AHEAD = 8
"""How many of her next planned sittings someone considers before she waits: two days' work or so.
Strict order is too gloomy, for she would stand idle beside work that is ready. Common practice, no
source."""


def replay(
    problem: Problem, steps: Steps, *, scenarios: int, ahead: int = LOOK_AHEAD
) -> np.ndarray:
    """Return when each panel is dry in each scenario, in wall slots from the present's.

    It is inf for after the last working hours. Whoever can begin first does: each person, of her
    next `ahead` planned sittings, the first that is ready and fits, else the one that will be so
    first. A sitting that takes longer than its window goes on when the next one opens. Nobody
    knows a future hour or wait beforehand.

    What she fixed goes before all else once its time has come, and nothing is begun that does not
    fit before it. What is worked into a wet coat follows it at once, and the coat is only begun
    where, as planned, all of it can be done in time. Nothing is begun on a face while one it lies
    on is wet or worked, nor on a removable part that would find no place on the rack; and a set-up
    is saved where the mix is in hand.
    """
    axis = Axis.of(problem, steps.fixed)
    done = np.full((len(problem.panels) + 1, scenarios), np.inf)
    for panel, dry in steps.dry.items():
        done[panel] = dry
    if steps.steps:
        play = _Play(steps, axis, Wet(problem, steps, scenarios, axis.never), done, ahead)
        for number, step in enumerate(steps.steps):
            if step.free:
                play.go_on_with(number)
        for _ in range(play.turns):
            play.next()
    done[list(steps.unfinished)] = np.inf
    return done[: len(problem.panels)]


class _Play:
    """Tables of the steps, a row for none at their end, and where every scenario stands.

    Scenarios run along the columns. `queue` holds each person's next steps in rows of her own:
    first what everyone has fixed, then `ahead` of her planned steps. `clock` is the open slot she
    is free from. What is chained is in no queue, as it is played with what it follows, nor is what
    runs already, which is played first.
    """

    def __init__(self, steps: Steps, axis: Axis, wet: Wet, done: np.ndarray, ahead: int) -> None:
        self.axis, self.wet, self.done = axis, wet, done
        people, scenarios, none = len(axis.last), done.shape[1], len(steps.steps)
        self.scenarios, self.columns, self.none = scenarios, np.arange(scenarios), none
        self._lay_out(steps, none)
        self._lay_out_mixes(steps, people)
        opens = np.full((none + 1, scenarios), axis.never, dtype=np.int32)
        for number, free in steps.ready.items():
            opens[number] = np.clip(np.ceil(free - 1e-9), 0, axis.never)
        self.opens = opens.ravel()
        rows, table = first_places(steps.steps, axis)
        self.fits = table.ravel()
        self.fits_row = rows * table.shape[1]
        self._seat(steps, people, ahead)

    def _lay_out(self, steps: Steps, none: int) -> None:
        found = steps.steps
        nothing = np.zeros(self.scenarios)
        self.owner = np.array([*(s.person for s in found), 0])
        self.after = np.array([none if s.after is None else s.after for s in found])
        chained = [s.after is not None and found[s.after].chained for s in found]
        self.then = np.array([*np.where(chained, self.after, none), none])
        self.has_runs = any(chained)
        finished = [s.panel if s.after is None else len(self.done) - 1 for s in found]
        self.finished = np.array(finished)
        rest = np.zeros(self.scenarios, dtype=np.int32)
        self.work = np.stack([*(s.work for s in found), rest]).ravel()
        self.gap = np.stack([*(s.gap for s in found), nothing]).ravel()
        self.least = None
        if any(s.least is not None for s in found):
            ever = np.full(self.scenarios, -np.inf)
            self.least = np.stack([ever if s.least is None else s.least for s in found]).ravel()
        self.minds = self.wet.faces or self.wet.racks
        self.dries = np.stack([s.wet for s in found]).ravel() if self.minds else None

    def _lay_out_mixes(self, steps: Steps, people: int) -> None:
        """Keep the working day on which each person last had each mix in hand."""
        found = steps.steps
        self.has_set_ups = any(s.set_up for s in found)
        self.set_up = np.array([s.set_up for s in found], dtype=np.int32)
        self.mix = np.array([s.mix for s in found])
        self.mixes = max((s.mix for s in found), default=-1) + 2
        self.in_hand = np.full(people * self.mixes * self.scenarios, -1, dtype=np.int64)

    def _seat(self, steps: Steps, people: int, ahead: int) -> None:
        fixed: list[list[int]] = [[] for _ in range(people)]
        plain: list[list[int]] = [[] for _ in range(people)]
        for number, step in enumerate(steps.steps):
            if not (step.chained or step.free):
                (fixed if step.fixed else plain)[step.person].append(number)
        lanes = [(person, row, min(ahead, len(row))) for person, row in enumerate(fixed) if row]
        lanes += [(person, row, ahead) for person, row in enumerate(plain)]
        self.turns = sum(len(row) for _, row, _ in lanes)
        sizes = [size for _, _, size in lanes]
        self.width = max(len(row) for _, row, _ in lanes) + ahead + 1
        padded = [row + [self.none] * (self.width - len(row)) for _, row, _ in lanes]
        self.orders = np.array(padded).ravel()
        self.person = np.repeat([person for person, _, _ in lanes], sizes)
        self.lane = np.repeat(np.arange(len(lanes)), sizes)
        self.tails = np.cumsum(sizes) - 1
        self.rows = np.arange(sum(sizes))[:, None]
        self.first = self.axis.first.ravel()
        self.first_row = (self.person * self.axis.first.shape[1])[:, None]
        heads = [row[:size] for row, size in zip(padded, sizes, strict=True)]
        heads = np.concatenate(heads).reshape(-1, 1)
        self.queue = np.repeat(heads, self.scenarios, axis=1)
        self.drawn = np.repeat(sizes, self.scenarios)
        self.clock = np.repeat(self.axis.first[:, :1], self.scenarios, axis=1)

    def go_on_with(self, number: int) -> None:
        """Play a step that is running, before all others."""
        step = np.full(self.scenarios, number)
        person = self.owner.take(step)
        self._sit(step, person, self.clock[person[0]].copy(), self.columns)
        self._go_on(step)

    def next(self) -> None:
        """Play the step that can be first in every scenario, with what is chained to it."""
        ready = self.opens.take(self.queue * self.scenarios + self.columns)
        if self.minds:
            ready = self.wet.clear(self.queue, ready)
        place = self.first.take(ready + self.first_row)
        place = np.maximum(place, self.clock[self.person])
        place = self.fits.take(self.fits_row.take(self.queue) + place)
        pick = self.axis.wall.take(place).argmin(axis=0)
        cell = pick * self.scenarios + self.columns
        step, person = self.queue.take(cell), self.person.take(pick)
        self._sit(step, person, place.take(cell), self.columns)
        if self.has_runs:
            self._go_on(step)
        self._move_up(pick)

    def _go_on(self, step: np.ndarray) -> None:
        """Play what is chained to the steps just played, in the scenarios where something is."""
        columns = self.columns
        while True:
            after = self.then.take(step)
            on = np.nonzero(after != self.none)[0]
            if not len(on):
                return
            columns, step = columns[on], after[on]
            person = self.owner.take(step)
            ready = self.opens.take(step * self.scenarios + columns)
            place = self.first.take(ready + person * self.axis.first.shape[1])
            place = np.maximum(place, self.clock[person, columns])
            place = self.fits.take(self.fits_row.take(step) + place)
            self._sit(step, person, place, columns)

    def _sit(
        self, step: np.ndarray, person: np.ndarray, start: np.ndarray, columns: np.ndarray
    ) -> None:
        """Let a person work on a step from an open slot on, and its panel dry."""
        last = self.axis.last.take(person)
        cell = step * self.scenarios + columns
        work = self.work.take(cell)
        if self.has_set_ups:
            work = work + self._set_up(step, person, start, columns)
        free = start + work
        busy = work > 0
        end = self.axis.wall.take(np.minimum(free - busy, last)) + busy
        dry = end + self.gap.take(cell)
        if self.least is not None:
            dry = np.maximum(dry, self.least.take(cell))
        late = end + ~busy > self.axis.never
        dry = np.where(late, np.inf, dry)
        self.done[self.finished.take(step), columns] = dry
        opens = np.minimum(np.ceil(dry - 1e-9), self.axis.never)
        self.opens[self.after.take(step) * self.scenarios + columns] = opens
        self.clock[person, columns] = np.minimum(free, last)
        if self.minds:
            wet = end + self.dries.take(cell)
            self.wet.note(step, np.where(late, np.inf, end), np.where(late, np.inf, wet), columns)

    def _set_up(
        self, step: np.ndarray, person: np.ndarray, start: np.ndarray, columns: np.ndarray
    ) -> np.ndarray:
        """Return the slots it takes to set up what is not in hand, and take it in hand."""
        day = self.axis.day.take(start)
        cell = (person * self.mixes + self.mix.take(step)) * self.scenarios + columns
        extra = np.where(self.in_hand.take(cell) == day, 0, self.set_up.take(step))
        mixed = self.mix.take(step) >= 0
        self.in_hand[cell[mixed]] = day[mixed]
        return extra.astype(np.int32)

    def _move_up(self, pick: np.ndarray) -> None:
        """Close the gap in a person's queue and put her next step at its end."""
        lane = self.lane.take(pick)
        tail = self.tails.take(lane)
        moves = (self.rows[:-1] >= pick) & (self.rows[:-1] < tail)
        np.copyto(self.queue[:-1], self.queue[1:].copy(), where=moves)
        drawn = lane * self.scenarios + self.columns
        place = self.drawn.take(drawn)
        self.queue[tail, self.columns] = self.orders.take(lane * self.width + place)
        self.drawn[drawn] = place + 1
