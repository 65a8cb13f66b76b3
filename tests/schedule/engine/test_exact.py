"""One commission put to the solver whole: against enumeration, and by the judge."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache
from time import monotonic

from hypothesis import given, settings
from hypothesis import strategies as st

from schedule.engine.calendar import Window
from schedule.engine.exact import Finished, finished
from schedule.engine.judge import faults
from schedule.engine.lateness import only
from schedule.engine.outcome import express
from schedule.engine.pins import settled
from schedule.engine.problem import Commission, Face, Gate, Panel, Person, Problem, Task
from schedule.engine.rules import wanted_first
from schedule.engine.search import search
from tests.schedule.engine.studios import studios

HOUR = timedelta(hours=1)
NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)
OPEN = [day * 24 + hour for day in range(5) for hour in (0, 1, 2, 3, 5, 6)]
"""Hours from the present in which she paints: four in the morning, two after a break of one."""
LONGEST = 2


@st.composite
def benches(draw: st.DrawFn) -> Problem:
    """Two or three small panels of a commission, some on two faces of a piece; slots are hours."""
    panels = []
    for number in range(draw(st.integers(2, 3))):
        tasks = tuple(
            Task(
                f"coat {n}",
                60 * draw(st.integers(1, 3)),
                60,
                60 * LONGEST,
                Gate("recoat", draw(st.sampled_from((0, 1, 3, 20))) * HOUR, wet=0 * HOUR),
            )
            for n in range(draw(st.integers(1, 2)))
        )
        face = ("front", "back", "")[number] if draw(st.booleans()) else ""
        if face:
            tasks = tuple(replace(t, gate=replace(t.gate, wet=t.gate.wait)) for t in tasks)
        panels.append(Panel(f"panel {number}", "chest", tasks, face=face))
    windows = [
        Window(NOW + (24 * day + first) * HOUR, NOW + (24 * day + end) * HOUR)
        for day in range(5)
        for first, end in ((0, 4), (5, 7))
    ]
    wanted = NOW + draw(st.integers(1, 40)) * HOUR
    return Problem(
        NOW,
        (Person("painter", tuple(windows)),),
        (Commission("chest", wanted, draw(st.integers(1, 3))),),
        tuple(panels),
        HOUR,
        (Face("front", ("back",)), Face("back", ("front",))),
    )


def least_finish(problem: Problem) -> int:
    """The earliest hour at which everything is over, by trying every use of every hour.

    A sitting ends with its window or where another panel, or nothing, takes its place.
    """
    panels = problem.panels
    work = [[task.minutes // 60 for task in panel.tasks] for panel in panels]
    waits = [[task.gate.wait // HOUR for task in panel.tasks] for panel in panels]

    def go_on(place: int, left: tuple, at: int, length: int) -> float:
        # What is past is all one.
        hour = OPEN[place] if place < len(OPEN) else 0
        past = tuple(
            (n, hours, ready if ready > hour else 0, dry if dry > hour else 0)
            for n, hours, ready, dry in left
        )
        over = all(n == len(work[p]) for p, (n, *_) in enumerate(left))
        return max(ready for _, _, ready, _ in left) if over else best(place, past, at, length)

    @cache
    def best(place: int, left: tuple, at: int, length: int) -> float:
        # left: for each panel its task, the hours left of it, when it may go on, when it is dry.
        if place == len(OPEN):
            return float("inf")
        hour = OPEN[place]
        goes_on = place + 1 < len(OPEN) and OPEN[place + 1] == hour + 1
        found = go_on(place + 1, left, -1, 0)
        for p, (n, hours, ready, _) in enumerate(left):
            if n == len(work[p]) or hour < ready or (p == at and length == LONGEST):
                continue
            opposite = [
                q
                for q, panel in enumerate(panels)
                if {panel.face, panels[p].face} == {"front", "back"}
            ]
            if any(hour < left[q][3] for q in opposite):
                continue
            dry = hour + 1 + waits[p][n]
            if hours > 1:
                # The face is wet after every sitting; while it goes on nobody turns it.
                new = n, hours - 1, ready, dry
                sitting = (p, length + 1 if p == at else 1) if goes_on else (-1, 0)
            else:
                rest = work[p][n + 1] if n + 1 < len(work[p]) else 0
                new = n + 1, rest, dry, dry
                sitting = (-1, 0)
            found = min(found, go_on(place + 1, (*left[:p], new, *left[p + 1 :]), *sitting))
        return found

    return int(go_on(0, tuple((0, hours[0], 0, 0) for hours in work), -1, 0))


def put(problem: Problem) -> tuple[Finished, int]:
    """What the solver makes of the first plan, and the hour at which the better of them is over."""
    ground = settled(problem, wanted_first)
    least = search(problem, steps=1).bound
    told = finished(ground, ground.run, least, 0.5, monotonic() + 60, lambda: False)
    plan = told.plan or express(ground.works, ground.run, ground.stops)
    assert not faults(problem, plan)
    return told, (plan.finishes[0].finish - NOW) // HOUR


@settings(max_examples=15, deadline=None)
@given(benches())
def test_a_small_commission_is_over_as_early_as_any_plan_has_it(problem: Problem) -> None:
    told, hour = put(problem)
    best = least_finish(problem)
    assert hour == best
    assert told.bound.last == NOW + best * HOUR


@settings(max_examples=15, deadline=None)
@given(studios())
def test_the_solver_makes_no_plan_worse_and_none_that_the_judge_objects_to(
    problem: Problem,
) -> None:
    alone = only(problem, problem.panels[0].commission)
    plain, exact = search(alone, steps=2), search(alone, steps=2, exact=0.1)
    assert not faults(alone, exact.plan)
    assert exact.score.total <= plain.score.total
    if exact.gap:
        assert exact.gap.lateness + exact.gap.completion >= -1e-6


@settings(max_examples=5, deadline=None)
@given(benches())
def test_the_same_commission_gets_the_same_plan_twice(problem: Problem) -> None:
    once, again = (search(problem, steps=2, exact=0.1) for _ in range(2))
    assert (once.plan, once.bound) == (again.plan, again.bound)
