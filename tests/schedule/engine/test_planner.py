"""Small programmes whose plan can be reasoned out by hand."""

import time as stopwatch
from datetime import UTC, datetime, timedelta

import pytest

from schedule.engine.calendar import Window
from schedule.engine.judge import faults
from schedule.engine.plan import Finish, Plan, PlannedGate, Trouble, TroubleKind
from schedule.engine.planner import make_plan
from schedule.engine.problem import Commission, Gate, Panel, Person, Problem, Task


def at(day: int, hour: int = 0, minute: int = 0) -> datetime:
    """A moment in June 2026, whose first day is a Monday."""
    return datetime(2026, 6, day, hour, minute, tzinfo=UTC)


def days(first: int, last: int, opens: int, closes: int) -> tuple[Window, ...]:
    return tuple(Window(at(day, opens), at(day, closes)) for day in range(first, last + 1))


def recoat(hours: int) -> Gate:
    return Gate("recoat", timedelta(hours=hours))


def task(key: str, minutes: int, gate: Gate | None = None, **more: int | str) -> Task:
    return Task(
        **({"key": key, "minutes": minutes, "shortest": 45, "longest": 210, "gate": gate} | more)
    )


def planned(
    panels: tuple[Panel, ...],
    *,
    windows: tuple[Window, ...],
    now: datetime | None = None,
    wanted: dict[str, datetime] | None = None,
    weights: dict[str, int] | None = None,
    others: tuple[Person, ...] = (),
) -> Plan:
    keys = dict.fromkeys(panel.commission for panel in panels)
    commissions = tuple(
        Commission(key, (wanted or {}).get(key), (weights or {}).get(key, 1)) for key in keys
    )
    people = (Person("ana", windows), *others)
    problem = Problem(now or at(1), people, commissions, panels)
    plan = make_plan(problem)
    assert faults(problem, plan) == ()
    return plan


def stints(plan: Plan) -> list[tuple[str, str, datetime, datetime]]:
    return [(s.panel, s.task, s.start, s.end) for s in plan.sittings]


def test_she_works_on_one_panel_while_another_dries() -> None:
    # 9-10 left door; 10-11 right door while it dries; left may go on at 12, right at 13 when she
    # has closed, so the next day.
    coats = (task("first", 60, recoat(2)), task("second", 60))
    plan = planned(
        (Panel("left", "chest", coats), Panel("right", "chest", coats)), windows=days(1, 3, 9, 13)
    )
    assert stints(plan) == [
        ("left", "first", at(1, 9), at(1, 10)),
        ("right", "first", at(1, 10), at(1, 11)),
        ("left", "second", at(1, 12), at(1, 13)),
        ("right", "second", at(2, 9), at(2, 10)),
    ]
    assert plan.gates == (
        PlannedGate("first", "left", "chest", "recoat", at(1, 12)),
        PlannedGate("first", "right", "chest", "recoat", at(1, 13)),
    )
    assert plan.finishes == (Finish("chest", at(2, 10), timedelta(0)),)


def test_a_five_hour_stage_goes_on_over_the_next_three_hour_window() -> None:
    plan = planned(
        (Panel("door", "chest", (task("details", 300, longest=240),)),), windows=days(1, 3, 9, 12)
    )
    assert stints(plan) == [
        ("door", "details", at(1, 9), at(1, 12)),
        ("door", "details", at(2, 9), at(2, 11)),
    ]


def test_a_sitting_stops_early_rather_than_leave_a_rest_not_worth_setting_up_for() -> None:
    # 3 h 15 in windows of 3 h would leave 15 min: she stops after 2 h 30, which leaves 45.
    plan = planned((Panel("door", "chest", (task("details", 195),)),), windows=days(1, 3, 9, 12))
    assert stints(plan) == [
        ("door", "details", at(1, 9), at(1, 11, 30)),
        ("door", "details", at(2, 9), at(2, 9, 45)),
    ]


def test_only_a_last_sitting_is_short_where_the_windows_allow_nothing_else() -> None:
    # An hour in windows of 45 min, at least 45 min at a time: 45 and 15 is all there is.
    windows = tuple(Window(at(day, 9), at(day, 9, 45)) for day in (1, 2, 3))
    plan = planned((Panel("door", "chest", (task("details", 60),)),), windows=windows)
    assert stints(plan) == [
        ("door", "details", at(1, 9), at(1, 9, 45)),
        ("door", "details", at(2, 9), at(2, 9, 15)),
    ]


def test_she_pauses_between_two_sittings_on_the_same_stage() -> None:
    plan = planned((Panel("door", "chest", (task("details", 300),)),), windows=days(1, 1, 9, 17))
    assert stints(plan) == [
        ("door", "details", at(1, 9), at(1, 12, 30)),
        ("door", "details", at(1, 12, 45), at(1, 14, 15)),
    ]


def test_a_gate_runs_through_the_weekend() -> None:
    # Friday 5 June 16-17, a day of drying opens on Saturday at 17; she is back on Monday at 9.
    windows = (*days(5, 5, 9, 17), *days(8, 9, 9, 17))
    plan = planned(
        (Panel("door", "chest", (task("oil", 60, recoat(24)), task("glaze", 60))),),
        windows=windows,
        now=at(5, 16),
    )
    assert plan.gates[0].opens == at(6, 17)
    assert stints(plan)[1] == ("door", "glaze", at(8, 9), at(8, 10))


def test_a_gate_that_opens_in_working_time_is_kept_to_the_hour() -> None:
    # Friday 16-17 and three days: Monday at 17, an hour before she closes.
    windows = (*days(5, 5, 9, 17), *days(8, 9, 9, 18))
    plan = planned(
        (Panel("door", "chest", (task("oil", 60, recoat(72)), task("glaze", 60))),),
        windows=windows,
        now=at(5, 16),
    )
    assert stints(plan)[1] == ("door", "glaze", at(8, 17), at(8, 18))


def test_a_commission_says_how_late_it_is_and_counts_its_last_gate() -> None:
    # Varnished on Monday 9-10, hard four days later, Friday at 10; wanted Tuesday at 10.
    plan = planned(
        (Panel("door", "chest", (task("varnish", 60, recoat(96)),)),),
        windows=days(1, 2, 9, 12),
        wanted={"chest": at(2, 10)},
    )
    assert plan.finishes == (Finish("chest", at(5, 10), timedelta(days=3)),)
    assert plan.troubles == (Trouble(TroubleKind.LATE, "chest", minutes=3 * 24 * 60),)
    assert plan.troubles[0].sentence == "chest will be late by 3 days."


def test_the_commission_wanted_first_goes_first() -> None:
    panels = (Panel("a", "later", (task("paint", 60),)), Panel("b", "sooner", (task("paint", 60),)))
    plan = planned(panels, windows=days(1, 2, 9, 12), wanted={"later": at(9), "sooner": at(8)})
    assert [sitting.panel for sitting in plan.sittings] == ["b", "a"]


def test_of_two_wanted_at_once_the_weightier_goes_first() -> None:
    panels = (Panel("a", "bed", (task("paint", 60),)), Panel("b", "chest", (task("paint", 60),)))
    plan = planned(
        panels,
        windows=days(1, 2, 9, 12),
        wanted={"bed": at(8), "chest": at(8)},
        weights={"chest": 3},
    )
    assert [sitting.panel for sitting in plan.sittings] == ["b", "a"]


def test_of_two_panels_the_one_with_more_work_and_waiting_ahead_goes_first() -> None:
    short = Panel("a", "chest", (task("paint", 120),))
    long = Panel("b", "chest", (task("paint", 60, recoat(24)), task("glaze", 60)))
    plan = planned((short, long), windows=days(1, 3, 9, 12))
    assert [sitting.panel for sitting in plan.sittings] == ["b", "a", "b"]


def test_a_panel_waits_for_the_gate_already_running() -> None:
    panel = Panel("door", "chest", (task("glaze", 60),), opens=at(2, 9, 40))
    plan = planned((panel,), windows=days(1, 2, 9, 12))
    assert stints(plan) == [("door", "glaze", at(2, 9, 45), at(2, 10, 45))]


def test_a_panel_with_only_its_cure_to_come_holds_the_finish() -> None:
    panels = (
        Panel("painted", "chest", (), opens=at(20, 8)),
        Panel("door", "chest", (task("glaze", 60),)),
    )
    plan = planned(panels, windows=days(1, 2, 9, 12))
    assert plan.finishes[0].finish == at(20, 8)


def test_a_wait_without_work_counts_from_the_gate_before_it() -> None:
    # The varnish opened on 30 May at noon; the cure of ten days does not start again each morning.
    cure = Task("cure", 0, 15, 60, Gate("cured", timedelta(days=10)))
    opened = datetime(2026, 5, 30, 12, tzinfo=UTC)
    plan = planned((Panel("door", "chest", (cure,), opens=opened),), windows=days(1, 2, 9, 12))
    assert plan.gates == (PlannedGate("cure", "door", "chest", "cured", at(9, 12)),)
    assert plan.sittings == ()
    assert plan.finishes[0].finish == at(9, 12)


def test_a_sitting_begun_goes_on_at_once_before_a_more_urgent_panel() -> None:
    # At 10:07 an hour is left: till 11:15 on the quarter hours; the urgent panel comes after.
    begun = Panel("door", "chest", (task("details", 60, begun_by="ana"),), opens=at(3))
    urgent = Panel("side", "urgent", (task("prime", 60),))
    plan = planned(
        (urgent, begun),
        windows=days(1, 2, 9, 13),
        now=at(1, 10, 7),
        wanted={"urgent": at(1, 12)},
    )
    assert stints(plan) == [
        ("door", "details", at(1, 10, 7), at(1, 11, 15)),
        ("side", "prime", at(1, 11, 15), at(1, 12, 15)),
    ]


def test_a_sitting_begun_may_stop_short_at_closing_time() -> None:
    begun = Panel("door", "chest", (task("details", 60, begun_by="ana"),))
    plan = planned((begun,), windows=days(1, 2, 9, 13), now=at(1, 12, 45))
    assert stints(plan) == [
        ("door", "details", at(1, 12, 45), at(1, 13)),
        ("door", "details", at(2, 9), at(2, 9, 45)),
    ]


def test_a_sitting_begun_goes_on_to_closing_even_where_a_long_sitting_would_be_better() -> None:
    # Nothing under an hour is worth while, but she is at it: a quarter now, three on the morrow.
    begun = Panel("door", "chest", (task("details", 60, shortest=60, begun_by="ana"),))
    plan = planned((begun,), windows=days(1, 2, 9, 13), now=at(1, 12, 45))
    assert stints(plan) == [
        ("door", "details", at(1, 12, 45), at(1, 13)),
        ("door", "details", at(2, 9), at(2, 9, 45)),
    ]


def test_a_sitting_begun_minutes_before_closing_goes_on_in_the_next_window() -> None:
    begun = Panel("door", "chest", (task("details", 60, begun_by="ana"),))
    windows = (Window(at(1, 9), at(1, 12, 10)), *days(2, 2, 9, 12))
    plan = planned((begun,), windows=windows, now=at(1, 12))
    assert stints(plan) == [("door", "details", at(2, 9), at(2, 10))]


def test_a_sitting_begun_by_someone_with_no_hours_left_lies_beyond_them() -> None:
    bea = Person("bea", (Window(at(2, 9), at(2, 9, 30)),))
    begun = Panel("door", "chest", (task("details", 60, begun_by="ana"),))
    plan = planned((begun,), windows=days(1, 1, 9, 12), now=at(1, 13), others=(bea,))
    assert plan.troubles == (Trouble(TroubleKind.BEYOND, "chest", "door", "details", 60),)


def test_a_sitting_begun_out_of_hours_goes_on_first_thing() -> None:
    begun = Panel("door", "chest", (task("details", 60, begun_by="ana"),))
    other = Panel("side", "urgent", (task("prime", 60),))
    plan = planned(
        (other, begun), windows=days(1, 2, 9, 13), now=at(1, 20), wanted={"urgent": at(1)}
    )
    assert stints(plan) == [
        ("door", "details", at(2, 9), at(2, 10)),
        ("side", "prime", at(2, 10), at(2, 11)),
    ]


def test_two_people_share_the_panels_but_never_one_stage() -> None:
    bea = Person("bea", days(1, 2, 9, 12))
    panels = (Panel("a", "chest", (task("paint", 240),)), Panel("b", "chest", (task("paint", 60),)))
    plan = planned(panels, windows=days(1, 2, 9, 11), others=(bea,))
    assert [(s.panel, s.person, s.start, s.end) for s in plan.sittings] == [
        ("a", "ana", at(1, 9), at(1, 11)),
        ("b", "bea", at(1, 9), at(1, 10)),
        ("a", "ana", at(2, 9), at(2, 11)),
    ]


def test_someone_idle_takes_up_what_another_has_just_made_ready() -> None:
    # Bea closes at noon; Ana primes 11-12, and an hour's wait lets Cleo go on at 13 before Ana's
    # next window on Tuesday.
    cleo = Person("cleo", (Window(at(1, 12), at(1, 16)),))
    panel = Panel("door", "chest", (task("prime", 60, recoat(1)), task("paint", 60)))
    plan = planned(
        (panel,), windows=(Window(at(1, 11), at(1, 12)), *days(2, 2, 9, 12)), others=(cleo,)
    )
    assert [(s.task, s.person, s.start) for s in plan.sittings] == [
        ("prime", "ana", at(1, 11)),
        ("paint", "cleo", at(1, 13)),
    ]


def test_someone_idle_takes_up_what_another_finishes_later_on() -> None:
    # Cleo is there from 10:30, but the priming is Ana's own: 9-10 and 11-11:30. Then Cleo paints.
    cleo = Person("cleo", (Window(at(1, 10, 30), at(1, 16)),))
    panel = Panel("door", "chest", (task("prime", 90, shortest=30), task("paint", 60)))
    windows = (Window(at(1, 9), at(1, 10)), Window(at(1, 11), at(1, 11, 30)), *days(2, 2, 9, 12))
    plan = planned((panel,), windows=windows, others=(cleo,))
    assert [(s.task, s.person, s.start, s.end) for s in plan.sittings] == [
        ("prime", "ana", at(1, 9), at(1, 10)),
        ("prime", "ana", at(1, 11), at(1, 11, 30)),
        ("paint", "cleo", at(1, 11, 30), at(1, 12, 30)),
    ]


def test_sittings_keep_to_quarter_hours_inside_odd_windows() -> None:
    windows = (Window(at(1, 9, 5), at(1, 10, 20)), *days(2, 2, 9, 12))
    plan = planned((Panel("door", "chest", (task("paint", 110),)),), windows=windows)
    assert stints(plan) == [
        ("door", "paint", at(1, 9, 15), at(1, 10, 15)),
        ("door", "paint", at(2, 9), at(2, 10)),
    ]


def test_a_stage_that_fits_no_window_is_named_and_the_rest_is_planned() -> None:
    tall = Panel(
        "tall", "chest", (task("glaze", 300, shortest=240, longest=300), task("varnish", 60))
    )
    door = Panel("door", "chest", (task("paint", 60),))
    plan = planned((tall, door), windows=days(1, 5, 9, 12), wanted={"chest": at(3)})
    assert [sitting.panel for sitting in plan.sittings] == ["door"]
    assert plan.troubles == (Trouble(TroubleKind.NO_FIT, "chest", "tall", "glaze", 240),)
    assert plan.troubles[0].told(commission="2026-014", panel="the tall door", task="glaze") == (
        "2026-014, the tall door: glaze needs 4 h at one sitting, and no working hours are that "
        "long. It and what follows on this panel are not planned."
    )
    assert plan.finishes[0].finish is None


def test_work_beyond_the_last_window_is_named_with_what_is_left() -> None:
    # 3 of 5 hours fit, then an hour of varnish is left as well: 3 h in all.
    panel = Panel("door", "chest", (task("details", 300), task("varnish", 60)))
    plan = planned((panel,), windows=days(1, 1, 9, 12))
    assert stints(plan) == [("door", "details", at(1, 9), at(1, 12))]
    assert plan.troubles == (Trouble(TroubleKind.BEYOND, "chest", "door", "details", 180),)
    assert "3 h of work" in plan.troubles[0].sentence


def test_a_stage_shorter_than_any_sitting_is_beyond_the_hours_and_not_too_long_for_them() -> None:
    panel = Panel("door", "chest", (task("touch up", 20),), opens=at(2))
    plan = planned((panel,), windows=(Window(at(1, 9), at(1, 9, 30)),))
    assert plan.troubles == (Trouble(TroubleKind.BEYOND, "chest", "door", "touch up", 20),)


@pytest.mark.parametrize(
    ("people", "kind", "words"),
    [
        ((), TroubleKind.NO_PEOPLE, "There is nobody to do the work"),
        ((Person("ana", ()),), TroubleKind.NO_HOURS, "There are no working hours"),
        (
            # Open until midnight, and midnight it is.
            (Person("ana", (Window(at(1, 9), at(2)),)),),
            TroubleKind.HOURS_PAST,
            "All working hours lie in the past",
        ),
    ],
)
def test_a_studio_that_cannot_work_at_all_is_told_why_in_one_sentence(
    people: tuple[Person, ...], kind: TroubleKind, words: str
) -> None:
    panels = (Panel("door", "chest", (task("paint", 60),)), Panel("dry", "box", (), opens=at(4)))
    problem = Problem(at(2), people, (Commission("chest"), Commission("box", at(3))), panels)
    plan = make_plan(problem)
    assert faults(problem, plan) == ()
    assert plan.sittings == ()
    assert [trouble.kind for trouble in plan.troubles] == [kind, TroubleKind.LATE]
    assert plan.troubles[0].sentence.startswith(words)


def test_a_studio_with_nothing_to_do_has_an_empty_plan_and_no_trouble() -> None:
    assert make_plan(Problem(at(1), (), (), ())) == Plan((), (), (), ())


def test_absurd_hours_are_a_trouble_and_not_a_failure() -> None:
    panel = Panel("door", "chest", (task("details", 10**9, longest=10**9),))
    plan = planned((panel,), windows=days(1, 30, 0, 24 - 1))
    assert plan.troubles[0].kind == TroubleKind.BEYOND


def test_a_dozen_panels_of_fourteen_stages_are_planned_while_she_taps() -> None:
    windows = tuple(
        Window(at(1, 9) + timedelta(days=day), at(1, 16) + timedelta(days=day))
        for day in range(700)
    )
    panels = tuple(
        Panel(
            f"panel {number}",
            "wardrobe",
            tuple(task(f"stage {n}", 60 + 45 * (n % 5), recoat(9 * (n % 7))) for n in range(14)),
        )
        for number in range(12)
    )
    problem = Problem(at(1), (Person("ana", windows),), (Commission("wardrobe"),), panels)
    seconds = []
    for _ in range(3):
        begun = stopwatch.perf_counter()
        plan = make_plan(problem)
        seconds.append(stopwatch.perf_counter() - begun)
    assert plan.troubles == ()
    assert min(seconds) < 0.1
