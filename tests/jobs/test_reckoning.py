"""Hands-on minutes of a stage, and what is left of them once work has begun."""

from datetime import UTC, datetime, timedelta

import pytest

from jobs.domain.reckoning import minutes_left, reckon
from jobs.domain.work import start_sitting, stop_sitting
from jobs.models import Panel, Stage
from tests.cast import job, painted

NINE = datetime(2026, 11, 2, 9, tzinfo=UTC)
MINUTE = timedelta(minutes=1)


@pytest.fixture
def oil(anna) -> Stage:
    """A stage of two coats of two hours each, as she typed it."""
    panel = job(anna.studio, steps=(("first-oil", "oil", 2, "touch-dry"),))
    panel.stages.update(minutes=120)
    return panel.stages.get()


def left(stage: Stage, now: datetime) -> list[int]:
    panel = Panel.objects.for_bench().get(pk=stage.panel_id)
    return minutes_left(panel.stages.all()[0], now=now)


def sat(stage: Stage, person, minutes: int) -> datetime:
    """Sit at a stage for so long without finishing a coat; return when it ended."""
    end = NINE + minutes * MINUTE
    stop_sitting(start_sitting(stage, person=person, at=NINE), at=end, finishes_coat=False)
    return end


@pytest.mark.parametrize(
    ("worked", "remaining"),
    [(1, 119), (90, 30), (105, 15), (110, 15), (120, 15), (140, 15), (400, 40)],
)
def test_a_coat_gone_on_with_keeps_a_quarter_of_an_hour_or_a_tenth_of_what_it_took(
    worked, remaining, oil, anna
):
    assert left(oil, sat(oil, anna, worked)) == [remaining, 120]


def test_a_coat_not_begun_keeps_its_minutes_however_few(oil):
    Stage.objects.update(minutes=5)
    assert left(oil, NINE) == [5, 5]


def test_a_running_sitting_is_taken_off_as_it_goes(oil, anna):
    start_sitting(oil, person=anna, at=NINE)
    assert left(oil, NINE + 30 * MINUTE) == [90, 120]


def test_the_minutes_of_a_finished_coat_are_not_taken_off_the_next(oil, anna):
    sat(oil, anna, 60)
    painted(oil, by=anna, end=NINE + 300 * MINUTE)
    assert left(oil, NINE + 301 * MINUTE) == [120]


def test_minutes_typed_by_hand_say_so(oil):
    assert reckon(oil).words == "120 min a coat, typed by hand"
