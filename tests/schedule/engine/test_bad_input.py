"""What cannot all hold is named, no more of it than there must be, and the rest is planned."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from schedule.engine.calendar import Window
from schedule.engine.judge import faults
from schedule.engine.plan import Plan, Trouble, TroubleKind
from schedule.engine.planner import make_plan
from schedule.engine.problem import Commission, Face, Gate, Panel, Person, Pin, Problem, Task


def at(day: int, hour: int = 0, minute: int = 0) -> datetime:
    """A moment in June 2026, whose first day is a Monday."""
    return datetime(2026, 6, day, hour, minute, tzinfo=UTC)


HOUR = timedelta(hours=1)
MORNINGS = tuple(Window(at(day, 9), at(day, 13)) for day in range(1, 20))
ANA = Person("ana", MORNINGS)
DRY = Gate("recoat", 20 * HOUR)
TRAY = Panel("tray", "tray", (Task("paint", 60, 30, 240),))
"""What is planned beside all that cannot be."""


def studio(*panels: Panel, people: tuple[Person, ...] = (ANA,), **more: object) -> Problem:
    commissions = tuple(Commission(key) for key in ("chest", "tray"))
    return Problem(at(1), people, commissions, (*panels, TRAY), **more)


def door(*tasks: Task, **more: object) -> Panel:
    return Panel("door", "chest", tasks, **more)


def planned(problem: Problem) -> Plan:
    plan = make_plan(problem)
    assert faults(problem, plan) == ()
    return plan


def trouble_of(problem: Problem) -> Trouble:
    """The one trouble of a studio in which all but that is planned."""
    plan = planned(problem)
    assert any(s.panel == "tray" for s in plan.sittings)
    (trouble,) = plan.troubles
    return trouble


def test_a_sitting_longer_than_any_window_is_named_with_its_length() -> None:
    task = Task("varnish", 300, 300, 300)
    trouble = trouble_of(studio(door(task)))
    assert (trouble.kind, trouble.task, trouble.minutes) == (TroubleKind.NO_FIT, "varnish", 300)
    assert not planned(studio(door(replace(task, shortest=60)))).troubles
    longer = replace(ANA, windows=(*MORNINGS, Window(at(20, 9), at(20, 14))))
    assert not planned(studio(door(task), people=(longer,))).troubles


def test_a_sitting_longer_than_any_window_may_be_fixed_by_the_painter_herself() -> None:
    pin = Pin("door", "varnish", "ana", at(7, 8), at(7, 13))
    plan = planned(studio(door(Task("varnish", 300, 300, 300)), pins=(pin,)))
    assert not plan.troubles
    assert [s.start for s in plan.sittings if s.panel == "door"] == [at(7, 8)]


@pytest.mark.parametrize(
    ("people", "kind"),
    [
        ((), TroubleKind.NO_PEOPLE),
        ((Person("ana", ()),), TroubleKind.NO_HOURS),
        ((Person("ana", (Window(at(1) - 5 * HOUR, at(1) - HOUR),)),), TroubleKind.HOURS_PAST),
    ],
)
def test_without_people_or_hours_there_is_one_trouble_and_what_dries_is_still_told(
    people: tuple[Person, ...], kind: TroubleKind
) -> None:
    lid = Panel("lid", "box", (), at(3))
    problem = studio(people=people)
    commissions = (*problem.commissions, Commission("box"))
    problem = replace(problem, commissions=commissions, panels=(TRAY, lid))
    plan = planned(problem)
    assert plan.troubles == (Trouble(kind),)
    assert {row.commission: row.finish for row in plan.finishes}["box"] == at(3)


def test_work_of_which_only_someone_without_hours_is_capable_is_named_so() -> None:
    away = Person("bea", (), frozenset(("gilding",)))
    gild = Task("gild", 60, 30, 240, skill="gilding")
    trouble = trouble_of(studio(door(gild), people=(ANA, away)))
    assert (trouble.kind, trouble.task) == (TroubleKind.AWAY, "gild")
    assert trouble.sentence.startswith("chest, door: whoever can do gild has no working hours to")
    for back in (replace(away, windows=MORNINGS[:1]), replace(ANA, skills=away.skills)):
        assert not planned(studio(door(gild), people=(back,))).troubles


def test_what_must_be_worked_in_before_the_night_is_over_is_named_with_its_coat() -> None:
    # Four hours of scumble fill the morning; the glaze is to be in it within the two hours after.
    scumble = Task("scumble", 240, 240, 240)
    glaze = Task("glaze", 60, 60, 60, within=2 * HOUR)
    trouble = trouble_of(studio(door(scumble, glaze)))
    assert (trouble.kind, trouble.task, trouble.other_task, trouble.together) == (
        TroubleKind.WET,
        "scumble",
        "glaze",
        (),
    )
    assert trouble.minutes == 120
    assert not planned(studio(door(replace(scumble, minutes=180, shortest=180), glaze))).troubles
    assert not planned(studio(door(scumble, replace(glaze, within=None)))).troubles
    assert not planned(studio(door(scumble, replace(glaze, within=22 * HOUR)))).troubles


def test_of_a_long_wet_run_only_those_that_do_not_go_together_are_named() -> None:
    tasks = (
        Task("ground", 30, 30, 30),
        Task("scumble", 150, 150, 150, within=9 * HOUR),
        Task("glaze", 120, 120, 120, within=3 * HOUR),
    )
    trouble = trouble_of(studio(door(*tasks)))
    assert (trouble.kind, trouble.task) == (TroubleKind.WET, "ground")
    assert trouble.together == (("door", "scumble"), ("door", "glaze"))
    assert trouble.sentence == (
        "chest, door: no working hours hold scumble and glaze in one go, wet into wet. From ground "
        "on, nothing is planned."
    )


wet_runs = st.lists(
    st.builds(
        lambda minutes, wait, within: Task(
            "coat",
            minutes,
            minutes,
            minutes,
            Gate("touch-dry", timedelta(minutes=wait)),
            within=timedelta(minutes=max(within, minutes + wait)),
        ),
        st.sampled_from((30, 60, 120, 180)),
        st.sampled_from((0, 15, 60)),
        st.sampled_from((60, 150, 600, 1500)),
    ),
    min_size=2,
    max_size=5,
)


@settings(max_examples=60, deadline=None)
@given(wet_runs)
def test_were_any_coat_that_is_named_not_worked_in_wet_the_others_could_be(
    run: list[Task],
) -> None:
    tasks = tuple(replace(task, key=f"coat {n}") for n, task in enumerate(run))
    tasks = (replace(tasks[0], within=None), *tasks[1:])
    trouble = next(iter(planned(studio(door(*tasks))).troubles), None)
    assume(trouble is not None)
    assert trouble.kind == TroubleKind.WET
    named = [key for _, key in trouble.together] or [trouble.task, trouble.other_task]
    assert len(named) > 1
    only = tuple(task for task in tasks if task.key in named)
    only = (replace(only[0], within=None), *only[1:])
    assert planned(studio(door(*only))).troubles
    for let_go in only[1:]:
        freed = tuple(replace(t, within=None) if t is let_go else t for t in only)
        assert not planned(studio(door(*freed))).troubles


def test_nobody_who_can_do_both_is_named_by_those_two_alone() -> None:
    gilder = Person("bea", MORNINGS, frozenset(("gilding",)))
    figures = replace(ANA, skills=frozenset(("figures",)))
    tasks = (
        Task("ground", 30, 30, 30),
        Task("gild", 30, 30, 30, skill="gilding", within=9 * HOUR),
        Task("glaze", 30, 30, 30, within=9 * HOUR),
        Task("draw", 30, 30, 30, skill="figures", within=9 * HOUR),
    )
    trouble = trouble_of(studio(door(*tasks), people=(gilder, figures)))
    assert (trouble.kind, trouble.task) == (TroubleKind.NO_SKILL, "ground")
    assert trouble.together == (("door", "gild"), ("door", "draw"))


def test_one_that_nobody_can_do_in_a_wet_run_is_named_alone() -> None:
    tasks = (
        Task("ground", 30, 30, 30),
        Task("gild", 30, 30, 30, skill="gilding", within=9 * HOUR),
        Task("glaze", 30, 30, 30, within=9 * HOUR),
    )
    trouble = trouble_of(studio(door(*tasks)))
    assert trouble.together == (("door", "gild"),)
    assert trouble.sentence == (
        "chest, door: no one person can do gild while the paint is wet. From ground on, nothing is "
        "planned."
    )


COATS = (
    Task("prime", 120, 30, 240, DRY),
    Task("paint", 120, 30, 240, DRY),
    Task("line", 60, 30, 60),
)


def pin(task: str, start: datetime, *, panel: str = "door", person: str = "ana") -> Pin:
    return Pin(panel, task, person, start, start + HOUR)


def test_two_pins_at_one_time_collide_and_either_alone_holds() -> None:
    pins = (pin("prime", at(2, 10)), pin("paint", at(2, 10), panel="tray"))
    trouble = trouble_of(studio(door(*COATS), pins=pins))
    assert (trouble.kind, trouble.task, trouble.other_task) == (
        TroubleKind.PIN_CLASH,
        "paint",
        "prime",
    )
    for one in pins:
        assert not planned(studio(door(*COATS), pins=(one,))).troubles


def test_pins_in_the_wrong_order_are_a_cycle_and_collide() -> None:
    # The only cycle there can be: tasks of a panel come in order, and panels wait for none.
    pins = (pin("prime", at(4, 9)), pin("line", at(3, 9)))
    trouble = trouble_of(studio(door(*COATS), pins=pins))
    assert (trouble.kind, trouble.task, trouble.other_task) == (
        TroubleKind.PIN_CLASH,
        "prime",
        "line",
    )


def test_a_pin_that_lays_a_face_down_on_wet_paint_of_another_pin_collides_with_it() -> None:
    faces = (Face("front", ("back",)), Face("back", ("front",)))
    wood = Task("paint", 60, 30, 240, DRY)
    back = Panel("lid", "chest", (wood,), face="back")
    pins = (pin("paint", at(2, 9), panel="lid"), pin("prime", at(2, 12)))
    front = door(*COATS, face="front")
    trouble = trouble_of(studio(front, back, faces=faces, pins=pins))
    assert (trouble.kind, trouble.panel, trouble.other_panel) == (
        TroubleKind.PIN_CLASH,
        "door",
        "lid",
    )
    for one in pins:
        assert not planned(studio(front, back, faces=faces, pins=(one,))).troubles


def test_faces_that_lie_on_each_other_in_a_ring_are_no_cycle_but_take_turns() -> None:
    ring = ("front", "side", "back")
    faces = tuple(Face(key, (ring[n - 1],)) for n, key in enumerate(ring))
    panels = tuple(Panel(key, "chest", COATS, face=key) for key in ring)
    assert not planned(studio(*panels, faces=faces)).troubles
    pair = (Face("front", ("back",)), Face("back", ("front",)))
    both = tuple(Panel(key, "chest", COATS, face=key) for key in ("front", "back"))
    assert not planned(studio(*both, faces=pair)).troubles


def test_a_pin_too_early_is_named_with_what_cannot_be_done_before_it() -> None:
    # Primed and painted on Monday and Tuesday, dry on Wednesday: lined on Wednesday at the soonest.
    trouble = trouble_of(studio(door(*COATS), pins=(pin("line", at(2, 11)),)))
    assert (trouble.kind, trouble.task) == (TroubleKind.PIN_EARLY, "line")
    assert trouble.together == (("door", "prime"), ("door", "paint"))
    assert trouble.sentence == (
        "chest, door: the sitting of line that you fixed comes before prime and paint can all be "
        "done and dry. It is planned elsewhere."
    )
    assert not planned(studio(door(*COATS[1:]), pins=(pin("line", at(2, 11)),))).troubles
    assert not planned(studio(door(*COATS), pins=(pin("line", at(3, 11)),))).troubles


@pytest.mark.parametrize(
    "shut",
    [
        door(*COATS[1:], opens=at(4)),
        door(*COATS[1:], not_before=at(4)),
        door(replace(COATS[1], not_before=at(4)), COATS[2]),
    ],
)
def test_a_pin_before_its_piece_is_there_or_dry_is_told_so(shut: Panel) -> None:
    trouble = trouble_of(studio(shut, pins=(pin("paint", at(3, 9)),)))
    assert (trouble.kind, trouble.task) == (TroubleKind.PIN_SHUT, "paint")
    assert not planned(studio(shut, pins=(pin("paint", at(4, 9)),))).troubles


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.sampled_from((0, 60, 120, 240)), st.sampled_from((0, 4, 20, 70))),
        min_size=1,
        max_size=5,
    ),
    st.integers(1, 6),
)
def test_were_any_coat_before_a_pin_left_out_the_pin_would_hold(
    coats: list[tuple[int, int]], day: int
) -> None:
    before = tuple(
        Task(f"coat {n}", minutes, 15, 240, Gate("recoat", wait * HOUR))
        for n, (minutes, wait) in enumerate(coats)
    )
    last = Task("line", 60, 60, 60)
    fixed = (pin("line", at(day, 12)),)
    problem = studio(door(*before, last), pins=fixed)
    problem = replace(problem, panels=problem.panels[:1])
    found = planned(problem).troubles
    assume(found)
    (trouble,) = found
    assert trouble.kind == TroubleKind.PIN_EARLY
    named = [key for _, key in trouble.together] or [trouble.other_task]
    only = [task for task in before if task.key in named]
    for left_out in (None, *only):
        kept = tuple(task for task in only if task is not left_out)
        fewer = replace(problem, panels=(door(*kept, last),))
        assert bool(planned(fewer).troubles) == (left_out is None)
