"""What the log says of the coats: begun, finished, and how much of the next is left."""

from datetime import UTC, datetime, timedelta

import pytest

from jobs.domain.commissions import settle_states
from jobs.domain.reckoning import minutes_left
from jobs.domain.work import keep_sitting, remove_sitting, start_sitting, stop_sitting
from jobs.models import Commission, Panel, Sitting, Stage
from schedule.models import PlannedFinish
from studio.refusal import Refused
from tests.cast import job, painted

NINE = datetime(2026, 11, 2, 9, tzinfo=UTC)
MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)


@pytest.fixture
def panel(clock, anna) -> Panel:
    return job(anna.studio)


@pytest.fixture
def gesso(panel) -> Stage:
    """Two coats, each of an hour and a half."""
    stage = panel.stages.first()
    stage.minutes = 90
    stage.save()
    return stage


def state() -> str:
    return Commission.objects.get().state


def test_a_commission_is_under_way_from_the_first_tap(gesso, anna):
    assert state() == Commission.State.ACCEPTED
    sitting = start_sitting(gesso, person=anna, at=NINE)
    assert state() == Commission.State.UNDER_WAY
    stop_sitting(sitting, at=NINE + HOUR, finishes_coat=False)
    assert state() == Commission.State.UNDER_WAY
    remove_sitting(sitting)
    assert state() == Commission.State.ACCEPTED


def test_each_commission_follows_its_own_log(gesso, anna):
    other = job(anna.studio)
    start_sitting(gesso, person=anna, at=NINE)
    states = dict(Commission.objects.values_list("pk", "state"))
    assert states == {
        gesso.panel.commission.pk: Commission.State.UNDER_WAY,
        other.commission.pk: Commission.State.ACCEPTED,
    }


def test_a_coat_is_not_logged_as_finished_without_its_end(gesso, anna):
    typed = Sitting(stage=gesso, person=anna, start=NINE, finishes_coat=True)
    with pytest.raises(Refused, match="Say when it ended") as refused:
        keep_sitting(typed, now=NINE + HOUR)
    assert refused.value.field == "end"
    assert not Sitting.objects.exists()


def test_a_sitting_that_still_runs_has_finished_nothing(anna, clock):
    stage = job(anna.studio, steps=(("ground-colour", "acrylic", 1, "recoat"),)).stages.get()
    sitting = start_sitting(stage, person=anna, at=NINE)
    Sitting.objects.filter(pk=sitting.pk).update(finishes_coat=True)
    settle_states(anna.studio)
    assert state() == Commission.State.UNDER_WAY
    assert Stage.objects.get().coats_done == 0


def test_a_panel_finished_without_a_gate_is_ready_now(anna, clock):
    steps = (("ground-colour", "acrylic", 1, "none"),)
    stage = job(anna.studio, steps=steps).stages.get()
    painted(stage, by=anna, end=clock.now)
    assert state() == Commission.State.DRYING_OUT
    assert PlannedFinish.objects.get().finish == clock.now


def test_minutes_worked_on_a_coat_are_taken_off_that_coat_only(gesso, anna):
    first = start_sitting(gesso, person=anna, at=NINE)
    stop_sitting(first, at=NINE + 40 * MINUTE, finishes_coat=False)
    assert minutes_left(Stage.objects.get(pk=gesso.pk), now=NINE + HOUR) == [50, 90]
    painted(gesso, by=anna, end=NINE + 2 * HOUR)
    assert minutes_left(Stage.objects.get(pk=gesso.pk), now=NINE + 3 * HOUR) == [90]
    second = start_sitting(gesso, person=anna, at=NINE + DAY)
    stop_sitting(second, at=NINE + DAY + 20 * MINUTE, finishes_coat=False)
    assert minutes_left(Stage.objects.get(pk=gesso.pk), now=NINE + 2 * DAY) == [70]
