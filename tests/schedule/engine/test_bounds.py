"""No plan is better than its bound: not today's planner's, nor the best there is by trying all."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st

from schedule.engine.bounds import LATE, Bound, bound
from schedule.engine.calendar import Window
from schedule.engine.judge import faults
from schedule.engine.planner import make_plan
from schedule.engine.problem import Commission, Face, Gate, Panel, Person, Pin, Problem, Task
from schedule.engine.search import search
from tests.benchmarks.studios import studio
from tests.schedule.engine.priced import price
from tests.schedule.engine.studios import studios
from tests.schedule.engine.test_planner_properties import problems, with_ample_hours

NOW = datetime(2026, 3, 2, 8, tzinfo=UTC)
HOUR = timedelta(hours=1)
LAST = 16
"""The hours of a tiny problem."""


@settings(max_examples=150)
@given(problems(), st.booleans())
def test_no_plan_that_does_all_the_work_is_better_than_the_bound(
    problem: Problem, ample: bool
) -> None:
    if ample:
        problem = with_ample_hours(problem)
    plan, least = make_plan(problem), bound(problem)
    finishes = {finish.commission: finish.finish for finish in plan.finishes}
    if any(finishes[panel.commission] is None for panel in problem.panels):
        return
    assert least.cost <= price(problem, plan, late=LATE)
    assert all(instant <= finishes[key] for key, instant in least.alone.items())
    assert set(least.order) == set(least.alone) == {panel.commission for panel in problem.panels}
    if problem.panels:
        assert least.last <= max(finishes[key] for key in least.alone)


@settings(max_examples=150, deadline=None)
@given(studios())
def test_no_plan_of_a_studio_with_everything_in_it_is_better_than_the_bound(
    problem: Problem,
) -> None:
    people = tuple(
        replace(person, windows=(*person.windows, *later_windows(person)))
        for person in problem.people
    )
    problem = replace(problem, people=people)
    plan, least = search(problem, steps=8).plan, bound(problem)
    finishes = {finish.commission: finish.finish for finish in plan.finishes}
    if any(finishes[panel.commission] is None for panel in problem.panels):
        return
    assert least.cost <= price(problem, plan, late=LATE)
    assert all(instant <= finishes[key] for key, instant in least.alone.items())
    assert least.last <= max(finishes[key] for key in least.alone)


def later_windows(person: Person) -> tuple[Window, ...]:
    """Three more weeks, eight hours a day, after the last of her own."""
    end = max((window.end for window in person.windows), default=NOW) + timedelta(hours=8)
    return tuple(
        Window(end + timedelta(days=n), end + timedelta(days=n) + 8 * HOUR) for n in range(21)
    )


@st.composite
def tiny_problems(draw: st.DrawFn) -> Problem:
    """A few panels of an hour or three, one or two people with gaps in their eight hours."""
    people = []
    for number in range(draw(st.sampled_from((1, 1, 2)))):
        shut = draw(st.sets(st.integers(0, LAST), max_size=6))
        people.append(Person(f"person {number}", hours(set(range(LAST)) - shut)))
    panels = []
    for number in range(draw(st.integers(1, 3))):
        tasks = tuple(
            Task(
                f"stage {step}",
                draw(st.sampled_from((60, 120, 60, 0, 30))),
                60,
                600,
                draw(st.none() | st.builds(Gate, st.just("recoat"), waits)),
            )
            for step in range(draw(st.sampled_from((1, 2, 2, 0))))
        )
        opens = draw(st.none() | st.integers(-3, 6).map(lambda n: NOW + n * HOUR))
        commission = draw(st.sampled_from(("first", "second", "third")))
        panels.append(Panel(f"panel {number}", commission, tasks, opens))
    commissions = tuple(
        Commission(key, draw(st.none() | wishes), draw(st.integers(1, 3)))
        for key in ("first", "second", "third")
    )
    return Problem(NOW, tuple(people), commissions, tuple(panels), HOUR)


waits = st.integers(0, 6).map(lambda n: n * HOUR)
wishes = st.integers(0, 12).map(lambda n: NOW + n * HOUR)


def hours(open_at: set[int]) -> tuple[Window, ...]:
    windows: list[Window] = []
    for n in sorted(open_at):
        if windows and windows[-1].end == NOW + n * HOUR:
            windows[-1] = Window(windows[-1].start, NOW + (n + 1) * HOUR)
        else:
            windows.append(Window(NOW + n * HOUR, NOW + (n + 1) * HOUR))
    return tuple(windows)


def best_of_all(problem: Problem) -> int | None:
    """The least cost of any plan, hour by hour and choice by choice; None when it all never fits.

    Sittings may be of any length, which allows more plans than there are.
    """
    people = [[window_hours(person, n) for n in range(LAST)] for person in problem.people]
    works = [[-(-task.minutes // 60) for task in panel.tasks] for panel in problem.panels]

    @cache
    def from_here(n: int, states: tuple[State, ...]) -> int | None:
        if all(step == len(work) for (step, *_), work in zip(states, works, strict=True)):
            return cost(problem, states)
        if n == LAST:
            return None
        found = [
            value
            for after in choices(0, n, states)
            if (value := from_here(n + 1, settle(n + 1, after))) is not None
        ]
        return min(found, default=None)

    def choices(person: int, n: int, states: tuple[State, ...]):
        if person == len(people):
            yield states
            return
        yield from choices(person + 1, n, states)
        if not people[person][n]:
            return
        for number, (step, rest, ready, by, busy) in enumerate(states):
            if step == len(works[number]) or ready > n or by not in (-1, person) or busy:
                continue
            after = (step, rest - 1, n + 1 if rest == 1 else ready, person, True)
            yield from choices(person + 1, n, (*states[:number], after, *states[number + 1 :]))

    def settle(n: int, states: tuple[State, ...]) -> tuple[State, ...]:
        return tuple(
            settled(panel, work, state, n)
            for panel, work, state in zip(problem.panels, works, states, strict=True)
        )

    opens = [(panel.opens - NOW) // HOUR if panel.opens else 0 for panel in problem.panels]
    return from_here(0, settle(0, tuple((0, -1, ready, -1, False) for ready in opens)))


State = tuple[int, int, int, int, bool]
"""A panel: its step, the hours left of it, when it may go on, by whom, whether it is in hand."""


def window_hours(person: Person, n: int) -> bool:
    return any(w.start <= NOW + n * HOUR < w.end for w in person.windows)


def settled(panel: Panel, work: list[int], state: State, n: int) -> State:
    """Step on past what is done, its waits counted, and lay it down at an hour."""
    step, rest, ready, by, _ = state
    while step < len(work):
        rest = work[step] if rest == -1 else rest
        if rest:
            return step, rest, max(ready, n), by, False
        gate = panel.tasks[step].gate
        ready += gate.wait // HOUR if gate else 0
        step, rest, by = step + 1, -1, -1
    return step, -1, ready, -1, False


def cost(problem: Problem, states: tuple[State, ...]) -> int:
    total = 0
    for commission in problem.commissions:
        over = [
            ready
            for panel, (_, _, ready, _, _) in zip(problem.panels, states, strict=True)
            if panel.commission == commission.key
        ]
        if over:
            total += max(0, *over, 0)
            if commission.wanted:
                late = max(0, max(over) - (commission.wanted - NOW) // HOUR)
                total += LATE * commission.weight * late
    return total * 60


@settings(max_examples=60)
@given(tiny_problems())
def test_not_even_the_best_of_all_plans_is_better_than_the_bound(problem: Problem) -> None:
    best = best_of_all(problem)
    if best is not None:
        assert bound(problem).cost <= best


def panel(number: int, commission: str, *steps: tuple[int, int]) -> Panel:
    tasks = tuple(
        Task(f"stage {n}", 60 * work, 15, 600, Gate("recoat", wait * HOUR))
        for n, (work, wait) in enumerate(steps)
    )
    return Panel(f"panel {number}", commission, tasks)


def days(count: int, *, people: int = 1) -> tuple[Person, ...]:
    """Eight hours a day from eight o'clock on."""
    windows = tuple(
        Window(NOW + timedelta(days=n), NOW + timedelta(days=n) + 8 * HOUR) for n in range(count)
    )
    return tuple(Person(f"person {n}", windows) for n in range(people))


def test_the_bound_is_met_where_nothing_is_in_the_way() -> None:
    # 4 h and 6 h of work, 2 h of drying each: the short one first, the other over the next noon.
    problem = Problem(
        NOW,
        days(9),
        (Commission("long"), Commission("short", NOW)),
        (panel(1, "long", (6, 2)), panel(2, "short", (4, 2))),
    )
    least = bound(problem)
    assert least.order == ("short", "long")
    assert least.alone == {"long": NOW + 8 * HOUR, "short": NOW + 6 * HOUR}
    assert least.last == NOW + 24 * HOUR + 4 * HOUR
    assert least.cost == 60 * (6 + LATE * 6 + 28)
    assert least.lateness == 60 * LATE * 6
    assert price(problem, make_plan(problem), late=LATE) == least.cost


def test_a_commission_alone_is_bound_by_its_chain_and_by_its_crowd() -> None:
    # 1 h, a night of 20 h, 1 h, 5 h of drying; and eight panels of an hour, then 10 h of drying.
    chain = panel(1, "chain", (1, 20), (1, 5))
    crowd = tuple(panel(10 + n, "crowd", (1, 10)) for n in range(8))
    problem = Problem(NOW, days(9), (Commission("chain"), Commission("crowd")), (chain, *crowd))
    assert bound(problem).alone == {
        "chain": NOW + 24 * HOUR + HOUR + 5 * HOUR,
        "crowd": NOW + 18 * HOUR,
    }


def test_two_people_halve_the_crowd_and_not_the_chain() -> None:
    chain = panel(1, "chain", (4, 0), (4, 0))
    crowd = tuple(panel(10 + n, "crowd", (1, 0)) for n in range(8))
    problem = Problem(
        NOW, days(9, people=2), (Commission("chain"), Commission("crowd")), (chain, *crowd)
    )
    least = bound(problem)
    assert least.alone == {"chain": NOW + 8 * HOUR, "crowd": NOW + 4 * HOUR}
    assert least.last == NOW + 8 * HOUR


def test_a_sitting_begun_between_two_slots_counts_from_now() -> None:
    now = NOW + timedelta(minutes=7)
    begun = Panel("panel", "begun", (Task("gild", 8, 1, 60, begun_by="person 0"),))
    problem = Problem(now, days(9), (Commission("begun"),), (begun,))
    least, plan = bound(problem), make_plan(problem)
    assert least.last == plan.finishes[0].finish == NOW + timedelta(minutes=15)
    assert least.cost == price(problem, plan, late=LATE) == 8


def test_without_panels_there_is_nothing_to_undercut() -> None:
    least = bound(Problem(NOW, (), (Commission("empty"),), ()))
    assert least == Bound(None, {}, 0, 0, ())


def test_a_studio_of_many_commissions_is_bound_from_below_in_the_same_way_each_time() -> None:
    problem = studio(21, tight=1.0)
    plan, least = make_plan(problem), bound(problem)
    assert 0 < least.cost <= price(problem, plan, late=LATE)
    assert sorted(least.order) == [commission.key for commission in problem.commissions]
    assert bound(problem) == least


def test_a_palette_shared_a_skill_and_a_pin_out_of_hours_are_in_the_bound() -> None:
    def only(task: Task, number: int, **held: object) -> Panel:
        return Panel(f"panel {number}", "box", (task,), **held)

    shared = [Task("gild", 60, 15, 600, mix="bole", set_up=30)] * 2
    panels = tuple(only(task, n) for n, task in enumerate(shared))
    problem = Problem(NOW, days(9), (Commission("box"),), panels)
    assert bound(problem).last <= make_plan(problem).finishes[0].finish == NOW + 1.5 * HOUR
    lone = replace(problem, panels=panels[:1])
    assert bound(lone).last == NOW + HOUR
    waits = replace(lone.panels[0], not_before=NOW + 2 * HOUR)
    waits = replace(waits, tasks=(replace(shared[0], not_before=NOW + 3 * HOUR, skill="gild"),))
    late_to_work = Person("gilder", days(3)[0].windows[1:], frozenset({"gild"}))
    skilled = replace(lone, people=(*days(9), late_to_work), panels=(waits,))
    assert bound(skilled).last == NOW + 25 * HOUR
    evening = Pin("panel 0", "gild", "person 0", NOW + 10 * HOUR, NOW + 11 * HOUR)
    pinned = replace(skilled, pins=(evening,))
    assert faults(pinned, plan := make_plan(pinned)) == ()
    assert bound(pinned).last <= plan.finishes[0].finish == NOW + 11 * HOUR


def test_two_faces_that_lie_on_one_another_are_bound_by_turns() -> None:
    # A coat is an hour and dries for 23: three on each face take six days, less the night after.
    coats = tuple(Task(f"coat {n}", 60, 60, 60, Gate("recoat", 23 * HOUR)) for n in range(3))
    sides = tuple(Panel(face, "chest", coats, face=face) for face in ("front", "back"))
    faces = (Face("front", ("back",)), Face("back", ("front",)))
    problem = Problem(NOW, days(12), (Commission("chest"),), sides, faces=faces)
    plan = make_plan(problem)
    assert faults(problem, plan) == ()
    # Of the last coat, only a slot is taken to be on the last day.
    assert plan.finishes[0].finish == NOW + 6 * 24 * HOUR
    assert bound(problem).last == NOW + 6 * 24 * HOUR - timedelta(minutes=45)
    loose = replace(problem, faces=(Face("front"), Face("back")))
    assert bound(loose).last == NOW + 3 * 24 * HOUR + HOUR
    # A wait that does not count as wet leaves both to be done on one day.
    dry = tuple(replace(t, gate=replace(t.gate, wet=HOUR)) for t in coats)
    soon = replace(problem, panels=tuple(replace(side, tasks=dry) for side in sides))
    assert bound(soon).last <= make_plan(soon).finishes[0].finish < NOW + 5 * 24 * HOUR
