"""The page of questions: its links, its slot, its answer, and what is typed wrongly."""

import re

import pytest
from django.urls import reverse
from django.utils.html import escape

from jobs.labour.stages import MOST_COATS
from jobs.models import Panel, Stage
from quotes.domain.earliest import earliest_for
from quotes.domain.questions import WarmerRoom
from studio.formats import show_date
from studio.models import WorkingWindow
from tests.quotes.what_if.questions_asked import (
    QUESTIONS,
    answered,
    ground_laid,
    keep,
    page,
    told,
    typed,
)


def test_a_rough_size_is_not_called_optional_where_it_is_demanded(at_desk, studio):
    said = page(at_desk, {"ask": "commission"})
    for name in ("sheet", "panels", "width", "height"):
        label = re.search(rf'<label for="id_{name}">(.*?)</label>', said).group(1)
        assert "optional" not in label
    assert "optional" in re.search(r'<label for="id_wanted">(.*?)</label>', said).group(1)


def test_the_heads_are_explained_beside_them_and_no_days_are_added_up(at_desk, studio):
    said = answered(at_desk, typed("room", temperature="30"))
    caption = re.search(r"<caption.*?</caption>", said).group()
    for words in ("Ready: as the programme counts", "Likely: as often", "Surely: in 95 of 100"):
        assert said.count(words) == caption.count(words) == 1
    assert "together" not in said


def test_the_new_commission_is_promised_as_its_own_page_promises_it(
    at_desk, studio, enquiry, clock
):
    found = earliest_for(enquiry, now=clock.now).promise
    words = f"The earliest day to promise is <b>{show_date(found.day, studio)}</b>"
    assert words in page(at_desk, {}, name="earliest", args=[enquiry.number])
    assert words in answered(at_desk, typed("commission", enquiry=str(enquiry.pk)))
    assert "to promise" not in answered(at_desk, typed("room"))


def test_a_ground_is_named_that_no_panel_has_yet_and_kept(at_desk, studio, panel):
    ground_laid(panel, studio)
    moss = {"ground": "another", "ground_name": "Moss", "ground_colour": "#6b7a3f"}
    data = typed("ground", panel=str(panel.pk), **moss)
    assert "It would cost" in answered(at_desk, data)
    assert keep(at_desk, data).status_code == 302
    kept = Panel.objects.get(pk=panel.pk)
    assert (kept.ground_name, kept.ground_colour) == ("Moss", "#6b7a3f")


def test_hours_that_are_hers_on_some_of_the_days_only_may_be_asked_about(at_desk, studio):
    WorkingWindow.objects.filter(studio=studio, weekday=0).delete()
    data = typed("overtime", start="10:00", end="11:00", every="on")
    assert page(at_desk, data)
    keep(at_desk, data)
    assert "You work then already." in page(at_desk, data, status=422)


class TestPages:
    def test_the_programme_and_the_enquiry_lead_to_it(self, at_desk, studio, enquiry):
        where = reverse("what-if")
        assert f'href="{where}"' in at_desk.get(reverse("programme")).content.decode()
        said = at_desk.get(reverse("earliest", args=[enquiry.number])).content.decode()
        link = f"{where}?ask=commission&amp;enquiry={enquiry.pk}"
        assert f'href="{link}"' in said
        opened = page(at_desk, {"ask": "commission", "enquiry": enquiry.pk})
        assert f'<option value="{enquiry.pk}" selected>' in opened

    def test_it_opens_with_its_questions(self, at_desk, studio):
        said = page(at_desk, {})
        for key in QUESTIONS:
            assert f"?ask={key}" in said
            opened = page(at_desk, {"ask": key})
            assert "field-error" not in opened
            assert 'aria-current="true"' in opened

    def test_an_unknown_question_asks_again(self, at_desk, studio):
        assert "Ask the programme one thing" in page(at_desk, {"ask": "the stars"})
        assert at_desk.get(reverse("what-if-answer"), {"ask": "stars"}).status_code == 302

    def test_a_good_question_shows_its_page_at_once_and_fetches_the_answer(self, at_desk, studio):
        said = page(at_desk, typed("room"))
        found = re.search(r'hx-get="([^"]+)" hx-trigger="load"', said)
        assert found.group(1).startswith(reverse("what-if-answer"))
        assert "Keep it" not in said

    def test_the_answer_is_a_fragment_in_its_page_and_a_page_by_itself(
        self, at_desk, studio, clock
    ):
        found = told(WarmerRoom(24), studio, clock)
        whole = answered(at_desk, typed("room"))
        part = page(at_desk, typed("room"), name="what-if-answer", headers={"HX-Request": "true"})
        assert "<html" in whole
        assert "<html" not in part
        for said in (whole, part):
            assert "Keep it" in said
            assert "Throw it away" in said
            for effect in found.moved:
                assert escape(effect.commission.title) in said
                assert effect.after.ready.strftime("%b") in said

    def test_the_question_travels_with_the_button_that_keeps_it(self, at_desk, studio):
        said = answered(at_desk, typed("overtime"))
        for name, value in typed("overtime").items():
            if name != "ask":
                assert re.search(rf'type="hidden" name="{name}" value="{value}', said), name

    def test_a_question_that_cannot_be_says_so_in_place_of_an_answer(self, at_desk, studio, panel):
        Stage.objects.filter(panel=panel, kind="ground-colour").update(coats=MOST_COATS)
        ground_laid(panel, studio)
        data = typed("ground", panel=str(panel.pk), ground="#d9cdb9 old linen")
        said = page(at_desk, data, name="what-if-answer", status=422)
        assert "too many for one stage" in said
        assert "Keep it" not in said

    def test_where_no_ground_may_change_there_is_nothing_to_choose(self, at_desk, anna):
        assert "No panel of agreed work" in page(at_desk, {"ask": "ground"})

    def test_a_day_that_moves_is_told_with_the_days_between(self, at_desk, studio, clock):
        effect = told(WarmerRoom(30), studio, clock).moved[0]
        said = answered(at_desk, typed("room", temperature="30"))
        assert f"{-effect.later} days earlier than" in said
        assert show_date(effect.commission.wanted, studio)[:2] in said


WRONG = [
    ("room", {"temperature": "4"}, "5 to 35 °C"),
    ("room", {"temperature": "36"}, "5 to 35 °C"),
    ("room", {"temperature": "19"}, "It is reckoned with 19 °C now."),
    ("room", {"temperature": "warm"}, "Type whole degrees"),
    ("person", {"last": "2026-11-01"}, "That day is over."),
    ("person", {"first": "2026-11-06", "last": "2026-11-05"}, "comes before the first"),
    ("person", {"first": "2026-11-07", "last": "2026-11-08"}, "no working hours in those days"),
    ("person", {"first": ""}, "This cannot stay empty."),
    ("person", {"last": "2027-11-05"}, "ask about 92 at most"),
    ("person", {"rate": "dear"}, "is not an amount"),
    ("overtime", {"start": "22:00", "end": "01:00"}, "before midnight"),
    ("overtime", {"start": "20:00", "end": "20:00"}, "before midnight"),
    ("overtime", {"first": "2026-11-08", "last": "2026-11-08"}, "You work on none of those days."),
    ("overtime", {"start": "10:00", "end": "11:00"}, "You work then already."),
    ("overtime", {"first": "2229-01-01"}, "Check the year."),
    ("overtime", {"rate": "-3"}, "cannot be negative"),
    ("commission", {"panels": "3"}, "Say it roughly"),
    ("commission", {"enquiry": "999999"}, "Choose one of your enquiries."),
    ("commission", {"wanted": "2026-10-01"}, "That day is over."),
    (
        "ground",
        {"panel": "999999", "ground": "#d9cdb9 old linen"},
        "Choose a panel of agreed work.",
    ),
    ("ground", {"ground": "#123456 Unknown"}, "Choose one of these grounds."),
    ("ground", {"ground": ""}, "This cannot stay empty."),
    ("ground", {"ground": "#d9cdb9 old linen"}, "It is that ground already."),
    ("ground", {"ground": "another"}, "Name the ground colour."),
    ("ground", {"ground": "another", "ground_name": "Moss"}, "Choose the colour."),
    (
        "ground",
        {"ground": "another", "ground_name": "Moss", "ground_colour": "#fefdfc"},
        "the blank it opens with",
    ),
    (
        "ground",
        {"ground": "another", "ground_name": "old linen", "ground_colour": "#d9cdb9"},
        "It is that ground already.",
    ),
]


@pytest.mark.parametrize(("key", "wrong", "sentence"), WRONG)
def test_a_wrong_question_is_told_beside_its_field_and_stays(
    key, wrong, sentence, at_desk, clock, request
):
    given = {"panel": str(request.getfixturevalue("panel").pk)} if key == "ground" else {}
    data = typed(key, **{**given, **wrong})
    said = page(at_desk, data, status=422)
    assert sentence in said
    assert 'aria-invalid="true"' in said
    for name, value in data.items():
        if name not in ("ask", "panel", "ground", "enquiry") and value:
            assert f'value="{escape(value)}"' in said, name
    assert at_desk.get(reverse("what-if-answer"), data).status_code == 302
    assert keep(at_desk, data).status_code == 422


def test_a_stranger_may_not_ask_about_our_records(client, stranger, panel, enquiry):
    client.force_login(stranger)
    for data in (
        typed("ground", panel=str(panel.pk), ground="#d9cdb9 old linen"),
        typed("commission", enquiry=str(enquiry.pk)),
    ):
        assert client.get(reverse("what-if"), data).status_code == 422
        assert keep(client, data).status_code == 422
