"""What an outlook says of small studios that can be reasoned out by hand."""

from dataclasses import replace
from datetime import date, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from jobs.paint import drying as paint
from schedule.engine.calendar import WeeklyHours, open_windows
from schedule.engine.planner import make_plan
from schedule.engine.problem import Commission, Gate, Panel, Person, Problem, Task
from schedule.engine.promise.doubt import Doubt, Drying, Wait
from schedule.engine.promise.outlook import DriverKind, Outlook, foresee
from tests.schedule.engine.promise.futures import MINUTE, at, weekdays

HOUR = timedelta(hours=1)
CERTAIN = Doubt(0, 0, 0, 0)
CHEST = Commission("chest", at(20, 0))


def studio(*panels: Panel, days: int = 60, **more) -> Problem:
    people = more.pop("people", (Person("ana", weekdays(days)),))
    return Problem(at(1, 6), people, more.pop("commissions", (CHEST,)), panels)


def outlook(problem: Problem, doubt: Doubt | None = None, **more) -> Outlook:
    return foresee(problem, make_plan(problem), doubt, **more)[0]


def coats(*waits: int, minutes: int = 120) -> tuple[Task, ...]:
    return tuple(
        Task(f"coat {n}", minutes, 45, 210, Gate("recoat", wait * HOUR))
        for n, wait in enumerate(waits)
    )


def test_the_same_call_gives_the_same_answer_and_another_seed_hardly_another() -> None:
    problem = studio(*(Panel(f"door {n}", "chest", coats(12, 12, 30)) for n in range(3)))
    first = outlook(problem)
    assert outlook(problem) == first
    other = outlook(problem, seed=2)
    assert other != first
    assert abs(other.fairly - first.fairly) < 8 * HOUR


def test_a_commission_keeps_its_futures_when_another_is_added_beside_it() -> None:
    two = (Person("ana", weekdays(60)), Person("bea", weekdays(60)))
    door = Panel("door", "chest", coats(12, 12, 30))
    alone = studio(door, people=two[:1])
    lid = Panel("lid", "box", coats(10, 10))
    beside = studio(door, lid, people=two, commissions=(CHEST, Commission("box")))
    mine, with_box = outlook(alone), outlook(beside)
    assert mine.curve == with_box.curve
    assert mine.drivers[0] == with_box.drivers[0]


def test_more_doubt_leaves_more_between_likely_and_fairly() -> None:
    problem = studio(*(Panel(f"door {n}", "chest", coats(12, 12, 30)) for n in range(3)))
    found = [
        outlook(problem, Doubt(hours, hours / 3, drying, drying / 3))
        for hours, drying in ((0, 0), (0.1, 0.1), (0.3, 0.3), (0.6, 0.6))
    ]
    gaps = [one.fairly - one.likely for one in found]
    assert gaps == sorted(gaps)
    assert gaps[0] == timedelta(0) < gaps[-1]


@pytest.mark.parametrize("found_wet", [0, 20, 40])
@pytest.mark.parametrize("least", [0, 24])
def test_a_gate_that_runs_opens_as_the_law_of_drying_says(found_wet: int, least: int) -> None:
    since, wet = at(1, 0), found_wet * HOUR
    running = Drying(Wait(30 * HOUR, 0.4, least * HOUR), since, wet)
    one = outlook(
        studio(Panel("door", "chest", (), at(2, 12))),
        Doubt(drying_in_common=0, of_panels={"door": running}),
    )
    law = paint.Drying(30 * HOUR, 0.4, least=least * HOUR)
    for chance, instant in ((0.5, one.likely), (0.8, one.fairly), (0.95, one.surely)):
        due = max(since + law.at(chance, elapsed=wet), at(1, 6))
        assert abs(instant - due) <= 20 * MINUTE


def test_what_the_last_day_hangs_on_is_named_first() -> None:
    long = (Task("varnish", 60, 45, 210, Gate("cured", timedelta(days=20))),)
    slow, quick = Panel("top", "chest", long), Panel("side", "chest", coats(2))
    driver = outlook(studio(slow, quick)).drivers[0]
    assert (driver.kind, driver.panel, driver.task) == (DriverKind.WAIT, "top", "varnish")
    assert driver.strength > 0.8
    work = (Task("interlace", 4000, 45, 210),)
    driver = outlook(studio(Panel("top", "chest", work), quick)).drivers[0]
    assert (driver.kind, driver.panel, driver.task) == (DriverKind.HOURS, "top", "interlace")


def test_many_small_stages_hang_on_her_pace() -> None:
    doors = [Panel(f"door {n}", "chest", coats(*[1] * 6)) for n in range(8)]
    drivers = outlook(studio(*doors)).drivers
    assert (drivers[0].kind, drivers[0].panel) == (DriverKind.PACE, "")


def test_work_of_which_nothing_is_uncertain_hangs_on_nothing() -> None:
    one = outlook(studio(Panel("door", "chest", coats(12))), CERTAIN)
    assert (one.drivers, one.likely, one.chance) == ((), one.surely, 1.0)


def test_a_spread_of_one_task_is_its_own() -> None:
    problem = studio(Panel("door", "chest", (Task("paint", 600, 45, 210),)))
    sure = Doubt(hours_in_common=0, of_tasks={("door", "paint"): 0})
    one = outlook(problem, sure)
    assert one.likely == one.surely == make_plan(problem).finishes[0].finish


def test_a_gate_that_says_its_own_median_and_spread_is_drawn_by_them() -> None:
    def ready(gate: Gate) -> Outlook:
        return outlook(studio(Panel("lid", "chest", (Task("paint", 60, 45, 210, gate),))), sure)

    sure = Doubt(0, 0, 0.35, 0)
    plain = ready(Gate("cured", 200 * HOUR))
    told = ready(Gate("cured", 200 * HOUR, median=100 * HOUR, sigma=0.1))
    assert plain.likely - told.likely == pytest.approx(100 * HOUR, abs=HOUR)
    # exp(1.645 x 0.1) of 100 h, the handbook's 95th of 100 of a lognormal
    assert told.surely - told.likely == pytest.approx(17.9 * HOUR, abs=HOUR)


def test_nine_o_clock_stays_nine_o_clock_in_the_futures_too() -> None:
    # Berlin goes from UTC+1 to UTC+2 on Sunday 29 March 2026.
    windows = open_windows(
        [WeeklyHours(day, time(9), time(13)) for day in range(5)],
        days_off=[date(2026, 3, 30)],
        zone=ZoneInfo("Europe/Berlin"),
        first=date(2026, 3, 27),
        last=date(2026, 4, 30),
    )
    panel = Panel("door", "chest", coats(30, 5, minutes=180))
    problem = Problem(windows[0].start, (Person("ana", windows),), (CHEST,), (panel,))
    berlin = ZoneInfo("Europe/Berlin")
    one = outlook(problem, CERTAIN)
    # Friday 9-12; dry on Saturday; Monday is off; Tuesday 9-12 and five hours.
    assert f"{one.likely.astimezone(berlin):%d %H:%M}" == "31 17:00"


def test_what_lies_after_the_last_working_hours_has_no_date() -> None:
    panel = Panel("door", "chest", coats(0, minutes=36 * 60))
    one = outlook(studio(panel, days=8))
    assert one.likely
    assert one.surely is None
    assert 0 < one.chance < 1


def test_what_is_not_planned_has_no_date_and_no_chance() -> None:
    too_long = Panel("door", "chest", (Task("glaze", 600, 600, 600),))
    for problem in (studio(too_long), studio(too_long, people=()), studio()):
        one = outlook(problem)
        assert (one.likely, one.surely, one.chance, one.drivers) == (None, None, 0, ())
    assert foresee(studio(commissions=()), make_plan(studio(commissions=()))) == ()


def test_a_commission_that_is_done_and_dry_is_ready_now() -> None:
    problem = studio(Panel("door", "chest", (), at(1, 0)))
    one = outlook(problem)
    assert one.likely == one.surely == problem.now


@pytest.mark.parametrize(
    ("build", "words"),
    [
        (lambda: Doubt(hours=-0.1), "sigma of a logarithm"),
        (lambda: Doubt(of_tasks={("door", "paint"): float("nan")}), "sigma of a logarithm"),
        (lambda: Wait(HOUR, 9), "sigma of a logarithm"),
        (lambda: Wait(-HOUR, 0.3), "cannot be less than nothing"),
        (lambda: Drying(Wait(HOUR, 0.3), at(1, 0).replace(tzinfo=None)), "aware datetime in UTC"),
        (lambda: outlook(studio(), scenarios=1), "at least two scenarios"),
        (lambda: outlook(studio(), ahead=0), "a look at the next sitting"),
    ],
)
def test_nonsense_is_refused(build, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        build()


def test_a_wanted_date_has_the_chance_the_curve_gives_it() -> None:
    problem = studio(*(Panel(f"door {n}", "chest", coats(12, 12, 30)) for n in range(3)))
    fairly = outlook(problem).fairly
    wanted = replace(problem, commissions=(replace(CHEST, wanted=fairly),))
    assert outlook(wanted).chance == pytest.approx(0.8, abs=0.01)
