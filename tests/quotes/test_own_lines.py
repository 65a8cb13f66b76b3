"""Lines of the estimate in her own words: priced, printed, refused where they make no sense."""

import json
from io import BytesIO, StringIO

import pdfplumber
import pytest
from django.core.management import call_command
from django.db import IntegrityError, transaction
from django.urls import reverse

from jobs.models import Commission
from quotes.domain.estimates import issue_estimate, set_line
from quotes.domain.extras import keep_extra
from quotes.domain.pricing import extra_key, price_commission
from quotes.models import ExtraLine
from quotes.papers import draft_estimate
from studio.refusal import Refused
from tests.cast import asked, panel_of, piece_of, surface_of


@pytest.fixture
def commission(clock, anna) -> Commission:
    commission = asked(anna.studio)
    panel_of(surface_of(piece_of(commission)))
    return commission


def fresh() -> Commission:
    return Commission.objects.select_related("studio", "client").get()


def add(text: str, *, minutes: int | None = None, amount: int | None = None) -> ExtraLine:
    return keep_extra(
        ExtraLine(commission=Commission.objects.get(), text=text, minutes=minutes, amount=amount)
    )


def estimate_page(browser) -> str:
    return browser.get(reverse("estimate", args=[1])).content.decode()


def test_minutes_are_charged_at_the_hourly_cost_and_an_amount_as_it_is(commission, anna):
    before = price_commission(fresh())
    drawing, delivery = add("Design drawing", minutes=90), add("Delivery", amount=4500)
    priced = price_commission(fresh())
    drawn, brought = (priced.line(extra_key(row)) for row in (drawing, delivery))
    assert (drawn.kind, drawn.minutes, drawn.panel) == ("work", 90, "")
    assert drawn.amount == anna.studio.hourly_cost * 90 // 60
    assert (brought.kind, brought.minutes, brought.amount) == ("extra", None, 4500)
    ten_per_cent = (drawn.amount + brought.amount) // 10
    more = priced.costing.net - before.costing.net - drawn.amount - brought.amount
    assert abs(more - ten_per_cent) <= 1
    assert (priced.work, priced.minutes) == (before.work, before.minutes)


def test_the_page_adds_changes_and_removes_a_line(at_desk, commission):
    path = reverse("extra-new", args=[1])
    assert path in estimate_page(at_desk)
    at_desk.post(path, {"text": "Collection", "amount": "30.00"})
    line = ExtraLine.objects.get()
    assert (line.text, line.amount, line.minutes) == ("Collection", 3000, None)
    at_desk.post(
        reverse("extra-edit", args=[line.pk]),
        {"text": "Collection by hand", "minutes": "45", "seen_version": line.version},
    )
    line.refresh_from_db()
    assert (line.text, line.amount, line.minutes) == ("Collection by hand", None, 45)
    assert "Collection by hand" in estimate_page(at_desk)
    at_desk.post(reverse("extra-remove", args=[line.pk]))
    assert "Collection by hand" not in estimate_page(at_desk).split('id="own-head"')[1]
    assert not ExtraLine.objects.exists()


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"text": "Delivery"}, "amount"),
        ({"text": "Delivery", "minutes": "10", "amount": "5"}, "amount"),
        ({"text": "Delivery", "amount": "-5.00"}, "amount"),
        ({"text": "Delivery", "amount": "a fiver"}, "amount"),
        ({"text": "Delivery", "minutes": "0"}, "minutes"),
        ({"text": "Delivery", "minutes": "-1"}, "minutes"),
        ({"text": "Delivery", "minutes": "9" * 30}, "minutes"),
        ({"text": "   ", "amount": "5"}, "text"),
        ({"text": "x" * 201, "amount": "5"}, "text"),
    ],
)
def test_what_cannot_be_is_refused_at_its_field(typed, field, at_desk, commission):
    answer = at_desk.post(reverse("extra-new", args=[1]), typed)
    assert answer.status_code == 422
    assert list(answer.context["form"].errors) == [field]
    assert not ExtraLine.objects.exists()


def test_a_line_for_nothing_is_allowed_and_said(at_desk, commission):
    answer = at_desk.post(reverse("extra-new", args=[1]), {"text": "Delivery", "amount": "0"})
    assert answer.status_code == 302
    assert price_commission(fresh()).extras[0][1].amount == 0


@pytest.mark.parametrize("wrong", [{"minutes": 0}, {"amount": -1}, {"minutes": -5}, {}])
def test_the_verb_and_the_store_refuse_what_is_neither_time_nor_money(wrong, commission):
    with pytest.raises(Refused):
        add("Delivery", **wrong)
    with pytest.raises(IntegrityError), transaction.atomic():
        ExtraLine.objects.create(commission=commission, text="Delivery", **wrong)


def test_lines_stand_in_the_order_they_were_added(commission):
    for text in ("Collection", "New hinges", "Delivery"):
        add(text, amount=100)
    assert [line.text for _, line in price_commission(fresh()).extras] == [
        "Collection", "New hinges", "Delivery",
    ]  # fmt: skip


def test_it_is_changed_itself_and_not_set_by_hand(at_desk, commission):
    key = extra_key(add("Delivery", amount=4500))
    assert at_desk.get(reverse("line-edit", args=[1, key])).status_code == 404
    with pytest.raises(Refused, match="own words"):
        set_line(fresh(), key, minutes=None, amount=1, reason="A friend")


def test_paper_and_json_carry_each_line_and_an_issue_keeps_it(commission, clock):
    add("Design drawing", minutes=90)
    add("Collection and delivery", amount=123_456)
    draft = draft_estimate(fresh(), now=clock.now)
    estimate = issue_estimate(draft, at=clock.now, seen_total=draft.pricing.costing.total)
    ExtraLine.objects.all().delete()
    with pdfplumber.open(BytesIO(bytes(estimate.pdf))) as pdf:
        paper = " ".join(" ".join(page.extract_text().split()) for page in pdf.pages)
    assert "Design drawing, 1 h 30" in paper
    assert "Collection and delivery £1,234.56" in paper
    out = StringIO()
    call_command("estimate", "1", "--json", stdout=out)
    lines = json.loads(out.getvalue())["lines"]
    assert {"text": "Collection and delivery", "minutes": None, "amount": "1234.56"} in lines
    assert [line["minutes"] for line in lines if line["text"] == "Design drawing"] == [90]


def test_what_the_paper_adds_up_is_the_net(commission, clock):
    add("Design drawing", minutes=91)
    add("Delivery", amount=1)
    priced = price_commission(fresh())
    others = sum(line.amount for line in priced.others) + sum(
        row[1].amount for row in priced.extras
    )
    assert priced.work + others == priced.costing.net
