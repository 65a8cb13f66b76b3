"""Whatever a studio has in it, every plan made of it is sound by the judge."""

from hypothesis import given, settings

from schedule.engine.judge import faults
from schedule.engine.planner import make_plan
from schedule.engine.problem import Problem
from tests.schedule.engine.studios import studios


@settings(max_examples=100, deadline=None)
@given(studios())
def test_the_first_plan_of_a_studio_with_everything_in_it_is_sound(problem: Problem) -> None:
    assert faults(problem, make_plan(problem)) == ()
