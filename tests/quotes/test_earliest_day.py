"""The earliest honest day of an enquiry: told beside all agreed work, by measure or by guess."""

from datetime import date, timedelta

import pytest
from django.urls import reverse

from jobs.domain.guesses import Guess
from jobs.domain.methods import give_method
from jobs.models import Commission, MethodSheet, Panel
from quotes.domain.earliest import earliest_for
from quotes.domain.promise import Promise, promise_for
from schedule.models import Pin, Reminder
from studio.domain.records import keep_record
from studio.formats import show_date
from studio.models import Studio, WorkingWindow
from studio.signals import hold_changes
from tests.cast import agreed_panel, asked, panel_of, piece_of, surface_of
from tests.quotes.what_if.questions_asked import everything

DAY = timedelta(days=1)


@pytest.fixture
def enquiry(clock, anna) -> Commission:
    commission = asked(anna.studio)
    panel_of(surface_of(piece_of(commission)), "Plait")
    return commission


@pytest.fixture
def bare(clock, anna) -> Commission:
    return asked(anna.studio, "Something with birds")


@pytest.fixture
def sheet(anna) -> MethodSheet:
    return anna.studio.sheets.filter(stages__isnull=False).first()


def guess(sheet: MethodSheet, panels: int = 2) -> Guess:
    return Guess(sheet, panels=panels, width=3000, height=4000)


def typed(by: MethodSheet, **other) -> dict:
    return {"sheet": by.pk, "panels": "2", "width": "30", "height": "40", **other}


def told(commission: Commission, clock, **more) -> Promise | None:
    found = earliest_for(commission, now=clock.now, **more)
    return found and found.promise


def page(at_desk, commission: Commission, data: dict | None = None, *, status: int = 200) -> str:
    answer = at_desk.get(reverse("earliest", args=[commission.number]), data)
    assert answer.status_code == status
    return " ".join(answer.content.decode().split())


def test_the_day_to_promise_lies_between_the_likely_and_the_sure(enquiry, clock):
    found = told(enquiry, clock)
    assert found.likely <= found.day <= found.surely
    assert (found.in_hundred, found.alone) == (80, None)


def test_who_wants_to_be_surer_promises_a_later_day(enquiry, clock):
    days = []
    for dry_enough in (50, 80, 99):
        # The drying counted on stays, so that only the promise differs.
        enquiry.studio.dry_enough = dry_enough
        days.append(told(enquiry, clock).day)
    assert days == sorted(days)
    assert days[0] < days[-1]


def busy(studio: Studio, *, wanted: date) -> None:
    """Agree to a month of work, wanted by a day."""
    with hold_changes():
        panels = [agreed_panel(studio, f"Agreed {n}", width=6000, height=5000) for n in range(9)]
        for panel in panels:
            panel.commission.wanted = wanted
            keep_record(panel.commission)


def test_agreed_work_that_is_wanted_sooner_makes_the_day_later(enquiry, anna, clock):
    before = told(enquiry, clock)
    busy(anna.studio, wanted=clock.now.date() + 35 * DAY)
    assert told(enquiry, clock).day > before.day


def test_agreed_work_does_not_change_what_the_enquiry_alone_would_take(enquiry, anna, clock):
    enquiry.wanted = clock.now.date()
    keep_record(enquiry)
    before = told(enquiry, clock)
    busy(anna.studio, wanted=clock.now.date())
    assert (told(enquiry, clock).alone, before.alone) == (before.day, None)


def test_the_page_tells_the_three_days(at_desk, enquiry, clock):
    found, said = told(enquiry, clock), page(at_desk, enquiry)
    for day in (found.likely, found.surely, found.day):
        assert f"<b>{show_date(day, enquiry.studio)}</b>" in said
    assert "at least 80 of 100" in said


def test_the_page_of_the_enquiry_asks_for_it_and_links_to_it(at_desk, enquiry):
    where = reverse("commission", args=[enquiry.number])
    said = at_desk.get(where).content.decode()
    assert f'hx-get="{reverse("earliest", args=[enquiry.number])}"' in said
    assert f'href="{reverse("earliest", args=[enquiry.number])}"' in said
    Commission.objects.update(state=Commission.State.ACCEPTED)
    assert "earliest" not in at_desk.get(where).content.decode()
    assert "no enquiry any more" in page(at_desk, enquiry)


def wanted_by(commission: Commission, day: date) -> Commission:
    commission.wanted = day
    keep_record(commission)
    return commission


def test_what_is_too_early_even_alone_is_told_so_beside_other_work(at_desk, enquiry, anna, clock):
    busy(anna.studio, wanted=clock.now.date() + 20 * DAY)
    alone = told(wanted_by(enquiry, clock.now.date()), clock).alone
    for wanted, hopeless in ((alone - DAY, True), (alone, False)):
        said = page(at_desk, wanted_by(enquiry, wanted))
        assert "too early to promise" in said
        day = show_date(alone, enquiry.studio)
        assert (f"the only work you had, the earliest day to promise would be {day}" in said) is (
            hopeless
        )
        assert ("Beside the rest" in said) is hopeless


def test_a_sitting_fixed_in_other_work_is_no_hindrance_to_asking_for_it_alone(
    at_desk, enquiry, anna, clock
):
    other = agreed_panel(anna.studio)
    start = clock.now + 7 * DAY
    Pin.objects.create(
        studio=anna.studio, stage=other.stages.first(), coat=1, person=anna, start=start,
        end=start + DAY / 24,
    )  # fmt: skip
    assert told(wanted_by(enquiry, clock.now.date()), clock).alone
    assert "the only work you had" in page(at_desk, enquiry)


def test_where_there_is_no_other_work_nothing_is_said_of_it(at_desk, enquiry, clock):
    said = page(at_desk, wanted_by(enquiry, clock.now.date()))
    assert "that is too early to promise.</b> It is not possible." in said
    for words in ("only work", "Beside", "beside", "other work", " 0 of 100"):
        assert words not in said.partition('id="earliest"')[2].partition("</section>")[0]


def test_work_that_only_dries_is_no_other_work(at_desk, enquiry, anna, clock):
    agreed_panel(anna.studio, steps=[])
    assert not told(enquiry, clock).beside
    agreed_panel(anna.studio)
    assert told(enquiry, clock).beside


@pytest.mark.parametrize("days", [0, 40])
@pytest.mark.parametrize("occupied", [True, False])
def test_the_price_tells_of_the_day_to_promise_what_the_enquiry_tells(
    days, occupied, at_desk, enquiry, anna, clock
):
    if occupied:
        busy(anna.studio, wanted=clock.now.date() + 20 * DAY)
    wanted_by(enquiry, clock.now.date() + days * DAY)
    found = told(enquiry, clock)
    assert promise_for(enquiry, now=clock.now) == found
    priced = " ".join(
        at_desk.get(reverse("estimate", args=[enquiry.number])).content.decode().split()
    )
    for said in (page(at_desk, enquiry), priced):
        assert f"day to promise is <b>{show_date(found.day, enquiry.studio)}</b>" in said
        assert ("too early to promise" in said) is found.too_early
        assert ("may be promised</span>" in said) is not found.too_early
        assert ("the only work you had" in said) is (occupied and found.too_early_alone)
        assert "too late" not in said


def test_a_wanted_day_after_the_one_to_promise_may_be_promised(at_desk, enquiry, clock):
    enquiry.wanted = told(enquiry, clock).day
    keep_record(enquiry)
    assert "may be promised" in page(at_desk, enquiry)


def test_without_hours_no_day_is_promised(at_desk, enquiry, clock):
    WorkingWindow.objects.all().delete()
    assert told(enquiry, clock).day is None
    assert "No day can be promised" in page(at_desk, enquiry)


def test_panels_without_a_method_are_told_as_not_counted(at_desk, enquiry):
    surface = enquiry.pieces.get().surfaces.get()
    panel_of(surface, "Finch", left=3000, steps=[])
    assert "Finch" in page(at_desk, enquiry)


def test_nothing_measured_asks_for_a_rough_size(at_desk, bare, clock):
    assert told(bare, clock) is None
    assert "Nothing is measured yet" in page(at_desk, bare)


def test_without_a_method_sheet_there_is_nothing_to_guess_by(at_desk, bare):
    MethodSheet.objects.all().delete()
    assert "once there is a method sheet" in page(at_desk, bare)


def test_a_rough_size_is_planned(at_desk, bare, sheet, clock):
    found = told(bare, clock, guess=guess(sheet))
    said = page(at_desk, bare, typed(sheet))
    assert f"<b>{show_date(found.likely, bare.studio)}</b>" in said
    assert 'value="30"' in said


def test_more_panels_take_longer(bare, sheet, clock):
    two, nine = (told(bare, clock, guess=guess(sheet, panels)) for panels in (2, 9))
    assert two.likely < nine.likely


def test_a_guess_comes_to_what_measured_panels_come_to(bare, sheet, clock):
    found = told(bare, clock, guess=guess(sheet, 1))
    surface = surface_of(piece_of(bare), width=3000, height=4000)
    size = {"width": 3000, "height": 4000, "ground_name": "", "ground_colour": ""}
    panel = panel_of(surface, steps=[], **size)
    give_method(panel, sheet=sheet)
    measured = told(bare, clock)
    # The futures are drawn by the keys of rows, which PostgreSQL never gives out twice.
    for one, other in ((measured.day, found.day), (measured.likely, found.likely)):
        assert abs(one - other) <= timedelta(days=1)


def test_a_guess_leaves_nothing_behind(at_desk, bare, sheet, anna, tmp_path, mailoutbox):
    agreed_panel(anna.studio)
    at_desk.get(reverse("programme"))
    before = everything(tmp_path)
    feed = at_desk.get(reverse("feed", args=[anna.studio.feed_secret])).content
    page(at_desk, bare, typed(sheet))
    assert everything(tmp_path) == before
    assert at_desk.get(reverse("feed", args=[anna.studio.feed_secret])).content == feed
    assert (Panel.objects.count(), Reminder.objects.count(), mailoutbox) == (1, 0, [])


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"panels": "0"}, "At least one panel."),
        ({"panels": "61"}, "measure what is larger"),
        ({"panels": "a few"}, "Type a whole number of panels"),
        ({"width": "-3"}, "A length here cannot be zero or less."),
        ({"height": "tall"}, "‘tall’ is not a length"),
        ({"sheet": "999999"}, "Choose one of your method sheets."),
        ({"sheet": ""}, "This cannot stay empty."),
    ],
)
def test_a_wrong_rough_size_is_told_beside_its_field(wrong, sentence, at_desk, bare, sheet):
    data = typed(sheet, **wrong)
    said = page(at_desk, bare, data, status=422)
    assert sentence in said
    for name in ("panels", "width", "height"):
        assert f'value="{data[name]}"' in said
    fragment = at_desk.get(
        reverse("earliest", args=[bare.number]), data, headers={"HX-Request": "true"}
    )
    assert fragment.status_code == 200
    assert sentence in fragment.content.decode()
    assert b"<html" not in fragment.content


def test_a_sheet_of_another_studio_is_no_choice(at_desk, bare, stranger, sheet):
    theirs = Studio.objects.get(pk=stranger.studio_id).sheets.first()
    assert "Choose one of your method sheets." in page(at_desk, bare, typed(theirs), status=422)
