"""The judge: checks a plan against its problem, in its own way and sharing nothing with a planner.

It works on plain moments and by enumeration where a planner counts slots and reasons in closed
form, so that a mistake in one is not repeated in the other.
"""

from bisect import bisect_right
from collections import Counter, defaultdict
from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import pairwise
from math import ceil

from schedule.engine.judge_measures import (
    MINUTE,
    NOTHING,
    START,
    bounds_in_slots,
    holds,
    name,
    pinned,
    room,
    started_day,
)
from schedule.engine.judge_troubles import untrue
from schedule.engine.judge_wet import wet_faults
from schedule.engine.plan import (
    Finish,
    Plan,
    PlannedGate,
    PlannedSitting,
    TroubleKind,
)
from schedule.engine.problem import Panel, Person, Problem, Task

WHOLE = (TroubleKind.NO_PEOPLE, TroubleKind.NO_HOURS, TroubleKind.HOURS_PAST)
LEFT_OUT = (
    TroubleKind.NO_FIT,
    TroubleKind.BEYOND,
    TroubleKind.NO_SKILL,
    TroubleKind.AWAY,
    TroubleKind.WET,
    TroubleKind.SET,
)
PINS = (TroubleKind.PIN_CLASH, TroubleKind.PIN_EARLY, TroubleKind.PIN_SHUT)


def faults(problem: Problem, plan: Plan) -> tuple[str, ...]:
    """Return what is wrong with a plan, one sentence a fault; none for a sound plan.

    Checked: people's windows, skills and hands, the present, the grid, order and gates, `opens`
    and earliest starts, sittings begun and pinned, the work of every task exactly once (set-up
    shared) unless a trouble names it, the bounds of a sitting, maximum waits, turning, the rack,
    the gates listed, the finishes and lateness, and that each trouble is true.
    """
    return tuple(_Judge(problem, plan).faults())


def faults_as_laid(problem: Problem, plan: Plan) -> tuple[str, ...]:
    """Return what is wrong with where sittings and gates lie, finishes and troubles left aside."""
    return tuple(_Judge(problem, plan).as_laid())


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
            if trouble.kind in LEFT_OUT
        }
        self.pinned = pinned(problem, plan)
        self.mixes = {(p.key, t.key): t.mix for p in problem.panels for t in p.tasks if t.mix}
        self.dry: dict[str, datetime | None] = {}

    def faults(self) -> Iterator[str]:
        yield from self.as_laid()
        yield from self._finishes()
        yield from self._pins()
        yield from untrue(self.problem, self.plan)

    def as_laid(self) -> Iterator[str]:
        yield from self._strangers()
        for sitting in self.plan.sittings:
            yield from self._place(sitting)
        for person in self.problem.people:
            yield from self._hands(person)
        for panel in self.problem.panels:
            yield from self._panel(panel)
        yield from wet_faults(self.problem, self.plan)

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
                yield f"{name(sitting)} is by {sitting.person}, who is not in the problem."

    def _place(self, sitting: PlannedSitting) -> Iterator[str]:
        called = name(sitting)
        if sitting.end <= sitting.start:
            yield f"{called} has no length."
        if sitting.start < self.problem.now:
            yield f"{called} starts before now."
        person = self.people.get(sitting.person)
        if person and sitting not in self.pinned and not self._is_open(person, sitting):
            yield f"{called} is outside the windows of {sitting.person}."
        running = sitting.start == self.problem.now and self._begun(sitting)
        if not (running or self._on_grid(sitting.start)) or not self._on_grid(sitting.end):
            yield f"{called} is not on the slots."

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
        return (moment - START) % self.problem.slot == NOTHING

    def _hands(self, person: Person) -> Iterator[str]:
        stints = sorted(
            (s for s in self.plan.sittings if s.person == person.key), key=lambda s: s.start
        )
        for earlier, later in pairwise(stints):
            if later.start < earlier.end:
                yield f"{person.key} is at {name(earlier)} and at {name(later)} at once."
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
        mark = now + slot - (now - START) % slot
        at_work = any(w.start <= now < w.end and mark <= w.end for w in person.windows)
        if at_work and (first is None or first.start != now):
            yield f"{task.key} on {panel.key} is begun but does not go on at once."

    def _panel(self, panel: Panel) -> Iterator[str]:
        ready: datetime | None = panel.opens or self.problem.now
        if panel.not_before and panel.tasks:
            ready = max(ready, panel.not_before)
        for task in panel.tasks:
            if ready and task.not_before:
                ready = max(ready, task.not_before)
            stints = self.by_task[panel.key, task.key]
            if ready is None:
                if stints or self.gates[panel.key, task.key]:
                    yield f"{task.key} on {panel.key} is planned before what it follows."
                continue
            if stints and stints[0].start < ready and not task.begun_by:
                yield f"{task.key} on {panel.key} starts before it may, {ready}."
            yield from self._work(panel, task, stints)
            done = sum(((s.end - s.start) for s in stints), NOTHING) >= self._due(task, stints)
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
        called = f"{task.key} on {panel.key}"
        total = sum((s.end - s.start for s in stints), NOTHING)
        work = self._due(task, stints)
        if total < work and not self._is_excused(panel, task):
            yield f"{called} has {work - total} of its work unplanned, and no trouble says so."
        if total >= work and (panel.key, task.key) in self.excused:
            yield f"{called} is planned, yet a trouble says it is not."
        fixed = self.pinned.intersection(stints)
        if total > NOTHING and not fixed and total >= work + self.problem.slot:
            yield f"{called} has {total - work} too much planned."
        if len({sitting.person for sitting in stints}) > 1:
            yield f"{called} is done by more than one person."
        if task.begun_by and stints and stints[0].person != task.begun_by:
            yield f"{called} was begun by {task.begun_by} but goes on with someone else."
        for earlier, later in pairwise(stints):
            near = earlier.end <= later.start < earlier.end + self.problem.slot
            if near and not fixed.intersection((earlier, later)):
                yield f"{called} has two sittings without a pause."
        able = stints and (task.begun_by or fixed or self._is_able(stints[0].person, task))
        if stints and not able:
            yield f"{called} is by {stints[0].person}, who cannot do it."
        yield from self._bounds(called, task, stints, complete=total >= work)

    def _is_able(self, person: str, task: Task) -> bool:
        found = self.people.get(person)
        return found is None or not task.skill or task.skill in found.skills

    def _due(self, task: Task, stints: list[PlannedSitting]) -> timedelta:
        """Return the work there is on a task, less a set-up that an earlier sitting has paid."""
        work = task.minutes * MINUTE
        if not (stints and task.mix and task.set_up) or task.begun_by:
            return work
        first, person = stints[0], self.people.get(stints[0].person)
        morning = started_day(person, first.start) if person else first.start
        shared = any(
            other.person == first.person
            and self.mixes.get((other.panel, other.task)) == task.mix
            and morning <= other.start
            and other.end <= first.start
            for other in self.plan.sittings
        )
        return work - task.set_up * MINUTE if shared else work

    def _is_excused(self, panel: Panel, task: Task) -> bool:
        return (panel.key, task.key) in self.excused or any(
            trouble.kind in WHOLE for trouble in self.plan.troubles
        )

    def _bounds(
        self, called: str, task: Task, stints: list[PlannedSitting], *, complete: bool
    ) -> Iterator[str]:
        shortest, longest = bounds_in_slots(task, self.problem.slot)
        slot = self.problem.slot
        free = [s for s in stints if s not in self.pinned]
        if any(s.end - s.start > longest * slot for s in free):
            yield f"{called} has a sitting over its longest."
        fresh = [s for s in free if not (task.begun_by and s == stints[0])]
        short = [s for s in fresh if s.end - s.start < shortest * slot]
        if not short:
            return
        if short != fresh[-1:] or not complete:
            yield f"{called} has a sitting under its shortest."
            return
        if len(fresh) == 1 and fresh == stints:
            return
        since = stints[0].end if task.begun_by else fresh[0].start
        work = sum((s.end - s.start for s in fresh), NOTHING) // slot
        space = self._room(self.people.get(short[0].person), since)
        if self._can_cut(work, shortest, min(longest, space)):
            yield f"{called} leaves a last sitting under its shortest without need."

    def _room(self, person: Person | None, since: datetime) -> int:
        """Return the most whole slots in a row the person's windows hold from a moment on."""
        if person is None:
            return 0
        taken = [(s.start, s.end) for s in self.pinned if s.person == person.key]
        return room(person, since, self.problem.slot, taken)

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

    def _pins(self) -> Iterator[str]:
        told = Counter((t.panel, t.task) for t in self.plan.troubles if t.kind in PINS)
        lost = {
            pin
            for pin in self.problem.pins
            if pin.firm and pin.start >= self.problem.now
            if not any(holds(pin, sitting) for sitting in self.pinned)
        }
        missing = Counter((pin.panel, pin.task) for pin in lost)
        left_out = {(p.key, t.key) for p in self.problem.panels for t in self._left_out(p)}
        for panel, task in missing.keys() | told.keys():
            said, gone = told[panel, task], missing[panel, task]
            if said > gone:
                yield f"More pins of {task} on {panel} are said to be lost than are."
            if said < gone and (panel, task) not in left_out:
                yield f"The pin of {task} on {panel} is not kept, and no trouble says so."

    def _left_out(self, panel: Panel) -> tuple[Task, ...]:
        """Return the tasks of a panel from the first on that a trouble says is not planned."""
        for place, task in enumerate(panel.tasks):
            if self._is_excused(panel, task):
                return panel.tasks[place:]
        return ()
