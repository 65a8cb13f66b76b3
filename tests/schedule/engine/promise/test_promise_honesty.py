"""Dates promised hold as often as is said, in futures that another simulation plays."""

from datetime import timedelta
from random import Random

import pytest

from schedule.engine.judge import faults
from schedule.engine.planner import make_plan
from schedule.engine.problem import Commission, Face, Gate, Panel, Person, Pin, Problem, Task
from schedule.engine.promise.doubt import Doubt, Wait
from schedule.engine.promise.outlook import foresee
from schedule.engine.promise.replay import LOOK_AHEAD
from tests.schedule.engine.promise.futures import MINUTE, at, drawn, weekdays
from tests.schedule.engine.promise.played import Played

FUTURES = 600
HOUR = timedelta(hours=1)
METHOD = (
    Task("prime", 60, 45, 210, Gate("recoat", 4 * HOUR)),
    Task("ground", 120, 120, 120, Gate("recoat", 20 * HOUR)),
    Task("paint", 300, 45, 210, Gate("through-dry", 40 * HOUR)),
    Task("varnish", 45, 45, 210, Gate("recoat", 12 * HOUR)),
)


def plain() -> Problem:
    """A chest of three panels and a box of one, some five days of work for one person."""
    panels = [Panel(f"door {n}", "chest", METHOD) for n in range(3)]
    panels.append(Panel("lid", "box", METHOD[:3]))
    commissions = (Commission("chest", at(11, 12)), Commission("box", at(7, 0)))
    return Problem(at(1, 6), (Person("ana", weekdays(60)),), commissions, tuple(panels))


def whole() -> Problem:
    """Two people, a chest that is turned to and fro, doors that dry on a rack of two places, a
    glaze worked into wet paint, one green for all, leaf that comes later, a fixed sitting."""
    green = ("green", 15)
    coats = (
        Task("prime", 60, 45, 210, Gate("recoat", 4 * HOUR, HOUR)),
        Task("green", 90, 45, 210, Gate("recoat", 20 * HOUR, 6 * HOUR), "", "", *green),
        Task("scumble", 75, 75, 75, Gate("touch-dry", 15 * MINUTE), "", "glazing"),
        Task("glaze", 45, 45, 45, Gate("through-dry", 30 * HOUR), within=2 * HOUR),
    )
    gild = Task("gild", 150, 45, 210, Gate("recoat", 12 * HOUR), not_before=at(9, 0))
    chest = [
        Panel(key, "chest", (*coats, *more), face=key)
        for key, more in (("front", (gild,)), ("back", ()), ("top", ()))
    ]
    doors = [
        Panel(f"door {n}", "box", (*coats[:2], METHOD[2]), rack=True, not_before=at(2, 12))
        for n in range(4)
    ]
    hours = weekdays(60)
    pin = Pin("door 1", "green", "bea", at(6, 14), at(6, 15, 30))
    return Problem(
        at(1, 6),
        (Person("ana", hours, frozenset(("glazing",))), Person("bea", hours[::2])),
        (Commission("chest", at(10, 12)), Commission("box", at(14, 0))),
        (*chest, *doors),
        faces=(Face("front", ("back",)), Face("back", ("front",)), Face("top")),
        rack=2,
        pins=(pin,),
    )


Shares = dict[str, tuple[float, ...]]


def shares_of(problem: Problem) -> Shares:
    """Of each commission, the shares of futures that keep likely, fairly, surely, and wanted,
    and the chance the outlook gave the last."""
    plan = make_plan(problem)
    assert not faults(problem, plan)
    assert not any(finish.finish is None for finish in plan.finishes)
    own = {(panel.key, "paint"): Wait(36 * HOUR, 0.5, 24 * HOUR) for panel in problem.panels}
    doubt = Doubt(hours_in_common=0.2, drying_in_common=0.3, of_gates=own)
    dice = Random(4)
    played = [
        Played(problem, plan, drawn(problem, doubt, dice), LOOK_AHEAD).run() for _ in range(FUTURES)
    ]
    found = {}
    wanted = {item.key: item.wanted for item in problem.commissions}
    for outlook in foresee(problem, plan, doubt):
        key = outlook.commission
        ends = [finishes[key] for finishes in played]
        days = (outlook.likely, outlook.fairly, outlook.surely, wanted[key])
        kept = (sum(end <= day for end in ends) / FUTURES for day in days)
        found[key] = (*kept, outlook.chance)
    return found


@pytest.fixture(scope="module", params=[plain, whole])
def shares(request: pytest.FixtureRequest) -> Shares:
    return shares_of(request.param())


@pytest.mark.parametrize("key", ["chest", "box"])
def test_promised_dates_hold_as_often_as_is_said(shares: Shares, key: str) -> None:
    likely, fairly, surely, wanted, chance = shares[key]
    assert 0.46 <= likely <= 0.54
    assert 0.76 <= fairly <= 0.84
    assert 0.93 <= surely <= 0.97
    assert 0.1 < chance < 0.9
    assert wanted == pytest.approx(chance, abs=0.04)
