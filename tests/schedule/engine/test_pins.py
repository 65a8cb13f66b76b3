"""Sittings that the painter has fixed, and the near future of an older plan."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from schedule.engine.calendar import Window
from schedule.engine.calm import held
from schedule.engine.hands import micros
from schedule.engine.judge import faults
from schedule.engine.keeping import keep_near
from schedule.engine.pins import settled
from schedule.engine.plan import Plan, TroubleKind
from schedule.engine.planner import make_plan
from schedule.engine.problem import Commission, Face, Gate, Panel, Person, Pin, Problem, Task
from schedule.engine.rules import wanted_first
from tests.schedule.engine.studios import studios


def at(day: int, hour: int = 0, minute: int = 0) -> datetime:
    """A moment in June 2026, whose first day is a Monday."""
    return datetime(2026, 6, day, hour, minute, tzinfo=UTC)


DAYS = tuple(Window(at(day, 9), at(day, 13)) for day in range(1, 20))
DRY = Gate("recoat", timedelta(hours=20))
COATS = (Task("prime", 120, 30, 240, DRY), Task("paint", 180, 30, 240))
PROBLEM = Problem(
    at(1),
    (Person("ana", DAYS),),
    (Commission("bed", at(4)), Commission("chest", at(9))),
    (Panel("board", "bed", COATS), Panel("door", "chest", COATS)),
)


def planned(*pins: Pin) -> Plan:
    problem = replace(PROBLEM, pins=pins)
    plan = make_plan(problem)
    assert faults(problem, plan) == ()
    return plan


def pin(task: str, start: datetime, end: datetime, panel: str = "door") -> Pin:
    return Pin(panel, task, "ana", start, end)


def test_a_fixed_sitting_stays_and_what_goes_before_it_hurries() -> None:
    plan = planned(pin("paint", at(2, 9), at(2, 12)))
    door = [(s.task, s.start, s.end) for s in plan.sittings if s.panel == "door"]
    assert door == [("prime", at(1, 9), at(1, 11)), ("paint", at(2, 9), at(2, 12))]


def test_a_sitting_fixed_on_a_sunday_counts_though_nobody_works_then() -> None:
    plan = planned(pin("paint", at(7, 15), at(7, 17)))
    door = [(s.start, s.end) for s in plan.sittings if (s.panel, s.task) == ("door", "paint")]
    assert (at(7, 15), at(7, 17)) in door
    assert sum(((end - start) for start, end in door), timedelta(0)) == timedelta(hours=3)


def test_a_sitting_fixed_on_a_coat_that_cannot_be_dry_is_told_with_what_is_in_its_way() -> None:
    plan = planned(pin("paint", at(1, 12), at(1, 13)))
    trouble = plan.troubles[0]
    assert trouble.kind == TroubleKind.PIN_EARLY
    assert trouble.sentence == (
        "chest, door: the sitting of paint that you fixed comes before prime on door can be done "
        "and dry. It is planned elsewhere."
    )
    assert {(s.panel, s.task) for s in plan.sittings} >= {("door", "paint")}


def test_of_two_fixed_sittings_that_collide_the_earlier_stays_and_both_are_named() -> None:
    plan = planned(
        pin("prime", at(2, 10), at(2, 12)), pin("prime", at(2, 9), at(2, 11), panel="board")
    )
    trouble = plan.troubles[0]
    assert (trouble.kind, trouble.task, trouble.panel) == (TroubleKind.PIN_CLASH, "prime", "door")
    assert (trouble.other_task, trouble.other_panel) == ("prime", "board")


def test_a_fixed_sitting_that_is_left_out_is_found_out() -> None:
    problem = replace(PROBLEM, pins=(pin("paint", at(3, 9), at(3, 12)),))
    found = faults(problem, make_plan(PROBLEM))
    assert any("The pin of paint on door is not kept" in fault for fault in found)


def test_frozen_sittings_stay_when_something_more_urgent_comes() -> None:
    old = make_plan(PROBLEM)
    more = Panel("tray", "tray", (Task("prime", 240, 30, 240),))
    busier = replace(
        PROBLEM,
        commissions=(*PROBLEM.commissions, Commission("tray", at(2))),
        panels=(*PROBLEM.panels, more),
        freeze=at(3),
    )
    asked = held(busier, old)
    plan = make_plan(asked)
    assert faults(asked, plan) == ()
    assert [s for s in plan.sittings if s.start < at(3)] == [
        s for s in old.sittings if s.start < at(3)
    ]
    assert min(s.start for s in plan.sittings if s.panel == "tray") >= at(3)


def test_a_frozen_sitting_gives_way_to_a_coat_that_is_still_wet() -> None:
    old = make_plan(PROBLEM)
    wetter = tuple(replace(panel, opens=at(3)) for panel in PROBLEM.panels)
    asked = held(replace(PROBLEM, panels=wetter, freeze=at(4)), old)
    plan = make_plan(asked)
    assert faults(asked, plan) == ()
    assert not [t for t in plan.troubles if t.kind == TroubleKind.PIN_EARLY]


@settings(max_examples=40, deadline=None)
@given(studios(), st.integers(0, 5 * 96))
def test_a_studio_planned_anew_with_nothing_changed_keeps_all_that_is_frozen(
    problem: Problem, slots: int
) -> None:
    problem = replace(problem, pins=(), freeze=problem.now + slots * problem.slot)
    old = make_plan(problem)
    asked = held(problem, old)
    plan = make_plan(asked)
    assert faults(asked, plan) == ()
    tasks = [task for panel in problem.panels for task in panel.tasks]
    if not any(task.begun_by or task.within for task in tasks):
        kept = {(pin.panel, pin.task, pin.person, pin.start, pin.end) for pin in asked.pins}
        assert kept <= {(s.panel, s.task, s.person, s.start, s.end) for s in plan.sittings}


def test_five_sittings_of_one_paint_in_the_frozen_days_stay_though_one_pays_the_set_up() -> None:
    ground = Task("ground", 60, 30, 240, mix="umber", set_up=15)
    doors = tuple(Panel(f"door {n}", "chest", (ground,)) for n in range(5))
    problem = replace(PROBLEM, panels=(*doors, PROBLEM.panels[0]))
    old = make_plan(problem)
    shared = [s for s in old.sittings if s.end - s.start == timedelta(minutes=45)]
    assert len(shared) >= 2
    tray = Panel("tray", "tray", (Task("prime", 120, 30, 240),))
    busier = replace(
        problem,
        commissions=(*problem.commissions, Commission("tray", at(2), 9)),
        panels=(*problem.panels, tray),
        freeze=at(4),
    )
    asked = held(busier, old)
    plan = make_plan(asked)
    assert faults(asked, plan) == ()
    frozen = [s for s in old.sittings if s.start < at(4)]
    assert [s for s in plan.sittings if s.panel != "tray" and s.start < at(4)] == frozen
    assert sum(s.task == "ground" for s in frozen) == 5


def test_what_shared_a_set_up_is_done_whole_where_nothing_pays_it_any_more() -> None:
    ground = Task("ground", 60, 30, 240, mix="umber", set_up=15)
    doors = tuple(Panel(f"door {n}", "chest", (ground,)) for n in range(2))
    old = make_plan(replace(PROBLEM, panels=doors))
    assert [s.end - s.start for s in old.sittings] == [timedelta(hours=1), timedelta(minutes=45)]
    # The first is done by now: whoever paints the second sets the paint up for it.
    asked = held(replace(PROBLEM, panels=doors[1:], freeze=at(4)), old)
    plan = make_plan(asked)
    assert faults(asked, plan) == ()
    assert [s.end - s.start for s in plan.sittings] == [timedelta(hours=1)]


def test_what_its_person_cannot_do_any_more_is_not_held() -> None:
    gilt = Panel("door", "chest", (Task("gild", 60, 30, 240, skill="gilding"),))
    gilder = replace(PROBLEM.people[0], skills=frozenset(("gilding",)))
    bea = Person("bea", tuple(Window(at(day, 9), at(day, 13)) for day in range(3, 9)))
    bea = replace(bea, skills=gilder.skills)
    problem = replace(PROBLEM, people=(gilder, bea), panels=(gilt,), freeze=at(4))
    old = make_plan(problem)
    assert [pin.person for pin in held(problem, old).pins] == ["ana"]
    unlearnt = replace(problem, people=(PROBLEM.people[0], bea))
    assert held(unlearnt, old).pins == ()


def test_a_sitting_fixed_at_this_minute_gives_way_to_what_she_is_at() -> None:
    begun = Panel("board", "bed", (Task("prime", 120, 30, 240, begun_by="ana"),))
    fixed = Pin("door", "prime", "ana", at(1, 9), at(1, 10))
    problem = replace(PROBLEM, now=at(1, 9), panels=(begun, PROBLEM.panels[1]), pins=(fixed,))
    plan = make_plan(problem)
    assert faults(problem, plan) == ()
    assert [t.kind for t in plan.troubles if t.kind != TroubleKind.LATE] == [TroubleKind.PIN_EARLY]
    assert (plan.sittings[0].panel, plan.sittings[0].end) == ("board", at(1, 11))


def test_a_sitting_fixed_while_what_it_lies_on_is_wet_is_not_kept() -> None:
    faces = (Face("top", ("back",)), Face("back", ("top",)))
    wet = Panel("board", "bed", (), at(3), face="back", wet_until=at(2, 10))
    door = Panel("door", "chest", (Task("prime", 60, 30, 240),), face="top")
    fixed = Pin("door", "prime", "ana", at(2, 9), at(2, 10))
    problem = replace(PROBLEM, panels=(wet, door), faces=faces, pins=(fixed,))
    plan = make_plan(problem)
    assert faults(problem, plan) == ()
    assert [t.kind for t in plan.troubles] == [TroubleKind.PIN_EARLY]
    assert [s.start for s in plan.sittings] == [at(2, 10)]


def test_of_a_stage_that_takes_longer_by_now_nothing_near_is_kept() -> None:
    old = make_plan(PROBLEM)
    longer = (replace(COATS[0], minutes=150), COATS[1])
    problem = replace(PROBLEM, panels=(replace(PROBLEM.panels[0], tasks=longer), PROBLEM.panels[1]))
    ground = settled(problem, wanted_first)
    kept = keep_near(ground, old, ground.keys, until=micros(at(9)))
    assert {(pin.panel, pin.task) for pin in kept.works.pins} <= {
        ("door", "prime"),
        ("door", "paint"),
        ("board", "paint"),
    }
    assert kept.works.pins
