"""The judge believes no trouble that is not so: plans that say they cannot, where they can."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from schedule.engine.calendar import Window
from schedule.engine.judge import faults
from schedule.engine.plan import Finish, Plan, Trouble, TroubleKind
from schedule.engine.planner import make_plan
from schedule.engine.problem import Commission, Face, Gate, Panel, Person, Pin, Problem, Task

HOUR = timedelta(hours=1)


def at(day: int, hour: int = 0, minute: int = 0) -> datetime:
    """A moment in June 2026, whose first day is a Monday."""
    return datetime(2026, 6, day, hour, minute, tzinfo=UTC)


def days(first: int, last: int) -> tuple[Window, ...]:
    return tuple(Window(at(day, 9), at(day, 13)) for day in range(first, last + 1))


ANA = Person("ana", days(1, 5))
BEA = Person("bea", days(1, 1), frozenset(("gilding",)))
DRY = Gate("recoat", 20 * HOUR)


def door(*tasks: Task, **more: object) -> Panel:
    return Panel("door", "chest", tasks, **more)


def studio(*panels: Panel, people: tuple[Person, ...] = (ANA,), **more: object) -> Problem:
    return Problem(at(1), people, (Commission("chest"),), panels, **more)


def without(problem: Problem, *troubles: Trouble, sittings: tuple = ()) -> str:
    """The faults of a plan with no more than these sittings, and these troubles."""
    plan = Plan(sittings, (), (Finish("chest", None, timedelta(0)),), troubles)
    return " ".join(faults(problem, plan))


def beyond(minutes: int, task: str = "prime") -> Trouble:
    return Trouble(TroubleKind.BEYOND, "chest", "door", task, minutes)


def test_a_plan_that_leaves_out_what_there_are_days_for_is_found_out() -> None:
    problem = studio(door(Task("prime", 120, 30, 240), Task("paint", 120, 30, 240)))
    assert without(problem, beyond(240)) == "There is time for prime on door."
    longer = studio(door(Task("prime", 400, 30, 240)))
    assert without(longer, beyond(400)) == "There is time for prime on door."


@pytest.mark.parametrize(
    "problem",
    [
        pytest.param(studio(door(Task("prime", 300, 300, 300))), id="no window holds it"),
        pytest.param(
            studio(door(Task("prime", 120, 30, 240), not_before=at(5, 12))), id="it comes too late"
        ),
        pytest.param(
            studio(door(Task("prime", 120, 30, 240, skill="gilding")), people=(ANA,)),
            id="she cannot do it",
        ),
        pytest.param(
            studio(
                door(Task("prime", 120, 30, 240), face="top"),
                Panel("back", "chest", (), at(9), face="back"),
                faces=(Face("top", ("back",)), Face("back")),
            ),
            id="what it lies on is wet",
        ),
        pytest.param(
            studio(
                door(Task("prime", 120, 30, 240), rack=True),
                Panel("lid", "chest", (), at(9), rack=True),
                rack=1,
            ),
            id="the rack is full",
        ),
    ],
)
def test_a_plan_that_leaves_out_what_there_is_no_time_for_is_believed(problem: Problem) -> None:
    assert "There is time" not in without(problem, beyond(problem.panels[0].tasks[0].minutes))


def test_a_fixed_sitting_moved_is_not_excused_by_what_cannot_be_done_later_on_its_panel() -> None:
    pins = tuple(Pin("door", "prime", "ana", at(day, 9), at(day, 10)) for day in (2, 3))
    gild = Task("gild", 60, 30, 240, skill="gilding")
    problem = studio(door(Task("prime", 120, 30, 240), gild), pins=pins)
    sound = make_plan(problem)
    assert faults(problem, sound) == ()
    moved = make_plan(replace(problem, pins=()))
    lost = Trouble(TroubleKind.PIN_EARLY, "chest", "door", "prime")
    for told in range(4):
        found = faults(problem, replace(moved, troubles=(*moved.troubles, *[lost] * told)))
        assert bool(found) == (told != 2)
    # One fixed at what cannot be done at all needs no word of its own.
    later = Pin("door", "gild", "ana", at(3, 9), at(3, 10))
    beside = replace(problem, pins=(later,))
    assert faults(beside, moved) == ()


SET = Trouble(TroubleKind.SET, "chest", "door", "wipe", 12 * 60)


def glazed(hours_ago: float, *more: Panel, **others: object) -> Problem:
    wipe = Task("wipe", 60, 60, 60, within=12 * HOUR)
    return studio(door(wipe, touched=at(1) - hours_ago * HOUR), *more, **others)


def test_a_coat_that_is_said_to_have_set_though_somebody_could_get_to_it_is_found_out() -> None:
    assert "There is time for wipe on door" in without(glazed(2), SET)
    assert without(glazed(2.25), SET) == ""
    nobody = studio(door(Task("wipe", 60, 60, 60)))
    assert "There is time for wipe on door" in without(nobody, replace(SET, minutes=0))
    # What she does instead is no excuse, what runs already is.
    tray = Panel("tray", "chest", (Task("prime", 240, 240, 240),))
    sat = make_plan(studio(tray)).sittings
    assert "There is time for wipe on door" in without(glazed(2, tray), SET, sittings=sat)
    running = replace(tray, tasks=(replace(tray.tasks[0], begun_by="ana"),))
    assert "There is time" not in without(glazed(2, running), SET, sittings=sat)


def test_a_coat_that_is_said_to_have_set_though_none_is_laid_is_found_out() -> None:
    wipe = Task("wipe", 60, 60, 60, within=12 * HOUR)
    problem = studio(door(Task("glaze", 60, 30, 240), wipe))
    assert "Nothing that wipe on door is worked into is laid." in without(problem, SET)


@pytest.mark.parametrize(
    "together",
    [
        (("door", "paint"), ("door", "prime")),
        (("door", "prime"), ("door", "line")),
        (("tray", "prime"), ("door", "paint")),
        (("door", "prime"),),
    ],
)
def test_what_a_pin_cannot_hold_with_is_before_it_on_its_panel_and_in_order(
    together: tuple[tuple[str, str], ...],
) -> None:
    coats = (Task("prime", 60, 30, 240, DRY), Task("paint", 60, 30, 240, DRY))
    pin = Pin("door", "line", "ana", at(2, 9), at(2, 10))
    problem = studio(door(*coats, Task("line", 60, 30, 60)), pins=(pin,))
    plan = make_plan(problem)
    assert faults(problem, plan) == ()
    (trouble,) = plan.troubles
    assert trouble.together == (("door", "prime"), ("door", "paint"))
    meddled = replace(plan, troubles=(replace(trouble, together=together),))
    assert "cannot hold with is not before or in it" in " ".join(faults(problem, meddled))


def test_a_glaze_worked_by_another_or_not_at_all_is_found_out() -> None:
    wipe = Task("wipe", 60, 60, 60, within=3 * HOUR)
    bea = replace(BEA, windows=days(1, 5))
    problem = studio(door(Task("glaze", 60, 30, 240), wipe), people=(ANA, bea))
    plan = make_plan(problem)
    assert faults(problem, plan) == ()
    glaze, wiped = plan.sittings
    other = next(p.key for p in problem.people if p.key != wiped.person)
    swapped = replace(plan, sittings=(glaze, replace(wiped, person=other)))
    assert any("coat of another's hand" in fault for fault in faults(problem, swapped))
    left = replace(plan, sittings=(glaze,))
    assert any("not worked into the coat that is laid" in fault for fault in faults(problem, left))
