"""Calm: what is near stays where it was when a plan is made anew."""

from dataclasses import replace
from datetime import datetime, timedelta

from schedule.engine.plan import Plan, PlannedSitting
from schedule.engine.problem import EPOCH, Pin, Problem, Task
from schedule.engine.slots import MINUTE


def held(problem: Problem, old: Plan) -> Problem:
    """Return the problem with the old plan's sittings before its `freeze` kept where they are.

    They are pins that are not firm: one that a wet coat, a pin of the painter's or a lost day no
    longer allows gives way without a word. Of a task that is longer or shorter by now nothing is
    held, nor of one at work this minute, which goes on at once, nor where its person cannot do it
    any more. One that shares a set-up is held whole, and only as long as the sitting that pays it
    is held too.
    """
    if problem.freeze is None:
        return problem
    tasks = _unchanged(problem, old)
    people = {person.key: person for person in problem.people}
    kept = []
    for sitting in sorted(old.sittings, key=lambda sat: (sat.start, sat.person, sat.panel)):
        task = tasks.get((sitting.panel, sitting.task))
        near = problem.now <= sitting.start < problem.freeze
        person = people.get(sitting.person)
        if not near or person is None or task is None or not _on_slots(sitting.start, problem.slot):
            continue
        able = not task.skill or task.skill in person.skills
        if able and any(w.start <= sitting.start and sitting.end <= w.end for w in person.windows):
            pin = (sitting.panel, sitting.task, sitting.person, sitting.start, sitting.end)
            kept.append(Pin(*pin, firm=False))
    return replace(problem, pins=(*problem.pins, *kept))


def _unchanged(problem: Problem, old: Plan) -> dict[tuple[str, str], Task]:
    """Return the tasks of which as much is left as an older plan has of them; of those without
    their set-up, the ones that are all in the frozen days."""
    sat: dict[tuple[str, str], list[PlannedSitting]] = {}
    for sitting in old.sittings:
        if sitting.start >= problem.now:
            sat.setdefault((sitting.panel, sitting.task), []).append(sitting)
    left = _left(problem)
    unchanged = {}
    for panel in problem.panels:
        for task in panel.tasks:
            key = (panel.key, task.key)
            mine = sat.get(key, [])
            work = sum((one.end - one.start for one in mine), timedelta(0))
            frozen = all(one.start < problem.freeze for one in mine)
            bare = left[key] - (_shared(task, problem.slot) if frozen else timedelta(0))
            if mine and not task.begun_by and work in (left[key], bare):
                unchanged[key] = task
    return unchanged


def _shared(task: Task, slot: timedelta) -> timedelta:
    """Return what a shared set-up takes off the whole slots of a task."""
    bare = -(-(task.minutes - task.set_up) * MINUTE // slot)
    return (-(-task.minutes * MINUTE // slot) - bare) * slot


def _left(problem: Problem) -> dict[tuple[str, str], timedelta]:
    """Return the work left on each task that no pin holds yet, in whole slots."""
    slot = problem.slot
    left = {
        (panel.key, task.key): -(-task.minutes * MINUTE // slot) * slot
        for panel in problem.panels
        for task in panel.tasks
    }
    for pin in problem.pins:
        if pin.start >= problem.now:
            left[pin.panel, pin.task] -= pin.end - pin.start
    return left


def _on_slots(moment: datetime, slot: timedelta) -> bool:
    return (moment - EPOCH) % slot == timedelta(0)
