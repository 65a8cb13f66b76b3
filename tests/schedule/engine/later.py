"""A studio some days later, its plan followed until then to the letter; and what goes wrong."""

from dataclasses import replace
from datetime import datetime, timedelta
from random import Random

from schedule.engine.plan import Plan, PlannedSitting
from schedule.engine.problem import Panel, Problem, Task

MINUTE = timedelta(minutes=1)


def later(problem: Problem, plan: Plan, now: datetime) -> Problem:
    """The problem at an instant at which nobody is at work."""
    return replace(problem, now=now, panels=tuple(_left(p, plan, now) for p in problem.panels))


def _left(panel: Panel, plan: Plan, now: datetime) -> Panel:
    opens = {gate.task: gate.opens for gate in plan.gates if gate.panel == panel.key}
    tasks: list[Task] = []
    done: list[PlannedSitting] = []
    ready, wet = None, None
    for task in panel.tasks:
        sat = [s for s in plan.sittings if (s.panel, s.task) == (panel.key, task.key)]
        past = [s for s in sat if s.end <= now]
        done += past
        if not tasks and len(past) == len(sat):
            ready = max(opens.get(task.key, past[-1].end), now)
            wet = past[-1].end + task.gate.touchable if task.gate else None
        elif past and not tasks:
            minutes = sum((s.end - s.start for s in sat if s.end > now), timedelta(0)) // MINUTE
            tasks.append(replace(task, minutes=minutes, mix="", set_up=0))
            ready = max(now, past[-1].end + timedelta(minutes=15))
        else:
            tasks.append(task)
    touched = max((s.end for s in done), default=None)
    wet = wet if wet and wet > now else ready
    return replace(panel, tasks=tuple(tasks), opens=ready, touched=touched, wet_until=wet)


def gone_wrong(problem: Problem, near: Plan, seed: int) -> Problem:
    """One drying of the coming week takes twice as long, and one stage of it six hours more."""
    lot = Random(seed)
    until = problem.now + timedelta(days=7)
    soon = sorted({(s.panel, s.task) for s in near.sittings if problem.now <= s.start < until})
    slow, long = lot.sample(soon, 2)
    panels = []
    for panel in problem.panels:
        tasks = []
        for task in panel.tasks:
            if (panel.key, task.key) == slow and task.gate:
                wet = task.gate.wet and 2 * task.gate.wet
                task = replace(task, gate=replace(task.gate, wait=2 * task.gate.wait, wet=wet))
            if (panel.key, task.key) == long:
                task = replace(task, minutes=task.minutes + 360)
            tasks.append(task)
        panels.append(replace(panel, tasks=tuple(tasks)))
    return replace(problem, panels=tuple(panels))
