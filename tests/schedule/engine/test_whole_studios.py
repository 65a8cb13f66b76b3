"""Whatever a studio has in it, its plans are sound, no worse than the simple one, above the bound.

STUDIOS=3000 tries so many studios for each test in place of a few dozen.
"""

import os
from dataclasses import replace
from datetime import timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from schedule.engine.bounds import LATE, bound
from schedule.engine.calm import held
from schedule.engine.judge import faults
from schedule.engine.judge_score import score
from schedule.engine.plan import Plan
from schedule.engine.planner import make_plan
from schedule.engine.problem import Problem
from schedule.engine.search import search
from tests.schedule.engine.priced import price
from tests.schedule.engine.studios import studios

DAY = timedelta(days=1)


def tried(examples: int) -> settings:
    return settings(max_examples=int(os.environ.get("STUDIOS", examples)), deadline=None)


def assert_above_its_bound(problem: Problem, *plans: Plan) -> None:
    least = bound(problem)
    for plan in plans:
        finishes = {finish.commission: finish.finish for finish in plan.finishes}
        if any(finishes[panel.commission] is None for panel in problem.panels):
            continue
        assert least.cost <= price(problem, plan, late=LATE)
        assert all(instant <= finishes[key] for key, instant in least.alone.items())
        assert least.last <= max(finishes[key] for key in least.alone)


@tried(100)
@given(studios())
def test_the_first_plan_of_a_studio_with_everything_in_it_is_sound(problem: Problem) -> None:
    plan = make_plan(problem)
    assert faults(problem, plan) == ()
    assert_above_its_bound(problem, plan)


@tried(50)
@given(studios())
def test_a_searched_plan_is_sound_priced_right_and_no_worse_than_the_simple_rule(
    problem: Problem,
) -> None:
    answer = search(problem, steps=25)
    assert faults(problem, answer.plan) == ()
    assert score(problem, answer.plan) == answer.score
    assert answer.score.total <= score(problem, make_plan(problem)).total
    if answer.gap and answer.gap.least:
        assert answer.gap.part >= -1e-6
        assert answer.gap.last >= timedelta(0)
    assert_above_its_bound(problem, answer.plan)


@tried(40)
@given(studios(), st.integers(0, 48))
def test_a_studio_planned_anew_is_sound_and_priced_by_what_she_knows(
    problem: Problem, hours: int
) -> None:
    old = make_plan(problem)
    now = problem.now + timedelta(hours=hours)
    later = replace(problem, now=now, freeze=now + 2 * DAY)
    asked = held(later, old)
    answer = search(asked, steps=15, old=old)
    assert faults(asked, answer.plan) == ()
    assert score(asked, answer.plan, old) == answer.score
    assert_above_its_bound(asked, answer.plan)
