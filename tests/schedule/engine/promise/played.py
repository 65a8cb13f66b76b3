"""A plan's order played through one future, slot by slot.

It shares nothing with the engine's replay: where that jumps from step to step with tables, this
walks through the time a slot at a time and looks at what everyone does, and at what is wet.
"""

import math
from bisect import bisect_right
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from schedule.engine.calendar import Window, merged
from schedule.engine.judge_measures import holds, started_day
from schedule.engine.plan import Plan, PlannedSitting
from schedule.engine.problem import Commission, Panel, Person, Problem, Task
from tests.schedule.engine.promise.futures import MINUTE, Future, Key

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
NEVER = datetime.max.replace(tzinfo=UTC)


@dataclass
class Bench:
    """One person: what she has fixed, what else she has before her, and until when she is busy."""

    person: Person
    fixed: list[PlannedSitting]
    order: list[PlannedSitting]
    until: datetime


@dataclass
class Played:
    """A plan being played through one future.

    `ready` is when each panel may go on (None: never), `worked` until when it is being worked on,
    `wet` until when nothing may touch it, `racked` until when it is on the rack.
    """

    problem: Problem
    plan: Plan
    future: Future
    ahead: int
    ready: dict[str, datetime | None] = field(default_factory=dict)
    worked: dict[str, datetime] = field(default_factory=dict)
    wet: dict[str, datetime] = field(default_factory=dict)
    racked: dict[str, datetime] = field(default_factory=dict)
    in_hand: dict[Key, datetime] = field(default_factory=dict)
    todo: dict[str, list[PlannedSitting]] = field(default_factory=dict)
    parts: dict[PlannedSitting, int] = field(default_factory=dict)
    feasible: dict[PlannedSitting, bool] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.panels = {panel.key: panel for panel in self.problem.panels}
        self.tasks = {(p.key, t.key): t for p in self.problem.panels for t in p.tasks}
        self.lies_on = {face.key: face.lies_on for face in self.problem.faces}
        pins = [p for p in self.problem.pins if p.firm and p.start >= self.problem.now]
        self.fixed = {s for s in self.plan.sittings if any(holds(pin, s) for pin in pins)}
        self.windows = {
            person.key: merged(
                [*person.windows]
                + [Window(s.start, s.end) for s in self.fixed if s.person == person.key]
            )
            for person in self.problem.people
        }
        self.parts_on_rack = len({panel.place for panel in self.problem.panels if panel.rack})

    def run(self) -> dict[str, datetime | None]:
        """The instant each commission is done and dry; None for after the last working hours."""
        slot, now = self.problem.slot, self.problem.now
        moment = now - (now - EPOCH) % slot
        order = sorted(self.plan.sittings, key=lambda s: (s.start, s.person))
        for panel in self.problem.panels:
            mine = self.todo[panel.key] = [s for s in order if s.panel == panel.key]
            opens = panel.opens or now
            self.wet[panel.key] = self.racked[panel.key] = panel.wet_until or opens
            if panel.not_before and panel.tasks:
                opens = max(opens, panel.not_before)
            self.ready[panel.key] = self.waited(panel, opens, None, mine)
            for task in panel.tasks:
                self.share(panel, task, [s for s in mine if s.task == task.key])
        running = {s for s in order if self.is_running(s)}
        free = [s for s in order if not self.is_chained(s) and s not in running]
        benches = [
            Bench(
                person,
                [s for s in free if s.person == person.key and s in self.fixed],
                [s for s in free if s.person == person.key and s not in self.fixed],
                moment,
            )
            for person in self.problem.people
        ]
        for bench in benches:
            for sitting in running:
                if sitting.person == bench.person.key:
                    self.sit(bench, sitting, self.next_open(moment, bench.person))
        end = max((w[-1].end for w in self.windows.values() if w), default=now)
        while moment < end and any(bench.order or bench.fixed for bench in benches):
            for bench in benches:
                self.take(bench, bench.fixed, moment)
            for bench in benches:
                self.take(bench, bench.order, moment)
            moment = self.next_open(moment + slot)
        return {item.key: self.finish(item) for item in self.problem.commissions}

    def is_running(self, sitting: PlannedSitting) -> bool:
        return bool(self.task(sitting).begun_by) and sitting.start == self.first(sitting)

    def slots(self, length: timedelta) -> int:
        return math.ceil(length / self.problem.slot)

    def set_up(self, sitting: PlannedSitting) -> int:
        """The slots that setting up takes, where the sitting is its task's first."""
        task = self.task(sitting)
        if task.begun_by or not task.set_up or sitting.start != self.first_of_task(sitting):
            return 0
        return self.slots(task.minutes * MINUTE) - self.slots((task.minutes - task.set_up) * MINUTE)

    def share(self, panel: Panel, task: Task, mine: list[PlannedSitting]) -> None:
        """Share the task's work in this future over its planned sittings, as the plan does."""
        if not mine:
            return
        slot, set_up = self.problem.slot, self.set_up(mine[0])
        lost = (mine[0].start - EPOCH) % slot
        sizes = [self.slots(s.end - s.start) for s in mine]
        minutes = task.minutes - (task.set_up if set_up else 0)
        planned = self.slots(task.minutes * MINUTE + lost) - set_up
        sizes[0] -= min(set_up, max(0, sum(sizes) - planned), sizes[0])
        planned = max(planned, sum(sizes))
        off = minutes * MINUTE / slot * (self.future.hours[panel.key, task.key] - 1)
        work = max(planned + round(off), 1)
        before, so_far = 0, 0
        for sitting, size in zip(mine, sizes, strict=True):
            so_far += size
            upto = round(so_far / planned * work)
            self.parts[sitting] = upto - before
            before = upto

    def is_chained(self, sitting: PlannedSitting) -> bool:
        """Whether it is worked into what is laid before it on its panel while that is wet."""
        mine = [s for s in self.todo[sitting.panel] if s.start < sitting.start]
        panel, task = self.panels[sitting.panel], self.task(sitting)
        if not mine or sitting in self.fixed or mine[-1].person != sitting.person:
            return False
        on_wet = task is not panel.tasks[0] or panel.touched is not None
        return task.within is not None and on_wet and not task.begun_by

    def take(self, bench: Bench, queue: list[PlannedSitting], moment: datetime) -> None:
        """Let her take up the first of her next sittings that is ready and fits."""
        while bench.until <= moment and self.room(bench.person, moment):
            chosen = next(
                (s for s in queue[: self.ahead] if self.may(s, bench.person, moment)), None
            )
            if chosen is None:
                return
            queue.remove(chosen)
            self.sit(bench, chosen, moment)

    def sit(self, bench: Bench, sitting: PlannedSitting, moment: datetime) -> None:
        """Let her sit down to it, and to what is worked into it, to the end."""
        panel, mine = self.panels[sitting.panel], self.todo[sitting.panel]
        work = self.parts[sitting]
        if mix := self.task(sitting).mix:
            today = started_day(bench.person, moment)
            if self.in_hand.get((bench.person.key, mix)) != today:
                work += self.set_up(sitting)
            self.in_hand[bench.person.key, mix] = today
        mine.pop(0)
        end = self.after(bench.person, moment, work)
        if end is None:
            never = NEVER
            bench.until = self.worked[panel.key] = self.wet[panel.key] = never
            self.racked[panel.key], self.ready[panel.key] = never, None
            return
        bench.until = self.worked[panel.key] = end
        wet = end + self.wet_for(panel.key, self.task(sitting))
        self.wet[panel.key] = max(wet, self.wet[panel.key])
        if wet > end:
            self.racked[panel.key] = wet
        if mine and mine[0].task == sitting.task:
            ready = end + self.problem.slot
            self.ready[panel.key] = max(ready, mine[0].start) if mine[0] in self.fixed else ready
        else:
            self.ready[panel.key] = self.waited(panel, end, sitting.task, mine)
        if mine and self.is_next_chained(sitting, mine[0]):
            start = self.begins(bench.person, max(end, self.ready[panel.key]), mine[0])
            if start is not None:
                self.sit(bench, mine[0], start)
            else:
                self.ready[panel.key], bench.until = None, NEVER

    def is_next_chained(self, before: PlannedSitting, sitting: PlannedSitting) -> bool:
        panel, task = self.panels[sitting.panel], self.task(sitting)
        if sitting in self.fixed or before.person != sitting.person or task.begun_by:
            return False
        return task.within is not None and (task is not panel.tasks[0] or panel.touched is not None)

    def wet_for(self, panel: str, task: Task) -> timedelta:
        if not task.gate or not task.gate.wait:
            return timedelta(0)
        return self.future.waits[panel, task.key] * (task.gate.touchable / task.gate.wait)

    def need(self, sitting: PlannedSitting) -> int:
        size = self.slots(sitting.end - sitting.start)
        shortest = self.slots(self.task(sitting).shortest * MINUTE)
        return shortest if size >= 2 * shortest else size

    def may(self, sitting: PlannedSitting, person: Person, moment: datetime) -> bool:
        if self.todo[sitting.panel][0] != sitting:
            return False
        panel = self.panels[sitting.panel]
        ready = self.ready[sitting.panel]
        if ready is None or max(ready, self.problem.now) > moment:
            return False
        if self.is_hindered(panel, moment) or not self.has_place(sitting, moment):
            return False
        if self.followers(sitting) and self.can_anywhere(sitting, person):
            return self.in_one_go(sitting, person, moment)
        return self.room(person, moment) >= self.need(sitting)

    def is_hindered(self, panel: Panel, moment: datetime) -> bool:
        """Whether a face it would lie on is wet or worked, or one that lies on it is worked."""
        if not panel.face:
            return False
        for other in self.panels.values():
            worked = self.worked.get(other.key, moment) > moment
            if not other.face:
                continue
            if other.face in self.lies_on[panel.face] and (
                worked or self.wet[other.key] > moment + timedelta(microseconds=1)
            ):
                return True
            if panel.face in self.lies_on[other.face] and worked:
                return True
        return False

    def has_place(self, sitting: PlannedSitting, moment: datetime) -> bool:
        """Whether the rack will have room when a part is done; one taken up already has it."""
        if not self.panels[sitting.panel].rack or self.problem.rack is None:
            return True
        done = moment + self.slots(sitting.end - sitting.start) * self.problem.slot
        opens = sitting.start == self.first_of_task(sitting)
        beside = {
            self.panels[key].place
            for key, until in self.racked.items()
            if self.panels[key].rack and until > done + timedelta(microseconds=1)
        } - {self.panels[sitting.panel].place}
        room = self.problem.rack
        return not opens or self.parts_on_rack <= room or len(beside) < room

    def followers(self, sitting: PlannedSitting) -> list[PlannedSitting]:
        found, before = [], sitting
        for one in self.todo[sitting.panel][1:]:
            if not self.is_next_chained(before, one):
                break
            found.append(one)
            before = one
        return found

    def in_one_go(self, sitting: PlannedSitting, person: Person, moment: datetime) -> bool:
        """Whether it and all that is worked into it can be done in time, as planned."""
        size = self.slots(sitting.end - sitting.start)
        if self.room(person, moment) < size:
            return False
        start, before = moment, sitting
        laid = end = self.after(person, moment, size)
        run = self.followers(sitting)
        for place, one in enumerate(run):
            ready = end + self.problem.slot
            if one.task != before.task:
                ready = self.planned_wait(self.panels[one.panel], end, before.task, one.task)
            at = self.begins(person, max(end, ready), one)
            end = at and self.after(person, at, self.slots(one.end - one.start))
            if end is None:
                return False
            if one is run[-1] or run[place + 1].task != one.task:
                if end > laid + self.task(one).within:
                    return False
                laid = end
            before = one
        pins = [s.start for s in self.fixed if s.person == person.key]
        return not any(start < pin < end for pin in pins)

    def can_anywhere(self, sitting: PlannedSitting, person: Person) -> bool:
        if sitting not in self.feasible:
            moment = self.problem.now - (self.problem.now - EPOCH) % self.problem.slot
            moments = []
            for window in self.windows[person.key]:
                at = max(moment, window.start + -(window.start - EPOCH) % self.problem.slot)
                while at < window.end:
                    moments.append(at)
                    at += self.problem.slot
            self.feasible[sitting] = any(self.in_one_go(sitting, person, at) for at in moments)
        return self.feasible[sitting]

    def planned_wait(self, panel: Panel, end: datetime, before: str, after: str) -> datetime:
        keys = [task.key for task in panel.tasks]
        moment = end
        for task in panel.tasks[keys.index(before) : keys.index(after)]:
            if task.key != before:
                moment = max(moment, task.not_before or moment)
            moment += task.gate.wait if task.gate else timedelta(0)
        return max(moment, self.tasks[panel.key, after].not_before or moment)

    def first(self, sitting: PlannedSitting) -> datetime:
        return min(s.start for s in self.plan.sittings if s.panel == sitting.panel)

    def first_of_task(self, sitting: PlannedSitting) -> datetime:
        mine = [s for s in self.plan.sittings if s.panel == sitting.panel]
        return min(s.start for s in mine if s.task == sitting.task)

    def task(self, sitting: PlannedSitting) -> Task:
        return self.tasks[sitting.panel, sitting.task]

    def room(self, person: Person, moment: datetime) -> int:
        """How many slots on end she is there from a moment on, up to what she has fixed next."""
        windows = self.windows[person.key]
        place = bisect_right(windows, moment, key=lambda window: window.start)
        window = windows[place - 1] if place else None
        if window is None or moment >= window.end:
            return 0
        pins = [s.start for s in self.fixed if s.person == person.key and s.start > moment]
        return (min([window.end, *pins]) - moment) // self.problem.slot

    def after(self, person: Person, moment: datetime, slots: int) -> datetime | None:
        """When so many slots of work are done, from a moment on; None for never."""
        left = slots
        while left:
            moment = self.next_open(moment, person)
            if moment == NEVER:
                return None
            moment += self.problem.slot
            left -= 1
        return moment

    def begins(self, person: Person, moment: datetime, one: PlannedSitting) -> datetime | None:
        """The first moment, on the slots, from which on there is room for a sitting."""
        moment += -(moment - EPOCH) % self.problem.slot
        while True:
            moment = self.next_open(moment, person)
            if moment == NEVER:
                return None
            if self.room(person, moment) >= self.need(one):
                return moment
            moment += self.problem.slot

    def next_open(self, moment: datetime, person: Person | None = None) -> datetime:
        """The first moment from this one on at which anyone, or a person, is there."""
        people = [person] if person else self.problem.people
        if any(self.room(one, moment) for one in people):
            return moment
        slot = self.problem.slot
        starts = (
            at
            for one in people
            for w in self.windows[one.key]
            if (at := w.start + -(w.start - EPOCH) % slot) > moment and at < w.end
        )
        return min(starts, default=NEVER)

    def waited(
        self, panel: Panel, moment: datetime, after: str | None, rest: list[PlannedSitting]
    ) -> datetime:
        """The moment the next work on a panel may start: past its gate and all that only waits."""
        tasks = list(panel.tasks)
        if after is not None:
            place = [task.key for task in tasks].index(after)
            moment += self.future.waits.get((panel.key, after), timedelta(0))
            tasks = tasks[place + 1 :]
        for task in tasks:
            moment = max(moment, task.not_before or moment)
            if task.minutes:
                break
            moment += self.future.waits.get((panel.key, task.key), timedelta(0))
        return max(moment, rest[0].start) if rest and rest[0] in self.fixed else moment

    def finish(self, commission: Commission) -> datetime | None:
        panels = [p for p in self.problem.panels if p.commission == commission.key]
        planned = next(f for f in self.plan.finishes if f.commission == commission.key)
        if planned.finish is None or any(self.todo[p.key] for p in panels):
            return None
        ends = [self.ready[panel.key] for panel in panels]
        return None if None in ends else max(self.problem.now, *ends)
