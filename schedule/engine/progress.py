"""Panels on their way through a plan: what is planned of each, and what may come next."""

from collections.abc import Mapping

from schedule.engine.hands import can_cut, cut, micros
from schedule.engine.runs import Sat, lay_run
from schedule.engine.wetness import Wetness
from schedule.engine.works import Works

PATIENCE = 500
"""How often an idle painter tries a wet run again a slot later; after that at each opening only. A
limit on time, no source."""
NOBODY = -1


class Progress:
    """How far each panel has come, who is free when, what is on each palette and what is wet."""

    def __init__(self, works: Works, holds: Mapping[int, int]) -> None:
        self.works, self.holds = works, holds
        panels, people = len(works.panels), len(works.hands)
        self.cursor = list(works.first)
        self.ready = list(works.opens)
        self.rest = [0] * panels
        self.who = [NOBODY] * panels
        self.started = [False] * panels
        self.loose: list[bool | None] = [None] * panels
        self.planned = [0] * panels
        self.sittings: list[tuple[int, int, int, int]] = []
        self.free = [works.present] * people
        self.palette: list[tuple[int, set[int]]] = [(0, set()) for _ in range(people)]
        self.pins_left: dict[int, list[int]] = {t: list(n) for t, n in works.pinned.items()}
        self.queue: list[tuple[float, int]] = []
        self.wetness = Wetness(works) if works.guarded else None
        self.least, self.tiny = works.least, works.tiny
        for t, numbers in self.pins_left.items():
            held = sum(end - start for start, end in (works.span(works.pins[n]) for n in numbers))
            if held < works.pinned_work[t]:
                self.least = min(self.least, works.pinned_work[t] - held)
                self.tiny = min(self.tiny, self.least)
        self.stuck = False
        self.patience = PATIENCE

    def _take_up(self, p: int) -> None:
        """Move the cursor over waits without work to the next task, and count its slots."""
        works, t = self.works, self.cursor[p]
        last = works.last[p]
        while t < last:
            if works.release[t] > self.ready[p]:
                self.ready[p] = works.release[t]
            if works.work[t]:
                break
            self.ready[p] += works.wait[t]
            t += 1
        self.cursor[p] = t
        self.started[p], self.loose[p], self.planned[p], self.who[p] = False, None, 0, NOBODY
        if t == last:
            return
        self.rest[p] = works.work[t]
        if t in self.holds:
            self.ready[p] = max(self.ready[p], self.holds[t] * works.slot)
        if t in self.pins_left:
            spans = [works.span(works.pins[n]) for n in self.pins_left[t]]
            held = sum(end - start for start, end in spans)
            self.rest[p] = max(0, works.pinned_work[t] - held)
            self.who[p] = works.people[works.pins[self.pins_left[t][0]].person]

    def _sat(self, p: int, t: int, place: int, start: int, end: int) -> None:
        """Note a sitting, instants in microseconds."""
        works = self.works
        self.sittings.append((start, end, t, place))
        self.who[p], self.started[p] = place, True
        self.planned[p] += end - start
        if works.has_mixes and works.mix[t] >= 0:
            self._palette(place, works.hands[place].day(start)).add(works.mix[t])
        if self.wetness:
            self.wetness.note(t, start, end)
        if self.rest[p] or t in self.pins_left:
            # A slot's pause, or the longest sitting would bound nothing.
            self.ready[p] = end + works.slot
            if 0 < self.rest[p] < self.least:
                self.least = self.rest[p]
                self.tiny = min(self.tiny, self.least)
        else:
            self.ready[p] = end + works.wait[t]
            self.cursor[p] = t + 1
            self._take_up(p)

    def _palette(self, place: int, day: int) -> set[int]:
        """Return the mixes a person has had in hand on a working day."""
        if self.palette[place][0] != day:
            self.palette[place] = (day, set())
        return self.palette[place][1]

    def _work(self, p: int, t: int, place: int, window: int) -> int:
        """Return the slots left of a task, less the set-up if its mix is on her palette."""
        works, rest = self.works, self.rest[p]
        if works.saved[t] and not self.started[p] and t not in works.pinned:
            day = works.hands[place].days[window]
            if works.mix[t] in self._palette(place, day):
                return rest - works.saved[t]
        return rest

    def _is_loose(self, p: int, t: int, place: int, at: int, window: int, rest: int) -> bool:
        """Say whether no cut into the open time left keeps a rest from being too short."""
        loose = self.loose[p]
        if loose is None:
            works = self.works
            room = works.hands[place].room(at, window)
            return not can_cut(rest, works.shortest[t], min(works.longest[t], room))
        return loose

    def _size(self, p: int, t: int, place: int, at: int, window: int) -> int:
        """Return how many slots of a task to do now, 0 for none."""
        works = self.works
        hours = works.hands[place]
        rest = self._work(p, t, place, window)
        longest = works.longest[t]
        space = hours.ends[window] - at
        if longest < space:
            space = longest
        if t in self.pins_left:
            space = min(space, works.span(works.pins[self.pins_left[t][0]])[0] - at)
        shortest = works.shortest[t]
        if rest <= space:
            begins_run = works.run_end[t] > t + 1 and t not in self.pins_left
            if begins_run and self._run_after(t, place, at + rest, (t, at, at + rest)) is None:
                self.stuck = self.patience > 0
                self.patience -= 1
                return 0
            return rest
        if space < shortest:
            return 0
        if self._is_loose(p, t, place, at, window, rest):
            return space
        size = cut(rest, at, space, shortest, longest, hours, window)
        return self._parted(p, place, at, window, size) if size else 0

    def _closes(self, place: int) -> int | None:
        """Return the slot up to which she can go on with what she is at; None out of hours."""
        works = self.works
        windows = works.problem.people[place].windows
        now = works.problem.now
        window = next((w for w in windows if w.start <= now < w.end), None)
        if window is None:
            return None
        pins = [pin for pin in works.pins if works.people[pin.person] == place]
        return min([micros(window.end) // works.slot, *(works.span(pin)[0] for pin in pins)])

    def _cuts_up(self, p: int, place: int, window: int, size: int) -> bool:
        """Say whether a sitting makes more of them than if she waited for her next window."""
        works, hours, t = self.works, self.works.hands[place], self.cursor[p]
        rest = self._work(p, t, place, window)
        if size >= rest or window + 1 == len(hours.ends):
            return False
        full = min(works.longest[t], hours.ends[window + 1] - hours.starts[window + 1])
        return full >= works.shortest[t] and -(-(rest - size) // full) >= -(-rest // full)

    def _parted(self, p: int, place: int, at: int, window: int, size: int) -> int:
        """Return fewer slots than `size` if open time would be left too short for anything.

        What is then left is long enough for another panel. Nothing is gained if none is waiting,
        and what could be over now is not cut up for it.
        """
        works, t = self.works, self.cursor[p]
        hours, shortest = works.hands[place], works.shortest[t]
        space = hours.ends[window] - at
        if not 0 < space - size < self.least or len(self.queue) < 2:
            return size
        rest = self._work(p, t, place, window)
        if size == rest:
            return size
        less = min(space - self.least, rest - shortest)
        if less < shortest:
            return size
        return cut(rest, at, less, shortest, works.longest[t], hours, window) or size

    def _seat(self, p: int, place: int, at: int, window: int, size: int) -> None:
        """Plan a sitting of the next task of a panel, and what is worked into it."""
        works, t = self.works, self.cursor[p]
        rest = self._work(p, t, place, window)
        self.loose[p] = self._is_loose(p, t, place, at, window, rest)
        self.rest[p] = rest - size
        self.free[place] = at + size
        block = None
        if size == rest and works.run_end[t] > t + 1 and t not in self.pins_left:
            block = self._run_after(t, place, at + size, (t, at, at + size))
        self._sat(p, t, place, at * works.slot, (at + size) * works.slot)
        if block:
            self._lay(p, place, block)

    def _run_after(self, t: int, place: int, at: int, last: Sat) -> list[Sat] | None:
        """Return the sittings of what is worked into a task done at slot `at`; None: no room."""
        tasks = range(t + 1, self.works.run_end[t])
        return self._run(tasks, place, at, at * self.works.slot, last)

    def _run(
        self, tasks: range, place: int, at: int, laid: int, before: Sat | None
    ) -> list[Sat] | None:
        works, slot = self.works, self.works.slot
        hours = works.hands[place]

        def work_of(sat: list[Sat], t: int, start: int) -> int:
            if not works.saved[t]:
                return works.work[t]
            day = hours.day(start * slot)
            own = [*sat, *([before] if before else [])]
            on_palette = any(
                works.mix[one[0]] == works.mix[t] and hours.day(one[1] * slot) == day for one in own
            ) or works.mix[t] in (self.palette[place][1] if self.palette[place][0] == day else ())
            return works.work[t] - works.saved[t] if on_palette else works.work[t]

        def is_clear(t: int, start: int, end: int) -> bool:
            return not (self.wetness and self.wetness.hinders(t, start * slot, end * slot))

        sat = lay_run(works, hours, tasks, at, laid, work_of=work_of, is_clear=is_clear)
        start = before[1] if before else sat[0][1] if sat else at
        if sat and works.pins and self._spans_pin(place, start, sat[-1][2]):
            return None
        return sat

    def _spans_pin(self, place: int, start: int, end: int) -> bool:
        works = self.works
        spans = (works.span(pin) for pin in works.pins if works.people[pin.person] == place)
        return any(begins < end and start < ends for begins, ends in spans)

    def _lay(self, p: int, place: int, block: list[Sat]) -> None:
        """Plan the sittings of a wet run, to the end of each of its tasks."""
        slot = self.works.slot
        ends = {t: end for t, _, end in block}
        for t, start, end in block:
            self.rest[p] = int(end != ends[t])
            self._sat(p, t, place, start * slot, end * slot)
        self.free[place] = block[-1][2]
