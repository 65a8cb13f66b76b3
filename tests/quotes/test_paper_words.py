"""The words of the paper: its days, its weeks, and what its head still lacks."""

from datetime import date, timedelta
from io import BytesIO

import pdfplumber
import pytest
from django.urls import reverse
from pypdf import PdfReader

from jobs.domain.commissions import hand_over
from jobs.models import Commission, Stage
from quotes.domain.promise import promise_for
from quotes.papers import draft_estimate, paper_date
from studio.domain.records import keep_record
from studio.models import Studio
from tests.cast import agreed_panel, asked, painted, panel_of, piece_of, surface_of

DAY = date(2027, 2, 9)
ENGLISH_MONTHS = ("November", "December", "Nov", "Dec")


@pytest.fixture
def commission(clock, anna) -> Commission:
    commission = asked(anna.studio)
    surface = surface_of(piece_of(commission))
    # Varnish alone is planned before the coats of the other, which wait to dry.
    panel_of(surface, "Line", steps=(("varnish", "acrylic-varnish", 1, "recoat"),))
    panel_of(surface, "Plait", left=3000)
    return commission


def fresh() -> Commission:
    return Commission.objects.select_related("studio", "client").get()


def paper(clock) -> bytes:
    return draft_estimate(fresh(), now=clock.now).pdf


def words_of(pdf: bytes) -> str:
    with pdfplumber.open(BytesIO(pdf)) as sheets:
        return " ".join(" ".join(page.extract_text().split()) for page in sheets.pages)


@pytest.mark.parametrize(
    ("locale", "figures"),
    [("de_DE", "9.2.2027"), ("ja_JP", "2027/2/9"), ("en_GB", "9 February 2027")],
)
def test_a_day_is_in_words_only_where_the_words_are_english(locale, figures):
    assert paper_date(DAY, Studio(locale=locale)) == figures


def test_no_month_of_another_tongue_stands_in_the_english_text(commission, clock):
    Studio.objects.update(locale="de_DE")
    pdf = paper(clock)
    words = words_of(pdf)
    assert "Date 2.11.2026" in words
    assert "Valid until 2.12.2026" in words
    assert "Week of 2.11.2026" in words
    assert not [month for month in (*ENGLISH_MONTHS, "Dezember") if month in words]
    assert PdfReader(BytesIO(pdf)).root_object["/Lang"] == "en"


def test_in_an_english_studio_days_are_written_out(commission, clock):
    words = words_of(paper(clock))
    assert "Date 2 November 2026" in words
    assert "Week of 2 November 2026" in words


def test_a_week_tells_its_work_in_the_order_of_the_method(commission, clock):
    promise = promise_for(fresh(), now=clock.now)
    assert promise.weeks[0].stages == ("Prime", "Ground colour", "Varnish")
    assert promise.weeks[1].stages[0] == "First oil"
    assert promise.weeks[0].monday == clock.now.date() - timedelta(days=clock.now.weekday())


def test_no_deposit_asked_is_none_spoken_of(commission, clock):
    Studio.objects.update(deposit=0)
    words = words_of(paper(clock))
    assert "Deposit" not in words
    assert "Please sign below and return a copy by 2 December 2026. Name" in words


@pytest.mark.parametrize(
    ("material", "finish", "said"),
    [
        ("softwood", "painted", "Softwood, now painted"),
        ("hardwood", "unknown", "Hardwood, what is on it now is not known"),
        ("metal", "bare", "Metal, now bare"),
        ("unknown", "waxed", "Now waxed"),
    ],
)
def test_a_piece_is_described_in_words_that_stand_alone(material, finish, said, commission, clock):
    commission.pieces.update(material=material, finish=finish)
    assert f" Chest {said} " in words_of(paper(clock))


def test_a_day_the_client_cannot_have_is_said_beside_the_one_she_can(commission, clock):
    promise = promise_for(fresh(), now=clock.now)
    Commission.objects.update(wanted=promise.likely)
    assert "after the day you asked for" not in words_of(paper(clock))
    Commission.objects.update(wanted=promise.likely - timedelta(days=1))
    wanted = paper_date(promise.likely - timedelta(days=1), fresh().studio)
    assert f"That is after the day you asked for, {wanted}." in words_of(paper(clock))


def test_the_paper_gives_the_likely_and_the_sure_day(commission, clock):
    promise = promise_for(fresh(), now=clock.now)
    likely, surely = (paper_date(d, fresh().studio) for d in (promise.likely, promise.surely))
    said = f"the work can be handed over likely by {likely}, surely by {surely}."
    assert said in words_of(paper(clock))


def test_work_in_hand_is_not_made_to_hang_on_a_yes(commission, clock):
    assert "If you accept within the next days, the last brush" in words_of(paper(clock))
    commission.state = Commission.State.ACCEPTED
    keep_record(commission)
    words = words_of(paper(clock))
    assert "If you accept" not in words
    assert "The last brush is laid down about" in words


def test_work_handed_over_has_no_programme_any_more(anna, clock):
    panel = agreed_panel(anna.studio, steps=(("sand", "none", 1, "none"),))
    painted(panel.stages.get(), by=anna, end=clock.now)
    hand_over(fresh(), at=clock.now)
    assert "The programme" not in words_of(paper(clock))


def test_a_name_of_her_own_keeps_its_capitals_in_the_programme(commission, clock):
    Stage.objects.filter(kind="prime").update(name="Zwei Lagen Öl")
    words = words_of(paper(clock))
    assert "Zwei Lagen Öl, ground colour" in words


def test_an_empty_head_is_cautioned_about_and_does_not_stop_the_issue(at_desk, commission):
    path = reverse("estimate", args=[commission.number])
    answer = at_desk.get(path)
    page = answer.content.decode()
    assert "The head of the paper has no address yet" in page
    assert f'href="{reverse("business-edit")}"' in page
    data = {"seen_total": answer.context["costing"].total}
    at_desk.post(reverse("estimate-issue", args=[commission.number]), data)
    assert commission.estimates.count() == 1
    Studio.objects.update(address="4 Kiln Lane")
    assert "has no address yet" not in at_desk.get(path).content.decode()


def test_the_studio_form_says_what_belongs_at_the_head_and_in_the_terms(at_desk):
    page = at_desk.get(reverse("business-edit")).content.decode()
    assert "tax number" in page
    assert "how the deposit is to be paid" in page
