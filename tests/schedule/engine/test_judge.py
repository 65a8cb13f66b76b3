"""The judge finds each kind of fault in a plan that was sound before it was meddled with."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from schedule.engine import judge
from schedule.engine.calendar import Window
from schedule.engine.judge import faults
from schedule.engine.plan import Finish, Plan, PlannedGate, PlannedSitting, Trouble, TroubleKind
from schedule.engine.problem import Commission, Gate, Panel, Person, Problem, Task

SLOT = timedelta(minutes=15)


def at(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 6, day, hour, minute, tzinfo=UTC)


# Ana 9-12 and 13-17 on the first three days, Bea 9-12. It is 8:00 on the first.
WINDOWS = tuple(
    window
    for day in (1, 2, 3)
    for window in (Window(at(day, 9), at(day, 12)), Window(at(day, 13), at(day, 17)))
)
DOOR = Panel(
    "door",
    "chest",
    (
        Task("prime", 60, 45, 120, Gate("recoat", timedelta(hours=2))),
        Task("paint", 240, 45, 120, Gate("cured", timedelta(days=2))),
    ),
)
SIDE = Panel("side", "chest", (Task("prime", 60, 45, 120),), opens=at(1, 10))
LID = Panel("lid", "box", (Task("glaze", 600, 480, 600), Task("wax", 30, 15, 60)))
PROBLEM = Problem(
    at(1, 8),
    (Person("ana", WINDOWS), Person("bea", WINDOWS[::2])),
    (Commission("chest", at(4, 16)), Commission("box", at(9, 12))),
    (DOOR, SIDE, LID),
)


def sat(
    task: str, panel: str, start: datetime, end: datetime, person: str = "ana"
) -> PlannedSitting:
    return PlannedSitting(task, panel, "chest", person, start, end)


# Written by hand: primed 9-10, dry at 12, painted 13-15 and 15:15-17:15 would close: the second
# two hours are on the morrow at 9-11; hard two days later, 4 June at 11.
PRIME = sat("prime", "door", at(1, 9), at(1, 10))
SIDE_PRIME = sat("prime", "side", at(1, 10), at(1, 11))
PAINT = sat("paint", "door", at(1, 13), at(1, 15))
MORE_PAINT = sat("paint", "door", at(2, 9), at(2, 11))
GATES = (
    PlannedGate("prime", "door", "chest", "recoat", at(1, 12)),
    PlannedGate("paint", "door", "chest", "cured", at(4, 11)),
)
FINISHES = (Finish("chest", at(4, 11), timedelta(0)), Finish("box", None, timedelta(0)))
NO_FIT = Trouble(TroubleKind.NO_FIT, "box", "lid", "glaze", 480)
SOUND = Plan((PRIME, SIDE_PRIME, PAINT, MORE_PAINT), GATES, FINISHES, (NO_FIT,))


def swap(old: PlannedSitting, *new: PlannedSitting) -> Plan:
    kept = tuple(sitting for sitting in SOUND.sittings if sitting != old)
    return replace(SOUND, sittings=kept + new)


def shifted(sitting: PlannedSitting, by: timedelta) -> PlannedSitting:
    return replace(sitting, start=sitting.start + by, end=sitting.end + by)


def test_a_sound_plan_made_by_hand_has_no_fault() -> None:
    assert faults(PROBLEM, SOUND) == ()


@pytest.mark.parametrize(
    ("plan", "words"),
    [
        pytest.param(swap(PRIME), "unplanned, and no trouble says so", id="work left out"),
        pytest.param(swap(PRIME, PRIME, PRIME), "at once", id="a sitting planned twice"),
        pytest.param(
            swap(PRIME, PRIME, sat("prime", "door", at(1, 10, 15), at(1, 11), "bea")),
            "too much planned",
            id="too much work",
        ),
        pytest.param(
            swap(SIDE_PRIME, shifted(SIDE_PRIME, timedelta(hours=1, minutes=30))),
            "outside the windows of ana",
            id="over the midday closing",
        ),
        pytest.param(
            swap(PAINT, replace(PAINT, person="bea")), "outside the windows of bea", id="her hours"
        ),
        pytest.param(
            swap(SIDE_PRIME, shifted(SIDE_PRIME, -SLOT)),
            "ana is at",
            id="two things at once",
        ),
        pytest.param(
            swap(SIDE_PRIME, replace(shifted(SIDE_PRIME, -SLOT), person="bea")),
            "starts before it may",
            id="before the panel opens",
        ),
        pytest.param(
            swap(PAINT, sat("paint", "door", at(1, 11), at(1, 12), "ana")),
            "starts before it may",
            id="on a coat that is not dry",
        ),
        pytest.param(
            swap(SIDE_PRIME, shifted(SIDE_PRIME, timedelta(minutes=5))),
            "not on the slots",
            id="off the quarter hour",
        ),
        pytest.param(
            swap(PRIME, replace(PRIME, start=at(1, 7), end=at(1, 8))), "before now", id="the past"
        ),
        pytest.param(
            swap(PRIME, replace(PRIME, end=PRIME.start)), "has no length", id="without length"
        ),
        pytest.param(
            swap(PAINT, replace(PAINT, end=at(1, 16))), "over its longest", id="too long a sitting"
        ),
        pytest.param(
            swap(
                PAINT,
                replace(PAINT, end=at(1, 13, 30)),
                sat("paint", "door", at(1, 14), at(1, 15, 30)),
            ),
            "under its shortest",
            id="too short a sitting",
        ),
        pytest.param(
            swap(
                MORE_PAINT,
                replace(MORE_PAINT, end=at(2, 10, 45)),
                sat("paint", "door", at(2, 13), at(2, 13, 15)),
            ),
            "without need",
            id="a short rest left without need",
        ),
        pytest.param(
            swap(MORE_PAINT, sat("paint", "door", at(1, 15), at(1, 17))),
            "without a pause",
            id="no pause",
        ),
        pytest.param(
            swap(MORE_PAINT, replace(MORE_PAINT, person="bea")),
            "more than one person",
            id="two people on one stage",
        ),
        pytest.param(
            swap(PRIME, replace(PRIME, person="cleo")), "not in the problem", id="a stranger"
        ),
        pytest.param(
            swap(PRIME, PRIME, sat("varnish", "door", at(1, 16), at(1, 17))),
            "varnish on door is not in the problem",
            id="an unknown stage",
        ),
        pytest.param(
            swap(PRIME, replace(PRIME, commission="box")), "wrong commission", id="wrong commission"
        ),
        pytest.param(
            swap(PRIME, PRIME, replace(PRIME, task="wax", panel="lid", commission="box")),
            "planned before what it follows",
            id="after a stage that is not planned",
        ),
        pytest.param(
            replace(SOUND, gates=GATES[:1]), "gate after paint on door", id="a gate missing"
        ),
        pytest.param(
            replace(SOUND, gates=(GATES[0], replace(GATES[1], opens=at(4, 10)))),
            "gate after paint on door",
            id="a gate too early",
        ),
        pytest.param(
            replace(SOUND, gates=(GATES[0], replace(GATES[1], kind="recoat"))),
            "gate after paint on door",
            id="a gate of another kind",
        ),
        pytest.param(
            replace(SOUND, gates=(*GATES, replace(GATES[0], panel="side"))),
            "gate after prime on side",
            id="a gate too many",
        ),
        pytest.param(
            replace(SOUND, finishes=(replace(FINISHES[0], finish=at(3, 11)), FINISHES[1])),
            "chest should finish",
            id="a finish too early",
        ),
        pytest.param(
            replace(SOUND, finishes=FINISHES[:1]), "box should finish", id="a finish missing"
        ),
        pytest.param(
            replace(SOUND, finishes=(*FINISHES, FINISHES[0])),
            "not one for each commission",
            id="a finish twice",
        ),
        pytest.param(
            replace(SOUND, troubles=()), "glaze on lid has 10:00:00 of its work", id="kept silent"
        ),
        pytest.param(
            replace(SOUND, troubles=(NO_FIT, Trouble(TroubleKind.LATE, "chest", minutes=60))),
            "chest is late by 0:00:00",
            id="a lateness that is not",
        ),
        pytest.param(
            replace(SOUND, troubles=(NO_FIT, Trouble(TroubleKind.LATE, "bed", minutes=60))),
            "says bed is late",
            id="an unknown commission late",
        ),
        pytest.param(
            replace(SOUND, troubles=(replace(NO_FIT, minutes=60),)),
            "needs another length",
            id="a wrong shortest sitting",
        ),
        pytest.param(
            replace(SOUND, troubles=(NO_FIT, replace(NO_FIT, panel="door", task="prime"))),
            "prime on door does fit",
            id="a stage that does fit",
        ),
        pytest.param(
            replace(SOUND, troubles=(NO_FIT, replace(NO_FIT, panel="drawer"))),
            "glaze on drawer, which is not in the problem",
            id="an unknown panel does not fit",
        ),
        pytest.param(
            replace(SOUND, troubles=(replace(NO_FIT, kind=TroubleKind.BEYOND),)),
            "left unplanned, not 480 min",
            id="a wrong rest",
        ),
        pytest.param(
            replace(
                SOUND, troubles=(NO_FIT, Trouble(TroubleKind.BEYOND, "chest", "side", "prime", 60))
            ),
            "planned, yet a trouble says it is not",
            id="a trouble where there is none",
        ),
        *(
            pytest.param(
                replace(SOUND, troubles=(Trouble(kind),)), "It is not true that", id=kind.value
            )
            for kind in (TroubleKind.NO_PEOPLE, TroubleKind.NO_HOURS, TroubleKind.HOURS_PAST)
        ),
    ],
)
def test_a_meddled_plan_is_found_out(plan: Plan, words: str) -> None:
    assert any(words in fault for fault in faults(PROBLEM, plan))


def begun(meddle: Callable[[PlannedSitting], tuple[PlannedSitting, ...]]) -> tuple[str, ...]:
    """The faults where ana primed the door since before 9:10 and the plan was meddled with."""
    door = Panel("door", "chest", (Task("prime", 50, 45, 120, begun_by="ana"),))
    problem = replace(
        PROBLEM, now=at(1, 9, 10), commissions=(Commission("chest"),), panels=(door, SIDE)
    )
    sittings = meddle(sat("prime", "door", at(1, 9, 10), at(1, 10)))
    last = max(sitting.end for sitting in sittings)
    return faults(problem, Plan(sittings, (), (Finish("chest", last, timedelta(0)),), ()))


def test_a_sitting_begun_goes_on_where_she_is() -> None:
    assert begun(lambda sitting: (sitting, SIDE_PRIME)) == ()


def test_a_sitting_begun_that_is_put_off_is_found_out() -> None:
    found = begun(lambda sitting: (shifted(sitting, timedelta(minutes=20)), SIDE_PRIME))
    assert "prime on door is begun but does not go on at once." in found


def test_something_else_before_a_sitting_begun_is_found_out() -> None:
    late = sat("prime", "door", at(1, 11), at(1, 12))
    found = begun(lambda _: (SIDE_PRIME, late))
    assert "ana has begun prime on door but does something else first." in found


def test_a_sitting_begun_that_another_takes_over_is_found_out() -> None:
    found = begun(lambda sitting: (replace(sitting, person="bea"), SIDE_PRIME))
    assert "prime on door was begun by ana but goes on with someone else." in found


def test_a_late_commission_that_nobody_is_told_of_is_found_out() -> None:
    problem = replace(PROBLEM, commissions=(Commission("chest", at(4, 10)), PROBLEM.commissions[1]))
    late = (Finish("chest", at(4, 11), timedelta(hours=1)), FINISHES[1])
    told = (NO_FIT, Trouble(TroubleKind.LATE, "chest", minutes=60))
    assert faults(problem, replace(SOUND, finishes=late, troubles=told)) == ()
    assert faults(problem, replace(SOUND, finishes=late)) == (
        "chest is late by 1:00:00, which no trouble says.",
    )


def test_a_coat_done_at_one_go_is_judged_without_a_look_through_all_hours(monkeypatch) -> None:
    looked = []
    monkeypatch.setattr(judge, "room", lambda *asked: looked.append(asked) or 99)
    side = Panel("side", "chest", (Task("prime", 30, 45, 120),))
    plan = Plan(
        (sat("prime", "side", at(1, 9), at(1, 9, 30)),),
        (),
        (Finish("chest", at(1, 9, 30), timedelta(0)),),
        (),
    )
    problem = replace(PROBLEM, commissions=(Commission("chest"),), panels=(side,))
    assert (faults(problem, plan), looked) == ((), [])
