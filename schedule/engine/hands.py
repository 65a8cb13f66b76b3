"""A person's open time in whole slots, and how a task's slots are cut into sittings."""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import accumulate

from schedule.engine.calendar import Window
from schedule.engine.problem import EPOCH, NIGHT, Person

Span = tuple[int, int]


def can_cut(work: int, shortest: int, longest: int) -> bool:
    """Say whether `work` slots can be cut into sittings of `shortest` to `longest` slots."""
    return not work or (longest >= shortest and -(-work // longest) * shortest <= work)


@dataclass(slots=True)
class OpenTime:
    """A person's windows in whole slots, in order, with the working day each belongs to.

    `roomiest[n]` is the longest of the windows from the n-th on.
    """

    starts: list[int]
    ends: list[int]
    days: list[int]
    roomiest: list[int]
    mornings: list[int]

    @classmethod
    def of(cls, person: Person, slot: int) -> "OpenTime":
        """Return her windows cut down to whole slots (`slot` in microseconds)."""
        spans, mornings = [], []
        closed = None
        for window in person.windows:
            if closed is None or window.start - closed >= NIGHT:
                mornings.append(micros(window.start))
            closed = window.end
            start, end = _whole(window, slot)
            if start < end:
                spans.append((start, end))
        roomiest = [0]
        for start, end in reversed(spans):
            roomiest.append(max(roomiest[-1], end - start))
        return cls(
            [start for start, _ in spans],
            [end for _, end in spans],
            [bisect_right(mornings, start * slot) for start, _ in spans],
            roomiest[::-1],
            mornings,
        )

    def less(self, slot: int, taken: Iterable[Span]) -> "OpenTime":
        """Return the same time less what is `taken`, without laying out the windows anew."""
        starts, ends, days = list(self.starts), list(self.ends), list(self.days)
        for begins, over in sorted(taken):
            first, last = bisect_right(ends, begins), bisect_left(starts, over)
            left = [
                span
                for place in range(first, last)
                for span in _without((starts[place], ends[place]), [(begins, over)])
            ]
            starts[first:last] = [start for start, _ in left]
            ends[first:last] = [end for _, end in left]
            days[first:last] = [self.day(start * slot) for start, _ in left]
        lengths = (end - start for start, end in zip(reversed(starts), reversed(ends), strict=True))
        roomiest = list(accumulate(lengths, max, initial=0))[::-1]
        return OpenTime(starts, ends, days, roomiest, self.mornings)

    def place(self, slot: int) -> int:
        """Return the number of the window that holds a slot, or of the first after it."""
        return bisect_right(self.ends, slot)

    def room(self, slot: int, place: int) -> int:
        """Return the longest stretch of open slots from a slot on; `place` as above."""
        if place == len(self.ends):
            return 0
        return max(self.ends[place] - max(slot, self.starts[place]), self.roomiest[place + 1])

    def day(self, moment: int) -> int:
        """Return the number of the working day a moment (microseconds) is in."""
        return bisect_right(self.mornings, moment)


def micros(moment) -> int:
    """Return an instant as whole microseconds since the epoch."""
    since = moment - EPOCH
    return (since.days * 86_400 + since.seconds) * 1_000_000 + since.microseconds


def _whole(window: Window, slot: int) -> Span:
    return -(-micros(window.start) // slot), micros(window.end) // slot


def _without(span: Span, taken: Iterable[Span]) -> list[Span]:
    start, end = span
    left = []
    for begins, ends in sorted(taken):
        if begins < end and ends > start:
            left.append((start, begins))
            start = ends
    left.append((start, end))
    return [(start, end) for start, end in left if start < end]


def cut(
    work: int, at: int, space: int, shortest: int, longest: int, hours: OpenTime, place: int
) -> int:
    """Return how many of `work` slots to do at slot `at` of her window number `place`, 0 for none.

    At most `space` slots, fewer than `work`: the longest sitting that leaves a rest which can be
    cut in turn, so that no rest is under the shortest sitting.
    """
    for size in range(space, shortest - 1, -1):
        rest, then = work - size, at + size
        room = hours.room(then, place if then < hours.ends[place] else place + 1)
        if can_cut(rest, shortest, min(longest, room or longest)):
            return size
    return 0


def leaves_well(rest: int, at: int, shortest: int, longest: int, hours: OpenTime) -> bool:
    """Say whether a rest left at slot `at` can still be cut into sittings of full length.

    Past the last hours known, whatever hours come later are taken to be long enough.
    """
    return can_cut(rest, shortest, min(longest, hours.room(at, hours.place(at)) or longest))
