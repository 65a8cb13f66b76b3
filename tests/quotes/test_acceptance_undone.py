"""The client's yes taken back while nothing is painted, and shown while it stands."""

from datetime import timedelta

import pytest
from django.urls import reverse

from jobs.domain.commissions import decline_commission
from jobs.domain.work import remove_sitting
from jobs.models import Commission, Panel, Stage
from quotes.domain.estimates import accept_estimate, issue_estimate, take_back_acceptance
from quotes.models import Estimate
from quotes.papers import draft_estimate
from studio.refusal import Refused
from tests.cast import asked, painted, panel_of, piece_of, surface_of

State = Commission.State


@pytest.fixture
def panel(clock, anna) -> Panel:
    return panel_of(surface_of(piece_of(asked(anna.studio))))


def fresh() -> Commission:
    return Commission.objects.select_related("studio", "client").get()


def issue(clock) -> Estimate:
    draft = draft_estimate(fresh(), now=clock.now)
    return issue_estimate(draft, at=clock.now, seen_total=draft.pricing.costing.total)


@pytest.fixture
def accepted(panel, clock) -> Commission:
    accept_estimate(issue(clock), at=clock.now)
    return fresh()


def estimate_page(browser) -> str:
    return browser.get(reverse("estimate", args=[fresh().number])).content.decode()


def undo(browser) -> str:
    path = reverse("acceptance-undo", args=[fresh().number])
    return browser.post(path, follow=True).content.decode()


def test_undone_it_is_estimated_again_and_out_of_the_programme(at_desk, accepted, anna):
    assert anna.studio.planned_sittings.filter(dropped_at=None).exists()
    assert "The acceptance is undone" in undo(at_desk)
    commission, estimate = fresh(), Estimate.objects.get()
    assert (commission.state, commission.accepted_at) == (State.ESTIMATED, None)
    assert estimate.accepted_at is None
    assert not anna.studio.planned_sittings.filter(dropped_at=None).exists()


def test_it_can_be_accepted_again(at_desk, accepted, clock):
    undo(at_desk)
    accept_estimate(Estimate.objects.get(), at=clock.now)
    assert fresh().state == State.ACCEPTED


def test_once_work_is_logged_it_is_refused_in_words(at_desk, accepted, panel, anna, clock):
    end = clock.now - timedelta(minutes=5)
    sitting = painted(Stage.objects.filter(panel=panel).first(), by=anna, end=end)
    assert "Undo the acceptance" not in estimate_page(at_desk)
    assert "Work is logged on ‘Plait’" in undo(at_desk)
    assert fresh().state == State.UNDER_WAY
    assert Estimate.objects.get().accepted_at
    remove_sitting(sitting)
    assert "Undo the acceptance" in estimate_page(at_desk)
    take_back_acceptance(fresh())
    assert fresh().state == State.ESTIMATED


def test_what_is_not_accepted_cannot_be_undone(panel, clock):
    issue(clock)
    with pytest.raises(Refused, match="no acceptance to undo"):
        take_back_acceptance(fresh())


def test_a_commission_called_off_is_neither_accepted_nor_undone(accepted, clock):
    decline_commission(accepted)
    with pytest.raises(Refused, match="Take it up again first"):
        accept_estimate(Estimate.objects.get(), at=clock.now)
    with pytest.raises(Refused, match="no acceptance to undo"):
        take_back_acceptance(fresh())
    assert Estimate.objects.get().accepted_at


def test_the_page_names_the_accepted_issue_and_its_day(at_desk, panel, clock):
    issue(clock)
    clock.now += timedelta(days=2)
    accept_estimate(issue(clock), at=clock.now)
    assert "Number 2 was accepted on 4 November 2026" in estimate_page(at_desk)
    clock.now += timedelta(days=1)
    issue(clock)
    assert "Number 2 was accepted on 4 November 2026" in estimate_page(at_desk)
    undo(at_desk)
    assert "was accepted on" not in estimate_page(at_desk)
