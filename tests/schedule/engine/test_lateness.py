"""Whether a late commission could have been helped."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from schedule.engine.calendar import Window
from schedule.engine.lateness import only, why_late
from schedule.engine.planner import make_plan
from schedule.engine.problem import Commission, Gate, Panel, Person, Problem, Task
from schedule.engine.search import search
from tests.schedule.engine.studios import studios


def at(day: int, hour: int = 0) -> datetime:
    """A moment in June 2026, whose first day is a Monday."""
    return datetime(2026, 6, day, hour, tzinfo=UTC)


HOUR = timedelta(hours=1)
ANA = Person("ana", tuple(Window(at(day, 9), at(day, 13)) for day in range(1, 20)))
# Painted on Monday, hard on Friday at 11.
CHEST = Panel("lid", "chest", (Task("paint", 120, 30, 240, Gate("cured", 96 * HOUR)),))
TRAY = Panel("tray", "tray", (Task("paint", 240, 30, 240, Gate("cured", 2 * HOUR)),))


def studio(chest: datetime | None, tray: datetime | None, *panels: Panel) -> Problem:
    commissions = (Commission("chest", chest), Commission("tray", tray))
    return Problem(at(1), (ANA,), commissions, panels or (CHEST, TRAY))


def test_a_wanted_date_before_the_first_possible_finish_is_told_with_that() -> None:
    problem = studio(at(4), None)
    why = why_late(problem, make_plan(problem))
    assert why["chest"].hopeless
    assert not why["chest"].for_others
    assert why["chest"].earliest == at(5, 11)


def test_a_wanted_date_that_only_other_work_breaks_is_told_so() -> None:
    problem = studio(at(1, 13), at(1, 16), replace(CHEST, tasks=TRAY.tasks), TRAY)
    problem = replace(
        problem, commissions=tuple(replace(c, wanted=at(2)) for c in problem.commissions)
    )
    why = why_late(problem, make_plan(problem))
    (late,) = why.values()
    assert late.for_others
    assert not late.hopeless
    assert late.by_itself == at(1, 15)


def test_what_is_in_time_has_no_reason() -> None:
    problem = studio(at(6), None)
    assert why_late(problem, make_plan(problem)) == {}


@settings(max_examples=60, deadline=None)
@given(studios(), st.integers(-20, 400))
def test_what_is_hopeless_no_plan_of_it_alone_keeps_and_what_others_break_one_does(
    problem: Problem, hours: int
) -> None:
    wanted = problem.now + hours * HOUR
    commissions = tuple(replace(one, wanted=wanted) for one in problem.commissions)
    problem = replace(problem, commissions=commissions)
    for key, late in why_late(problem, make_plan(problem)).items():
        assert not (late.hopeless and late.for_others)
        (alone,) = search(only(problem, key), steps=10).plan.finishes
        assert alone.finish is None or alone.finish >= late.earliest
        assert not (late.hopeless and alone.finish and not alone.late)
        assert not late.for_others or not alone.late
