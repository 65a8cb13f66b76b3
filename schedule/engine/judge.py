"""The judge: checks a plan against its problem, in its own way and sharing nothing with a planner.

It works on plain moments and by enumeration where a planner counts slots and reasons in closed
form, so that a mistake in one is not repeated in the other.
"""

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from math import ceil

from schedule.engine.calendar import Window
from schedule.engine.plan import (
    Finish,
    Plan,
    PlannedGate,
    PlannedSitting,
    Trouble,
    TroubleKind,
)
from schedule.engine.problem import Panel, Person, Problem, Task

MINUTE = timedelta(minutes=1)
NOTHING = timedelta(0)
WHOLE = (TroubleKind.NO_PEOPLE, TroubleKind.NO_HOURS, TroubleKind.HOURS_PAST)


def faults(problem: Problem, plan: Plan) -> tuple[str, ...]:
    """Return what is wrong with a plan, one sentence a fault; none for a sound plan.

    Checked: people's windows and hands, the present, the grid, order and gates, `opens`, sittings
    begun, the work of every task exactly once unless a trouble names it, the bounds of a sitting,
    the gates listed, the finishes and lateness, and that each trouble is true.
    """
    return tuple(_Judge(problem, plan).faults())


class _Judge:
    def __init__(self, problem: Problem, plan: Plan) -> None:
        self.problem = problem
        self.plan = plan
        self.people = {person.key: person for person in problem.people}
        self.by_task: dict[tuple[str, str], list[PlannedSitting]] = defaultdict(list)
        for sitting in sorted(plan.sittings, key=lambda sitting: sitting.start):
            self.by_task[sitting.panel, sitting.task].append(sitting)
        self.gates: dict[tuple[str, str], list[PlannedGate]] = defaultdict(list)
        for gate in plan.gates:
            self.gates[gate.panel, gate.task].append(gate)
        self.excused = {
            (trouble.panel, trouble.task): trouble
            for trouble in plan.troubles
            if trouble.kind in (TroubleKind.NO_FIT, TroubleKind.BEYOND)
        }
        self.dry: dict[str, datetime | None] = {}

    def faults(self) -> Iterator[str]:
        yield from self._strangers()
        for sitting in self.plan.sittings:
            yield from self._place(sitting)
        for person in self.problem.people:
            yield from self._hands(person)
        for panel in self.problem.panels:
            yield from self._panel(panel)
        yield from self._finishes()
        yield from self._troubles()

    def _strangers(self) -> Iterator[str]:
        known = {
            (panel.key, task.key): panel for panel in self.problem.panels for task in panel.tasks
        }
        for item in (*self.plan.sittings, *self.plan.gates):
            panel = known.get((item.panel, item.task))
            if panel is None:
                yield f"{item.task} on {item.panel} is not in the problem."
            elif panel.commission != item.commission:
                yield f"{item.task} on {item.panel} is put to the wrong commission."
        for sitting in self.plan.sittings:
            if sitting.person not in self.people:
                yield f"{_name(sitting)} is by {sitting.person}, who is not in the problem."

    def _place(self, sitting: PlannedSitting) -> Iterator[str]:
        name = _name(sitting)
        if sitting.end <= sitting.start:
            yield f"{name} has no length."
        if sitting.start < self.problem.now:
            yield f"{name} starts before now."
        person = self.people.get(sitting.person)
        if person and not self._is_open(person, sitting):
            yield f"{name} is outside the windows of {sitting.person}."
        running = sitting.start == self.problem.now and self._begun(sitting)
        if not (running or self._on_grid(sitting.start)) or not self._on_grid(sitting.end):
            yield f"{name} is not on the slots."

    def _is_open(self, person: Person, sitting: PlannedSitting) -> bool:
        place = bisect_right(person.windows, sitting.start, key=lambda window: window.start)
        return place > 0 and sitting.end <= person.windows[place - 1].end

    def _begun(self, sitting: PlannedSitting) -> bool:
        return any(
            panel.key == sitting.panel and task.key == sitting.task and bool(task.begun_by)
            for panel in self.problem.panels
            for task in panel.tasks[:1]
        )

    def _on_grid(self, moment: datetime) -> bool:
        return (moment - datetime(1970, 1, 1, tzinfo=UTC)) % self.problem.slot == NOTHING

    def _hands(self, person: Person) -> Iterator[str]:
        stints = sorted(
            (s for s in self.plan.sittings if s.person == person.key), key=lambda s: s.start
        )
        for earlier, later in pairwise(stints):
            if later.start < earlier.end:
                yield f"{person.key} is at {_name(earlier)} and at {_name(later)} at once."
        for panel in self.problem.panels:
            for task in panel.tasks[:1]:
                if task.begun_by == person.key:
                    yield from self._goes_on(person, panel, task, stints)

    def _goes_on(
        self, person: Person, panel: Panel, task: Task, stints: list[PlannedSitting]
    ) -> Iterator[str]:
        first = stints[0] if stints else None
        if first and (first.panel, first.task) != (panel.key, task.key):
            yield f"{person.key} has begun {task.key} on {panel.key} but does something else first."
        now, slot = self.problem.now, self.problem.slot
        mark = now + slot - (now - datetime(1970, 1, 1, tzinfo=UTC)) % slot
        at_work = any(w.start <= now < w.end and mark <= w.end for w in person.windows)
        if at_work and (first is None or first.start != now):
            yield f"{task.key} on {panel.key} is begun but does not go on at once."

    def _panel(self, panel: Panel) -> Iterator[str]:
        ready: datetime | None = panel.opens or self.problem.now
        for task in panel.tasks:
            stints = self.by_task[panel.key, task.key]
            if ready is None:
                if stints or self.gates[panel.key, task.key]:
                    yield f"{task.key} on {panel.key} is planned before what it follows."
                continue
            if stints and stints[0].start < ready and not task.begun_by:
                yield f"{task.key} on {panel.key} starts before it may, {ready}."
            yield from self._work(panel, task, stints)
            done = sum(((s.end - s.start) for s in stints), NOTHING) >= task.minutes * MINUTE
            ready = (stints[-1].end if stints else ready) if done else None
            if ready and task.gate:
                ready += task.gate.wait
            yield from self._gate(panel, task, ready)
        self.dry[panel.key] = ready

    def _gate(self, panel: Panel, task: Task, opens: datetime | None) -> Iterator[str]:
        due = [(task.gate.kind, opens)] if task.gate and opens else []
        if [(gate.kind, gate.opens) for gate in self.gates[panel.key, task.key]] != due:
            yield f"The gate after {task.key} on {panel.key} is not listed as it opens, {opens}."

    def _work(self, panel: Panel, task: Task, stints: list[PlannedSitting]) -> Iterator[str]:
        name = f"{task.key} on {panel.key}"
        total = sum((s.end - s.start for s in stints), NOTHING)
        work = task.minutes * MINUTE
        if total < work and not self._is_excused(panel, task):
            yield f"{name} has {work - total} of its work unplanned, and no trouble says so."
        if total >= work and (panel.key, task.key) in self.excused:
            yield f"{name} is planned, yet a trouble says it is not."
        if total > NOTHING and total >= work + self.problem.slot:
            yield f"{name} has {total - work} too much planned."
        if len({sitting.person for sitting in stints}) > 1:
            yield f"{name} is done by more than one person."
        if task.begun_by and stints and stints[0].person != task.begun_by:
            yield f"{name} was begun by {task.begun_by} but goes on with someone else."
        for earlier, later in pairwise(stints):
            if earlier.end <= later.start < earlier.end + self.problem.slot:
                yield f"{name} has two sittings without a pause."
        yield from self._bounds(name, task, stints, complete=total >= work)

    def _is_excused(self, panel: Panel, task: Task) -> bool:
        return (panel.key, task.key) in self.excused or any(
            trouble.kind in WHOLE for trouble in self.plan.troubles
        )

    def _bounds(
        self, name: str, task: Task, stints: list[PlannedSitting], *, complete: bool
    ) -> Iterator[str]:
        shortest, longest = self._slots(task)
        slot = self.problem.slot
        if any(s.end - s.start > longest * slot for s in stints):
            yield f"{name} has a sitting over its longest."
        fresh = stints[1:] if task.begun_by else stints
        short = [s for s in fresh if s.end - s.start < shortest * slot]
        if not short:
            return
        if short != fresh[-1:] or not complete:
            yield f"{name} has a sitting under its shortest."
            return
        since = stints[0].end if task.begun_by else stints[0].start
        work = sum((s.end - s.start for s in fresh), NOTHING) // slot
        room = self._room(self.people.get(short[0].person), since)
        if len(fresh) == 1 and fresh == stints:
            return
        if self._can_cut(work, shortest, min(longest, room)):
            yield f"{name} leaves a last sitting under its shortest without need."

    def _slots(self, task: Task) -> tuple[int, int]:
        """Return the shortest and longest sitting in slots, rounded as `Task` says."""
        minutes = self.problem.slot // MINUTE
        shortest = (task.shortest + minutes - 1) // minutes
        return shortest, max(shortest, task.longest // minutes)

    def _room(self, person: Person | None, since: datetime) -> int:
        """Return the most whole slots in a row the person's windows hold from a moment on."""
        windows = person.windows if person else ()
        return max((self._holds(window, since) for window in windows), default=0)

    def _holds(self, window: Window, since: datetime) -> int:
        start = max(window.start, since)
        slot = self.problem.slot
        start += -(start - datetime(1970, 1, 1, tzinfo=UTC)) % slot
        return max(0, (window.end - start) // slot)

    def _can_cut(self, work: int, shortest: int, longest: int) -> bool:
        """Say whether the work can be cut into these bounds, by trying each number of sittings."""
        return any(
            count * shortest <= work <= count * longest for count in range(1, work // shortest + 1)
        )

    def _finishes(self) -> Iterator[str]:
        due = []
        for commission in self.problem.commissions:
            panels = [p for p in self.problem.panels if p.commission == commission.key]
            instants = [self.dry[panel.key] for panel in panels]
            finish = None if not instants or None in instants else max(filter(None, instants))
            late = NOTHING
            if finish and commission.wanted and finish > commission.wanted:
                late = finish - commission.wanted
            due.append(Finish(commission.key, finish, late))
        for finish in due:
            if finish not in self.plan.finishes:
                yield f"{finish.commission} should finish {finish.finish}, late by {finish.late}."
        if len(self.plan.finishes) != len(due):
            yield "The finishes are not one for each commission."
        late_troubles = {t.commission: t for t in self.plan.troubles if t.kind == TroubleKind.LATE}
        for finish in due:
            said = late_troubles.pop(finish.commission, None)
            minutes = ceil(finish.late / MINUTE)
            if (said.minutes if said else 0) != minutes:
                yield f"{finish.commission} is late by {finish.late}, which no trouble says."
        for commission in late_troubles:
            yield f"A trouble says {commission} is late, which is not in the problem."

    def _troubles(self) -> Iterator[str]:
        ends = [window.end for person in self.problem.people for window in person.windows]
        truth = {
            TroubleKind.NO_PEOPLE: not self.problem.people,
            TroubleKind.NO_HOURS: bool(self.problem.people) and not ends,
            TroubleKind.HOURS_PAST: bool(ends) and max(ends) <= self.problem.now,
        }
        panels = {panel.key: panel for panel in self.problem.panels}
        for trouble in self.plan.troubles:
            if not truth.get(trouble.kind, True):
                yield f"It is not true that {trouble.sentence}"
            if trouble.kind == TroubleKind.NO_FIT:
                yield from self._no_fit(trouble, panels.get(trouble.panel))
            if trouble.kind == TroubleKind.BEYOND:
                yield from self._beyond(trouble, panels.get(trouble.panel))

    def _no_fit(self, trouble: Trouble, panel: Panel | None) -> Iterator[str]:
        task = next((t for t in panel.tasks if t.key == trouble.task), None) if panel else None
        if task is None:
            yield f"A trouble names {trouble.task} on {trouble.panel}, which is not in the problem."
            return
        shortest, _ = self._slots(task)
        minutes = min(shortest * self.problem.slot, task.minutes * MINUTE)
        rooms = [self._room(person, self.problem.now) for person in self.problem.people]
        if any(room * self.problem.slot >= minutes for room in rooms):
            yield f"{trouble.task} on {trouble.panel} does fit a window."
        if trouble.minutes != min(task.shortest, task.minutes):
            yield f"{trouble.task} on {trouble.panel} needs another length than the trouble says."

    def _beyond(self, trouble: Trouble, panel: Panel | None) -> Iterator[str]:
        tasks = panel.tasks if panel else ()
        place = next((n for n, task in enumerate(tasks) if task.key == trouble.task), None)
        if place is None:
            yield f"A trouble names {trouble.task} on {trouble.panel}, which is not in the problem."
            return
        work = sum(task.minutes for task in tasks[place:]) * MINUTE
        work -= sum((s.end - s.start for s in self.by_task[trouble.panel, trouble.task]), NOTHING)
        if not trouble.minutes - 1 < work / MINUTE <= trouble.minutes:
            yield f"{trouble.panel} has {work} left unplanned, not {trouble.minutes} min."


def _name(sitting: PlannedSitting) -> str:
    return f"The sitting {sitting.start} of {sitting.task} on {sitting.panel}"
