"""What estimates and commissions hold: an app answers for what stands on its left."""

import pytest
from django.urls import reverse

from jobs.domain.commissions import decline_commission, reopen_commission
from jobs.models import Commission
from quotes.domain.estimates import issue_estimate
from quotes.papers import draft_estimate
from studio.domain.records import remove_record
from studio.models import Studio
from studio.refusal import Refused
from studio.signals import why_held
from tests.cast import asked, panel_of, piece_of, surface_of


@pytest.fixture
def commission(anna, clock) -> Commission:
    commission = asked(anna.studio)
    panel_of(surface_of(piece_of(commission)))
    return commission


@pytest.fixture
def estimated(commission, clock) -> Commission:
    draft = draft_estimate(commission, now=clock.now)
    issue_estimate(draft, at=clock.now, seen_total=draft.pricing.costing.total)
    return Commission.objects.get()


def test_what_was_sent_holds_its_commission(estimated):
    with pytest.raises(Refused, match="what was sent to a client is kept"):
        remove_record(estimated)


def test_an_enquiry_is_held_by_nothing(commission):
    assert why_held(commission) == ""
    remove_record(commission)
    assert not Commission.objects.exists()


def test_a_declined_estimate_taken_up_again_is_estimated(estimated):
    decline_commission(estimated)
    reopen_commission(estimated)
    assert Commission.objects.get().state == Commission.State.ESTIMATED


def test_a_declined_enquiry_taken_up_again_is_an_enquiry(commission):
    decline_commission(commission)
    reopen_commission(commission)
    assert Commission.objects.get().state == Commission.State.ENQUIRY


def test_a_commission_holds_the_currency_of_its_studio(at_desk, commission, stranger):
    shown = at_desk.get(reverse("business-edit")).context["form"]
    typed = {name: shown[name].value() or "" for name in shown.fields}
    answer = at_desk.post(reverse("business-edit"), {**typed, "currency": "CHF"})
    (said,) = answer.context["form"].errors["currency"]
    assert said == (
        f"There are commissions priced in {commission.studio.currency}. "
        "Their prices would change their meaning."
    )
    assert Studio.objects.get(pk=commission.studio_id).currency != "CHF"
    assert why_held(stranger.studio) == ""
