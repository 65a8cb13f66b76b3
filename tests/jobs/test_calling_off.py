"""Agreed work called off by the client, and taken up again where it stood."""

from datetime import timedelta

import pytest
from django.urls import reverse

from jobs.domain.commissions import decline_commission, hand_over, reopen_commission
from jobs.domain.work import start_sitting
from jobs.models import Commission, Panel, Sitting
from schedule.domain.bench import bench_of
from schedule.domain.reminders import send_due
from schedule.models import Reminder
from studio.domain.records import keep_record
from studio.refusal import Refused
from tests.cast import agreed_panel, asked, painted

ONE_COAT = (("prime", "gesso", 1, "recoat"),)
State = Commission.State


@pytest.fixture
def panel(anna, clock) -> Panel:
    return agreed_panel(anna.studio)


def state_of(panel: Panel) -> str:
    return Commission.objects.get(pk=panel.commission.pk).state


def test_called_off_it_leaves_the_programme_and_its_log_is_kept(panel, anna, clock):
    painted(panel.stages.first(), by=anna, end=clock.now - timedelta(minutes=5))
    other = agreed_panel(anna.studio, "Wreath")
    decline_commission(panel.commission)
    planned = anna.studio.planned_sittings.filter(dropped_at=None)
    assert {row.stage.panel_id for row in planned} == {other.pk}
    assert [row.panel for row in bench_of(anna.studio, now=clock.now).ready] == [other]
    assert Sitting.objects.count() == 1


def test_a_coat_still_drying_when_it_is_called_off_is_not_offered_to_be_painted_on(
    panel, at_desk, anna, clock
):
    painted(panel.stages.first(), by=anna, end=clock.now - timedelta(minutes=5))
    path = reverse("panel", args=[panel.pk])
    assert "all the same" in at_desk.get(path).content.decode()
    decline_commission(panel.commission)
    page = at_desk.get(path).content.decode()
    assert "The commission was called off" in page
    assert "all the same" not in page


def test_its_reminders_are_withdrawn_and_set_again_when_it_is_taken_up(panel, anna, clock):
    painted(panel.stages.first(), by=anna, end=clock.now - timedelta(minutes=5))
    assert [row.state for row in Reminder.objects.all()] == ["waiting"]
    decline_commission(panel.commission)
    assert [row.state for row in Reminder.objects.all()] == ["withdrawn"]
    assert send_due(now=clock.now + timedelta(days=30)) == 0
    reopen_commission(panel.commission)
    assert [row.state for row in Reminder.objects.all()] == ["waiting"]


@pytest.mark.parametrize(
    ("steps", "paint", "state"),
    [
        (ONE_COAT, False, State.ACCEPTED),
        ((("prime", "gesso", 2, "recoat"),), True, State.UNDER_WAY),
        (ONE_COAT, True, State.DRYING_OUT),
    ],
)
def test_it_is_called_off_in_any_state_and_taken_up_where_it_stood(
    steps, paint, state, anna, clock
):
    panel = agreed_panel(anna.studio, steps=steps)
    if paint:
        painted(panel.stages.get(), by=anna, end=clock.now - timedelta(minutes=5))
    assert state_of(panel) == state
    decline_commission(panel.commission)
    assert state_of(panel) == State.DECLINED
    reopen_commission(panel.commission)
    assert state_of(panel) == state


def test_an_enquiry_declined_comes_back_as_an_enquiry(anna):
    commission = asked(anna.studio)
    decline_commission(commission)
    reopen_commission(commission)
    assert commission.state == State.ENQUIRY


def test_calling_off_twice_changes_nothing(panel):
    decline_commission(panel.commission)
    version = Commission.objects.get().changed_at
    decline_commission(panel.commission)
    assert Commission.objects.get().changed_at == version


def test_what_is_handed_over_cannot_be_called_off(anna, clock):
    panel = agreed_panel(anna.studio, steps=ONE_COAT)
    painted(panel.stages.get(), by=anna, end=clock.now - timedelta(minutes=5))
    commission = Commission.objects.get()
    hand_over(commission, at=clock.now)
    with pytest.raises(Refused, match="handed over"):
        decline_commission(commission)


def test_who_is_at_its_panel_ends_that_sitting_first(panel, anna, clock):
    start_sitting(panel.stages.first(), person=anna, at=clock.now)
    with pytest.raises(Refused, match=r"Anna is at ‘Plait’ now\. End that sitting first"):
        decline_commission(panel.commission)
    assert state_of(panel) == State.UNDER_WAY


def test_a_verb_judges_by_what_the_record_says_now(panel):
    held = Commission.objects.get()
    Commission.objects.update(state=State.DELIVERED)
    with pytest.raises(Refused):
        decline_commission(held)
    assert state_of(panel) == State.DELIVERED


class TestPages:
    def path(self, name: str, panel: Panel) -> str:
        return reverse(name, args=[panel.commission.number])

    def test_the_page_asks_first_and_says_what_happens(self, at_desk, panel):
        page = at_desk.get(self.path("commission", panel)).content.decode()
        assert self.path("commission-call-off", panel) in page
        asked_first = at_desk.get(self.path("commission-call-off", panel)).content.decode()
        assert "Call off ‘A painted chest’?" in asked_first
        assert "reminders are withdrawn" in asked_first
        assert state_of(panel) == State.ACCEPTED

    def test_the_yes_calls_it_off_and_the_page_offers_to_take_it_up(self, at_desk, panel):
        answer = at_desk.post(self.path("commission-call-off", panel), follow=True)
        page = answer.content.decode()
        assert "It was called off" in page
        assert "Take it up again" in page
        at_desk.post(self.path("commission-reopen", panel))
        assert state_of(panel) == State.ACCEPTED

    def test_a_refusal_is_said_on_the_page(self, at_desk, panel, anna, clock):
        start_sitting(panel.stages.first(), person=anna, at=clock.now)
        answer = at_desk.post(self.path("commission-call-off", panel))
        assert answer.status_code == 422
        assert "End that sitting first" in answer.content.decode()

    def test_declined_on_a_page_from_before_the_acceptance_asks_first(self, at_desk, panel):
        answer = at_desk.post(self.path("commission-decline", panel))
        assert answer.url == self.path("commission-call-off", panel)
        assert state_of(panel) == State.ACCEPTED

    def test_the_page_of_an_enquiry_offers_to_decline_it(self, at_desk, anna):
        commission = keep_record(asked(anna.studio))
        page = at_desk.get(reverse("commission", args=[commission.number])).content.decode()
        assert "Put aside as declined" in page
        assert "Call it off" not in page
