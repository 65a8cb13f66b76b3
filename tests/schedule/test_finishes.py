"""When each commission is ready: by the programme, likely and surely, told alike everywhere."""

from datetime import timedelta

import pytest
from django.urls import reverse

from quotes.domain.questions import WarmerRoom
from quotes.domain.what_if import answer
from schedule.domain.finishes import finish_rows, known_likelihoods, likelihoods
from schedule.domain.programme import plan_studio
from schedule.models import Programme
from schedule.worker import work_once
from studio.formats import show_date
from tests.cast import agreed_panel, asked

QUARTER = timedelta(minutes=15)
HTMX = {"HX-Request": "true"}


@pytest.fixture
def panel(anna, clock):
    agreed_panel(anna.studio, "Finch")
    return agreed_panel(anna.studio)


def test_likely_and_surely_are_those_that_a_question_starts_from(panel, anna, clock):
    rows = finish_rows(anna.studio, likelihoods(plan_studio(anna.studio, now=clock.now)))
    effects = answer(WarmerRoom(25), anna.studio, now=clock.now).effects
    before = {one.commission.pk: one.before for one in effects}
    assert len(rows) == 2
    for row in rows:
        told = before[row.finish.commission_id]
        assert (row.likelihood.likely, row.likelihood.surely) == (told.likely, told.surely)
        assert row.finish.finish.date() == told.ready
        assert told.likely <= told.surely


def test_they_are_kept_for_this_very_plan(panel, anna, clock, django_assert_max_num_queries):
    assert known_likelihoods(Programme.objects.get()) is None
    work_once()
    programme = Programme.objects.get()
    with django_assert_max_num_queries(0):
        found = likelihoods(programme)
    assert set(found) == {row.finish.commission_id for row in finish_rows(anna.studio, found)}
    clock.now += QUARTER
    assert known_likelihoods(plan_studio(anna.studio, now=clock.now)) is None


def test_the_programme_asks_for_them_till_the_worker_has_reckoned_them(panel, at_desk, anna):
    slot = f'hx-get="{reverse("programme-finishes")}"'
    assert slot in at_desk.get(reverse("programme")).content.decode()
    table = at_desk.get(reverse("programme-finishes"), headers=HTMX).content.decode()
    assert slot in at_desk.get(reverse("programme")).content.decode()
    work_once()
    found = likelihoods(Programme.objects.get())[panel.commission.pk]
    for page in (table, at_desk.get(reverse("programme")).content.decode()):
        assert slot not in page
        assert show_date(found.likely, anna.studio) in page
        assert show_date(found.surely, anna.studio) in page
    assert "<html" not in table
    assert "<html" in at_desk.get(reverse("programme-finishes")).content.decode()


def test_the_page_of_agreed_work_tells_its_three_days(panel, at_desk, anna):
    number = panel.commission.number
    path = reverse("programme-ready", args=[number])
    assert path in at_desk.get(reverse("commission", args=[number])).content.decode()
    part = at_desk.get(path, headers=HTMX).content.decode()
    programme = Programme.objects.get()
    found = likelihoods(programme)[panel.commission.pk]
    (row,) = [
        one for one in finish_rows(anna.studio, None) if one.finish.commission == panel.commission
    ]
    for day in (row.finish.finish, found.likely, found.surely):
        assert f"<b>{show_date(day, anna.studio)}</b>" in part
    assert "<html" not in part
    assert "<html" in at_desk.get(path).content.decode()


def test_what_has_no_day_says_so(panel, at_desk, anna, clock):
    enquiry = asked(anna.studio)
    page = at_desk.get(reverse("commission", args=[enquiry.number])).content.decode()
    assert reverse("programme-ready", args=[enquiry.number]) not in page
    page = at_desk.get(reverse("programme-ready", args=[enquiry.number])).content.decode()
    assert "plans agreed work only" in page
    anna.studio.windows.all().delete()
    plan_studio(anna.studio, now=clock.now)
    page = at_desk.get(reverse("programme-ready", args=[panel.commission.number])).content.decode()
    assert "Not all of it can be planned" in page
