"""Calm: what is near stays where it was when a plan is made anew."""

from dataclasses import replace
from datetime import datetime, timedelta

from schedule.engine.plan import Plan
from schedule.engine.problem import EPOCH, Pin, Problem

MINUTE = timedelta(minutes=1)


def held(problem: Problem, old: Plan) -> Problem:
    """Return the problem with the old plan's sittings before its `freeze` kept where they are.

    They are pins that are not firm: one that a wet coat, a pin of the painter's, a lost day or what
    its person does no longer allows gives way without a word. No more of a task is held than there
    is left of it, and none of one that is shorter for a set-up it shares, for a pin shares nothing.
    """
    if problem.freeze is None:
        return problem
    left = _left(problem)
    sharing = _sharing(problem, old, left)
    people = {person.key: person for person in problem.people}
    skills = {(p.key, task.key): task.skill for p in problem.panels for task in p.tasks}
    kept = []
    for sitting in sorted(old.sittings, key=lambda sat: (sat.start, sat.person, sat.panel)):
        rest = left.get((sitting.panel, sitting.task), timedelta(0))
        end = min(sitting.end, sitting.start + rest)
        near = problem.now <= sitting.start < problem.freeze
        person = people.get(sitting.person)
        if not near or person is None or not _on_slots(sitting.start, problem.slot):
            continue
        if (sitting.panel, sitting.task) in sharing:
            continue
        if skills.get((sitting.panel, sitting.task), "") not in {"", *person.skills}:
            continue
        open_then = any(w.start <= sitting.start and end <= w.end for w in person.windows)
        if end > sitting.start and open_then:
            left[sitting.panel, sitting.task] = rest - (end - sitting.start)
            pin = (sitting.panel, sitting.task, sitting.person, sitting.start, end)
            kept.append(Pin(*pin, firm=False))
    return replace(problem, pins=(*problem.pins, *kept))


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


def _sharing(
    problem: Problem, old: Plan, left: dict[tuple[str, str], timedelta]
) -> set[tuple[str, str]]:
    """Return the tasks that an older plan has in less than their work, by a shared set-up."""
    sat = dict.fromkeys(left, timedelta(0))
    for sitting in old.sittings:
        key = (sitting.panel, sitting.task)
        if key in sat:
            sat[key] += sitting.end - sitting.start
    return {
        (panel.key, task.key)
        for panel in problem.panels
        for task in panel.tasks
        if task.set_up and sat[panel.key, task.key] < left[panel.key, task.key]
    }


def _on_slots(moment: datetime, slot: timedelta) -> bool:
    return (moment - EPOCH) % slot == timedelta(0)
