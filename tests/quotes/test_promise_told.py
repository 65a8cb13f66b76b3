"""The days a price promises: likely and surely, on the page, in the picture, on the paper."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.urls import reverse

from jobs.layout.drawing import ROLES
from jobs.models import Commission
from quotes.domain.promise import Promise, promise_for
from quotes.papers import draft_estimate
from quotes.pictures import LEFT, ROOM, promise_curve
from studio.domain.records import keep_record
from studio.formats import show_date
from studio.models import WorkingWindow
from tests.cast import asked, panel_of, piece_of, surface_of

DAY = timedelta(days=1)


@pytest.fixture
def commission(clock, anna) -> Commission:
    commission = asked(anna.studio)
    panel_of(surface_of(piece_of(commission)), "Plait")
    return commission


@pytest.fixture
def promise(commission, clock) -> Promise:
    return promise_for(commission, now=clock.now)


def page(at_desk, commission: Commission) -> str:
    said = at_desk.get(reverse("estimate", args=[commission.number])).content.decode()
    return " ".join(said.split())


def test_the_page_gives_the_likely_and_the_sure_day(at_desk, commission, promise):
    said = page(at_desk, commission)
    likely, surely = (show_date(day, commission.studio) for day in (promise.likely, promise.surely))
    assert promise.likely < promise.surely
    assert f"Accepted now, it would be ready likely by <b>{likely}</b>" in said
    assert f"surely by <b>{surely}</b>" in said
    assert promise.hangs_on[0] in said
    assert 'class="role-curve"' in said


@pytest.mark.parametrize(
    ("later", "in_hundred", "badge"), [(-1000, 0, True), (-1, 40, True), (0, 60, False)]
)
def test_the_page_says_how_often_the_asked_day_is_kept(
    later, in_hundred, badge, at_desk, commission, promise, clock
):
    commission.wanted = promise.likely + later * DAY
    keep_record(commission)
    chance = promise_for(commission, now=clock.now).chance_in_hundred
    assert abs(chance - in_hundred) <= 25
    said = page(at_desk, commission)
    assert (f"kept in {chance} of 100 cases" if chance else "not possible") in said
    assert ("kept in 0 of" in said, "likely too late" in said) == (False, False)
    Commission.objects.update(state=Commission.State.ACCEPTED)
    said = page(at_desk, commission)
    assert ("likely too late" in said) is badge
    assert "to promise" not in said


def test_work_handed_over_is_promised_no_more(at_desk, commission):
    Commission.objects.update(state=Commission.State.DELIVERED)
    assert "likely by" not in page(at_desk, commission)


def test_without_working_hours_no_day_is_promised(at_desk, commission, clock):
    WorkingWindow.objects.all().delete()
    promise = promise_for(commission, now=clock.now)
    assert (promise.likely, promise.surely, promise.curve) == (None, None, ())
    assert promise_curve(promise, commission.studio, None) is None
    assert "No day can be promised" in page(at_desk, commission)


def test_what_is_sent_is_kept_with_its_likely_day(commission, promise, clock):
    assert draft_estimate(commission, now=clock.now).promise == promise


@pytest.mark.parametrize(
    ("chance", "said"), [(None, None), (0, 0), (0.0005, 1), (0.5, 50), (0.9995, 99), (1, 100)]
)
def test_only_what_always_happens_is_a_hundred_in_a_hundred(chance, said, promise):
    assert replace(promise, chance=chance).chance_in_hundred == said


def test_the_curve_rises_from_left_to_right_with_its_days_marked(promise, commission):
    drawing = promise_curve(promise, commission.studio, promise.surely)
    (curve,) = (mark for mark in drawing.paths if mark.role == "curve")
    points = [(x, -y) for _, x, y in curve.moves]
    assert points == sorted(points)
    assert all(0 <= x <= drawing.width and 0 <= -y <= drawing.height for x, y in points)
    roles = [mark.role for mark in drawing.marks]
    assert (roles.count("curve-day"), roles.count("curve-wanted")) == (3, 1)
    assert set(roles) <= ROLES.keys()
    assert show_date(promise.likely, commission.studio) in drawing.title


@pytest.mark.parametrize("wanted", [date(2026, 1, 1), date(2030, 1, 1)])
def test_an_asked_day_far_from_the_curve_is_not_drawn_on_it(wanted, promise, commission):
    drawing = promise_curve(promise, commission.studio, wanted)
    assert "curve-wanted" not in {mark.role for mark in drawing.marks}


@pytest.mark.parametrize("in_hundred", [50, 80, 95, 99])
def test_the_day_to_promise_is_marked_where_the_curve_reaches_it(in_hundred, commission, clock):
    commission.studio.dry_enough = in_hundred
    promise = promise_for(commission, now=clock.now)
    drawing = promise_curve(promise, commission.studio, None)
    (words,) = (mark for mark in drawing.marks if getattr(mark, "text", "") == "to promise")
    assert show_date(promise.day, commission.studio) in drawing.title
    room = (0, ROOM) if words.anchor == "start" else (-ROOM, 0)
    assert all(LEFT < words.x + side < drawing.width for side in room)
    agreed = promise_curve(replace(promise, day=None), commission.studio, None)
    assert "to promise" not in {getattr(mark, "text", "") for mark in agreed.marks}
