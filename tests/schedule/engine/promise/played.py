"""A plan's order played through one future, slot by slot, and small studios to play.

It shares nothing with the engine: where that jumps from step to step with tables, this walks
through the time a slot at a time and looks at what everyone does.
"""

import math
from bisect import bisect_right
from collections import defaultdict
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from random import Random

from hypothesis import strategies as st

from schedule.engine.calendar import Window
from schedule.engine.plan import Plan, PlannedSitting
from schedule.engine.problem import Commission, Gate, Panel, Person, Problem, Task
from schedule.engine.promise.doubt import Doubt

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
MINUTE = timedelta(minutes=1)
Key = tuple[str, str]


@dataclass
class Future:
    """What comes: by panel and task, the hours as multiples of those planned, and the waits."""

    hours: dict[Key, float]
    waits: dict[Key, timedelta]


def drawn(problem: Problem, doubt: Doubt, dice: Random) -> Future:
    """A future of a problem, drawn one number after another."""
    pace, air = dice.gauss(0, doubt.hours_in_common), dice.gauss(0, doubt.drying_in_common)
    hours, waits = {}, {}
    for panel in problem.panels:
        for task in panel.tasks:
            key = panel.key, task.key
            hours[key] = math.exp(dice.gauss(0, doubt.of_tasks.get(key, doubt.hours)) + pace)
            if not task.gate:
                continue
            if own := doubt.of_gates.get(key):
                longer = math.exp(dice.gauss(0, own.sigma) + air)
                waits[key] = max(own.least, own.median * longer)
            else:
                waits[key] = task.gate.wait * math.exp(dice.gauss(0, doubt.drying) + air)
    return Future(hours, waits)


@dataclass
class Bench:
    """One person: what she still has before her, what she is at, how many slots of it are left."""

    person: Person
    order: list[PlannedSitting]
    at: PlannedSitting | None = None
    left: int = 0


@dataclass
class Played:
    """A plan being played through one future."""

    problem: Problem
    plan: Plan
    future: Future
    ahead: int
    ready: dict[str, datetime | None] = field(default_factory=dict)
    todo: dict[str, list[PlannedSitting]] = field(default_factory=dict)
    parts: dict[PlannedSitting, int] = field(default_factory=dict)

    def run(self) -> dict[str, datetime | None]:
        """The instant each commission is done and dry; None for after the last working hours."""
        slot, now = self.problem.slot, self.problem.now
        moment = now - (now - EPOCH) % slot
        order = sorted(self.plan.sittings, key=lambda s: (s.start, s.person))
        for panel in self.problem.panels:
            mine = self.todo[panel.key] = [s for s in order if s.panel == panel.key]
            self.ready[panel.key] = self.waited(panel, panel.opens or now, None)
            for task in panel.tasks:
                self.share(panel, task, [s for s in mine if s.task == task.key])
        benches = [
            Bench(person, [s for s in order if s.person == person.key])
            for person in self.problem.people
        ]
        end = max((w.end for p in self.problem.people for w in p.windows), default=now)
        while moment < end and any(bench.order or bench.at for bench in benches):
            for bench in benches:
                self.take(bench, moment)
            for bench in benches:
                if bench.at and self.room(bench.person, moment):
                    bench.left -= 1
                    if not bench.left:
                        self.put_down(bench, moment + slot)
            moment = self.next_open(moment + slot)
        return {item.key: self.finish(item) for item in self.problem.commissions}

    def share(self, panel: Panel, task: Task, mine: list[PlannedSitting]) -> None:
        """Share the task's work in this future over its planned sittings, as the plan does."""
        if not mine:
            return
        slot = self.problem.slot
        lost = (mine[0].start - EPOCH) % slot
        sizes = [math.ceil((s.end - s.start) / slot) for s in mine]
        planned = math.ceil((task.minutes * MINUTE + lost) / slot)
        off = task.minutes * MINUTE / slot * (self.future.hours[panel.key, task.key] - 1)
        work = max(planned + round(off), 1)
        before, so_far = 0, 0
        for sitting, size in zip(mine, sizes, strict=True):
            so_far += size
            upto = round(so_far / max(planned, sum(sizes)) * work)
            self.parts[sitting] = upto - before
            before = upto

    def take(self, bench: Bench, moment: datetime) -> None:
        """Let her take up the first of her next sittings that is ready and fits."""
        while bench.at is None and self.room(bench.person, moment):
            chosen = next(
                (s for s in bench.order[: self.ahead] if self.may(s, bench.person, moment)), None
            )
            if chosen is None:
                return
            bench.order.remove(chosen)
            bench.at, bench.left = chosen, self.parts[chosen]
            if not bench.left:
                self.put_down(bench, moment)

    def may(self, sitting: PlannedSitting, person: Person, moment: datetime) -> bool:
        if self.todo[sitting.panel][0] != sitting:
            return False
        task = self.task(sitting)
        slot = self.problem.slot
        if task.begun_by and sitting.start == self.first(sitting):
            return True
        size = math.ceil((sitting.end - sitting.start) / slot)
        shortest = math.ceil(task.shortest * MINUTE / slot)
        need = shortest if size >= 2 * shortest else size
        free = max(self.ready[sitting.panel], self.problem.now)
        return free <= moment and self.room(person, moment) >= need

    def first(self, sitting: PlannedSitting) -> datetime:
        return min(s.start for s in self.plan.sittings if s.panel == sitting.panel)

    def task(self, sitting: PlannedSitting) -> Task:
        panel = next(p for p in self.problem.panels if p.key == sitting.panel)
        return next(t for t in panel.tasks if t.key == sitting.task)

    def room(self, person: Person, moment: datetime) -> int:
        """How many slots on end she is there from a moment on."""
        place = bisect_right(person.windows, moment, key=lambda window: window.start)
        window = person.windows[place - 1] if place else None
        return (window.end - moment) // self.problem.slot if window and moment < window.end else 0

    def next_open(self, moment: datetime) -> datetime:
        """The first moment from this one on at which anyone is there."""
        if any(self.room(person, moment) for person in self.problem.people):
            return moment
        starts = (w.start for p in self.problem.people for w in p.windows)
        return min(
            (start for start in starts if start > moment), default=datetime.max.replace(tzinfo=UTC)
        )

    def put_down(self, bench: Bench, moment: datetime) -> None:
        sitting, bench.at = bench.at, None
        mine = self.todo[sitting.panel]
        mine.pop(0)
        panel = next(p for p in self.problem.panels if p.key == sitting.panel)
        if mine and mine[0].task == sitting.task:
            self.ready[panel.key] = moment + self.problem.slot
        else:
            self.ready[panel.key] = self.waited(panel, moment, sitting.task)

    def waited(self, panel: Panel, moment: datetime, after: str | None) -> datetime:
        """The moment the next work on a panel may start: past its gate and all that only waits."""
        tasks = list(panel.tasks)
        if after is not None:
            place = [task.key for task in tasks].index(after)
            moment += self.future.waits.get((panel.key, after), timedelta(0))
            tasks = tasks[place + 1 :]
        for task in tasks:
            if task.minutes:
                break
            moment += self.future.waits.get((panel.key, task.key), timedelta(0))
        return moment

    def finish(self, commission: Commission) -> datetime | None:
        panels = [p for p in self.problem.panels if p.commission == commission.key]
        slots: dict[Key, timedelta] = defaultdict(timedelta)
        for s in self.plan.sittings:
            slots[s.panel, s.task] += s.end - s.start
        whole = all(
            slots[p.key, t.key] >= t.minutes * MINUTE for p in panels for t in p.tasks if t.minutes
        )
        if not panels or not whole or any(self.todo[p.key] for p in panels):
            return None
        return max(self.problem.now, *(self.ready[p.key] for p in panels))


def at(day: int, hour: int, minute: int = 0) -> datetime:
    """A moment in or after June 2026, whose first day is a Monday."""
    return datetime(2026, 6, 1, hour, minute, tzinfo=UTC) + timedelta(days=day - 1)


def weekdays(days: int) -> tuple[Window, ...]:
    """Mornings and afternoons of so many days from 1 June 2026 on, weekends left out."""
    return tuple(
        window
        for day in range(1, days + 1)
        if at(day, 0).weekday() < 5
        for window in (Window(at(day, 7), at(day, 11)), Window(at(day, 12), at(day, 16)))
    )


@st.composite
def studios(draw: st.DrawFn) -> Problem:
    """A studio of one or two people, up to three commissions and a handful of panels."""
    now = at(1, 6) + draw(st.integers(0, 3 * 24 * 60)) * MINUTE
    hours = weekdays(draw(st.sampled_from((60, 60, 12))))
    people = [Person("ana", hours), Person("bea", hours[::2])][: draw(st.integers(1, 2))]
    commissions = tuple(
        Commission(f"commission {n}", draw(st.none() | st.integers(2, 30).map(lambda d: at(d, 0))))
        for n in range(draw(st.integers(1, 3)))
    )
    panels = []
    free = [person.key for person in people]
    for number in range(draw(st.integers(1, 5))):
        opens = draw(st.none() | st.integers(-600, 3000).map(lambda m: now + m * MINUTE))
        tasks = [draw(small_tasks(n)) for n in range(draw(st.integers(0, 4)))]
        if free and tasks and tasks[0].minutes and draw(st.integers(0, 3)) == 0:
            tasks[0] = replace(tasks[0], begun_by=free.pop())
        key = draw(st.sampled_from(commissions)).key
        panels.append(Panel(f"panel {number}", key, tuple(tasks), opens))
    return Problem(now, tuple(people), commissions, tuple(panels))


@st.composite
def small_tasks(draw: st.DrawFn, number: int) -> Task:
    shortest = draw(st.integers(10, 90))
    gate = Gate("recoat", draw(st.integers(0, 2 * 24 * 60)) * MINUTE)
    minutes = draw(st.sampled_from((0, 30, 60, 100, 240, 400)))
    longest = shortest + draw(st.integers(0, 150))
    return Task(f"stage {number}", minutes, shortest, longest, draw(st.sampled_from((gate, None))))
