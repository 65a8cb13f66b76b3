"""Open time counted through: tables from the wall clock to open slots and back, for all people."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from schedule.engine.calendar import Window, merged
from schedule.engine.hands import OpenTime
from schedule.engine.problem import Person, Pin, Problem
from schedule.engine.slots import Grid


@dataclass(frozen=True, slots=True)
class Axis:
    """The open slots of all people laid end to end, each person's closed by a slot that never is.

    Wall slots count from `base` (a slot number of the grid) up to `never`, which is after the last
    open one. `wall[a]` is the wall slot of open slot a, `first[p, w]` the first open slot of person
    p from wall slot w on, `room[a]` how many slots are open on end from a, `day[a]` the working day
    it is in, `last[p]` the slot of a person that never is. The final slot of all is for what is no
    work at all. `breaks[p]` are the wall slots at which a sitting of hers is fixed: nothing else is
    begun that does not fit before it, and what is fixed out of hours is open time.
    """

    base: int
    never: int
    wall: np.ndarray
    first: np.ndarray
    room: np.ndarray
    day: np.ndarray
    last: np.ndarray
    breaks: tuple[np.ndarray, ...]

    @classmethod
    def of(cls, problem: Problem, fixed: Sequence[Pin] = ()) -> "Axis":
        """Return the tables of a problem's people from its present on, `fixed` pins kept."""
        grid = Grid(problem.slot)
        base = grid.down(problem.now)
        pins = [[pin for pin in fixed if pin.person == one.key] for one in problem.people]
        people = [_hours(*one, grid.micros) for one in zip(problem.people, pins, strict=True)]
        ends = [end for hours in people for end in hours.ends[-1:]]
        never = max([end - base for end in ends if end > base], default=0) + 1
        walls, rooms, firsts, lasts, days, breaks = [], [], [], [], [], []
        offset = 0
        for person, hours, own in zip(problem.people, people, pins, strict=True):
            broken = sorted({grid.down(pin.start) - base for pin in own})
            wall, room = _open_slots(hours, base, broken)
            mornings = np.array(OpenTime.of(person, grid.micros).mornings, dtype=np.int64)
            firsts.append(offset + np.searchsorted(wall, np.arange(never + 1)))
            walls += [wall, [never]]
            rooms += [room, [never + 1]]
            days += [np.searchsorted(mornings, (wall + base) * grid.micros, "right"), [-1]]
            breaks.append(np.array(broken, dtype=np.int64))
            offset += len(wall) + 1
            lasts.append(offset - 1)
        return cls(
            base=base,
            never=never,
            wall=np.concatenate([*walls, [never + 1]]).astype(np.int64),
            first=np.array(firsts, dtype=np.int64).reshape(len(people), never + 1),
            room=np.concatenate([*rooms, [0]]).astype(np.int64),
            day=np.concatenate([*days, [-1]]).astype(np.int64),
            last=np.array(lasts, dtype=np.int64),
            breaks=tuple(breaks),
        )

    def holds(self, need: int) -> np.ndarray:
        """Say of each open slot whether so many slots on end are open from it."""
        return self.room >= need

    def leads(self, holds: Sequence[np.ndarray]) -> np.ndarray:
        """Return, for each row that says which open slots will do, the first such from each on.

        What never is always does. One row more, the last, leads to the slot of no work.
        """
        places = np.arange(len(self.wall))
        rows = [np.full(len(places), places[-1])]
        for will_do in reversed(holds):
            will_do[self.last] = True
            found = np.where(will_do, places, places[-1])
            rows.append(np.minimum.accumulate(found[::-1])[::-1])
        return np.stack(rows[::-1])

    def end(self, person: int, start: np.ndarray, work: int) -> tuple[np.ndarray, np.ndarray]:
        """Return the open slot after `work` slots from each open slot on, and the wall slot."""
        free = np.minimum(start + work, self.last[person])
        busy = int(work > 0)
        return free, self.wall.take(np.minimum(start + work - busy, self.last[person])) + busy


def _hours(person: Person, fixed: Sequence[Pin], slot: int) -> OpenTime:
    """Return a person's open time with what she fixed outside it."""
    if not fixed:
        return OpenTime.of(person, slot)
    spans = [*person.windows, *(Window(pin.start, pin.end) for pin in fixed)]
    return OpenTime.of(Person(person.key, merged(spans)), slot)


def _open_slots(hours: OpenTime, base: int, broken: Sequence[int]) -> tuple[np.ndarray, np.ndarray]:
    """Return a person's open slots from the base on, and how many follow on end from each."""
    spans: list[tuple[int, int]] = []
    for start, end in zip(hours.starts, hours.ends, strict=True):
        begins, ends = max(start - base, 0), end - base
        inside = [at for at in broken if begins < at < ends]
        cuts = [begins, *inside, ends]
        spans += [pair for pair in pairwise(cuts) if pair[0] < pair[1]]
    none = np.zeros(0, dtype=np.int64)
    wall = np.concatenate([none, *(np.arange(start, end) for start, end in spans)])
    room = np.concatenate([none, *(np.arange(end - start, 0, -1) for start, end in spans)])
    return wall, room
