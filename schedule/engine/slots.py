"""Time in whole slots, and how a task's slots are cut into sittings."""

from bisect import bisect_right
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from schedule.engine.calendar import Window
from schedule.engine.problem import EPOCH, Person, Task

MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class Grid:
    """The slot grid: slot number n begins n times `slot` after the epoch."""

    slot: timedelta

    def down(self, moment: datetime) -> int:
        """Return the last slot that begins at or before the moment."""
        return (moment - EPOCH) // self.slot

    def up(self, moment: datetime) -> int:
        """Return the first slot that begins at or after the moment."""
        return -((EPOCH - moment) // self.slot)

    def moment(self, number: int) -> datetime:
        """Return the instant at which a slot begins."""
        return EPOCH + number * self.slot

    def count(self, length: timedelta) -> int:
        """Return how many whole slots it takes to hold a length of time."""
        return -(-length // self.slot)


@dataclass(frozen=True, slots=True)
class Bounds:
    """The shortest and the longest sitting of a task, in slots."""

    shortest: int
    longest: int

    @classmethod
    def of(cls, task: Task, grid: Grid) -> "Bounds":
        """Return a task's bounds on the grid, rounded as `Task` says."""
        shortest = grid.count(task.shortest * MINUTE)
        return cls(shortest, max(shortest, task.longest * MINUTE // grid.slot))

    def can_cut(self, work: int, room: int) -> bool:
        """Say whether `work` slots can be cut into sittings in these bounds, each within `room`."""
        longest = min(self.longest, room)
        if work == 0:
            return True
        return longest >= self.shortest and -(-work // longest) * self.shortest <= work


@dataclass(slots=True)
class OpenTime:
    """A person's windows in whole slots, searched by bisection."""

    key: str
    starts: list[int] = field(default_factory=list)
    ends: list[int] = field(default_factory=list)
    roomiest: list[int] = field(default_factory=list)

    @classmethod
    def of(cls, person: Person, grid: Grid) -> "OpenTime":
        """Return the person's windows cut down to the whole slots inside them."""
        spans = [_whole(window, grid) for window in person.windows]
        spans = [(start, end) for start, end in spans if start < end]
        roomiest = [0]
        for start, end in reversed(spans):
            roomiest.append(max(roomiest[-1], end - start))
        return cls(
            person.key,
            [start for start, _ in spans],
            [end for _, end in spans],
            roomiest[::-1],
        )

    def next_open(self, slot: int) -> tuple[int, int] | None:
        """Return the first open slot from `slot` on, and where its window ends; None if none is."""
        place = bisect_right(self.ends, slot)
        if place == len(self.ends):
            return None
        return max(slot, self.starts[place]), self.ends[place]

    def next_start(self, slot: int) -> int | None:
        """Return where the first window after `slot` begins; None if none does."""
        place = bisect_right(self.starts, slot)
        return self.starts[place] if place < len(self.starts) else None

    def room(self, slot: int) -> int:
        """Return the longest stretch of open slots left from `slot` on."""
        place = bisect_right(self.ends, slot)
        if place == len(self.ends):
            return 0
        return max(self.ends[place] - max(slot, self.starts[place]), self.roomiest[place + 1])


def _whole(window: Window, grid: Grid) -> tuple[int, int]:
    return grid.up(window.start), grid.down(window.end)


def _leaves_well(rest: int, at: int, bounds: Bounds, hours: OpenTime) -> bool:
    # Past the last hours known, whatever hours come later are taken to be long enough.
    return bounds.can_cut(rest, hours.room(at) or bounds.longest)


def sitting(work: int, at: int, end: int, bounds: Bounds, hours: OpenTime, *, loose: bool) -> int:
    """Return how many of `work` slots to do at slot `at` of a window ending at `end`, 0 for none.

    The sitting is the longest that leaves a rest which can be cut in turn, so no rest is under the
    shortest sitting. For a `loose` task, which no cut into the open time left can keep so, only
    the very last sitting may be shorter.
    """
    space = min(end - at, bounds.longest)
    if work <= space:
        return work
    if loose:
        return space if space >= bounds.shortest else 0
    for size in range(space, bounds.shortest - 1, -1):
        if _leaves_well(work - size, at + size, bounds, hours):
            return size
    return 0


def running_sitting(
    work: int, at: int, space: int, bounds: Bounds, hours: OpenTime, *, least: int
) -> int:
    """Return how many more slots a sitting already running goes on for, from `least` to `space`.

    It has begun, so it may be shorter than the shortest; it stops where the rest can be cut well,
    or when the space ends if no stop does that.
    """
    if work <= space:
        return work
    for size in range(space, least - 1, -1):
        if _leaves_well(work - size, at + size, bounds, hours):
            return size
    return space
