"""Lines of the estimate set by hand: with a reason, refused in words, put back again."""

from io import BytesIO
from uuid import uuid4

import pdfplumber
import pytest
from django.urls import reverse

from jobs.domain.supplies import keep_supply
from jobs.models import Commission, Panel, Stage
from quotes.domain.estimates import issue_estimate, set_line
from quotes.domain.pricing import material_key, price_commission
from quotes.models import LineOverride
from quotes.papers import draft_estimate
from studio.domain.records import remove_record
from studio.models import Studio
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


def test_a_second_click_on_restore_lands_where_the_first_did(at_desk, commission, line):
    data = {"amount": "12.34", "reason": "Agreed by word"}
    at_desk.post(path_to("line-edit", commission, line), data)
    restore, click = path_to("line-restore", commission, line), {"once": str(uuid4())}
    answers = [at_desk.post(restore, click).url for _ in range(2)]
    assert answers == [reverse("estimate", args=[commission.number])] * 2
    assert at_desk.post(restore).status_code == 404


def opened(at_desk, commission, line) -> dict[str, object]:
    """Return the version the page of a line is sent with, as it is opened now."""
    form = at_desk.get(path_to("line-edit", commission, line)).context["form"]
    return {"seen_version": form["seen_version"].value()}


def test_a_line_set_in_another_tab_since_is_not_overwritten(at_desk, commission, line):
    path, tab = path_to("line-edit", commission, line), opened(at_desk, commission, line)
    first = {"amount": "10.00", "reason": "First tab", **tab}
    second = {"amount": "20.00", "reason": "Second tab", **tab}
    assert at_desk.post(path, first).status_code == 302
    for _ in range(2):
        answer = at_desk.post(path, second)
        assert answer.status_code == 422
        assert 'value="20.00"' in answer.content.decode()
        assert LineOverride.objects.get().amount == 1000
    form = answer.context["form"]
    assert form.errors["amount"] == ["It now reads ‘10.00’."]
    again = {**second, "seen_version": form["seen_version"].value()}
    assert at_desk.post(path, again).status_code == 302
    assert LineOverride.objects.get().amount == 2000


def test_a_line_restored_in_another_tab_since_is_set_on_purpose_only(at_desk, commission, line):
    path, first = path_to("line-edit", commission, line), {"amount": "10.00", "reason": "Agreed"}
    at_desk.post(path, {**first, **opened(at_desk, commission, line)})
    changed = {"amount": "20.00", "reason": "Agreed", **opened(at_desk, commission, line)}
    at_desk.post(path_to("line-restore", commission, line))
    answer = at_desk.post(path, changed)
    assert answer.status_code == 422
    assert not LineOverride.objects.exists()
    again = {**changed, "seen_version": answer.context["form"]["seen_version"].value()}
    assert at_desk.post(path, again).status_code == 302
    assert LineOverride.objects.get().amount == 2000


def test_a_material_without_a_price_in_the_studios_currency_is_not_priced(commission, panel):
    Studio.objects.update(currency="JPY")
    pricing = price_commission(fresh(commission))
    wanting = [sentence for sentence in pricing.obstacles if "in JPY" in sentence]
    used = {stage.binder for stage in panel.stages.all()}
    assert len(wanting) == len(used) == 3
    for supply in fresh(commission).studio.supplies.filter(binder__in=used):
        supply.pack_price = 2500
        keep_supply(supply)
    assert price_commission(fresh(commission)).obstacles == ()


def test_an_amount_by_hand_stands_for_a_price_of_a_pack(commission, panel):
    Studio.objects.update(currency="JPY")
    for binder in {stage.binder for stage in panel.stages.all()}:
        key = material_key(binder)
        set_line(fresh(commission), key, minutes=None, amount=1800, reason="From the shelf")
    assert price_commission(fresh(commission)).obstacles == ()
