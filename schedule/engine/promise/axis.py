"""Open time counted through: tables from the wall clock to open slots and back, for all people."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from schedule.engine.hands import OpenTime
from schedule.engine.problem import Problem
from schedule.engine.slots import Grid


@dataclass(frozen=True, slots=True)
class Axis:
    """The open slots of all people laid end to end, each person's closed by a slot that never is.

    Wall slots count from `base` (a slot number of the grid) up to `never`, which is after the last
    open one. `wall[a]` is the wall slot of open slot a, `first[p, w]` the first open slot of person
    p from wall slot w on, `room[a]` how many slots are open on end from a, `last[p]` the slot of a
    person that never is. The final slot of all is for what is no work at all.
    """

    base: int
    never: int
    wall: np.ndarray
    first: np.ndarray
    room: np.ndarray
    last: np.ndarray

    @classmethod
    def of(cls, problem: Problem) -> "Axis":
        """Return the tables of a problem's people from its present on."""
        grid = Grid(problem.slot)
        base = grid.down(problem.now)
        people = [OpenTime.of(person, grid.micros) for person in problem.people]
        ends = [end for hours in people for end in hours.ends[-1:]]
        never = max([end - base for end in ends if end > base], default=0) + 1
        walls, rooms, firsts, lasts = [], [], [], []
        offset = 0
        for hours in people:
            wall, room = _open_slots(hours, base)
            firsts.append(offset + np.searchsorted(wall, np.arange(never + 1)))
            walls += [wall, [never]]
            rooms += [room, [never + 1]]
            offset += len(wall) + 1
            lasts.append(offset - 1)
        return cls(
            base=base,
            never=never,
            wall=np.concatenate([*walls, [never + 1]]).astype(np.int64),
            first=np.array(firsts, dtype=np.int64).reshape(len(people), never + 1),
            room=np.concatenate([*rooms, [0]]).astype(np.int64),
            last=np.array(lasts, dtype=np.int64),
        )

    def fits(self, needs: Sequence[int]) -> np.ndarray:
        """Return, for each need of slots on end, the first open slot from each on that holds it.

        One row more, the last, leads to the slot of no work.
        """
        places = np.arange(len(self.wall))
        rows = [np.full(len(places), places[-1])]
        for need in reversed(needs):
            holds = np.where(self.room >= need, places, places[-1])
            rows.append(np.minimum.accumulate(holds[::-1])[::-1])
        return np.stack(rows[::-1])


def _open_slots(hours: OpenTime, base: int) -> tuple[np.ndarray, np.ndarray]:
    """Return a person's open slots from the base on, and how many follow on end from each."""
    spans = [
        np.arange(max(start, base), end)
        for start, end in zip(hours.starts, hours.ends, strict=True)
        if end > base
    ]
    none = np.zeros(0, dtype=np.int64)
    wall = np.concatenate([none, *spans]) - base
    room = np.concatenate([none, *(np.arange(len(span), 0, -1) for span in spans)])
    return wall, room
