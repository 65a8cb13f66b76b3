"""Futures of a problem, drawn one number after another, and small studios to play."""

import math
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from random import Random

from hypothesis import strategies as st

from schedule.engine.calendar import Window
from schedule.engine.problem import Commission, Gate, Panel, Person, Problem, Task
from schedule.engine.promise.doubt import Doubt

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
                sigma = doubt.drying if task.gate.sigma is None else task.gate.sigma
                median = task.gate.median or task.gate.wait
                waits[key] = median * math.exp(dice.gauss(0, sigma) + air)
    return Future(hours, waits)


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
