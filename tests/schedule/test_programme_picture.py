"""The picture of the programme: what it shades and what it marks."""

from datetime import date, time, timedelta

import pytest
from django.urls import reverse

from jobs.layout.lettering import letters_width
from jobs.models import Panel
from schedule.domain.fixing import fix_sitting
from schedule.domain.programme import planned_sittings
from schedule.picture import HEAD, NAMES, Picture, programme_picture
from studio.domain.records import keep_record
from studio.models import DatedHours, DayOff
from tests.cast import agreed_panel

YESTERDAY = date(2026, 11, 1)
"""A Sunday, the day before that of the tests: the picture begins with it."""


@pytest.fixture
def panel(clock, anna) -> Panel:
    return agreed_panel(anna.studio)


def drawn(anna, clock) -> Picture:
    return programme_picture(anna.studio, now=clock.now)


def shaded(picture: Picture) -> set[date]:
    """Return the days that are shaded, from top to bottom of the picture."""
    assert all(box.y == HEAD for box in picture.off)
    return {YESTERDAY + timedelta(days=round((box.x - NAMES) / box.width)) for box in picture.off}


def test_the_days_of_the_week_without_hours_are_shaded(panel, anna, clock):
    found = shaded(drawn(anna, clock))
    assert {date(2026, 11, 1), date(2026, 11, 7), date(2026, 11, 8)} <= found
    assert {day.weekday() for day in found} == {5, 6}


def test_days_off_are_shaded_from_the_first_to_the_last(panel, anna, clock):
    before = shaded(drawn(anna, clock))
    keep_record(DayOff(studio=anna.studio, first=date(2026, 11, 4), last=date(2026, 11, 5)))
    after = shaded(drawn(anna, clock))
    assert after - before >= {date(2026, 11, 4), date(2026, 11, 5)}
    assert not after & {date(2026, 11, 3), date(2026, 11, 6)}


@pytest.mark.parametrize("days", [0, 1, 9])
def test_the_wanted_day_is_marked_at_its_end_today_too(days, panel, at_desk, anna, clock):
    commission = panel.commission
    commission.wanted = clock.now.date() + timedelta(days=days)
    keep_record(commission)
    picture = drawn(anna, clock)
    (mark,) = picture.wanted
    day = picture.off[0].width
    assert mark.x == pytest.approx(NAMES + (days + 2) * day)
    assert mark.words.startswith("wanted ")
    assert mark.words in at_desk.get(reverse("programme")).content.decode()


@pytest.mark.parametrize(("days", "after"), [(1, True), (14, False)])
def test_the_words_of_a_wanted_day_stand_clear_of_the_names_and_of_now(
    days, after, panel, anna, clock
):
    commission = panel.commission
    commission.wanted = clock.now.date() + timedelta(days=days)
    keep_record(commission)
    picture = drawn(anna, clock)
    (mark,) = picture.wanted
    assert mark.after is after
    width = letters_width(mark.words, 13)
    assert (mark.x > picture.now.x) if after else (mark.x - width > picture.now.x)


def test_a_wanted_day_long_past_is_not_drawn_into_the_names(panel, anna, clock):
    commission = panel.commission
    commission.wanted = date(2026, 10, 20)
    keep_record(commission)
    assert drawn(anna, clock).wanted == []


def test_longer_hours_unshade_their_day_and_a_visit_is_shaded_for_its_hours(panel, anna, clock):
    saturday, studio = date(2026, 11, 7), anna.studio
    for kind, day, start, end in (("extra", saturday, 9, 15), ("away", date(2026, 11, 3), 6, 12)):
        keep_record(
            DatedHours(
                studio=studio, kind=kind, day=day, start=time(start), end=time(end), note="A visit"
            )
        )
    picture = drawn(anna, clock)
    assert saturday not in shaded(picture)
    (visit,) = picture.away
    day = picture.off[0].width
    assert visit.x == pytest.approx(NAMES + 2.25 * day)
    assert visit.width == pytest.approx(day / 4)
    assert visit.title == "A visit, Tue 3 Nov 06:00 to 12:00"


def test_a_fixed_sitting_is_marked_and_told(panel, anna, clock):
    row = planned_sittings(anna.studio).last()
    assert not any(box.fixed for box in drawn(anna, clock).sittings)
    fix_sitting(row, seen=row.sequence, now=clock.now)
    (marked,) = [box for box in drawn(anna, clock).sittings if box.fixed]
    assert marked.title.endswith(", fixed")
