"""The judge of time left over: whether work that a plan leaves out could have been done.

It finds only what is plain: one sitting, in time that is open to an able person and in which
nothing else is done, when nothing is wet or worked any more that could be in its way.
"""

from collections.abc import Collection, Iterator
from datetime import datetime, timedelta

from schedule.engine.judge_measures import MINUTE, START, bounds_in_slots, open_parts, pinned
from schedule.engine.plan import Plan, PlannedSitting
from schedule.engine.problem import Panel, Person, Problem, Task


def could_be_done(problem: Problem, plan: Plan, panel: Panel, place: int) -> bool:
    """Say whether there is plainly time for the task of a panel at which its plan ends.

    Work longer than the longest sitting needs two such times, the second for what follows. What is
    worked in wet, or has sittings fixed ahead on its panel, is not judged.
    """
    task = panel.tasks[place]
    if task.within is not None or any(t.within is not None for t in panel.tasks[place + 1 :][:1]):
        return False
    if any(pin.panel == panel.key and pin.start >= problem.now for pin in problem.pins):
        return False
    slot = problem.slot
    sat = [s for s in plan.sittings if (s.panel, s.task) == (panel.key, task.key)]
    done = sum((s.end - s.start for s in sat), timedelta(0))
    _, longest = bounds_in_slots(task, slot)
    left = -(-(task.minutes * MINUTE - done) // slot)
    needed = min(left, longest) * slot
    ready = max(_ready(problem, plan, panel, place), _dry(problem, plan, panel))
    who = sat[0].person if sat else task.begun_by
    for person in problem.people:
        able = person.key == who if who else not task.skill or task.skill in person.skills
        if able and left > 0:
            mine = [s for s in plan.sittings if s.person == person.key]
            holding = [a for a, end in _unused(person, ready, slot, mine) if end - a >= needed]
            if len(holding) > (left > longest):
                return True
    return False


def could_be_worked_in(problem: Problem, plan: Plan, panel: Panel) -> bool:
    """Say whether there is plainly time for the first task of a panel before what it is worked
    into has set. What else is worked into it in turn is not judged.

    It goes before all but what is running, fixed, or worked into a wet coat as it is.
    """
    task, slot = panel.tasks[0], problem.slot
    if panel.touched is None or task.within is None:
        return True
    if task.begun_by or any(t.within is not None for t in panel.tasks[1:2]):
        return False
    before = {(p.key, t.key) for p in problem.panels for t in _first_claims(p)}
    fixed = pinned(problem, plan)
    work = -(-task.minutes * MINUTE // slot)
    if work > bounds_in_slots(task, slot)[1]:
        return False
    ready = max(_ready(problem, plan, panel, 0), _dry(problem, plan, panel))
    for person in problem.people:
        if task.skill and task.skill not in person.skills:
            continue
        claims = [
            s
            for s in plan.sittings
            if s.person == person.key and (s in fixed or (s.panel, s.task) in before)
        ]
        for start, end in _unused(person, ready, slot, claims):
            if start + work * slot <= min(end, panel.touched + task.within):
                return True
    return False


def _first_claims(panel: Panel) -> tuple[Task, ...]:
    """Return the tasks at a panel's head that go before all else, being begun or worked in wet."""
    if not panel.tasks or not (panel.tasks[0].begun_by or panel.tasks[0].within is not None):
        return ()
    last = 1
    while last < len(panel.tasks) and panel.tasks[last].within is not None:
        last += 1
    return panel.tasks[:last]


def _ready(problem: Problem, plan: Plan, panel: Panel, place: int) -> datetime:
    """Return when a task may be gone on with, all before it being planned."""
    before = {task.key for task in panel.tasks[:place]}
    here = panel.tasks[place].key
    moments = [problem.now, panel.opens, panel.not_before]
    moments += [task.not_before for task in panel.tasks[: place + 1]]
    moments += [g.opens for g in plan.gates if g.panel == panel.key and g.task in before]
    moments += [s.end for s in plan.sittings if s.panel == panel.key and s.task in before]
    moments += [
        s.end + problem.slot for s in plan.sittings if (s.panel, s.task) == (panel.key, here)
    ]
    return max(moment for moment in moments if moment)


def _dry(problem: Problem, plan: Plan, panel: Panel) -> datetime:
    """Return when nothing is wet or worked any more that could be in the way of a panel."""
    lies_on = {face.key: set(face.lies_on) for face in problem.faces}
    racked = panel.rack and problem.rack is not None

    def hinders(other: Panel) -> bool:
        if racked and other.rack and other.place != panel.place:
            return True
        faces = panel.face and other.face
        return bool(
            faces and (other.face in lies_on[panel.face] or panel.face in lies_on[other.face])
        )

    others = {other.key: other for other in problem.panels if hinders(other)}
    gates = {(key, t.key): t.gate for key, other in others.items() for t in other.tasks}
    moments = [problem.now]
    moments += [m for other in others.values() for m in (other.wet_until, other.opens) if m]
    for sitting in plan.sittings:
        if sitting.panel in others:
            gate = gates[sitting.panel, sitting.task]
            moments.append(sitting.end + (gate.touchable if gate else timedelta(0)))
    return max(moments)


def _unused(
    person: Person, since: datetime, slot: timedelta, taken: Collection[PlannedSitting]
) -> Iterator[tuple[datetime, datetime]]:
    """Return the times in which a person works but has nothing to do, from whole slots on."""
    spans = [(s.start, s.end) for s in taken]
    for window in person.windows:
        for part in open_parts(window, spans):
            start = max(part.start, since)
            start += -(start - START) % slot
            if start < part.end:
                yield start, part.end
