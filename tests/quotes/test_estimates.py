"""The estimate: priced from the record, frozen when issued, accepted once."""

import json
from datetime import date, timedelta
from hashlib import sha256
from io import BytesIO, StringIO
from unicodedata import normalize
from uuid import uuid4

import pdfplumber
import pytest
from django.core.management import call_command
from django.urls import reverse

from jobs.labour.methods import UNDECIDED_GROUND_EXTRA_COATS
from jobs.models import Client, Commission, Panel, Stage
from quotes.domain.estimates import accept_estimate, issue_estimate, set_line
from quotes.domain.pricing import price_commission
from quotes.models import Estimate, EstimateLine
from quotes.papers import draft_estimate
from studio.domain.records import keep_record
from studio.formats import show_money
from studio.models import Studio
from studio.refusal import Refused
from studio.signals import hold_changes
from tests.cast import asked, panel_of, piece_of, surface_of

DAY = timedelta(days=1)


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


def issue(commission: Commission, clock) -> Estimate:
    draft = draft_estimate(fresh(commission), now=clock.now)
    return issue_estimate(draft, at=clock.now, seen_total=draft.pricing.costing.total)


def press_issue(browser, commission, *, total=None, once=None):
    """Press ‘Issue’ as on the page."""
    page = browser.get(reverse("estimate", args=[commission.number]))
    seen = page.context["costing"].total if total is None else total
    data = {"seen_total": seen, "once": once or uuid4()}
    return browser.post(
        reverse("estimate-issue", args=[commission.number]), data, follow=True
    ).content.decode()


def told_as_json(commission: Commission) -> dict:
    out = StringIO()
    call_command("estimate", str(commission.number), "--json", stdout=out)
    return json.loads(out.getvalue())


def bare(text: str) -> str:
    """The text without blanks and with plain letter widths, so that only figures are compared."""
    return "".join(normalize("NFKC", text).split())


def text_of(pdf: bytes) -> str:
    with pdfplumber.open(BytesIO(bytes(pdf))) as paper:
        return "\n".join(page.extract_text() for page in paper.pages)


MONEY = [
    {"locale": "en_GB", "currency": "GBP", "tax_name": "VAT", "tax_rate": 20},
    {"locale": "de_DE", "currency": "EUR", "tax_name": "MwSt.", "tax_rate": 19},
    {"locale": "ja_JP", "currency": "JPY", "tax_rate": None, "hourly_cost": 4100},
]


class TestSums:
    @pytest.mark.parametrize("money", MONEY, ids=lambda money: money["currency"])
    def test_page_json_and_paper_name_one_price(self, money, at_desk, panel, anna, clock):
        Studio.objects.filter(pk=anna.studio.pk).update(**money)
        anna.studio.supplies.update(currency=money["currency"])
        commission = fresh(panel.commission)
        page = bare(at_desk.get(reverse("estimate", args=[commission.number])).content.decode())
        estimate = issue(commission, clock)
        told = told_as_json(commission)
        paper = bare(text_of(estimate.pdf))
        for what in ("net", "tax", "total", "deposit"):
            minor = getattr(estimate, what)
            digits = 0 if money["currency"] == "JPY" else 2
            assert told[what] == f"{minor / 10**digits:.{digits}f}"
            if what in ("total", "deposit") or money["tax_rate"] is not None:
                shown = bare(show_money(minor, commission.studio))
                assert shown in page
                assert shown in paper
        assert told["currency"] == money["currency"]

    @pytest.mark.parametrize("money", MONEY, ids=lambda money: money["currency"])
    def test_whoever_adds_up_arrives_at_the_total(self, money, panel, anna, clock):
        Studio.objects.filter(pk=anna.studio.pk).update(**money)
        anna.studio.supplies.update(currency=money["currency"])
        estimate = issue(panel.commission, clock)
        assert sum(line.amount for line in estimate.lines.all()) == estimate.net
        assert estimate.net + estimate.tax == estimate.total
        assert (estimate.tax == 0) == (money["tax_rate"] is None)

    def test_the_work_costs_its_minutes_at_the_hourly_cost(self, panel, commission, anna):
        for line in price_commission(fresh(commission)).costing.lines:
            if line.kind == "work":
                assert abs(line.amount * 60 - line.minutes * anna.studio.hourly_cost) <= 30

    def test_an_undecided_ground_is_priced_above_a_decided_one(self, panel, commission):
        decided = price_commission(fresh(commission)).costing
        Panel.objects.update(ground_name="", ground_colour="")
        open_still = price_commission(fresh(commission)).costing
        assert open_still.total > decided.total
        (extra,) = {line.key for line in open_still.lines} - {line.key for line in decided.lines}
        assert extra == f"ground-{panel.pk}"
        paint = "material-acrylic"
        amounts = [
            next(line.amount for line in costing.lines if line.key == paint)
            for costing in (decided, open_still)
        ]
        # The ground's one coat becomes one and those kept in hand; each line rounds by itself.
        assert abs(amounts[1] - amounts[0] * (1 + UNDECIDED_GROUND_EXTRA_COATS)) <= 2

    def test_the_keys_are_those_that_scripts_rely_on(self, panel, commission, clock):
        keys = [
            "commission", "issue", "currency", "lines", "net", "tax", "total", "deposit",
            "valid_until",
        ]  # fmt: skip
        for number in (None, 1):
            told = told_as_json(commission)
            assert list(told) == keys
            assert told["issue"] == number
            assert {tuple(line) for line in told["lines"]} == {("text", "minutes", "amount")}
            assert date.fromisoformat(told["valid_until"]) == clock.now.date() + 30 * DAY
            issue(commission, clock)


class TestIssued:
    def test_what_was_sent_stays_whatever_changes_afterwards(self, panel, commission, anna, clock):
        estimate = issue(commission, clock)
        before = Estimate.objects.values().get(), list(EstimateLine.objects.values())
        Panel.objects.update(width=4000, height=4000, intricacy=5, ground_name="")
        Stage.objects.filter(kind="prime").update(coats=5)
        Studio.objects.update(hourly_cost=9900, tax_rate=25, tax_name="Tax")
        anna.studio.windows.all().delete()
        set_line(fresh(commission), "contingency", minutes=None, amount=1, reason="A friend")
        clock.now += DAY
        second = issue(commission, clock)
        assert (second.issue, second.total == estimate.total) == (2, False)
        kept = (
            Estimate.objects.filter(issue=1).values().get(),
            list(EstimateLine.objects.filter(estimate=estimate).values()),
        )
        assert kept == before
        assert sha256(kept[0]["pdf"]).hexdigest() == estimate.digest

    def test_the_kept_paper_is_what_the_page_and_the_command_hand_out(
        self, at_desk, panel, commission, clock, tmp_path
    ):
        estimate = issue(commission, clock)
        Panel.objects.update(name="Renamed")
        answer = at_desk.get(reverse("estimate-pdf", args=[commission.number, 1]))
        assert sha256(answer.content).hexdigest() == estimate.digest
        assert answer["Content-Type"] == "application/pdf"
        file = tmp_path / "estimate.pdf"
        call_command("estimate", str(commission.number), "--pdf", str(file), stdout=StringIO())
        assert sha256(file.read_bytes()).hexdigest() == estimate.digest

    def test_the_paper_says_what_was_agreed(self, panel, commission, clock):
        commission.wanted = date(2027, 3, 14)
        keep_record(commission)
        paper = text_of(issue(commission, clock).pdf)
        for words in (
            commission.client.name, commission.title, "The Blue Door", "Lid: Plait",
            "14 March 2027", "2 December 2026", "Deposit", "old linen",
        ):  # fmt: skip
            assert words in paper

    def test_an_enquiry_becomes_estimated(self, panel, commission, clock):
        issue(commission, clock)
        assert fresh(commission).state == Commission.State.ESTIMATED

    def test_a_double_click_issues_once(self, at_desk, panel, commission):
        once = uuid4()
        total = price_commission(fresh(commission)).costing.total
        for _ in range(2):
            press_issue(at_desk, commission, total=total, once=once)
        assert Estimate.objects.count() == 1

    def test_two_clicks_on_purpose_issue_twice(self, at_desk, panel, commission):
        for _ in range(2):
            press_issue(at_desk, commission)
        assert list(Estimate.objects.values_list("issue", flat=True)) == [2, 1]

    @pytest.mark.parametrize("seen", ["1", "", "-5", "a lot", "9" * 60])
    def test_a_price_she_did_not_see_is_not_issued(self, seen, at_desk, panel, commission):
        assert "has changed since you opened" in press_issue(at_desk, commission, total=seen)
        assert not Estimate.objects.exists()

    def test_a_change_between_drawing_and_issuing_is_noticed(self, panel, commission, clock):
        draft = draft_estimate(fresh(commission), now=clock.now)
        Stage.objects.filter(kind="first-oil").update(coats=2)
        with pytest.raises(Refused, match="changed"):
            issue_estimate(draft, at=clock.now, seen_total=draft.pricing.costing.total)
        assert not Estimate.objects.exists()

    def test_a_draft_overtaken_by_another_issue_is_refused(self, panel, commission, clock):
        draft = draft_estimate(fresh(commission), now=clock.now)
        issue(commission, clock)
        with pytest.raises(Refused, match="made meanwhile"):
            issue_estimate(draft, at=clock.now, seen_total=draft.pricing.costing.total)
        assert Estimate.objects.count() == 1

    def test_the_commission_can_no_longer_be_removed(self, at_desk, panel, commission, clock):
        issue(commission, clock)
        answer = at_desk.post(reverse("commission-remove", args=[commission.number]))
        assert answer.status_code == 422
        assert "An estimate was issued" in answer.content.decode()
        assert Commission.objects.exists()
        client = Client.objects.get()
        assert at_desk.post(reverse("client-remove", args=[client.pk])).status_code == 422

    def test_the_currency_stays_once_there_are_commissions(self, at_desk, panel, anna):
        page = at_desk.get(reverse("business-edit")).context["form"]
        data = {name: page[name].value() for name in page.fields}
        data = {name: "" if value is None else value for name, value in data.items()}
        answer = at_desk.post(reverse("business-edit"), {**data, "currency": "CHF"})
        assert answer.status_code == 422
        assert list(answer.context["form"].errors) == ["currency"]


class TestAccepted:
    def accept(self, browser, commission, **data) -> str:
        path = reverse("commission-accept", args=[commission.number])
        return browser.post(path, data, follow=True).content.decode()

    def test_the_yes_brings_the_work_into_the_programme_once(
        self, at_desk, panel, commission, clock
    ):
        estimate = issue(commission, clock)
        for _ in range(2):
            self.accept(at_desk, commission)
            clock.now += DAY
        estimate.refresh_from_db()
        assert estimate.accepted_at == clock.now - 2 * DAY
        assert fresh(commission).state == Commission.State.ACCEPTED
        assert commission.studio.planned_sittings.exists()

    def test_nothing_is_accepted_that_was_not_issued(self, at_desk, panel, commission):
        assert "Issue the estimate first" in self.accept(at_desk, commission)
        assert fresh(commission).state == Commission.State.ENQUIRY

    def test_a_replaced_issue_is_refused(self, panel, commission, clock):
        first = issue(commission, clock)
        issue(commission, clock)
        with pytest.raises(Refused, match="replaced"):
            accept_estimate(first, at=clock.now)
        assert fresh(commission).state == Commission.State.ESTIMATED

    def test_a_page_from_before_the_next_issue_accepts_nothing(
        self, at_desk, panel, commission, clock
    ):
        issue(commission, clock)
        page = at_desk.get(reverse("estimate", args=[commission.number])).content.decode()
        assert '<input type="hidden" name="issue" value="1">' in page
        issue(commission, clock)
        assert "replaced by a later one" in self.accept(at_desk, commission, issue=1)
        assert not Estimate.objects.filter(accepted_at__isnull=False).exists()
        self.accept(at_desk, commission, issue=2)
        assert Estimate.objects.get(issue=2).accepted_at

    def test_it_is_valid_to_the_end_of_its_last_day(self, panel, commission, clock):
        first = issue(commission, clock)
        with pytest.raises(Refused, match="valid until"):
            accept_estimate(first, at=clock.now + 31 * DAY)
        assert accept_estimate(first, at=clock.now + 30 * DAY).in_hand

    def test_a_declined_commission_is_taken_up_again_first(self, panel, commission, clock):
        estimate = issue(commission, clock)
        Commission.objects.update(state="declined")
        with pytest.raises(Refused, match="declined"):
            accept_estimate(estimate, at=clock.now)

    def test_a_later_issue_of_work_under_way_does_not_set_it_back(self, panel, commission, clock):
        accept_estimate(issue(commission, clock), at=clock.now)
        Commission.objects.update(state="under-way")
        accept_estimate(issue(commission, clock), at=clock.now)
        assert fresh(commission).state == Commission.State.UNDER_WAY


class TestObstacles:
    def refused(self, browser, commission) -> str:
        page = browser.get(reverse("estimate", args=[commission.number]))
        assert page.status_code == 200
        said = press_issue(browser, commission)
        assert not Estimate.objects.exists()
        return said

    def test_nothing_is_issued_without_a_panel(self, at_desk, commission):
        assert "no panel to price" in self.refused(at_desk, commission)

    def test_nothing_is_issued_without_hours(self, at_desk, commission):
        panel_of(surface_of(piece_of(commission)), "Bare", steps=())
        assert "‘Bare’ has no method" in self.refused(at_desk, commission)

    def test_nothing_is_issued_that_was_declined(self, at_desk, panel, commission):
        Commission.objects.update(state="declined")
        assert "It is declined" in self.refused(at_desk, commission)

    def test_nothing_is_issued_for_nothing_an_hour(self, at_desk, panel, commission):
        Studio.objects.update(hourly_cost=0)
        assert "hourly cost is nothing" in self.refused(at_desk, commission)


class TestLetters:
    @pytest.mark.parametrize("name", ["Żaneta Łęgowska", "Ærtsgård", "Ελένη", "Оксана", "Đặng"])
    def test_a_name_beyond_western_letters_is_printed(self, name, panel, commission, clock):
        Client.objects.update(name=name)
        assert name in text_of(issue(commission, clock).pdf)

    @pytest.mark.parametrize("name", ["山田花子", "नीला", "עדנה"])
    def test_letters_the_paper_lacks_are_said_and_nothing_is_issued(
        self, name, at_desk, panel, commission
    ):
        Client.objects.update(name=name)
        said = press_issue(at_desk, commission)
        assert "The paper has no letters for" in said
        assert name[0] in said
        assert not Estimate.objects.exists()
