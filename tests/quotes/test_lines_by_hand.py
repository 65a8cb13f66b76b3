"""Lines of the estimate set by hand: with a reason, refused in words, put back again."""

from io import BytesIO

import pdfplumber
import pytest
from django.urls import reverse

from jobs.models import Commission, Panel, Stage
from quotes.domain.estimates import issue_estimate, set_line
from quotes.domain.pricing import price_commission
from quotes.models import LineOverride
from quotes.papers import draft_estimate
from studio.domain.records import remove_record
from studio.signals import hold_changes
from tests.cast import asked, panel_of, piece_of, surface_of


@pytest.fixture
def commission(clock, anna) -> Commission:
    return asked(anna.studio)


@pytest.fixture
def panel(commission) -> Panel:
    with hold_changes():
        return panel_of(surface_of(piece_of(commission)))


def fresh(commission: Commission) -> Commission:
    """Return the commission as it now is, with nothing remembered of its studio."""
    return Commission.objects.select_related("studio", "client").get(pk=commission.pk)


@pytest.fixture
def line(panel, commission):
    return next(line for line in price_commission(fresh(commission)).costing.lines if line.minutes)


def path_to(name: str, commission, line) -> str:
    return reverse(name, args=[commission.number, line.key])


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"minutes": "30", "reason": ""}, "reason"),
        ({"reason": "A friend"}, "amount"),
        ({"minutes": "-1", "reason": "A friend"}, "minutes"),
        ({"amount": "-5.00", "reason": "A friend"}, "amount"),
        ({"amount": "a fiver", "reason": "A friend"}, "amount"),
        ({"amount": "1000000000000000", "reason": "A friend"}, "amount"),
        ({"minutes": "9" * 30, "reason": "A friend"}, "minutes"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field_and_stays_typed(
    typed, field, at_desk, commission, line
):
    answer = at_desk.post(path_to("line-edit", commission, line), typed)
    assert answer.status_code == 422
    assert field in answer.context["form"].errors
    page = answer.content.decode()
    assert all(f'value="{value}"' in page for value in typed.values() if value)
    assert not LineOverride.objects.exists()


def test_minutes_are_charged_at_the_hourly_cost(at_desk, commission, line, anna):
    at_desk.post(path_to("line-edit", commission, line), {"minutes": "60", "reason": "Slower wood"})
    charged = price_commission(fresh(commission)).line(line.key)
    assert (charged.minutes, charged.amount) == (60, anna.studio.hourly_cost)
    assert (charged.reason, charged.computed) == ("Slower wood", line.amount)


def test_an_amount_is_charged_as_it_is_and_put_back_again(at_desk, commission, line):
    before = price_commission(fresh(commission)).costing
    data = {"amount": "12.34", "reason": "Agreed by word"}
    at_desk.post(path_to("line-edit", commission, line), data)
    page = at_desk.get(reverse("estimate", args=[commission.number])).content.decode()
    assert "Agreed by word" in page
    assert price_commission(fresh(commission)).line(line.key).amount == 1234
    at_desk.post(path_to("line-restore", commission, line))
    assert price_commission(fresh(commission)).costing == before


def test_setting_it_twice_keeps_one(at_desk, commission, line):
    for amount in ("1.00", "2.00"):
        at_desk.post(path_to("line-edit", commission, line), {"amount": amount, "reason": "Again"})
    assert LineOverride.objects.get().amount == 200


def test_the_reason_is_kept_with_the_issue_and_not_printed(commission, line, clock):
    set_line(fresh(commission), line.key, minutes=None, amount=0, reason="Owed a favour")
    draft = draft_estimate(fresh(commission), now=clock.now)
    estimate = issue_estimate(draft, at=clock.now, seen_total=draft.pricing.costing.total)
    assert estimate.lines.get(key=line.key).reason == "Owed a favour"
    with pdfplumber.open(BytesIO(bytes(estimate.pdf))) as paper:
        assert all("Owed a favour" not in page.extract_text() for page in paper.pages)


def test_a_line_whose_stage_is_gone_is_not_charged_and_said_so(at_desk, panel, commission, line):
    set_line(fresh(commission), line.key, minutes=None, amount=99_999, reason="Difficult")
    remove_record(Stage.objects.get(pk=line.key.split("-")[-1]))
    answer = at_desk.get(reverse("estimate", args=[commission.number]))
    assert answer.context["costing"].stale == (line.key,)
    assert "no longer exists" in answer.content.decode()
    assert at_desk.get(path_to("line-edit", commission, line)).status_code == 404
