"""The decoder: a forward dispatch that turns one key for each task into a plan.

Time moves forward; whenever somebody is free she takes up, of the panels that are ready and have a
sitting that fits, the one whose task has the smallest key. The same decoder serves the first plan,
every step of the search, re-planning, what-if and the baselines.
"""

import heapq
from bisect import insort
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from schedule.engine.hands import can_cut, leaves_well
from schedule.engine.progress import NOBODY, Progress
from schedule.engine.runs import Sat
from schedule.engine.works import Works

MIX_NEAR = 2.0
"""How many places in the order of the keys a task may jump for the mix that is on the palette.
Common practice, no source: two of the same paint are worth a change of the order, no more."""
FILL_NEAR = 30.0
"""How many places it may jump to leave no open time too short for anything, or to be done in one go
where the other would be cut up: measured, half an hour lost of many a morning is all that tells a
plain plan from one close to the best. What would be cut up is not left lying for it: measured, to
idle in place of beginning with less than half costs two to five parts in a hundred."""


@dataclass(slots=True)
class Run:
    """What a decode came to: sittings as (start, end, task, person), panels as they were left.

    Instants in microseconds. `cursor[p]` is the first task of panel p that is not wholly planned,
    `ready[p]` when it goes on or is dry, `planned[p]` what is planned of the task at the cursor.
    `missed` lists the pins that could not be kept, each with the task that is in its way, or -1;
    `set_tasks` the tasks whose wet coat will have set.
    """

    sittings: list[tuple[int, int, int, int]]
    cursor: list[int]
    ready: list[int]
    planned: list[int]
    missed: list[tuple[int, int]]
    set_tasks: list[int]


def decode(
    works: Works,
    keys: Sequence[float],
    *,
    stops: Mapping[int, object],
    holds: Mapping[int, int] | None = None,
    series: Sequence[int] | None = None,
) -> Run:
    """Return the plan that the keys, one for each task, lead to.

    No panel is planned from a task in `stops` on. `holds` keeps tasks from starting before a slot.
    With `series`, a number for each panel, no panel is touched before the work on all of lower
    numbers is done. A task is done by one person and cut where a window ends or its longest
    sitting is reached, so that no rest is under the shortest sitting unless no cut avoids it;
    between two of its sittings lies at least a slot. A sitting begun goes on at once, or, out of
    hours, first thing in her next window. A wet run starts only where it can be finished in time,
    and then takes its painter's whole attention.
    """
    dispatch = _Dispatch(works, keys, stops, holds or {}, series)
    dispatch.run()
    return Run(
        dispatch.sittings,
        dispatch.cursor,
        dispatch.ready,
        dispatch.planned,
        dispatch.missed,
        dispatch.set_tasks,
    )


class _Dispatch(Progress):
    """Who is called when, which panels wait to be ready and which are, and what is given."""

    def __init__(
        self,
        works: Works,
        keys: Sequence[float],
        stops: Mapping[int, object],
        holds: Mapping[int, int],
        series: Sequence[int] | None,
    ) -> None:
        super().__init__(works, holds)
        self.keys, self.stops, self.series = keys, stops, series
        panels, people = len(works.panels), len(works.hands)
        self.missed: list[tuple[int, int]] = []
        self.set_tasks: list[int] = []
        self.waiting: list[tuple[int, int]] = []
        self.due: list[int | None] = [None] * people
        self.calls: list[tuple[int, int]] = []
        self.opened = [False] * panels
        self.lined_up = False
        self.pending: dict[int, list[int]] = {}
        self.busy: dict[int, int] = {}

    def run(self) -> None:
        """Plan until nothing is left or nobody has time for what is left."""
        works = self.works
        self._line_up()
        running = [p for p, begun in enumerate(works.begun) if begun]
        for p in running:
            self._go_on(p)
        # Only then: what is worked into one of them may not lie on the face of another.
        for p in running:
            self._follow_up(p)
        self._open_all()
        for place, free in enumerate(self.free):
            self._call(place, free)
        for n, pin in enumerate(works.pins):
            heapq.heappush(self.calls, (works.span(pin)[0], -1 - n))
        calls, due = self.calls, self.due
        while calls and (self.waiting or self.queue or self.pins_left):
            slot, place = heapq.heappop(calls)
            if place < 0:
                self._keep_pin(-1 - place)
            elif due[place] == slot:
                self._serve(place, slot)

    # -- panels -----------------------------------------------------------------------------

    def _line_up(self) -> None:
        """With a series, let every panel but those of the first number wait for its turn."""
        works = self.works
        for p in range(len(works.panels)):
            self._take_up(p)
        if self.series is None:
            return
        for p, number in enumerate(self.series):
            if self._has_work(p):
                self.pending.setdefault(number, []).append(p)
                self.busy[number] = self.busy.get(number, 0) + 1

    def _has_work(self, p: int) -> bool:
        t = self.cursor[p]
        return t < self.works.last[p] and t not in self.stops

    def _open_all(self) -> None:
        """Lay at once what wet coats wait for, then queue the panels whose turn it is."""
        works = self.works
        heads = [p for p in range(len(works.panels)) if not self.opened[p] and self._has_work(p)]
        wet = [p for p in heads if works.touched[p] is not None]
        for p in sorted(wet, key=lambda p: (works.touched[p], p)):
            t = self.cursor[p]
            if works.within[t] is not None and t == works.first[p]:
                self._rescue(p, range(t, works.run_end[t]), works.touched[p])
        self.lined_up = True
        if self.series is not None:
            self._release()
            return
        for p in heads:
            if not self.opened[p]:
                self._queue(p)

    def _queue(self, p: int) -> None:
        """Let a panel wait for the slot it is ready at, and wake whoever idles by then."""
        t = self.cursor[p]
        self.opened[p] = True
        if t == self.works.last[p] or t in self.stops:
            if self.series is not None:
                self._next_in_series(p)
            return
        if not self.rest[p] and t in self.pins_left:
            return
        slot = -(-self.ready[p] // self.works.slot)
        heapq.heappush(self.waiting, (slot, p))
        for place, free in enumerate(self.free):
            self._call(place, slot if slot > free else free)

    def _next_in_series(self, p: int) -> None:
        number = self.series[p]
        self.busy[number] -= 1
        if self.busy[number]:
            return
        del self.busy[number]
        if self.lined_up:
            self._release()

    def _release(self) -> None:
        """Queue the panels whose turn it is in the series, from the end of what is planned."""
        end = max((sitting[1] for sitting in self.sittings), default=0)
        for waiting in self.pending.get(min(self.busy), ()) if self.busy else ():
            if not self.opened[waiting]:
                self.ready[waiting] = max(self.ready[waiting], end)
                self._queue(waiting)

    # -- people -----------------------------------------------------------------------------

    def _call(self, place: int, slot: int) -> None:
        """Call a person at a slot, unless she is called earlier anyway."""
        due = self.due[place]
        if due is None or slot < due:
            self.due[place] = slot
            heapq.heappush(self.calls, (slot, place))

    def _serve(self, place: int, slot: int) -> None:
        """Give the person something to do at this slot, or call her again when that may change."""
        self.due[place] = None
        hours = self.works.hands[place]
        at = max(slot, self.free[place])
        window = hours.place(at)
        if window == len(hours.ends):
            return
        at = max(at, hours.starts[window])
        if at > slot:
            self._call(place, at)
            return
        waiting = self.waiting
        while waiting and waiting[0][0] <= at:
            p = heapq.heappop(waiting)[1]
            insort(self.queue, (self.keys[self.cursor[p]], p))
        if self.queue and self._take(place, at, window):
            self._call(place, self.free[place])
            return
        if self.stuck and at + 1 < hours.ends[window]:
            self._call(place, at + 1)
        if window + 1 < len(hours.starts):
            self._call(place, hours.starts[window + 1])
        if waiting:
            self._call(place, waiting[0][0])

    def _take(self, place: int, at: int, window: int) -> bool:
        """Plan a sitting of the first panel in the queue that fits here; say whether one did.

        One close behind goes before it for its mix, or to waste no time and to cut nothing up.
        """
        works, who, cursor = self.works, self.who, self.cursor
        bit, hours = 1 << place, works.hands[place]
        chosen, size, limit, wasteful, on_palette = -1, 0, 0.0, False, ()
        space, roomiest = hours.ends[window] - at, hours.roomiest[window + 1]
        self.stuck = False
        if space < self.tiny:
            return False
        if works.has_mixes:
            on_palette = self._palette(place, hours.days[window])
        put_off: list[tuple[int, int]] = []
        for n, (key, p) in enumerate(self.queue):
            if chosen >= 0 and key > limit:
                break
            t = cursor[p]
            suits = not on_palette or works.mix[t] in on_palette
            barred = who[p] != place if who[p] >= 0 else not works.able[t] & bit
            if barred or (chosen >= 0 and not (suits or wasteful)):
                continue
            rest = self.rest[p]
            whole = space < works.shortest[t] or (rest < works.uncut[t] and rest <= roomiest)
            if whole and space < rest - works.saved[t]:
                continue
            fits = self._size(p, t, place, at, window)
            if fits and self.wetness:
                start = at * works.slot
                again = self.wetness.hinders(t, start, start + fits * works.slot)
                if again:
                    put_off.append((n, again))
                    continue
            loses = 0 < space - fits < self.least
            loses = loses or (fits < rest and self._cuts_up(p, place, window, fits))
            if not fits or (wasteful and loses):
                continue
            done = chosen >= 0 or (suits and not loses)
            chosen, size, wasteful = n, fits, suits and not done
            if done:
                break
            limit = key + (FILL_NEAR if wasteful else MIX_NEAR)
        if chosen >= 0:
            p = self.queue[chosen][1]
            size = self._parted(p, place, at, window, size) if wasteful else size
            self._seat(p, place, at, window, size)
            put_off.append((chosen, 0))
        self._put_off(put_off, at)
        return chosen >= 0

    def _put_off(self, put_off: list[tuple[int, int]], at: int) -> None:
        """Take panels out of the queue: the one that was seated, and those that wait for paint."""
        for n, again in sorted(put_off, reverse=True):
            p = self.queue.pop(n)[1]
            if again:
                slot = max(at + 1, -(-again // self.works.slot))
                heapq.heappush(self.waiting, (slot, p))
                for place, free in enumerate(self.free):
                    self._call(place, slot if slot > free else free)
            else:
                self._queue(p)

    # -- what is given ----------------------------------------------------------------------

    def _go_on(self, p: int) -> None:
        """Plan the sitting that is running: from now, or first thing in the next window."""
        works, t, slot = self.works, self.works.first[p], self.works.slot
        place = works.people[works.tasks[t].begun_by]
        hours, at, start = works.hands[place], works.present, works.now
        begun = at * slot - start
        end = self._closes(place)
        if end is None or end < at + (not begun):
            window = hours.place(at)
            if window == len(hours.ends):
                self.who[p] = place
                return
            at, end = max(at, hours.starts[window]), hours.ends[window]
            start, begun = at * slot, 0
        fixed = works.work[t] - self.rest[p]
        work = max(0, -(-(works.tasks[t].minutes * 60_000_000 - begun) // slot))
        work = max(work - fixed, int(not begun)) if fixed else work
        space = min(end - at, works.longest[t] - bool(begun))
        size = self._goes_on_for(t, place, at, work, space, least=not begun)
        room = hours.room(at + size, hours.place(at + size))
        longest = min(works.longest[t], room)
        self.loose[p] = not can_cut(work - size, works.shortest[t], longest)
        self.rest[p] = work - size
        self.free[place] = at + size
        self._sat(p, t, place, start, (at + size) * slot)

    def _follow_up(self, p: int) -> None:
        """Lay what is worked into the coat of a running sitting, or queue what comes next."""
        works, t = self.works, self.works.first[p]
        place = works.people[works.tasks[t].begun_by]
        if self.cursor[p] > t and works.run_end[t] > t + 1:
            laid = self.free[place] * works.slot
            self._rescue(p, range(t + 1, works.run_end[t]), laid, [place])
        elif self.started[p] or self.cursor[p] > t:
            self._queue(p)

    def _goes_on_for(
        self, t: int, place: int, at: int, work: int, space: int, *, least: int
    ) -> int:
        """Return how many more slots a running sitting takes, from `least` to `space`.

        It has begun, so it may be shorter than the shortest; it stops where the rest can be cut
        well, or when the space ends if no stop does that.
        """
        works = self.works
        hours, shortest, longest = works.hands[place], works.shortest[t], works.longest[t]
        if work <= space:
            return work
        for size in range(space, least - 1, -1):
            if leaves_well(work - size, at + size, shortest, longest, hours):
                return size
        return space

    def _rescue(self, p: int, tasks: range, laid: int, places: Sequence[int] = ()) -> None:
        """Lay what a wet coat waits for as soon as anybody can, or say that it will have set."""
        works, t = self.works, tasks.start
        able = places or [n for n in range(len(works.hands)) if works.able[t] >> n & 1]
        at = -(-self.ready[p] // works.slot)
        # What is in the way now may be dry, or done, while there is time.
        ends = {works.span(pin)[1] for pin in works.pins}
        ends |= {-(-dry // works.slot) for dry in self.wetness.dries()} if self.wetness else set()
        starts = [at, *sorted(end for end in ends if end > at)]
        found = [
            (block[-1][2], place, block)
            for place, start in product(able, starts)
            if (block := self._run(tasks, place, max(start, self.free[place]), laid, None))
        ]
        if found:
            _, place, block = min(found)
            self._lay(p, place, block)
        else:
            self.set_tasks.append(t)
            self.stops = {**self.stops, t: None}
        self._queue(p)

    def _keep_pin(self, n: int) -> None:
        """Plan a pinned sitting, or note that it cannot be kept and what is in its way."""
        works, pin = self.works, self.works.pins[n]
        start, end = works.span(pin)
        place, t = works.people[pin.person], works.place[pin.panel, pin.task]
        p, slot = works.panel_of[t], works.slot
        left = self.pins_left.get(t, [])
        if n in left:
            left.remove(n)
        if not left:
            self.pins_left.pop(t, None)
        ready = self.ready[p] - (slot if self.started[p] else 0)
        kept = self.cursor[p] == t and ready <= start * slot and self.who[p] in (NOBODY, place)
        clear = not self.wetness or not self.wetness.hinders(t, start * slot, end * slot)
        block: list[Sat] | None = []
        if kept and not left and not self.rest[p] and works.run_end[t] > t + 1:
            block = self._run_after(t, place, end, (t, start, end))
        if not kept or not clear or self.free[place] > start or block is None:
            early = self.cursor[p] if self.cursor[p] < t else t - 1
            in_the_way = early >= works.first[p] and (self.cursor[p] < t or ready > start * slot)
            self.missed.append((n, early if in_the_way else -1))
            return
        self.waiting = [one for one in self.waiting if one[1] != p]
        heapq.heapify(self.waiting)
        self.queue = [one for one in self.queue if one[1] != p]
        self.free[place] = end
        self._sat(p, t, place, start * slot, end * slot)
        if block:
            self._lay(p, place, block)
        self._queue(p)
