"""Whatever the studio, its plan is sound: judged apart from the planner over random programmes."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from random import Random
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from schedule.engine.calendar import WeeklyHours, Window, open_windows
from schedule.engine.judge import faults
from schedule.engine.plan import PlannedGate, PlannedSitting, TroubleKind
from schedule.engine.planner import make_plan
from schedule.engine.problem import Commission, Gate, Panel, Person, Problem, Task

FIRST = date(2026, 3, 20)
ZONES = ("Europe/Berlin", "America/New_York", "Asia/Kathmandu")
KINDS = ("touch-dry", "recoat", "through-dry", "cured")
minutes_of_day = st.integers(0, 287).map(lambda n: time(n // 12, n % 12 * 5))


@st.composite
def calendars(draw: st.DrawFn) -> tuple[Window, ...]:
    """Up to six weeks of odd hours around both clock changes of spring, with days off."""
    hours = []
    for _ in range(draw(st.sampled_from((4, 5, 6, 3, 2, 1, 0)))):
        opens, closes = sorted(draw(st.tuples(minutes_of_day, minutes_of_day)))
        if opens < closes:
            hours.append(WeeklyHours(draw(st.integers(0, 6)), opens, closes))
    off = draw(st.frozensets(st.integers(0, 40), max_size=12))
    return open_windows(
        hours,
        days_off=[FIRST + timedelta(days=n) for n in off],
        zone=ZoneInfo(draw(st.sampled_from(ZONES))),
        first=FIRST,
        last=FIRST + timedelta(days=draw(st.sampled_from((41, 41, 20, 1)))),
    )


@st.composite
def tasks(draw: st.DrawFn, number: int) -> Task:
    shortest = draw(st.integers(1, 120))
    gate = Gate(draw(st.sampled_from(KINDS)), timedelta(minutes=draw(st.integers(0, 4 * 24 * 60))))
    return Task(
        f"stage {number}",
        draw(st.integers(0, 700)),
        shortest,
        shortest + draw(st.integers(0, 200)),
        draw(st.sampled_from((gate, gate, None))),
    )


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    moments = st.integers(0, 20 * 24 * 3600).map(
        lambda second: datetime(2026, 3, 20, tzinfo=UTC) + timedelta(seconds=second)
    )
    now = draw(moments)
    people = tuple(
        Person(f"person {n}", draw(calendars()))
        for n in range(draw(st.sampled_from((1, 2, 1, 3, 0))))
    )
    commissions = tuple(
        Commission(f"commission {n}", draw(st.none() | moments), draw(st.integers(1, 5)))
        for n in range(draw(st.integers(1, 3)))
    )
    free = [person.key for person in people]
    panels = []
    for number in range(draw(st.sampled_from((3, 4, 5, 2, 1, 0)))):
        steps = [draw(tasks(n)) for n in range(draw(st.sampled_from((3, 4, 2, 1, 0))))]
        if free and steps and steps[0].minutes and draw(st.integers(0, 3)) == 0:
            steps[0] = replace(steps[0], begun_by=free.pop())
        opens = draw(st.none() | moments)
        key = draw(st.sampled_from(commissions)).key
        panels.append(Panel(f"panel {number}", key, tuple(steps), opens))
    slot = timedelta(minutes=draw(st.sampled_from((15, 15, 15, 30, 7))))
    return Problem(now, people, commissions, tuple(panels), slot)


@settings(max_examples=250, deadline=None)
@given(problems())
def test_the_judge_finds_no_fault_in_any_plan(problem: Problem) -> None:
    assert faults(problem, make_plan(problem)) == ()


@settings(max_examples=40, deadline=None)
@given(problems(), st.randoms(use_true_random=False))
def test_the_order_in_which_panels_are_told_changes_nothing(
    problem: Problem, order: Random
) -> None:
    panels = list(problem.panels)
    order.shuffle(panels)
    plan, again = make_plan(problem), make_plan(replace(problem, panels=tuple(panels)))
    assert (plan.sittings, plan.gates, plan.finishes) == (
        again.sittings,
        again.gates,
        again.finishes,
    )
    assert set(plan.troubles) == set(again.troubles)


@settings(max_examples=40, deadline=None)
@given(problems(), st.integers(1, 2000))
def test_the_same_studio_some_slots_later_has_the_same_plan_some_slots_later(
    problem: Problem, slots: int
) -> None:
    by = slots * problem.slot
    plan, later = make_plan(problem), make_plan(moved(problem, by))
    assert later.sittings == tuple(
        replace(s, start=s.start + by, end=s.end + by) for s in plan.sittings
    )
    assert later.gates == tuple(replace(gate, opens=gate.opens + by) for gate in plan.gates)
    assert later.troubles == plan.troubles


def moved(problem: Problem, by: timedelta) -> Problem:
    return Problem(
        problem.now + by,
        tuple(
            replace(p, windows=tuple(Window(w.start + by, w.end + by) for w in p.windows))
            for p in problem.people
        ),
        tuple(replace(c, wanted=c.wanted and c.wanted + by) for c in problem.commissions),
        tuple(replace(p, opens=p.opens and p.opens + by) for p in problem.panels),
        problem.slot,
    )


def with_ample_hours(problem: Problem) -> Problem:
    start = problem.now.replace(hour=0, minute=0, second=0, microsecond=0)
    windows = tuple(
        Window(start + timedelta(days=n, hours=9), start + timedelta(days=n, hours=17))
        for n in range(200)
    )
    people = tuple(replace(person, windows=windows) for person in problem.people)
    return replace(problem, people=people or (Person("ana", windows),))


@settings(max_examples=80, deadline=None)
@given(problems())
def test_with_ample_hours_every_minute_of_work_is_planned(problem: Problem) -> None:
    ample = with_ample_hours(problem)
    plan = make_plan(ample)
    assert faults(ample, plan) == ()
    assert {trouble.kind for trouble in plan.troubles} <= {TroubleKind.LATE}


@settings(max_examples=60, deadline=None)
@given(problems())
def test_nobody_idles_an_hour_that_a_ready_panel_could_have_used(problem: Problem) -> None:
    # One person, whole sittings of any length: at each first sitting of a stage, the slot before
    # it was either closed, taken, or too early for the panel.
    ample = with_ample_hours(problem)
    ample = replace(
        ample,
        people=ample.people[:1],
        panels=tuple(
            replace(
                panel,
                tasks=tuple(
                    replace(task, shortest=1, longest=10**4, begun_by="") for task in panel.tasks
                ),
            )
            for panel in ample.panels
        ),
    )
    plan = make_plan(ample)
    taken = {sitting.end for sitting in plan.sittings}
    opened = {window.start for window in ample.people[0].windows}
    for sitting in plan.sittings:
        if sitting.start in taken or earliest(ample, plan.sittings, plan.gates, sitting) > (
            sitting.start - ample.slot
        ):
            continue
        assert any(start <= sitting.start < start + ample.slot for start in opened)


def earliest(
    problem: Problem,
    sittings: tuple[PlannedSitting, ...],
    gates: tuple[PlannedGate, ...],
    sitting: PlannedSitting,
) -> datetime:
    """The instant from which the panel of a sitting could have gone on."""
    panel = next(panel for panel in problem.panels if panel.key == sitting.panel)
    moments = [problem.now, *([panel.opens] if panel.opens else [])]
    before = [task.key for task in panel.tasks]
    before = before[: before.index(sitting.task)]
    moments += [gate.opens for gate in gates if gate.panel == panel.key and gate.task in before]
    moments += [
        s.end
        for s in sittings
        if s.panel == panel.key and (s.task in before or s.end <= sitting.start)
    ]
    return max(moments)
