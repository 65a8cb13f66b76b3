"""Skills, shared palettes, wet-in-wet, turning and the rack in programmes reasoned out by hand."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from schedule.engine.calendar import Window
from schedule.engine.judge import faults
from schedule.engine.judge_score import score
from schedule.engine.plan import Plan, PlannedSitting, Trouble, TroubleKind
from schedule.engine.planner import make_plan
from schedule.engine.problem import Commission, Face, Gate, Panel, Person, Problem, Task


def at(day: int, hour: int = 0, minute: int = 0) -> datetime:
    """A moment in June 2026, whose first day is a Monday."""
    return datetime(2026, 6, day, hour, minute, tzinfo=UTC)


def days(first: int, last: int, opens: int, closes: int) -> tuple[Window, ...]:
    return tuple(Window(at(day, opens), at(day, closes)) for day in range(first, last + 1))


def hours(number: float) -> timedelta:
    return timedelta(hours=number)


def task(key: str, minutes: int, wait: float = 0, **more: object) -> Task:
    gate = Gate("recoat", hours(wait)) if wait else None
    return Task(
        **({"key": key, "minutes": minutes, "shortest": 30, "longest": 240} | more), gate=gate
    )


ANA = Person("ana", days(1, 5, 9, 13))


def studio(*panels: Panel, people: tuple[Person, ...] = (ANA,), **more: object) -> Problem:
    keys = dict.fromkeys(panel.commission for panel in panels)
    return Problem(at(1), people, tuple(Commission(key) for key in keys), panels, **more)


def planned(problem: Problem) -> Plan:
    plan = make_plan(problem)
    assert faults(problem, plan) == ()
    return plan


def stints(plan: Plan) -> list[tuple[str, str, datetime, datetime]]:
    return [(s.panel, s.task, s.start, s.end) for s in plan.sittings]


def meddled(problem: Problem, plan: Plan, number: int, **changes: object) -> str:
    """The faults of a plan of which one sitting was changed."""
    sittings = list(plan.sittings)
    sittings[number] = replace(sittings[number], **changes)
    return " ".join(faults(problem, replace(plan, sittings=tuple(sittings))))


def shifted(sitting: PlannedSitting, by: timedelta) -> dict[str, datetime]:
    return {"start": sitting.start + by, "end": sitting.end + by}


# -- skills and earliest starts ---------------------------------------------------------------


def test_gilding_waits_for_the_one_who_can_gild() -> None:
    bea = Person("bea", days(3, 5, 9, 13), frozenset({"gilding"}))
    problem = studio(
        Panel("door", "chest", (task("gild", 60, skill="gilding"),)), people=(ANA, bea)
    )
    plan = planned(problem)
    assert [(s.person, s.start) for s in plan.sittings] == [("bea", at(3, 9))]
    assert "who cannot do it" in meddled(problem, plan, 0, person="ana")


def test_what_nobody_can_do_is_named_and_the_rest_is_planned() -> None:
    gild = Panel("door", "chest", (task("gild", 60, skill="gilding"),))
    plan = planned(studio(gild, Panel("side", "chest", (task("prime", 60),))))
    assert [s.panel for s in plan.sittings] == ["side"]
    assert plan.troubles == (Trouble(TroubleKind.NO_SKILL, "chest", "door", "gild"),)
    assert "nobody can do gild" in plan.troubles[0].sentence


def test_a_stage_waits_for_the_piece_and_for_its_colour() -> None:
    steps = (task("prime", 60), task("paint", 60, not_before=at(4, 10)))
    problem = studio(Panel("door", "chest", steps, not_before=at(2, 11)))
    plan = planned(problem)
    assert [s.start for s in plan.sittings] == [at(2, 11), at(4, 10)]
    assert "starts before it may" in meddled(problem, plan, 0, start=at(1, 9), end=at(1, 10))
    assert "starts before it may" in meddled(problem, plan, 1, start=at(3, 9), end=at(3, 10))


# -- palettes ---------------------------------------------------------------------------------


def test_two_sittings_of_one_mix_on_a_day_set_it_up_once() -> None:
    umber = {"mix": "umber", "set_up": 30}
    panels = (
        Panel("left", "chest", (task("paint", 90, **umber),)),
        Panel("right", "chest", (task("paint", 90, **umber),)),
    )
    problem = studio(*panels)
    plan = planned(problem)
    assert stints(plan) == [
        ("left", "paint", at(1, 9), at(1, 10, 30)),
        ("right", "paint", at(1, 10, 30), at(1, 11, 30)),
    ]
    assert score(problem, plan).set_ups == 1
    late = {"start": at(2, 9), "end": at(2, 10)}
    assert "of its work unplanned" in meddled(problem, plan, 1, **late)


def test_the_mix_on_the_palette_wins_of_two_that_are_as_pressing() -> None:
    panels = (
        Panel("a", "chest", (task("paint", 60, mix="umber"),)),
        Panel("b", "chest", (task("paint", 60, mix="lake"),)),
        Panel("c", "chest", (task("paint", 60, mix="umber"),)),
    )
    assert [s.panel for s in planned(studio(*panels)).sittings] == ["a", "c", "b"]


# -- wet-in-wet -------------------------------------------------------------------------------


def test_a_wet_run_waits_for_a_morning_that_holds_it_and_is_done_in_one_go() -> None:
    # Two hours and two hours within three: nothing after ten o'clock will do.
    sky = (task("sky", 120), task("clouds", 120, within=hours(3)))
    problem = studio(
        Panel("scene", "chest", sky, not_before=at(1, 9, 30)),
        Panel("side", "chest", (task("prime", 240),)),
    )
    plan = planned(problem)
    assert stints(plan)[-2:] == [
        ("scene", "sky", at(2, 9), at(2, 11)),
        ("scene", "clouds", at(2, 11), at(2, 13)),
    ]
    assert "over its wait" in meddled(problem, plan, 2, start=at(3, 9), end=at(3, 11))


def test_a_wet_run_that_fits_no_day_is_named_with_both_its_stages() -> None:
    sky = (task("sky", 180), task("clouds", 180, within=hours(4)), task("varnish", 60))
    plan = planned(studio(Panel("scene", "chest", sky), Panel("side", "chest", (task("p", 60),))))
    assert [s.panel for s in plan.sittings] == ["side"]
    trouble = Trouble(TroubleKind.WET, "chest", "scene", "sky", 240, "scene", "clouds")
    assert plan.troubles == (trouble,)
    assert "clouds on scene must be finished within 4 h of sky" in trouble.sentence


def test_a_glaze_already_laid_is_worked_first_or_told_to_have_set() -> None:
    wipe = Panel("door", "chest", (task("wipe", 60, within=hours(12)),), touched=at(1) - hours(1))
    urgent = Panel("a", "box", (task("prime", 60),))
    assert stints(planned(studio(urgent, wipe)))[0] == ("door", "wipe", at(1, 9), at(1, 10))
    late = replace(wipe, touched=at(1) - hours(3))
    plan = planned(studio(urgent, late))
    assert plan.troubles == (Trouble(TroubleKind.SET, "chest", "door", "wipe", 720),)


def test_one_person_works_a_wet_run_even_where_two_are_free() -> None:
    bea = Person("bea", days(1, 5, 9, 13), frozenset({"figures"}))
    sky = (task("sky", 60), task("figure", 60, within=hours(2), skill="figures"))
    plan = planned(studio(Panel("scene", "chest", sky), people=(ANA, bea)))
    assert [s.person for s in plan.sittings] == ["bea", "bea"]


# -- turning and the rack ---------------------------------------------------------------------

TOP_AND_BACK = (Face("top", ("back",)), Face("back", ("top",)))


def test_a_chest_is_not_laid_on_its_wet_back() -> None:
    panels = (
        Panel("a", "chest", (task("paint", 60, 20),), face="back"),
        Panel("b", "chest", (task("paint", 60),), face="top"),
    )
    problem = studio(*panels, faces=TOP_AND_BACK)
    plan = planned(problem)
    assert stints(plan)[1] == ("b", "paint", at(2, 9), at(2, 10))
    assert score(problem, plan).turnings == 1
    assert "before it is dry" in meddled(problem, plan, 1, start=at(1, 10), end=at(1, 11))


def test_a_coat_laid_before_now_keeps_the_chest_as_it_lies() -> None:
    panels = (
        Panel("a", "chest", (), at(3, 10), face="back", wet_until=at(2, 9, 30)),
        Panel("b", "chest", (task("paint", 60),), face="top"),
    )
    plan = planned(studio(*panels, faces=TOP_AND_BACK))
    assert stints(plan) == [("b", "paint", at(2, 9, 30), at(2, 10, 30))]


def test_a_coat_that_may_be_touched_no_longer_hinders() -> None:
    gate = Gate("recoat", hours(20), wet=hours(2))
    wet = Task("paint", 60, 30, 240, gate)
    panels = (
        Panel("a", "chest", (wet,), face="back"),
        Panel("b", "chest", (task("paint", 60),), face="top"),
    )
    plan = planned(studio(*panels, faces=TOP_AND_BACK))
    assert stints(plan)[1] == ("b", "paint", at(1, 12), at(1, 13))


def test_no_more_doors_are_coated_than_the_rack_holds() -> None:
    doors = [Panel(f"door {n}", "chest", (task("prime", 60, 20),), rack=True) for n in range(3)]
    problem = studio(*doors, rack=2)
    plan = planned(problem)
    # The third may be laid when the first place is free again: dry at six on Tuesday.
    assert [s.start for s in plan.sittings] == [at(1, 9), at(1, 10), at(2, 9)]
    found = meddled(problem, plan, 2, start=at(1, 11), end=at(1, 12))
    assert "3 parts are drying at" in found


def test_two_panels_on_a_door_take_one_place_on_the_rack() -> None:
    halves = [
        Panel(f"{n}", "chest", (task("prime", 60, 20),), rack=True, part="door") for n in range(2)
    ]
    shut = Panel("other", "chest", (task("prime", 60, 20),), rack=True)
    plan = planned(studio(*halves, shut, rack=1))
    assert [s.start for s in plan.sittings] == [at(1, 9), at(1, 10), at(2, 9)]
    assert plan.sittings[2].panel == "other"


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"faces": (Face("top", ("floor",)),)}, "lies on an unknown face 'floor'"),
        ({"rack": 0}, "room for at least one part"),
    ],
)
def test_a_face_or_a_rack_that_cannot_be_is_refused(more: dict, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        studio(**more)


def test_a_wet_coat_under_what_is_just_laid_on_its_face_is_worked_when_that_is_dry() -> None:
    # The front is being painted till ten, and dry at noon: then the chest may lie on it.
    paint = Task("paint", 60, 30, 240, Gate("recoat", hours(2)), begun_by="ana")
    wipe = task("wipe", 60, within=hours(30))
    panels = (
        Panel("front", "chest", (paint,), face="top"),
        Panel("back", "chest", (wipe,), face="back", touched=at(1, 8)),
    )
    problem = replace(studio(*panels, faces=TOP_AND_BACK), now=at(1, 9))
    plan = planned(problem)
    assert not plan.troubles
    assert stints(plan)[-1] == ("back", "wipe", at(1, 12), at(1, 13))
