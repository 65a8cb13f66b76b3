"""Dates promised hold as often as is said, in futures that another simulation plays."""

from datetime import timedelta
from random import Random

import pytest

from schedule.engine.planner import make_plan
from schedule.engine.problem import Commission, Gate, Panel, Person, Problem, Task
from schedule.engine.promise.doubt import Doubt, Wait
from schedule.engine.promise.outlook import foresee
from schedule.engine.promise.replay import LOOK_AHEAD
from tests.schedule.engine.promise.futures import at, drawn, weekdays
from tests.schedule.engine.promise.played import Played

FUTURES = 800
HOUR = timedelta(hours=1)


def two_commissions() -> Problem:
    """A chest of three panels and a box of one, some five days of work for one person."""
    method = (
        Task("prime", 60, 45, 210, Gate("recoat", 4 * HOUR)),
        Task("ground", 120, 120, 120, Gate("recoat", 20 * HOUR)),
        Task("paint", 300, 45, 210, Gate("through-dry", 40 * HOUR)),
        Task("varnish", 45, 45, 210, Gate("recoat", 12 * HOUR)),
    )
    panels = [Panel(f"door {n}", "chest", method) for n in range(3)]
    panels.append(Panel("lid", "box", method[:3]))
    commissions = (Commission("chest", at(11, 12)), Commission("box", at(7, 0)))
    return Problem(at(1, 6), (Person("ana", weekdays(60)),), commissions, tuple(panels))


@pytest.fixture(scope="module")
def shares() -> dict[str, tuple[float, ...]]:
    """Of each commission, the shares of futures that keep likely, fairly, surely, and wanted,
    and the chance the outlook gave the last."""
    problem = two_commissions()
    plan = make_plan(problem)
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


@pytest.mark.parametrize("key", ["chest", "box"])
def test_promised_dates_hold_as_often_as_is_said(shares, key: str) -> None:
    likely, fairly, surely, wanted, chance = shares[key]
    assert 0.46 <= likely <= 0.54
    assert 0.76 <= fairly <= 0.84
    assert 0.93 <= surely <= 0.97
    assert 0.1 < chance < 0.9
    assert wanted == pytest.approx(chance, abs=0.04)
