"""Of two dates that cannot both be kept, the one that matters more is kept."""

from datetime import timedelta

import pytest

from jobs.models import Commission
from schedule.domain.problem import build_problem
from schedule.domain.programme import plan_studio
from schedule.domain.weaving import hours_late
from schedule.engine.judge_score import score
from schedule.engine.planner import make_plan
from schedule.models import PlannedFinish, PlannedSitting, Programme
from studio.domain.records import keep_record
from studio.signals import hold_changes
from tests.cast import asked, panel_of, piece_of, surface_of


@pytest.fixture
def two(anna, clock) -> tuple[Commission, Commission]:
    """Two commissions of a week each, wanted by the same day, which is time for one."""
    with hold_changes():
        made = []
        for title in ("Chest", "Cupboard"):
            panel = panel_of(surface_of(piece_of(asked(anna.studio, title, agreed=True))))
            stage = panel.stages.get(kind="first-oil")
            panel.stages.exclude(pk=stage.pk).delete()
            stage.minutes = 2400
            keep_record(stage)
            panel.commission.wanted = (clock.now + timedelta(days=17)).date()
            made.append(keep_record(panel.commission))
    return tuple(made)


@pytest.mark.parametrize("place", [0, 1])
def test_the_one_that_matters_more_goes_first(place, two, anna, clock):
    heavy, light = two[place], two[1 - place]
    heavy.weight = Commission.Weight.MORE
    with hold_changes():
        keep_record(heavy)
    Programme.objects.all().delete()
    PlannedSitting.objects.all().delete()
    plan_studio(anna.studio, now=clock.now)
    finishes = dict(PlannedFinish.objects.values_list("commission", "finish"))
    assert finishes[heavy.pk] < finishes[light.pk]
    late = [row.commission for row in PlannedFinish.objects.all() if row.late_days]
    assert late == [light]


def test_a_date_that_matters_more_now_is_told_as_the_cause_of_what_moves(two, anna):
    two[1].weight = Commission.Weight.MOST
    keep_record(two[1])
    assert Programme.objects.get().causes == ["The date of ‘Cupboard’ matters most of all now."]


def test_days_that_weaving_tells_of_are_those_of_the_calendar(two, anna, clock):
    """A day late of what matters most costs four, and is told as one."""
    two[1].weight = Commission.Weight.MOST
    two[1].wanted = clock.now.date()
    keep_record(two[1])
    problem = build_problem(anna.studio, now=clock.now).problem
    plan = make_plan(problem)
    ends = {row.commission: row.finish for row in plan.finishes}
    late = [max(timedelta(0), ends[one.key] - one.wanted) for one in problem.commissions]
    assert hours_late(problem, plan) == sum(late, timedelta(0)) / timedelta(hours=1) > 0
    assert score(problem, plan).late > 2 * hours_late(problem, plan)
